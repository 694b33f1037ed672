//! What the terminal can show.

use std::io::IsTerminal as _;

use draw::paint::Paint;

/// Width without a terminal, and the narrowest and widest that text is set to.
const WIDTH_WITHOUT: usize = 100;
const NARROWEST: usize = 40;
const WIDEST: usize = 140;

/// Where text goes.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Screen {
    /// Columns.
    pub(crate) width: usize,
    /// Colour on standard output.
    pub(crate) paint: Paint,
    /// Colour on standard error.
    pub(crate) paint_err: Paint,
}

impl Screen {
    /// The screen of this process: colour only on a terminal, and never with `NO_COLOR` or `--plain`.
    pub(crate) fn of(plain: bool, width: Option<usize>) -> Self {
        let refused = plain || std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
        let paint = |is_terminal: bool| if is_terminal && !refused { Paint::Colour } else { Paint::Plain };
        let columns = width
            .or_else(|| std::env::var("COLUMNS").ok()?.parse().ok())
            .or_else(|| terminal_size::terminal_size().map(|(width, _)| usize::from(width.0)))
            .unwrap_or(WIDTH_WITHOUT);
        Self {
            width: columns.clamp(NARROWEST, WIDEST),
            paint: paint(std::io::stdout().is_terminal()),
            paint_err: paint(std::io::stderr().is_terminal()),
        }
    }
}
