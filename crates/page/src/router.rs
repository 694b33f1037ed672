//! Every address of the page, and what answers it.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::Router;
use axum::body::{Body, Bytes};
use axum::extract::multipart::Field;
use axum::extract::{DefaultBodyLimit, Multipart, Path, Request, State};
use axum::http::{Response, Uri};
use axum::middleware::{Next, from_fn_with_state};
use axum::routing::{MethodRouter, get, post};

use crate::answer::{Answer, Wrong};
use crate::app::App;
use crate::ask::{Ask, Fields};
use crate::door::{self, Door, LOCKED};
use crate::keeping::LARGEST_LOG_BYTES;
use crate::pages::{
    asset, bench, check, compare, fits, fleet, handover, heat, job, lid, lists, machine, observe, parts,
    paste, power, progress, records, routes, soak, warming,
};
use crate::pairing::same;
use crate::{guard, photo};

/// A handler: from what was asked to an answer.
pub type Handler = fn(&App, &Ask) -> Result<Answer, Wrong>;

/// Names in a path.
pub type Names = Path<BTreeMap<String, String>>;

/// Largest form that is taken.
const LARGEST_FORM: usize = 1024 * 1024;

/// Runs a handler where it may take its time.
pub async fn run(
    app: Arc<App>,
    work: impl FnOnce(&App) -> Result<Answer, Wrong> + Send + 'static,
) -> Response<Body> {
    let done = tokio::task::spawn_blocking(move || match work(&app) {
        Ok(answer) => answer.response(),
        Err(wrong) => wrong.response(),
    });
    done.await.unwrap_or_else(|_| Wrong::input("the page failed on this; please report it").response())
}

/// What was asked, out of an address.
pub fn ask(names: BTreeMap<String, String>, uri: &Uri, form: &[u8]) -> Ask {
    let path = uri.path_and_query().map_or_else(|| "/".to_owned(), |path| path.as_str().to_owned());
    Ask { names, path, query: Fields::parse(uri.query().unwrap_or("").as_bytes()), form: Fields::parse(form) }
}

/// A page that is looked at.
fn shows(handler: Handler) -> MethodRouter<Arc<App>> {
    get(move |State(app): State<Arc<App>>, Path(names): Names, uri: Uri| {
        run(app, move |app| handler(app, &ask(names, &uri, b"")))
    })
}

/// A form that is sent; it must carry the token of this run.
fn takes(handler: Handler) -> MethodRouter<Arc<App>> {
    post(move |State(app): State<Arc<App>>, Path(names): Names, uri: Uri, body: Bytes| {
        run(app, move |app| {
            let ask = ask(names, &uri, &body);
            has_token(app, ask.form.text("token"))?;
            handler(app, &ask).map_err(|wrong| match wrong {
                // Whatever was typed is shown again, so that it can be sent once more.
                Wrong::Store { ref typed, .. } if typed.is_empty() => wrong.with_typed(&ask.form.typed()),
                other => other,
            })
        })
    })
}

fn has_token(app: &App, given: &str) -> Result<(), Wrong> {
    if same(&app.token, given) {
        return Ok(());
    }
    Err(Wrong::Refused("This form is not from this run of reseat: open the page anew and send it again."))
}

/// A form with a file: its fields, and the file's name and bytes.
struct WithFile {
    fields: BTreeMap<String, String>,
    name: String,
    bytes: Vec<u8>,
}

/// The bytes of a field, and how many it has; none of them where they are more than `most`.
///
/// What is too much is read to its end all the same: a browser shows the answer only once it has sent everything.
async fn bytes_of(mut field: Field<'_>, most: usize) -> Result<(Vec<u8>, usize), Wrong> {
    let (mut bytes, mut count) = (Vec::new(), 0_usize);
    while let Some(chunk) = field.chunk().await.map_err(|error| Wrong::input(error.body_text()))? {
        count = count.saturating_add(chunk.len());
        if count <= most {
            bytes.extend_from_slice(&chunk);
        } else {
            bytes = Vec::new();
        }
    }
    Ok((bytes, count))
}

/// Takes a form apart whose file is in the field of this name.
async fn with_file(mut form: Multipart, file: &str, most: usize) -> Result<WithFile, Wrong> {
    let mut out = WithFile { fields: BTreeMap::new(), name: String::new(), bytes: Vec::new() };
    let mut too_large = None;
    while let Some(field) = form.next_field().await.map_err(|error| Wrong::input(error.body_text()))? {
        let name = field.name().unwrap_or("").to_owned();
        let of_file = field.file_name().unwrap_or("").to_owned();
        let most = if name == file { most } else { LARGEST_FORM };
        let (bytes, count) = bytes_of(field, most).await?;
        if count > most {
            too_large = Some(format!(
                "What was sent has {} MiB; at most {} MiB are taken.",
                count.div_ceil(1 << 20),
                most >> 20
            ));
        } else if name == file {
            out.name = of_file;
            out.bytes = bytes;
        } else {
            out.fields.insert(name, String::from_utf8_lossy(&bytes).into_owned());
        }
    }
    too_large.map_or(Ok(out), |what| Err(Wrong::TooLarge(what)))
}

