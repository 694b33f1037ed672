//! A page on an empty store, and asking it.

use std::path::PathBuf;
use std::sync::Arc;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{Request, StatusCode, header};
use page::app::{App, PhoneAddress};
use page::door::Door;
use page::library::Base;
use page::{phone, router};
use store::open::{At, Store};
use tower::ServiceExt as _;

pub(crate) const HOST: &str = "127.0.0.1:7878";
pub(crate) const PHONES: &str = "192.0.2.7:4000";
pub(crate) const TOKEN: &str = "0123456789abcdef";
pub(crate) const START: &str = "start-of-this-run";
pub(crate) const SESSION: &str = "session-of-this-run";

/// A moment that stands still.
fn now() -> At {
    At(1_800_000_000_000)
}

/// An answer.
pub(crate) struct Got {
    pub(crate) status: StatusCode,
    pub(crate) headers: axum::http::HeaderMap,
    pub(crate) bytes: Vec<u8>,
}

impl Got {
    pub(crate) fn text(&self) -> String {
        String::from_utf8_lossy(&self.bytes).into_owned()
    }

    pub(crate) fn goes_to(&self) -> String {
        assert_eq!(self.status, StatusCode::SEE_OTHER, "{}", self.text());
        self.headers.get(header::LOCATION).unwrap().to_str().unwrap().to_owned()
    }
}

/// The page and its phones' part.
pub(crate) struct Bench {
    pub(crate) app: Arc<App>,
    page: Router,
    phones: Router,
}

impl Bench {
    pub(crate) fn new() -> Self {
        let store = Store::in_memory().unwrap();
        Self::on(store)
    }

    pub(crate) fn on(store: Store) -> Self {
        Self::with(store, Base::Demo(intake::demo::files()))
    }

    pub(crate) fn with(store: Store, base: Base) -> Self {
        Self::reading(store, base, "/".into())
    }

    /// A page that reads the sensors below this folder.
    pub(crate) fn reading(store: Store, base: Base, sensors: PathBuf) -> Self {
        let door = Door::with(7878, START.to_owned(), SESSION.to_owned());
        let secrets = (TOKEN.to_owned(), door);
        let mut app = App::new(store, base, secrets, vec![HOST.to_owned()], now).unwrap();
        app.sensors = sensors;
        app.phone = Some(PhoneAddress { host: PHONES.to_owned() });
        let app = Arc::new(app);
        Self { page: router::router(Arc::clone(&app)), phones: phone::router(Arc::clone(&app)), app }
    }

    fn ask(router: &Router, request: Request<Body>) -> Got {
        let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(1).build().unwrap();
        runtime.block_on(async {
            let response = router.clone().oneshot(request).await.unwrap();
            let (head, body) = response.into_parts();
            let bytes = to_bytes(body, usize::MAX).await.unwrap().to_vec();
            Got { status: head.status, headers: head.headers, bytes }
        })
    }

    pub(crate) fn send(&self, request: Request<Body>) -> Got {
        Self::ask(&self.page, request)
    }

    pub(crate) fn send_by_phone(&self, request: Request<Body>) -> Got {
        Self::ask(&self.phones, request)
    }

    pub(crate) fn get(&self, path: &str) -> Got {
        self.send(get(HOST, path))
    }

    pub(crate) fn post(&self, path: &str, fields: &[(&str, &str)]) -> Got {
        let mut all = vec![("token", TOKEN)];
        all.extend_from_slice(fields);
        self.send(post(HOST, path, &all))
    }

    /// Puts the demo machine on the bench; gives its address.
    pub(crate) fn demo(&self) -> String {
        self.post("/add/demo", &[("name", "demo")]).goes_to()
    }

    /// Begins a job on the demo machine; gives its address.
    pub(crate) fn job(&self) -> String {
        let machine = self.demo();
        self.post(&format!("{machine}/jobs"), &[("parts", "tern-2-rush holloway-120 skerry-fine")]).goes_to()
    }
}

/// The cookie of a browser that was let in.
pub(crate) fn cookie() -> String {
    format!("reseat-7878={SESSION}")
}

pub(crate) fn get(host: &str, path: &str) -> Request<Body> {
    Request::get(path)
        .header(header::HOST, host)
        .header(header::COOKIE, cookie())
        .body(Body::empty())
        .unwrap()
}

pub(crate) fn post(host: &str, path: &str, fields: &[(&str, &str)]) -> Request<Body> {
    let mut body = form_urlencoded::Serializer::new(String::new());
    body.extend_pairs(fields);
    Request::post(path)
        .header(header::HOST, host)
        .header(header::ORIGIN, format!("http://{host}"))
        .header(header::COOKIE, cookie())
        .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
        .body(Body::from(body.finish()))
        .unwrap()
}

/// A form with a file and this run's token.
pub(crate) fn post_file(path: &str, file: (&str, &str, &[u8])) -> Request<Body> {
    form_with_file(path, &[("token", TOKEN)], file)
}

/// A form with a file, as browsers send it (RFC 7578).
pub(crate) fn form_with_file(
    path: &str,
    fields: &[(&str, &str)],
    (field, name, bytes): (&str, &str, &[u8]),
) -> Request<Body> {
    let mut body = String::new();
    for (field, value) in fields {
        body.push_str(&format!(
            "--line\r\nContent-Disposition: form-data; name=\"{field}\"\r\n\r\n{value}\r\n"
        ));
    }
    body.push_str(&format!(
        "--line\r\nContent-Disposition: form-data; name=\"{field}\"; filename=\"{name}\"\r\n\r\n"
    ));
    let body = [body.as_bytes(), bytes, b"\r\n--line--\r\n"].concat();
    Request::post(path)
        .header(header::HOST, HOST)
        .header(header::ORIGIN, format!("http://{HOST}"))
        .header(header::COOKIE, cookie())
        .header(header::CONTENT_TYPE, "multipart/form-data; boundary=line")
        .body(Body::from(body))
        .unwrap()
}
