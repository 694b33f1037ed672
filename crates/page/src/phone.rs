//! What a paired phone may see: one job's sheet, to read and to tick. Nothing else is behind this address.

use std::sync::Arc;

use axum::Router;
use axum::body::{Body, Bytes};
use axum::extract::{DefaultBodyLimit, Path, Request, State};
use axum::http::{Response, Uri};
use axum::middleware::{Next, from_fn_with_state};
use axum::routing::{MethodRouter, get};

use crate::answer::Wrong;
use crate::app::App;
use crate::ask::Ask;
use crate::guard;
use crate::pages::{asset, job};
use crate::router::{Handler, Names, ask, run};

/// Largest form that a phone may send.
const LARGEST: usize = 64 * 1024;

/// The job that a request's token may see.
fn paired(app: &App, mut ask: Ask) -> Result<Ask, Wrong> {
    let job = app
        .pairings
        .job(ask.name("token"), (app.now)())
        .ok_or(Wrong::Refused("This pairing has ended: pair the phone anew from the job's page."))?;
    ask.names.insert("job".to_owned(), job);
    Ok(ask)
}

fn shows(handler: Handler) -> MethodRouter<Arc<App>> {
    get(move |State(app): State<Arc<App>>, Path(names): Names, uri: Uri| {
        run(app, move |app| handler(app, &paired(app, ask(names, &uri, b""))?))
    })
}

fn takes(handler: Handler) -> MethodRouter<Arc<App>> {
    axum::routing::post(move |State(app): State<Arc<App>>, Path(names): Names, uri: Uri, body: Bytes| {
        // The secret in the address stands for the form's token: no other site knows it.
        run(app, move |app| handler(app, &paired(app, ask(names, &uri, &body))?))
    })
}

async fn admit(State(app): State<Arc<App>>, request: Request, next: Next) -> Response<Body> {
    let hosts: Vec<String> = app.phone.iter().map(|phone| phone.host.clone()).collect();
    let mut response = match guard::admit(request.method(), request.headers(), &hosts) {
        Ok(()) => next.run(request).await,
        Err(wrong) => wrong.response(),
    };
    guard::dress(&mut response);
    response
}

async fn nothing_there() -> Response<Body> {
    Wrong::Missing("There is nothing at this address.".to_owned()).response()
}

/// The phone's part of the page.
pub fn router(app: Arc<App>) -> Router {
    Router::new()
        .route("/sheet/{token}", shows(job::sheet::show_on_phone))
        .route("/sheet/{token}/entries", shows(job::entry::list).merge(takes(job::entry::enter_on_phone)))
        .route(
            "/assets/{file}",
            get(|State(app): State<Arc<App>>, Path(names): Names, uri: Uri| {
                run(app, move |app| asset::show(app, &ask(names, &uri, b"")))
            }),
        )
        .fallback(nothing_there)
        .layer(from_fn_with_state(Arc::clone(&app), admit))
        .layer(DefaultBodyLimit::max(LARGEST))
        .with_state(app)
}
