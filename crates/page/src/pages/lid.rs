//! The map of a lid: a preview at once, then its joint's own map as it is solved.

use core::ops::ControlFlow;

use draw::heat_map_text::sentences;
use maud::{Markup, html};
use physics::conduction::grid::Resolution;
use physics::paste::pattern::Pattern;
use quantity::dimension::PowerDim;
use quantity::reading::Figure;
use upgrade::carry::heat_map::{HeatMap, MapWanted, NoMap, Seen, heat_map};
use upgrade::carry::heat_path::heat_path;
use upgrade::carry::paste_setup::Putting;
use upgrade::machine::proposal::Proposal;

use crate::answer::{Answer, Wrong};
use crate::app::App;
use crate::ask::{Ask, with_query};
use crate::frame::{Place, paragraphs, picture};
use crate::pages::progress::{self, About};
use crate::work::{Stands, Work};

/// Cells: a preview within milliseconds, and the answer.
const PREVIEW: Resolution = Resolution { x: 24, y: 24, z: 8 };
const ANSWER: Resolution = Resolution { x: 96, y: 96, z: 20 };
/// Cells along a side on which the paste is pressed.
const PRESS_CELLS: usize = 96;
/// Patterns that can be looked at.
const PATTERNS: [Pattern; 6] =
    [Pattern::Dot, Pattern::Line, Pattern::Cross, Pattern::FiveDots, Pattern::TwoLines, Pattern::SPREAD];
/// Residual at which the solver ends, in powers of ten; solves of an answer; share of the work that pressing is.
const DECADES: f64 = 8.0;
const SOLVES: f64 = 6.0;
const PRESSING: f64 = 0.3;

/// A solved lid as its page shows it.
#[derive(Debug)]
pub struct Lid {
    svg: String,
    says: Vec<String>,
}

impl Lid {
    fn of(map: &HeatMap, title: &str, power: &Figure<PowerDim>) -> Self {
        Self { svg: draw::heat_map_picture::lid(map, title, power), says: sentences(map, power) }
    }

    fn html(&self) -> Markup {
        html! {
            (picture(&self.svg, "Lid as a heat map, with its joint"))
            (paragraphs(&self.says))
        }
    }
}

fn wanted(pattern: Option<Pattern>, cells: Vec<Resolution>) -> MapWanted {
    let putting = Putting { volume: None, order: None, cells: PRESS_CELLS };
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    MapWanted { pattern, putting, cells, threads }
}

/// The lid, told to `work` as it goes on.
fn solve(proposal: &Proposal<'_>, pattern: Option<Pattern>, work: &Work) -> Result<HeatMap, NoMap> {
    let (mut solves, mut last) = (0.0, 0.0);
    let map = heat_map(proposal, &wanted(pattern, vec![PREVIEW, ANSWER]), &mut |seen| {
        let done = match seen {
            Seen::Answer(_) => return ControlFlow::Continue(()),
            Seen::Pressing(seconds) => PRESSING * seconds / (seconds + 30.0),
            Seen::Solving(_, residual) => {
                // A residual that rises belongs to the next solve.
                if residual > last {
                    solves += 1.0;
                }
                last = residual;
                let this = (-residual.max(1e-300).log10() / DECADES).clamp(0.0, 1.0);
                PRESSING + (1.0 - PRESSING) * (solves - 1.0 + this) / SOLVES
            }
        };
        if work.go_on(done) { ControlFlow::Continue(()) } else { ControlFlow::Break(()) }
    })?;
    Ok(map)
}

/// The page.
///
/// # Errors
/// No such machine, or no such part.
pub fn show(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let bench = app.machine(ask.name("machine"))?;
    let with = ask.query.all("with");
    let (id, name) = (bench.kept.id.clone(), bench.kept.name.clone());
    let named = ask.query.text("pattern").to_owned();
    let pattern = PATTERNS.into_iter().find(|pattern| pattern.name() == named);
    let changes = bench.changes(&with)?;
    let proposal = Proposal { now: &bench.machine, changes, library: bench.parts() };
    let is_fresh = changes.paste.is_some();
    let path = heat_path(&proposal);
    let power = path.point.power.or(proposal.processor().sustained_power);
    let title = path.title;
    let query = with_query(&with);
    let here = |pattern: &str| {
        let and = if query.is_empty() { "?" } else { "&" };
        format!("/machines/{id}/lid{query}{and}pattern={}", pattern.replace(' ', "+"))
    };
    let patterns = html! {
        @if is_fresh {
            nav aria-label="Patterns" {
                ul.ways {
                    @for one in &PATTERNS {
                        @let is_here = pattern.as_ref().unwrap_or(&Pattern::Dot) == one;
                        li { a href=(here(one.name())) aria-current=[is_here.then_some("true")] { (one.name()) } }
                    }
                }
            }
        }
    };
    let back = format!("/machines/{id}/heat{query}");
    let place = Place::Machine(&id, &name, "/heat", &with);
    let known_as = format!("{} {}", ask.path, bench.state());
    // The preview is cheap enough to be made while the page waits for more.
    let preview = |proposal: &Proposal<'_>| {
        let first = heat_map(proposal, &wanted(None, vec![PREVIEW]), &mut |seen| match seen {
            Seen::Answer(_) => ControlFlow::Break(()),
            _ => ControlFlow::Continue(()),
        });
        first.ok().map(|map| Lid::of(&map, &title, &power))
    };
    let stands = app.lids.look(&known_as, {
        let (bench, parts, title) = (app.machine(ask.name("machine"))?, with.clone(), title.clone());
        move |work| {
            let changes = bench.changes(&parts).map_err(|wrong| wrong.to_string())?;
            let proposal = Proposal { now: &bench.machine, changes, library: bench.parts() };
            let map = solve(&proposal, pattern, work).map_err(|error| error.to_string())?;
            if !work.go_on(1.0) {
                return Err("it was stopped; what stood here was a preview".to_owned());
            }
            Ok(Lid::of(&map, &title, &power))
        }
    });
    let waits = matches!(stands, Stands::At(_) | Stands::Busy);
    let above = html! {
        h1 { "Lid: " (title) }
        p { a href=(back) { "Back to the heat path" } }
        (patterns)
        @if waits && let Some(preview) = preview(&proposal) {
            p { b { "Preview" } ", with an even joint; the joint's own map is being solved." }
            (preview.html())
        }
    };
    let about = About { title: "Lid", place, above: &above, back: &back, known_as: &known_as };
    Ok(progress::show(app, ask, &about, &stands, |lid: &Lid| lid.html()))
}
