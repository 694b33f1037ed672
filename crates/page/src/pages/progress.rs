//! A page whose content is computed: how far it is, a way to stop it, then what came out.

use maud::{Markup, html};

use crate::answer::{Answer, Wrong};
use crate::app::App;
use crate::ask::Ask;
use crate::frame::{Place, button, framed};
use crate::work::Stands;

/// What the page about a computation says besides.
pub struct About<'a> {
    /// Title.
    pub title: &'a str,
    /// Where it stands.
    pub place: Place<'a>,
    /// What stands above, whatever the computation does.
    pub above: &'a Markup,
    /// Where one goes that does not want it.
    pub back: &'a str,
    /// What the computation is known by.
    pub known_as: &'a str,
}

/// The page about a computation.
pub fn show<T>(
    app: &App,
    ask: &Ask,
    about: &About<'_>,
    stands: &Stands<T>,
    inside: impl FnOnce(&T) -> Markup,
) -> Answer {
    let waits = matches!(stands, Stands::At(_) | Stands::Busy);
    let head = html! {
        // With scripts the page looks by itself, without moving what is on it.
        @if waits { noscript { meta http-equiv="refresh" content="1"; } }
    };
    let body = html! {
        (about.above)
        @match stands {
            Stands::At(percent) => {
                section data-waits="yes" aria-live="polite" {
                    p { label for="progress" { "Computing" } ": " (percent) " %" }
                    progress id="progress" max="100" value=(percent) { (percent) " %" }
                    p { a.button href=(ask.path) { "Look again" } }
                    (button(app, "/works/stop", "Stop", &[("about", about.known_as), ("back", about.back)]))
                }
            },
            Stands::Busy => {
                section data-waits="yes" { p { "Other computations are at work; this one begins when one of them is done." } }
            },
            Stands::Not(why) => { p.problem { "It was not computed: " (why) } },
            Stands::Done(result) => (inside(result)),
        }
    };
    Answer::Page(framed(about.title, about.place, &head, &body))
}

/// Stops a computation, and goes back.
///
/// # Errors
/// None.
pub fn stop(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    app.lids.stop(ask.form.text("about"));
    app.curves.stop(ask.form.text("about"));
    app.pressings.stop(ask.form.text("about"));
    app.fleets.stop(ask.form.text("about"));
    let back = ask.form.text("back");
    // Only to places of this page.
    let is_ours = (back.starts_with("/machines/") || back == "/fleet") && !back.contains("//");
    Ok(Answer::See(if is_ours { back.to_owned() } else { "/".to_owned() }))
}
