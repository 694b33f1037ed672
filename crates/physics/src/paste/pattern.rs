//! Where the paste is put before the lid goes on.

use core::f64::consts::PI;

/// A bead: a straight string of paste; a dot where both ends are one place. Metres from the lid's centre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bead {
    /// One end.
    pub from_m: (f64, f64),
    /// Other end.
    pub to_m: (f64, f64),
}

/// A way to put paste.
#[derive(Debug, Clone, PartialEq)]
pub enum Pattern {
    /// One dot in the middle.
    Dot,
    /// One line along the longer side, half its length.
    Line,
    /// Two crossed lines along the diagonals, 60 % of them.
    Cross,
    /// A dot in the middle, four towards the corners at half way.
    FiveDots,
    /// Two lines along the longer side, a quarter of the shorter side from the middle.
    TwoLines,
    /// Spread by hand over this share of each side, evenly thick.
    Layer {
        /// Share of each side that is covered, above 0 to 1.
        share: f64,
    },
    /// Beads of one thickness at chosen places.
    Custom(Vec<Bead>),
}

impl Pattern {
    /// A layer over nine tenths of each side, as a hand spreads it.
    pub const SPREAD: Self = Self::Layer { share: 0.9 };

    /// What a person calls it.
    pub const fn name(&self) -> &'static str {
        match self {
            Self::Dot => "dot",
            Self::Line => "line",
            Self::Cross => "cross",
            Self::FiveDots => "five dots",
            Self::TwoLines => "two lines",
            Self::Layer { .. } => "spread layer",
            Self::Custom(_) => "own beads",
        }
    }

    /// The beads on a lid of this length and width; none for a layer.
    ///
    /// # Example
    /// ```
    /// use physics::paste::pattern::Pattern;
    /// assert_eq!(Pattern::FiveDots.beads(0.04, 0.03).len(), 5);
    /// ```
    pub fn beads(&self, length_m: f64, width_m: f64) -> Vec<Bead> {
        let (a, b) = (length_m / 2.0, width_m / 2.0);
        let dot = |x: f64, y: f64| Bead { from_m: (x, y), to_m: (x, y) };
        let line = |x: f64, y: f64, u: f64, v: f64| Bead { from_m: (x, y), to_m: (u, v) };
        let lies = length_m >= width_m;
        match self {
            Self::Dot => vec![dot(0.0, 0.0)],
            Self::Line if lies => vec![line(-0.5 * a, 0.0, 0.5 * a, 0.0)],
            Self::Line => vec![line(0.0, -0.5 * b, 0.0, 0.5 * b)],
            Self::Cross => {
                vec![line(-0.6 * a, -0.6 * b, 0.6 * a, 0.6 * b), line(-0.6 * a, 0.6 * b, 0.6 * a, -0.6 * b)]
            }
            Self::FiveDots => {
                let (x, y) = (0.5 * a, 0.5 * b);
                vec![dot(0.0, 0.0), dot(x, y), dot(-x, y), dot(x, -y), dot(-x, -y)]
            }
            Self::TwoLines if lies => {
                vec![line(-0.5 * a, 0.5 * b, 0.5 * a, 0.5 * b), line(-0.5 * a, -0.5 * b, 0.5 * a, -0.5 * b)]
            }
            Self::TwoLines => {
                vec![line(0.5 * a, -0.5 * b, 0.5 * a, 0.5 * b), line(-0.5 * a, -0.5 * b, -0.5 * a, 0.5 * b)]
            }
            Self::Layer { .. } => Vec::new(),
            Self::Custom(beads) => beads.clone(),
        }
    }

    pub(crate) fn is_symmetric(&self) -> bool {
        !matches!(self, Self::Custom(_))
    }

    /// What the amount looks like: beads before the lid goes on.
    ///
    /// # Model
    /// A dot is half a ball, `V = pi d^3 / 12`; a line is a string of round section with round ends,
    /// `V = pi d^2 l / 4 + pi d^3 / 6`. Crossed lines count their crossing twice, which is below the care of a hand.
    pub fn to_see(&self, volume_m3: f64, length_m: f64, width_m: f64) -> ToSee {
        if let Self::Layer { share } = self {
            let (l, w) = (share * length_m, share * width_m);
            return ToSee::Layer { length_m: l, width_m: w, thickness_m: volume_m3 / (l * w) };
        }
        let beads = self.beads(length_m, width_m);
        let lengths: Vec<f64> = beads.iter().map(Bead::length_m).collect();
        let across = |d: f64| -> f64 {
            lengths
                .iter()
                .map(|l| {
                    if *l == 0.0 {
                        PI * d.powi(3) / 12.0
                    } else {
                        PI * d * d * l / 4.0 + PI * d.powi(3) / 6.0
                    }
                })
                .sum()
        };
        let (mut low, mut high) = (0.0, (12.0 * volume_m3.max(0.0) / PI).cbrt());
        for _ in 0..100 {
            let middle = 0.5 * (low + high);
            if across(middle) < volume_m3 { low = middle } else { high = middle }
        }
        let longest = lengths.iter().copied().fold(0.0, f64::max);
        if longest == 0.0 {
            ToSee::Dots { count: beads.len(), across_m: high }
        } else if lengths.iter().any(|length| (length - longest).abs() > 0.02 * longest) {
            ToSee::Mixed { count: beads.len(), longest_m: longest, thickness_m: high }
        } else {
            ToSee::Lines { count: beads.len(), length_m: longest, thickness_m: high }
        }
    }
}

