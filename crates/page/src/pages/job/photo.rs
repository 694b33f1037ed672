//! Photos of a job.

use maud::{Markup, html};
use store::photo::Photo;

use crate::answer::{Answer, Wrong};
use crate::app::App;
use crate::ask::Ask;
use crate::clock::words;
use crate::frame::token;
use crate::pages::job::{Job, load};
use crate::photo::clean;

/// The photos of a step, and the form for one more.
pub(super) fn piece(app: &App, job: &Job, photos: &[Photo], step: &str) -> Markup {
    html! {
        @for photo in photos.iter().filter(|photo| photo.step == step) {
            a href={ "/jobs/" (job.kept.id) "/photos/" (photo.id) } {
                img src={ "/jobs/" (job.kept.id) "/photos/" (photo.id) } width=(photo.width / 4) height=(photo.height / 4)
                    loading="lazy" alt={ "photo of " (words(photo.at)) };
            }
        }
        details.note {
            summary { "Photo" }
            form method="post" action={ "/jobs/" (job.kept.id) "/photos" } enctype="multipart/form-data" {
                (token(app))
                input type="hidden" name="step" value=(step);
                label for={ "photo-" (step) } { "Photo (JPEG or PNG; place and camera data are removed)" }
                input id={ "photo-" (step) } type="file" name="photo" accept="image/jpeg,image/png" required;
                button type="submit" { "Keep the photo" }
            }
        }
    }
}

/// Keeps a photo.
///
/// # Errors
/// It is none, or too large; no such job or step.
pub fn keep(app: &App, ask: &Ask, step: &str, bytes: &[u8]) -> Result<Answer, Wrong> {
    let job = load(app, ask.name("job"))?;
    if !job.sheet.steps.iter().any(|one| one.id == step) {
        return Err(Wrong::input("The sheet has no such step."));
    }
    let photo = clean(bytes).map_err(Wrong::input)?;
    app.store().add_photo(&job.kept.id, step, &photo.jpeg, photo.size, (app.now)())?;
    Ok(Answer::See(format!("/jobs/{}#{step}", job.kept.id)))
}

/// One photo.
///
/// # Errors
/// There is none of this number.
pub fn show(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let number = ask.name("photo").parse().unwrap_or(0);
    let jpeg = app.store().jpeg(ask.name("job"), number)?;
    Ok(Answer::File("image/jpeg", None, jpeg))
}
