//! Who is let in: the browser that was opened with the address this run printed.
//!
//! Everybody who uses this computer reaches its loopback address. The address that is printed ends in a secret of this
//! run; whoever asks for it gets another secret as a cookie, and without that nothing is answered but how to open the
//! page. The cookie is named after the port, since browsers do not keep those apart.

use axum::http::{HeaderMap, header};

use crate::answer::{Answer, Wrong};
use crate::app::{App, secret};
use crate::ask::Ask;
use crate::pairing::same;

/// What is told to everybody else.
pub const LOCKED: &str = "This page opens with the whole address that reseat printed when it was started. The address ends in a \
secret of that run, so that nobody else who uses this computer gets in. Copy it from the terminal into this browser once.";

/// The two secrets.
#[derive(Debug, Clone)]
pub struct Door {
    /// In the address that is printed.
    pub start: String,
    /// In the cookie.
    pub session: String,
    /// Name of the cookie.
    cookie: String,
}

impl Door {
    /// New secrets for a page on this port.
    ///
    /// # Errors
    /// The system has no randomness to give.
    pub fn fresh(port: u16) -> Result<Self, getrandom::Error> {
        Ok(Self::with(port, secret()?, secret()?))
    }

    /// These secrets.
    pub fn with(port: u16, start: String, session: String) -> Self {
        Self { start, session, cookie: format!("reseat-{port}") }
    }

    /// Whether a request carries the cookie.
    pub fn lets_in(&self, headers: &HeaderMap) -> bool {
        headers
            .get_all(header::COOKIE)
            .iter()
            .filter_map(|value| value.to_str().ok())
            .flat_map(|line| line.split(';'))
            .filter_map(|pair| pair.trim().split_once('='))
            .any(|(name, value)| name == self.cookie && same(value, &self.session))
    }

    /// Whether anybody may ask for this path: the door itself, and the style and script of every page.
    pub fn is_open_to_all(path: &str) -> bool {
        path.starts_with("/open/") || path.starts_with("/assets/")
    }

    /// The cookie as it is given. No script reads it, no other site's page sends it along, and it ends with the browser.
    pub fn as_header(&self) -> String {
        format!("{}={}; Path=/; HttpOnly; SameSite=Strict", self.cookie, self.session)
    }
}

/// Lets a browser in that has the printed address.
///
/// # Errors
/// The secret is another run's, or guessed.
pub fn open(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    if !same(&app.door.start, ask.name("secret")) {
        return Err(Wrong::Refused(LOCKED));
    }
    Ok(Answer::LetIn(app.door.as_header()))
}
