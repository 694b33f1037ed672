//! What is solved: layers of their own size on each other, sources, interfaces, and what carries the heat away.

/// A layer, from the die upwards. Coordinates are those of the whole stack; outside a layer is nothing.
#[derive(Debug, Clone, PartialEq)]
pub struct Layer {
    /// What it is called in errors.
    pub name: String,
    /// Thickness.
    pub thickness_m: f64,
    /// From and to along x.
    pub x_m: (f64, f64),
    /// From and to along y.
    pub y_m: (f64, f64),
    /// Conductivity along x, y and z.
    pub conductivity_w_mk: [f64; 3],
    /// Thermal resistance of unit area between this layer and the next one above.
    pub above: Interface,
}

/// What lies between two layers.
#[derive(Debug, Clone, PartialEq)]
pub enum Interface {
    /// The same everywhere, in m2 K/W; zero for a perfect contact.
    Even(f64),
    /// A map over the rectangle that both layers share, rows from the lower edge.
    Map {
        /// Points in a row.
        columns: usize,
        /// Resistance of unit area, row by row.
        resistance_m2k_w: Vec<f64>,
    },
}

/// Heat that is made in the lowest cells of a layer.
#[derive(Debug, Clone, PartialEq)]
pub struct Source {
    /// Layer, counted from the die.
    pub layer: usize,
    /// From and to along x.
    pub x_m: (f64, f64),
    /// From and to along y.
    pub y_m: (f64, f64),
    /// Power.
    pub power_w: f64,
}

/// A stack.
#[derive(Debug, Clone, PartialEq)]
pub struct Stack {
    /// Layers from the die upwards.
    pub layers: Vec<Layer>,
    /// Sources; they must not overlap.
    pub sources: Vec<Source>,
    /// Film on the upper face of the uppermost layer, in W/(m2 K), against the air.
    pub top_film_w_m2k: f64,
    /// Film on the lower face of the lowest layer.
    pub bottom_film_w_m2k: f64,
}

/// Why a stack cannot be solved.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ConductionError {
    /// A figure means nothing.
    #[error("{what} is {found}, expected {expected}")]
    Figure {
        /// Which.
        what: String,
        /// What was given.
        found: f64,
        /// What it should be.
        expected: &'static str,
    },
    /// A layer is larger than the one that carries it.
    #[error("{layer} is larger than {above}, which lies on it")]
    Larger {
        /// The layer.
        layer: String,
        /// The one above.
        above: String,
    },
    /// Two sources share a place.
    #[error("sources {first} and {second} overlap")]
    Overlap {
        /// Number of the first, from zero.
        first: usize,
        /// Number of the second.
        second: usize,
    },
    /// A source lies beside its layer.
    #[error("source {source_number} does not lie on its layer")]
    Beside {
        /// Number, from zero.
        source_number: usize,
    },
    /// Heat cannot leave.
    #[error("no face gives heat to the air: set a film on the upper or the lower face")]
    NoWayOut,
    /// There is nothing to solve.
    #[error("the stack has no {0}")]
    Empty(&'static str),
    /// The caller stopped it.
    #[error("stopped after {steps} steps at a residual of {residual:.1e}")]
    Stopped {
        /// Steps done.
        steps: usize,
        /// Residual reached.
        residual: f64,
    },
}

fn figure(what: &str, found: f64, holds: bool, expected: &'static str) -> Result<(), ConductionError> {
    if found.is_finite() && holds {
        Ok(())
    } else {
        Err(ConductionError::Figure { what: what.to_owned(), found, expected })
    }
}

fn inside(inner: (f64, f64), outer: (f64, f64)) -> bool {
    let slack = 1e-9 * (outer.1 - outer.0).abs();
    inner.0 >= outer.0 - slack && inner.1 <= outer.1 + slack
}

impl Stack {
    /// The stack, if it can be solved.
    ///
    /// # Errors
    /// As [`ConductionError`] tells.
    pub fn checked(&self) -> Result<&Self, ConductionError> {
        if self.layers.is_empty() {
            return Err(ConductionError::Empty("layer"));
        }
        if self.sources.is_empty() {
            return Err(ConductionError::Empty("source"));
        }
        for layer in &self.layers {
            let of = |what: &str| format!("{what} of {}", layer.name);
            let t = layer.thickness_m;
            figure(&of("thickness"), t, t > 0.0, "a number above zero")?;
            for k in layer.conductivity_w_mk {
                figure(&of("conductivity"), k, k > 0.0, "a number above zero")?;
            }
            for (from, to) in [layer.x_m, layer.y_m] {
                figure(&of("extent"), to - from, to > from, "a number above zero")?;
            }
            let (count, wrong) = match &layer.above {
                Interface::Even(r) => (1, (!(r.is_finite() && *r >= 0.0)).then_some(*r)),
                Interface::Map { columns, resistance_m2k_w } => {
                    let rows =
                        *columns > 0 && !resistance_m2k_w.is_empty() && resistance_m2k_w.len() % columns == 0;
                    let wrong = resistance_m2k_w.iter().find(|r| !(r.is_finite() && **r >= 0.0));
                    (if rows { 1 } else { 0 }, wrong.copied())
                }
            };
            figure(&of("rows of the interface"), f64::from(count), count == 1, "whole rows")?;
            if let Some(found) = wrong {
                figure(&of("resistance of the interface"), found, false, "a number not below zero")?;
            }
        }
        for pair in self.layers.windows(2) {
            if !inside(pair[0].x_m, pair[1].x_m) || !inside(pair[0].y_m, pair[1].y_m) {
                return Err(ConductionError::Larger {
                    layer: pair[0].name.clone(),
                    above: pair[1].name.clone(),
                });
            }
        }
        for (number, source) in self.sources.iter().enumerate() {
            let p = source.power_w;
            figure(&format!("power of source {number}"), p, p >= 0.0, "a number not below zero")?;
            let lies = self
                .layers
                .get(source.layer)
                .is_some_and(|layer| inside(source.x_m, layer.x_m) && inside(source.y_m, layer.y_m));
            if !lies || source.x_m.1 <= source.x_m.0 || source.y_m.1 <= source.y_m.0 {
                return Err(ConductionError::Beside { source_number: number });
            }
            let overlaps = |a: (f64, f64), b: (f64, f64)| a.0 < b.1 - 1e-12 && b.0 < a.1 - 1e-12;
            let other = self.sources[..number].iter().position(|other| {
                other.layer == source.layer
                    && overlaps(other.x_m, source.x_m)
                    && overlaps(other.y_m, source.y_m)
            });
            if let Some(first) = other {
                return Err(ConductionError::Overlap { first, second: number });
            }
        }
        for (what, film) in [("film above", self.top_film_w_m2k), ("film below", self.bottom_film_w_m2k)] {
            figure(what, film, film >= 0.0, "a number not below zero")?;
        }
        if self.top_film_w_m2k == 0.0 && self.bottom_film_w_m2k == 0.0 {
            return Err(ConductionError::NoWayOut);
        }
        Ok(self)
    }
}
