//! How far long work is, on a line of a terminal that is wiped when it is done; nothing where nobody looks.

use std::io::{IsTerminal as _, Write as _};

/// A line on standard error.
pub(crate) struct Progress {
    shows: bool,
    told: String,
}

impl Progress {
    /// Shown only on a terminal.
    pub(crate) fn new() -> Self {
        Self { shows: std::io::stderr().is_terminal(), told: String::new() }
    }

    /// Says how far it is.
    pub(crate) fn say(&mut self, words: String) {
        if self.shows && words != self.told {
            let wide = self.told.chars().count();
            eprint!("\r{words:wide$}");
            self.told = words;
            // A terminal that takes no progress is no reason to stop.
            let _ = std::io::stderr().flush();
        }
    }

    /// Leaves a line standing, such as a preview.
    pub(crate) fn keep(&mut self, words: &str) {
        if self.shows {
            self.wipe();
            eprintln!("{words}");
        }
    }

    fn wipe(&mut self) {
        if !self.told.is_empty() {
            eprint!("\r{:wide$}\r", "", wide = self.told.chars().count());
            self.told.clear();
        }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.wipe();
    }
}
