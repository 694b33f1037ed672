//! The form that chooses which parts are changed, the same on every page that looks at a machine with changes.

use maud::{Markup, html};
use upgrade::part::library::Library;

use crate::app::OnBench;
use crate::ask::Ask;

/// Parts of a kind: ids and names.
fn kinds(library: &Library) -> Vec<(&'static str, Vec<(String, String)>)> {
    macro_rules! list {
        ($map:ident) => {
            library
                .$map
                .values()
                .map(|part| (part.id.text().to_owned(), part.name.clone()))
                .collect::<Vec<_>>()
        };
    }
    vec![
        ("processor", list!(processors)),
        ("board", list!(boards)),
        ("memory", list!(memory)),
        ("cooler", list!(coolers)),
        ("paste", list!(pastes)),
        ("supply", list!(supplies)),
        ("case", list!(cases)),
    ]
}

/// The form; it goes to the page it stands on.
pub fn choose(bench: &OnBench, ask: &Ask, page: &str) -> Markup {
    let chosen = ask.query.all("with");
    let socket = &bench.machine.board.part.socket;
    html! {
        details.changes {
            summary { "Parts that are changed: " @if chosen.is_empty() { "none, the machine as it is" } @else { (chosen.join(", ")) } }
            form method="get" action={ "/machines/" (bench.kept.id) (page) } {
                div.fields {
                    @for (kind, parts) in kinds(bench.parts()) {
                        @if !parts.is_empty() {
                            @let field = format!("with-{kind}");
                            p {
                                label for=(field) { (kind) }
                                select id=(field) name="with" {
                                    option value="" { "as it is" }
                                    @for (id, name) in &parts {
                                        @let fits = kind != "processor"
                                            || bench.parts().processors.values().any(|one| one.id.text() == id && one.socket == *socket);
                                        option value=(id) selected[chosen.contains(id)] { (name) @if !fits { " (other socket)" } }
                                    }
                                }
                            }
                        }
                    }
                }
                p { button type="submit" { "Look at it with these" } " "
                    a href={ "/machines/" (bench.kept.id) (page) } { "as it is" } }
            }
        }
    }
}
