//! What is refused before any handler sees it, and what every answer carries.
//!
//! A page of another site may make a browser send requests here. Its name resolves to this computer in a
//! rebinding attack, but the browser then sends that name as the host; and a form of another site carries its
//! origin, and no token.

use axum::body::Body;
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, Response, header};

use crate::answer::Wrong;

/// What every answer carries: nothing from outside, no framing, no guessing of types, nothing kept.
const HEADERS: [(HeaderName, &str); 6] = [
    (
        header::CONTENT_SECURITY_POLICY,
        "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; connect-src 'self'; \
form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
    ),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::X_FRAME_OPTIONS, "DENY"),
    (header::REFERRER_POLICY, "same-origin"),
    (header::CACHE_CONTROL, "no-store"),
    (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
];

/// Adds what every answer carries, where the answer does not say otherwise itself.
pub fn dress(response: &mut Response<Body>) {
    for (name, value) in HEADERS {
        response.headers_mut().entry(name).or_insert(HeaderValue::from_static(value));
    }
}

fn text<'h>(headers: &'h HeaderMap, name: &HeaderName) -> Option<&'h str> {
    headers.get(name).and_then(|value| value.to_str().ok())
}

/// Whether a request may come in: by its host, and where it changes something by its origin.
///
/// # Errors
/// It may not; why.
pub fn admit(method: &Method, headers: &HeaderMap, hosts: &[String]) -> Result<(), Wrong> {
    let host = text(headers, &header::HOST).unwrap_or("");
    if !hosts.iter().any(|known| known == host) {
        return Err(Wrong::Refused(
            "This page answers only under the address that reseat printed when it started.",
        ));
    }
    if matches!(*method, Method::GET | Method::HEAD) {
        return Ok(());
    }
    // Browsers send the origin with every form and every request of a script that changes something.
    if let Some(origin) = text(headers, &header::ORIGIN)
        && origin.strip_prefix("http://") != Some(host)
    {
        return Err(Wrong::Refused("A form of another site was refused."));
    }
    let site = HeaderName::from_static("sec-fetch-site");
    if matches!(text(headers, &site), Some("cross-site" | "same-site")) {
        return Err(Wrong::Refused("A form of another site was refused."));
    }
    Ok(())
}
