//! How long the page takes to answer, without a browser: from the request to the last byte, in one process.
//!
//! The bar is a first paint in a browser on loopback under 200 ms; the browser's own figure is printed by
//! `tests/browser/journey.mjs`. No peer: what is measured is our own pages.

use std::sync::Arc;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::Request;
use page::app::App;
use page::door::Door;
use page::library::Base;
use page::router::router;
use store::open::{At, Store};
use tower::ServiceExt as _;

const HOST: &str = "127.0.0.1:7878";

fn main() {
    divan::main();
}

fn now() -> At {
    At(1_800_000_000_000)
}

/// A page with the demo machine and one job.
fn bench() -> Option<(Router, tokio::runtime::Runtime)> {
    let mut store = Store::in_memory().ok()?;
    let file = intake::demo::machine_file("demo")?;
    let id = store.add_machine("demo", &String::from_utf8(file.bytes).ok()?, "demo", now()).ok()?;
    let parts: Vec<String> = ["tern-2-rush", "holloway-120", "skerry-fine"].map(str::to_owned).into();
    store.begin_job(&id, &parts, "job", now()).ok()?;
    let door = Door::with(7878, "start".to_owned(), "session".to_owned());
    let secrets = ("token".to_owned(), door);
    let app = App::new(store, Base::Demo(intake::demo::files()), secrets, vec![HOST.to_owned()], now).ok()?;
    let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(2).build().ok()?;
    Some((router(Arc::new(app)), runtime))
}

#[divan::bench(args = [
    "/", "/machines/demo", "/machines/demo/fits", "/machines/demo/routes", "/machines/demo/power", "/machines/demo/heat",
    "/jobs/demo-job-1", "/jobs/demo-job-1/handover", "/jobs/demo-job-1/handover.pdf", "/jobs/demo-job-1/entries?after=0",
])]
fn answer(bencher: divan::Bencher<'_, '_>, path: &str) {
    let Some((router, runtime)) = bench() else { return };
    bencher.bench_local(|| {
        runtime.block_on(async {
            let request = Request::get(path)
                .header("host", HOST)
                .header("cookie", "reseat-7878=session")
                .body(Body::empty())
                .ok()?;
            let response = router.clone().oneshot(request).await.ok()?;
            if !response.status().is_success() {
                return None;
            }
            to_bytes(response.into_body(), usize::MAX).await.ok().map(|bytes| bytes.len())
        })
    });
}