/// Takes a photo: fields `token`, `step` and the file `photo`.
async fn take_photo(
    State(app): State<Arc<App>>,
    Path(names): Names,
    uri: Uri,
    form: Multipart,
) -> Response<Body> {
    let sent = match with_file(form, "photo", photo::LARGEST_BYTES).await {
        Ok(sent) => sent,
        Err(wrong) => return wrong.response(),
    };
    run(app, move |app| {
        let field = |name: &str| sent.fields.get(name).map_or("", String::as_str);
        has_token(app, field("token"))?;
        job::photo::keep(app, &ask(names, &uri, b""), field("step"), &sent.bytes)
    })
    .await
}

/// Takes a soak log: fields `token`, `side`, `do` and the file `log`.
async fn take_log(
    State(app): State<Arc<App>>,
    Path(names): Names,
    uri: Uri,
    form: Multipart,
) -> Response<Body> {
    let sent = match with_file(form, "log", LARGEST_LOG_BYTES).await {
        Ok(sent) => sent,
        Err(wrong) => return wrong.response(),
    };
    run(app, move |app| {
        has_token(app, sent.fields.get("token").map_or("", String::as_str))?;
        job::log::take(app, &ask(names, &uri, b""), &sent.fields, (&sent.name, sent.bytes))
    })
    .await
}

/// Begins a fleet's plan: the form's fields, and the file `machines` where there is one.
async fn take_fleet(State(app): State<Arc<App>>, form: Multipart) -> Response<Body> {
    match with_file(form, "machines", fleet::LARGEST_BYTES).await {
        Err(wrong) => wrong.response(),
        Ok(sent) => {
            run(app, move |app| {
                has_token(app, sent.fields.get("token").map_or("", String::as_str))?;
                fleet::begin(app, &sent.fields, (&sent.name, sent.bytes))
            })
            .await
        }
    }
}

/// Takes what was counted on another computer: fields `token` and the file `seen`.
async fn take_seen(State(app): State<Arc<App>>, form: Multipart) -> Response<Body> {
    match with_file(form, "seen", observe::LARGEST_BYTES).await {
        Err(wrong) => wrong.response(),
        Ok(sent) => {
            run(app, move |app| {
                has_token(app, sent.fields.get("token").map_or("", String::as_str))?;
                observe::take(app, &sent.name, sent.bytes)
            })
            .await
        }
    }
}

/// Takes a list to look at: the file `list`, and fields that say how it is read.
async fn take_list(State(app): State<Arc<App>>, form: Multipart) -> Response<Body> {
    match with_file(form, "list", lists::LARGEST_LIST).await {
        Err(Wrong::TooLarge(what)) => Wrong::TooLarge(format!(
            "{what} Split the list, or take it in with  reseat parts take  which reads larger ones."
        ))
        .response(),
        Err(wrong) => wrong.response(),
        Ok(sent) => {
            run(app, move |app| {
                has_token(app, sent.fields.get("token").map_or("", String::as_str))?;
                lists::look::keep(app, &sent.fields, (&sent.name, sent.bytes))
            })
            .await
        }
    }
}

async fn admit(State(app): State<Arc<App>>, request: Request, next: Next) -> Response<Body> {
    let mut response = match guard::admit(request.method(), request.headers(), &app.hosts) {
        Ok(()) if Door::is_open_to_all(request.uri().path()) || app.door.lets_in(request.headers()) => {
            next.run(request).await
        }
        Ok(()) => Wrong::Refused(LOCKED).response(),
        Err(wrong) => wrong.response(),
    };
    guard::dress(&mut response);
    response
}

async fn nothing_there() -> Response<Body> {
    Wrong::Missing("There is no page at this address.".to_owned()).response()
}

