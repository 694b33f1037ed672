//! Pairing a phone with a job.

use maud::{Markup, PreEscaped, html};

use crate::answer::{Answer, Wrong};
use crate::app::{App, secret};
use crate::ask::Ask;
use crate::clock::words;
use crate::frame::button;

/// What the job's page says of phones.
pub(super) fn piece(app: &App, job: &str) -> Markup {
    let Some(phone) = &app.phone else {
        return html! {
            p { "To tick on a phone beside the machine, end reseat and start it with " code { "reseat page --phone" }
                ": it then listens on your network too, for paired phones only. Or take the file." }
        };
    };
    let at = format!("/jobs/{job}/phone");
    match app.pairings.of_job(job, (app.now)()) {
        None => html! {
            p { "A paired phone on the same network may read and tick this sheet for two hours, nothing else. What it sends is not \
        encrypted on its way: pair only on a network you trust." }
            (button(app, &at, "Pair a phone", &[]))
        },
        Some(pairing) => {
            let address = format!("http://{}/sheet/{}", phone.host, pairing.token);
            let code = fast_qr::QRBuilder::new(address.as_str()).build().ok();
            let svg = code.map(|code| fast_qr::convert::svg::SvgBuilder::default().to_str(&code));
            html! {
                @if let Some(svg) = svg { div.code role="img" aria-label="Code with the phone's address" { (PreEscaped(svg)) } }
                p { "Point the phone's camera at the code, or type " code { (address) } ". Until " (words(pairing.until)) "." }
                (button(app, &format!("{at}/end"), "End the pairing", &[]))
            }
        }
    }
}

/// Pairs a phone.
///
/// # Errors
/// No such job, or no address for phones.
pub fn pair(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let job = app.store().job(ask.name("job"))?;
    if app.phone.is_none() {
        return Err(Wrong::Refused("This run listens on this computer only: start reseat page --phone."));
    }
    app.pairings.pair(&job.id, secret().map_err(Wrong::input)?, (app.now)());
    Ok(Answer::See(format!("/jobs/{}", job.id)))
}

/// Ends a pairing.
///
/// # Errors
/// None.
pub fn unpair(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    app.pairings.end(ask.name("job"));
    Ok(Answer::See(format!("/jobs/{}", ask.name("job"))))
}
