//! Exit codes, and how a failure is told.

use std::process::ExitCode;

use draw::paint::Role;

use crate::terminal::Screen;

/// How a run ended. The numbers are part of the interface; `--help` lists them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Exit {
    /// Done; whatever was asked holds.
    Done,
    /// Done, but the answer is no: something does not fit, a case fails, a lint found an error.
    No,
    /// What was given cannot be read or does not go together.
    BadInput,
    /// Done, but a missing reading leaves the answer open.
    CannotTell,
}

impl Exit {
    /// The process's exit code.
    pub(crate) fn code(self) -> ExitCode {
        ExitCode::from(match self {
            Self::Done => 0,
            Self::No => 1,
            Self::BadInput => 2,
            Self::CannotTell => 3,
        })
    }
}

/// Something that ends a run before it has an answer.
#[derive(Debug)]
pub(crate) enum Failure {
    /// An error with its causes.
    Error(Box<dyn std::error::Error>),
    /// Problems in files, already worded with their lines.
    Report(String),
}

impl Failure {
    /// The failure as it is printed: each cause once, then what was wrong.
    pub(crate) fn text(&self, screen: &Screen) -> String {
        match self {
            Self::Report(text) => text.clone(),
            Self::Error(error) => {
                let mut text = format!("{} {error}\n", screen.paint_err.text(Role::Stop, "error:"));
                let mut cause = error.source();
                while let Some(inner) = cause {
                    text.push_str(&format!("  because {inner}\n"));
                    cause = inner.source();
                }
                text
            }
        }
    }
}

impl<E: std::error::Error + 'static> From<E> for Failure {
    fn from(error: E) -> Self {
        Self::Error(Box::new(error))
    }
}