/// The page.
pub fn router(app: Arc<App>) -> Router {
    Router::new()
        .route("/", shows(bench::show))
        .route("/open/{secret}", shows(door::open))
        .route("/assets/{file}", shows(asset::show))
        .route("/add/demo", takes(bench::add_demo))
        .route("/add/survey", takes(bench::add_surveyed))
        .route("/add/typed", shows(bench::type_in).merge(takes(bench::add_typed)))
        .route("/machines/{machine}", shows(machine::show))
        .route("/machines/{machine}/set", takes(machine::set))
        .route("/machines/{machine}/text", shows(machine::text).merge(takes(machine::set_text)))
        .route("/machines/{machine}/old/{revision}", shows(machine::old))
        .route("/machines/{machine}/unknown", shows(machine::unknown))
        .route("/machines/{machine}/away", takes(machine::away))
        .route("/machines/{machine}/back", takes(machine::back))
        .route("/machines/{machine}/fits", shows(fits::show))
        .route("/machines/{machine}/check", shows(check::show))
        .route("/machines/{machine}/routes", shows(routes::show))
        .route("/machines/{machine}/compare", shows(compare::show))
        .route("/machines/{machine}/power", shows(power::show))
        .route("/machines/{machine}/heat", shows(heat::show))
        .route("/machines/{machine}/lid", shows(lid::show))
        .route("/machines/{machine}/warming", shows(warming::show))
        .route("/machines/{machine}/paste", shows(paste::show))
        .route("/machines/{machine}/film.svg", shows(paste::film_file))
        .route(
            "/fleet",
            shows(fleet::show)
                .merge(post(take_fleet).layer(DefaultBodyLimit::max(fleet::LARGEST_BYTES + (1 << 20)))),
        )
        .route("/fleet/{plan}", shows(fleet::planned::show))
        .route("/fleet/{plan}/table.csv", shows(fleet::planned::table))
        .route("/fleet/{plan}/problems.csv", shows(fleet::planned::problems))
        .route("/fleet/{plan}/sheets", shows(fleet::planned::sheets))
        .route("/fleet/{plan}/sheets/{file}", shows(fleet::planned::sheet))
        .route("/observe", shows(observe::show))
        .route("/observe/begin", takes(observe::begin))
        .route("/observe/stop", takes(observe::stop))
        .route("/observe/seen.csv", shows(observe::seen))
        .route("/observe/into", takes(observe::into))
        .route("/observe/seen", post(take_seen).layer(DefaultBodyLimit::max(observe::LARGEST_BYTES + 4096)))
        .route("/soak", shows(soak::show))
        .route("/soak/begin", takes(soak::begin))
        .route("/soak/stop", takes(soak::stop))
        .route("/soak/keep", takes(soak::keep))
        .route("/soak/log.csv", shows(soak::log))
        .route("/works/stop", takes(progress::stop))
        .route("/machines/{machine}/jobs", takes(job::begin))
        .route("/jobs", shows(records::show))
        .route("/jobs/{job}", shows(job::sheet::show))
        .route("/jobs/{job}/entries", shows(job::entry::list).merge(takes(job::entry::enter)))
        .route("/jobs/{job}/sheet.html", shows(job::sheet::file))
        .route("/jobs/{job}/close", takes(job::close))
        .route("/jobs/{job}/phone", takes(job::phone::pair))
        .route("/jobs/{job}/phone/end", takes(job::phone::unpair))
        .route("/jobs/{job}/proof", shows(job::proof::show))
        .route("/jobs/{job}/case-air", takes(job::case_air::keep))
        .route("/jobs/{job}/logs/{log}", shows(job::log::file))
        .route("/jobs/{job}/logs", post(take_log).layer(DefaultBodyLimit::max(LARGEST_LOG_BYTES * 8)))
        .route("/jobs/{job}/logs/look/{log}", shows(job::log::show).merge(takes(job::log::name)))
        .route("/jobs/{job}/handover", shows(handover::show))
        .route("/jobs/{job}/handover.html", shows(handover::file))
        .route("/jobs/{job}/handover.pdf", shows(handover::pdf))
        .route("/jobs/{job}/photos/{photo}", shows(job::photo::show))
        .route(
            "/jobs/{job}/photos",
            post(take_photo).layer(DefaultBodyLimit::max(photo::LARGEST_BYTES + 4096)),
        )
        .route("/parts", shows(parts::show).merge(takes(parts::set)))
        .route("/parts/prices", shows(lists::prices::show))
        .route(
            "/parts/lists",
            shows(lists::show).merge(post(take_list).layer(DefaultBodyLimit::max(lists::LARGEST_LIST * 8))),
        )
        .route("/parts/lists/undo", takes(lists::change::undo))
        .route("/parts/lists/{list}", shows(lists::look::show))
        .route("/parts/lists/{list}/mapping", takes(lists::look::map))
        .route("/parts/lists/{list}/take", takes(lists::change::take))
        .fallback(nothing_there)
        .layer(from_fn_with_state(Arc::clone(&app), admit))
        .layer(DefaultBodyLimit::max(LARGEST_FORM))
        .with_state(app)
}
