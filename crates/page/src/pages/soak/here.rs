//! What can be read on the computer that serves the page.

use soak::sensors::choice::Choice;
use soak::sensors::find::find;
use soak::sensors::sampler::Sampler;
use survey::root::Root;

use crate::answer::Wrong;
use crate::app::App;

/// This computer's sensors.
#[derive(Debug)]
pub struct Here {
    /// Reads them.
    pub sampler: Sampler,
    /// What they say now.
    pub row: Vec<Option<f64>>,
    /// What is there and cannot be used, in sentences.
    pub notes: Vec<String>,
    /// A sensor that a person named and that is not there.
    pub unknown_choice: Option<String>,
}

/// The root of this computer's files.
///
/// # Errors
/// It cannot be looked into.
pub fn root(app: &App) -> Result<Root, Wrong> {
    Root::folder(&app.sensors).map_err(|error| {
        Wrong::input(format!("The sensors below {} cannot be looked for: {error}", app.sensors.display()))
    })
}

/// This computer's sensors, with a person's word on what they are.
///
/// # Errors
/// Its files cannot be looked into.
pub fn here(app: &App, choices: &[Choice]) -> Result<Here, Wrong> {
    let mut found = find(&root(app)?, choices);
    let is_here = |choice: &Choice| found.headings.contains(&choice.heading());
    let unknown_choice = choices
        .iter()
        .find(|choice| !is_here(choice))
        .map(|choice| format!("there is no sensor {} of a chip {} here", choice.sensor, choice.chip));
    let notes = std::mem::take(&mut found.notes);
    let mut sampler = Sampler::new(found);
    let mut row = Vec::new();
    sampler.sample(0.0, &mut row);
    Ok(Here { sampler, row, notes, unknown_choice })
}
