//! A list taken into the library, and one taken back.

use imports::shelf::{self, ShelfError};

use crate::answer::{Answer, Wrong};
use crate::app::App;
use crate::ask::Ask;
use crate::pages::lists::look::{look, of_key};
use crate::pages::lists::{folder, of_shelf};

/// Takes a kept list in, if it would still change what the person has seen; else what it would change now is shown.
///
/// # Errors
/// It is not kept, has nothing new, or the library cannot be written; nothing is changed then.
pub fn take(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let list = of_key(app, ask)?;
    let key = ask.name("list");
    let looked = look(app, &list)?;
    let meanwhile = || Ok(Answer::See(format!("/parts/lists/{key}?meanwhile=yes")));
    if looked.seen != ask.form.text("seen") {
        return meanwhile();
    }
    if !looked.preview.changes_anything() {
        return Err(Wrong::input("There is nothing to take: the library has all of this list."));
    }
    if ask.form.text("whole") == "yes" && looked.left_out() > 0 {
        return Ok(Answer::See(format!("/parts/lists/{key}?whole=yes")));
    }
    match shelf::take(folder(app)?, &looked.files, &looked.mark) {
        Ok(_) => {
            app.lists.forget(key);
            Ok(Answer::See("/parts/lists".to_owned()))
        }
        Err(ShelfError::Overtaken) => meanwhile(),
        Err(other) => Err(of_shelf(other)),
    }
}

/// Takes an import back.
///
/// # Errors
/// There is no such import, or it was taken back before.
pub fn undo(app: &App, ask: &Ask) -> Result<Answer, Wrong> {
    let text = ask.form.text("number");
    let number = text.parse().map_err(|_| Wrong::input(format!("\"{text}\" is no number of an import.")))?;
    shelf::undo(folder(app)?, Some(number)).map_err(of_shelf)?;
    Ok(Answer::See("/parts/lists".to_owned()))
}
