//! What a handler answers, and what it answers when something is wrong.

use axum::body::Body;
use axum::http::{HeaderValue, Response, StatusCode, header};
use intake::problem::{Problem, SourceFile};
use intake::report;
use maud::html;
use store::open::StoreError;

use crate::frame::{Place, frame};

/// An answer.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// A page.
    Page(String),
    /// A page with the form that was sent, as it was filled in, and what is wrong with it.
    Again(String),
    /// Go and look there.
    See(String),
    /// A file: its type, its name where it is to be saved, its bytes.
    File(&'static str, Option<String>, Vec<u8>),
    /// A file of the program itself: its type and its text, which a browser may keep for an hour.
    Asset(&'static str, String),
    /// To the bench, with the cookie that lets in.
    LetIn(String),
    /// Values for a script.
    Json(serde_json::Value),
}

/// Something that is wrong.
#[derive(Debug, thiserror::Error)]
pub enum Wrong {
    /// There is no such thing.
    #[error("{0}")]
    Missing(String),
    /// What was sent cannot be taken. What was typed is shown again.
    #[error("{what}")]
    Input {
        /// What is wrong.
        what: String,
        /// What was typed.
        typed: String,
    },
    /// Something else was changed in the meantime.
    #[error("{what}")]
    Clash {
        /// What happened.
        what: String,
        /// What was typed.
        typed: String,
    },
    /// Not allowed from there.
    #[error("{0}")]
    Refused(&'static str),
    /// What was sent is too large.
    #[error("{0}")]
    TooLarge(String),
    /// The store failed.
    #[error("{what}")]
    Store {
        /// What failed, with its causes.
        what: String,
        /// What was typed.
        typed: String,
    },
}

impl Wrong {
    /// What cannot be computed, in a sentence.
    pub fn input(error: impl std::fmt::Display) -> Self {
        Self::Input { what: error.to_string(), typed: String::new() }
    }

    /// The library's folder cannot be read or written.
    pub fn folder(error: impl std::error::Error) -> Self {
        Self::Store { what: with_causes(&error), typed: String::new() }
    }

    /// Problems of a text that was typed.
    pub fn problems(problems: &[Problem], file: SourceFile, typed: &str) -> Self {
        Self::Input { what: report::text(problems, &[file]), typed: typed.to_owned() }
    }

    /// The same with what was typed, where the answer shows it again.
    #[must_use]
    pub fn with_typed(self, text: &str) -> Self {
        match self {
            Self::Clash { what, .. } => Self::Clash { what, typed: text.to_owned() },
            Self::Store { what, .. } => Self::Store { what, typed: text.to_owned() },
            other => other,
        }
    }

    fn status(&self) -> StatusCode {
        match self {
            Self::Missing(_) => StatusCode::NOT_FOUND,
            Self::Input { .. } => StatusCode::UNPROCESSABLE_ENTITY,
            Self::Clash { .. } => StatusCode::CONFLICT,
            Self::Refused(_) => StatusCode::FORBIDDEN,
            Self::TooLarge(_) => StatusCode::PAYLOAD_TOO_LARGE,
            Self::Store { .. } => StatusCode::SERVICE_UNAVAILABLE,
        }
    }
}

/// An error and what brought it about, a line each.
pub fn with_causes(error: &dyn std::error::Error) -> String {
    let mut what = error.to_string();
    let mut cause = error.source();
    while let Some(inner) = cause {
        what.push_str(&format!("\nbecause {inner}"));
        cause = inner.source();
    }
    what
}

impl From<StoreError> for Wrong {
    fn from(error: StoreError) -> Self {
        match error {
            StoreError::Missing { .. } => Self::Missing(error.to_string()),
            StoreError::Changed { .. } => Self::Clash { what: error.to_string(), typed: String::new() },
            other => Self::Store { what: with_causes(&other), typed: String::new() },
        }
    }
}

/// Type of a page.
const HTML: &str = "text/html; charset=utf-8";

fn respond(status: StatusCode, kind: &'static str, bytes: Vec<u8>) -> Response<Body> {
    let mut response = Response::new(Body::from(bytes));
    *response.status_mut() = status;
    response.headers_mut().insert(header::CONTENT_TYPE, HeaderValue::from_static(kind));
    response
}

fn see(place: &str) -> Response<Body> {
    let mut response = Response::new(Body::empty());
    *response.status_mut() = StatusCode::SEE_OTHER;
    // A place is made of our own ids and encoded queries; were it not, the bench is a safe place.
    let place = HeaderValue::from_str(place).unwrap_or_else(|_| HeaderValue::from_static("/"));
    response.headers_mut().insert(header::LOCATION, place);
    response
}

/// A file's name as it may stand in a header: letters, digits, dots and dashes.
fn plain_name(name: &str) -> String {
    name.chars().map(|c| if c.is_ascii_alphanumeric() || ".-".contains(c) { c } else { '-' }).collect()
}

impl Answer {
    /// The answer as it goes out.
    pub fn response(self) -> Response<Body> {
        match self {
            Self::Page(text) => respond(StatusCode::OK, HTML, text.into_bytes()),
            Self::Again(text) => respond(StatusCode::UNPROCESSABLE_ENTITY, HTML, text.into_bytes()),
            Self::Json(value) => respond(StatusCode::OK, "application/json", value.to_string().into_bytes()),
            Self::Asset(kind, text) => {
                let mut response = respond(StatusCode::OK, kind, text.into_bytes());
                let kept = HeaderValue::from_static("private, max-age=3600");
                response.headers_mut().insert(header::CACHE_CONTROL, kept);
                response
            }
            Self::File(kind, name, bytes) => {
                let mut response = respond(StatusCode::OK, kind, bytes);
                let named = name.map(|name| format!("attachment; filename=\"{}\"", plain_name(&name)));
                if let Some(value) = named.and_then(|text| HeaderValue::from_str(&text).ok()) {
                    response.headers_mut().insert(header::CONTENT_DISPOSITION, value);
                }
                response
            }
            Self::See(place) => see(&place),
            Self::LetIn(cookie) => {
                let mut response = see("/");
                if let Ok(cookie) = HeaderValue::from_str(&cookie) {
                    response.headers_mut().insert(header::SET_COOKIE, cookie);
                }
                response
            }
        }
    }
}

impl Wrong {
    /// The page that tells what is wrong.
    pub fn response(self) -> Response<Body> {
        let typed = match &self {
            Self::Input { typed, .. } | Self::Clash { typed, .. } | Self::Store { typed, .. } => {
                typed.as_str()
            }
            _ => "",
        };
        // A store whose server was lost while it confirmed may have kept the change: it says so itself.
        let is_store = matches!(self, Self::Store { .. });
        let body = html! {
            h1 { "That did not work" }
            pre.problem { (self) }
            @if !typed.is_empty() {
                p { "What you typed, so that nothing of it is lost:" }
                pre { (typed) }
            }
            p { @if !is_store { "Nothing was changed. " } "Go back with your browser, or to the " a href="/" { "bench" } "." }
        };
        let text = frame("That did not work", Place::Nowhere, &body);
        respond(self.status(), HTML, text.into_bytes())
    }
}