/// An amount of paste as the eye meets it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ToSee {
    /// Dots, half balls.
    Dots {
        /// How many.
        count: usize,
        /// How wide each is.
        across_m: f64,
    },
    /// Lines.
    Lines {
        /// How many.
        count: usize,
        /// How long each is.
        length_m: f64,
        /// How thick each is.
        thickness_m: f64,
    },
    /// Beads of several lengths and one thickness.
    Mixed {
        /// How many.
        count: usize,
        /// How long the longest is.
        longest_m: f64,
        /// How thick each is.
        thickness_m: f64,
    },
    /// A layer.
    Layer {
        /// Along the lid's length.
        length_m: f64,
        /// Along its width.
        width_m: f64,
        /// How thick.
        thickness_m: f64,
    },
}

impl core::fmt::Display for ToSee {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match *self {
            Self::Dots { count: 1, across_m } => write!(f, "a bead {:.1} mm across", across_m * 1e3),
            Self::Dots { count, across_m } => {
                write!(f, "{count} beads, each {:.1} mm across", across_m * 1e3)
            }
            Self::Lines { count: 1, length_m, thickness_m } => {
                write!(f, "a line {:.0} mm long, {:.1} mm thick", length_m * 1e3, thickness_m * 1e3)
            }
            Self::Lines { count, length_m, thickness_m } => write!(
                f,
                "{count} lines, each {:.0} mm long, {:.1} mm thick",
                length_m * 1e3,
                thickness_m * 1e3
            ),
            Self::Mixed { count, longest_m, thickness_m } => write!(
                f,
                "{count} beads, all {:.1} mm thick, the longest {:.0} mm long",
                thickness_m * 1e3,
                longest_m * 1e3
            ),
            Self::Layer { length_m, width_m, thickness_m } => write!(
                f,
                "a layer {:.0} mm by {:.0} mm, {:.2} mm thick",
                length_m * 1e3,
                width_m * 1e3,
                thickness_m * 1e3
            ),
        }
    }
}

impl Bead {
    /// Distance between its ends.
    pub fn length_m(&self) -> f64 {
        (self.to_m.0 - self.from_m.0).hypot(self.to_m.1 - self.from_m.1)
    }

    /// Distance of a place from its middle line.
    pub(crate) fn distance_m(&self, x: f64, y: f64) -> f64 {
        let (u, v) = (self.to_m.0 - self.from_m.0, self.to_m.1 - self.from_m.1);
        let square = u * u + v * v;
        let (px, py) = (x - self.from_m.0, y - self.from_m.1);
        let along = if square > 0.0 { ((px * u + py * v) / square).clamp(0.0, 1.0) } else { 0.0 };
        let (rx, ry) = (px - along * u, py - along * v);
        (rx * rx + ry * ry).sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::Pattern;

    #[test]
    fn amounts_are_told_as_the_eye_meets_them() {
        // Half a ball 4.6 mm across holds pi 4.6^3 / 12 = 25.48 mm3.
        assert_eq!(Pattern::Dot.to_see(25.483e-9, 0.03, 0.03).to_string(), "a bead 4.6 mm across");
        // A string 18 mm long and 1.5 mm thick holds pi 1.5^2 18 / 4 + pi 1.5^3 / 6 = 33.58 mm3.
        assert_eq!(
            Pattern::Line.to_see(33.576e-9, 0.036, 0.03).to_string(),
            "a line 18 mm long, 1.5 mm thick"
        );
    }
}
