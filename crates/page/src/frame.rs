//! The frame of every page: head, ways to go, and the pieces that many pages use.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::app::App;
use crate::ask::with_query;

/// Where a page stands, for the ways to go.
#[derive(Debug, Clone, Copy)]
pub enum Place<'a> {
    /// The bench.
    Bench,
    /// The records.
    Records,
    /// The parts.
    Parts,
    /// The soak of this computer.
    Soak,
    /// Many machines at once.
    Fleet,
    /// What this computer does.
    Observe,
    /// A page of a machine: its id, its name, which page, and the parts that are changed.
    Machine(&'a str, &'a str, &'a str, &'a [String]),
    /// None of them.
    Nowhere,
}

/// Pages of a machine, in the order of the job.
const OF_MACHINE: [(&str, &str); 8] = [
    ("", "Record"),
    ("/unknown", "Unknown"),
    ("/fits", "What fits"),
    ("/routes", "Routes"),
    ("/check", "Findings"),
    ("/power", "Power path"),
    ("/heat", "Heat path"),
    ("/paste", "Paste"),
];

/// Pages that look at the machine with changes.
const WITH_CHANGES: [&str; 4] = ["/check", "/power", "/heat", "/paste"];

fn way(to: &str, name: &str, is_here: bool) -> Markup {
    html! { li { a href=(to) aria-current=[is_here.then_some("page")] { (name) } } }
}

/// A whole page.
pub fn frame(title: &str, place: Place<'_>, body: &Markup) -> String {
    framed(title, place, &PreEscaped(String::new()), body)
}

/// A whole page, with something more in its head.
pub fn framed(title: &str, place: Place<'_>, head: &Markup, body: &Markup) -> String {
    let inside = html! {
        a.skip href="#main" { "To the content" }
        header {
            nav aria-label="Places" {
                ul {
                    (way("/", "Bench", matches!(place, Place::Bench)))
                    (way("/jobs", "Records", matches!(place, Place::Records)))
                    (way("/parts", "Parts", matches!(place, Place::Parts)))
                    (way("/fleet", "Fleet", matches!(place, Place::Fleet)))
                    (way("/observe", "Observe", matches!(place, Place::Observe)))
                    (way("/soak", "Soak", matches!(place, Place::Soak)))
                }
            }
            @if let Place::Machine(id, name, here, with) = place {
                p.on { a href={ "/machines/" (id) } { bdi { (name) } } }
                nav.machine aria-label="This machine" {
                    ul {
                        @for (page, words) in OF_MACHINE {
                            @let query = if WITH_CHANGES.contains(&page) { with_query(with) } else { String::new() };
                            (way(&format!("/machines/{id}{page}{query}"), words, page == here))
                        }
                    }
                }
            }
        }
        main id="main" tabindex="-1" { (body) }
        footer {
            p { "Work inside a computer can hurt it and you: follow the makers' instructions and local codes, never open a \
    power supply, and leave fixed wiring to a licensed electrician." }
        }
    };
    whole(title, head, &inside)
}

/// A page without ways to go: what a paired phone sees.
pub fn bare(title: &str, body: &Markup) -> String {
    whole(title, &PreEscaped(String::new()), &html! { main id="main" { (body) } })
}

fn whole(title: &str, head: &Markup, inside: &Markup) -> String {
    let version = env!("CARGO_PKG_VERSION");
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width,initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (title) " · reseat" }
                // The files of every page, by the version that brought them.
                link rel="icon" href={ "/assets/icon.svg?" (version) } type="image/svg+xml";
                link rel="stylesheet" href={ "/assets/page.css?" (version) };
                script src={ "/assets/page.js?" (version) } type="module" {}
                (head)
            }
            body { (inside) }
        }
    };
    page.into_string()
}

/// The hidden field that shows that a form is of this run.
pub fn token(app: &App) -> Markup {
    html! { input type="hidden" name="token" value=(app.token); }
}

/// A form that is only a button.
pub fn button(app: &App, to: &str, words: &str, hidden: &[(&str, &str)]) -> Markup {
    html! {
        form.inline method="post" action=(to) {
            (token(app))
            @for (name, value) in hidden { input type="hidden" name=(name) value=(value); }
            button type="submit" { (words) }
        }
    }
}

/// A finished picture inside a page, wide ones to be moved sideways on narrow screens.
pub fn picture(svg: &str, name: &str) -> Markup {
    html! { div.picture tabindex="0" role="region" aria-label=(name) { (PreEscaped(draw::svg::inline(svg))) } }
}

/// A finished picture in two shapes, of which a phone's screen shows the narrow one.
pub fn two_pictures(wide: &str, narrow: &str, name: &str) -> Markup {
    html! {
        div.picture.two tabindex="0" role="region" aria-label=(name) {
            div.wide { (PreEscaped(draw::svg::inline(wide))) }
            div.narrow { (PreEscaped(draw::svg::inline(narrow))) }
        }
    }
}

/// Sentences as paragraphs.
pub fn paragraphs(list: &[String]) -> Markup {
    html! { @for one in list { p { (one) } } }
}
