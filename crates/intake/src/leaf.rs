//! What one field of a part can hold, for whoever fills it from a table.

use quantity::dimension::{Dimension, Unit};
use quantity::interval::Interval;

/// What a field holds.
#[derive(Debug, Clone, PartialEq)]
pub enum Leaf {
    /// A text.
    Text,
    /// An id.
    Id,
    /// A physical figure.
    Figure(FigureLeaf),
    /// A whole number.
    Count,
    /// One of some words.
    Words(Vec<&'static str>),
    /// An amount of money.
    Money,
    /// A list of texts.
    Texts,
    /// A list of ids.
    Ids,
    /// A list of some words.
    WordList(Vec<&'static str>),
    /// A list of exact figures.
    Figures(FigureLeaf),
}

/// The dimension of a figure, as far as a table of cells needs it.
#[derive(Debug, Clone, Copy)]
pub struct FigureLeaf {
    /// What a message calls it.
    pub name: &'static str,
    /// A correct example.
    pub example: &'static str,
    /// Its units.
    pub units: &'static [Unit],
    /// The ends of a written figure in SI; none where it is none.
    pub ends: fn(&str) -> Option<(f64, f64)>,
}

impl PartialEq for FigureLeaf {
    fn eq(&self, other: &Self) -> bool {
        self.name == other.name
    }
}

fn ends<D: Dimension>(text: &str) -> Option<(f64, f64)> {
    text.parse::<Interval<D>>().ok().map(|interval| (interval.low().si(), interval.high().si()))
}

impl FigureLeaf {
    /// Of this dimension.
    pub const fn of<D: Dimension>() -> Self {
        Self { name: D::NAME, example: D::EXAMPLE, units: D::UNITS, ends: ends::<D> }
    }
}

/// Largest share by which two figures differ that say the same: what a number loses by being written in other units.
const SAME: f64 = 1e-9;

impl Leaf {
    /// Whether two texts of this field say the same.
    pub fn same(&self, one: &str, other: &str) -> bool {
        let list = |text: &str| -> Vec<String> {
            text.split(';').map(|one| one.trim().to_owned()).filter(|one| !one.is_empty()).collect()
        };
        let near = |a: f64, b: f64| (a - b).abs() <= SAME * a.abs().max(b.abs());
        one == other
            || match self {
                Self::Figure(figure) => match ((figure.ends)(one), (figure.ends)(other)) {
                    (Some(a), Some(b)) => near(a.0, b.0) && near(a.1, b.1),
                    _ => false,
                },
                Self::Texts | Self::Ids | Self::WordList(_) | Self::Figures(_) => list(one) == list(other),
                Self::Money => {
                    let money = |text: &str| text.parse::<quantity::money::Money>().ok();
                    money(one).is_some() && money(one) == money(other)
                }
                Self::Text | Self::Id | Self::Count | Self::Words(_) => false,
            }
    }
}
