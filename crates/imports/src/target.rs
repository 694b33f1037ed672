//! What a column can be: a field of a part, or a word about its price.

use intake::leaf::Leaf;
use intake::library::put;
use upgrade::part::id::Kind;
use upgrade::part::offer::PriceKind;

/// What a column is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Target {
    /// The id that the library gives the part.
    Id,
    /// A field by its place in [`Targets::fields`].
    Field(usize),
    /// All threads of the first kind of core, which the cores divide.
    Threads,
    /// A price of this kind.
    Price(PriceKind),
    /// A price whose kind another column says.
    Amount,
    /// What the price is for.
    PriceFor,
    /// Day of the price.
    Day,
    /// Shop of the price.
    Shop,
    /// Pieces in stock.
    Stock,
    /// Currency of the price.
    Currency,
}

/// Fields that a column can be, besides those of a part.
pub const SPECIAL: [(&str, Target); 10] = [
    ("id", Target::Id),
    ("price.new", Target::Price(PriceKind::New)),
    ("price.second-hand", Target::Price(PriceKind::SecondHand)),
    ("price.resale", Target::Price(PriceKind::Resale)),
    ("price.amount", Target::Amount),
    ("price.for", Target::PriceFor),
    ("price.day", Target::Day),
    ("price.shop", Target::Shop),
    ("price.stock", Target::Stock),
    ("price.currency", Target::Currency),
];

/// Column of all threads of a processor.
pub const THREADS: &str = "cores[1].threads";

/// What the columns of a list of one kind can be.
#[derive(Debug, Clone)]
pub struct Targets {
    /// Fields of the part; only its name and maker where the kind is not said.
    pub fields: Vec<(String, Leaf)>,
}

impl Targets {
    /// Of a kind of part, or of parts that the library knows.
    pub fn of(kind: Option<Kind>) -> Self {
        let fields = match kind {
            Some(kind) => put::fields(kind),
            None => vec![("maker".to_owned(), Leaf::Text), ("name".to_owned(), Leaf::Text)],
        };
        Self { fields }
    }

    /// The place of a field.
    pub fn place(&self, field: &str) -> Option<usize> {
        // `cores[2].count` is what `cores[1].count` is.
        let first = |path: &str| -> String {
            let mut out = String::with_capacity(path.len());
            let mut inside = false;
            for c in path.chars() {
                match c {
                    '[' => {
                        inside = true;
                        out.push_str("[1");
                    }
                    ']' => {
                        inside = false;
                        out.push(']');
                    }
                    _ if inside => {}
                    _ => out.push(c),
                }
            }
            out
        };
        self.fields.iter().position(|(known, _)| known == field).or_else(|| {
            let wanted = first(field);
            self.fields.iter().position(|(known, _)| *known == wanted)
        })
    }

    /// What a field of a mapping is.
    pub fn find(&self, field: &str) -> Option<Target> {
        let special = SPECIAL.iter().find(|(known, _)| *known == field).map(|(_, target)| *target);
        let threads = (field == THREADS && self.place("cores[1].threads_per_core").is_some())
            .then_some(Target::Threads);
        special
            .or(threads)
            .or_else(|| self.fields.iter().position(|(known, _)| known == field).map(Target::Field))
    }

    /// All names that a column can have.
    pub fn names(&self) -> Vec<&str> {
        let threads = self.place("cores[1].threads_per_core").map(|_| THREADS);
        let fields = self.fields.iter().map(|(path, _)| path.as_str());
        SPECIAL.iter().map(|(name, _)| *name).chain(threads).chain(fields).collect()
    }
}
