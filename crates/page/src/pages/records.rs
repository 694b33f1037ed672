//! Records: every job, how far it is, and its hand-over.

use maud::html;
use store::entry::done_steps;
use store::soak_log::Side;

use crate::answer::{Answer, Wrong};
use crate::app::App;
use crate::ask::Ask;
use crate::clock::words;
use crate::frame::{Place, frame};

/// The page.
///
/// # Errors
/// The store cannot be read.
pub fn show(app: &App, _ask: &Ask) -> Result<Answer, Wrong> {
    let mut store = app.store();
    let jobs = store.jobs(None)?;
    let mut rows = Vec::new();
    for job in jobs {
        let entries = store.entries(&job.id, 0)?;
        let done = done_steps(&entries).len();
        let logs = store.soak_logs(&job.id)?;
        let soak = if logs.iter().any(|log| log.side == Side::After) {
            "soaked after the work"
        } else if logs.is_empty() {
            "no soak yet"
        } else {
            "soaked before it"
        };
        rows.push((job, done, soak));
    }
    drop(store);
    let body = html! {
        h1 { "Records" }
        @if rows.is_empty() {
            p { "No job was begun yet. A job begins with a route: look at the routes of a machine on the " a href="/" { "bench" }
                " and make the job sheet of one." }
        } @else {
            div.table tabindex="0" role="region" aria-label="Jobs" {
                table.stack {
                    thead { tr { th scope="col" { "job" } th scope="col" { "machine" } th scope="col" { "begun" } th scope="col" { "closed" }
                        th.number scope="col" { "ticks" } th scope="col" { "proof" } th scope="col" { "hand-over" } } }
                    tbody { @for (job, done, soak) in &rows {
                        tr {
                            th scope="row" { a href={ "/jobs/" (job.id) } { (job.title) } }
                            td data-label="machine" { a href={ "/machines/" (job.machine) } { (job.machine) } }
                            td data-label="begun" { (words(job.begun_at)) }
                            td data-label="closed" { (job.closed_at.map_or_else(|| "open".to_owned(), words)) }
                            td.number data-label="ticks" { (done) }
                            td data-label="proof" { a href={ "/jobs/" (job.id) "/proof" } aria-label={ "proof of " (job.title) ": " (soak) } { (soak) } }
                            td data-label="hand-over" { a href={ "/jobs/" (job.id) "/handover" } aria-label={ "hand-over of " (job.title) } { "hand-over" } }
                        }
                    } }
                }
            }
        }
    };
    Ok(Answer::Page(frame("Records", Place::Records, &body)))
}
