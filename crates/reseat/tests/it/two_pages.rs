//! Two pages, each a program of its own, on one store: a file, and a PostgreSQL server where `RESEAT_TEST_POSTGRES`
//! names one (as `.ci/run` does).

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};

/// A page that was started and let this test in.
struct Page {
    child: Child,
    host: String,
    cookie: String,
    token: String,
}

impl Drop for Page {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// An answer: its status, its head and its body.
struct Got {
    status: u16,
    head: String,
    body: String,
}

fn ask(host: &str, head: &str, body: &str) -> Got {
    let mut line = TcpStream::connect(host).unwrap();
    write!(
        line,
        "{head}\r\nHost: {host}\r\nConnection: close\r\nContent-Length: {}\r\n\r\n{body}",
        body.len()
    )
    .unwrap();
    let mut bytes = Vec::new();
    line.read_to_end(&mut bytes).unwrap();
    let text = String::from_utf8_lossy(&bytes).into_owned();
    let (head, body) = text.split_once("\r\n\r\n").unwrap();
    let status = head.split(' ').nth(1).unwrap().parse().unwrap();
    Got { status, head: head.to_owned(), body: body.to_owned() }
}

fn header(head: &str, name: &str) -> Option<String> {
    head.lines().find_map(|line| line.strip_prefix(&format!("{name}: ")).map(str::to_owned))
}

impl Page {
    fn start(store: &str) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_reseat"))
            .args(["page", "--store", store, "--port", "0", "--json"])
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut line = String::new();
        BufReader::new(child.stdout.take().unwrap()).read_line(&mut line).unwrap();
        let told: serde_json::Value = serde_json::from_str(&line).unwrap();
        let address = told["address"].as_str().unwrap().strip_prefix("http://").unwrap();
        let (host, path) = address.split_once('/').unwrap();
        let opened = ask(host, &format!("GET /{path} HTTP/1.1"), "");
        assert_eq!(opened.status, 303, "{}", opened.body);
        let cookie = header(&opened.head, "set-cookie").unwrap();
        let cookie = cookie.split(';').next().unwrap().to_owned();
        let mut page = Self { child, host: host.to_owned(), cookie, token: String::new() };
        let bench = page.get("/");
        let after = bench.split("name=\"token\" value=\"").nth(1).unwrap();
        after.split('"').next().unwrap().clone_into(&mut page.token);
        page
    }

    fn get(&self, path: &str) -> String {
        let got = ask(&self.host, &format!("GET {path} HTTP/1.1\r\nCookie: {}", self.cookie), "");
        assert_eq!(got.status, 200, "{path}: {}", got.body);
        got.body
    }

    fn post(&self, path: &str, fields: &str) -> Got {
        let head = format!(
            "POST {path} HTTP/1.1\r\nCookie: {}\r\nContent-Type: application/x-www-form-urlencoded\r\nOrigin: http://{}",
            self.cookie, self.host
        );
        ask(&self.host, &head, &format!("token={}&{fields}", self.token))
    }

    /// Sends a form that is taken; gives the address it leads to.
    fn take(&self, path: &str, fields: &str) -> String {
        let got = self.post(path, fields);
        assert_eq!(got.status, 303, "{path}: {}", got.body);
        header(&got.head, "location").unwrap()
    }
}

/// Two benches work on one job at once.
fn check(store: &str) {
    let (one, other) = (Page::start(store), Page::start(store));
    let machine = one.take("/add/demo", "name=demo");
    assert!(other.get("/").contains(&machine), "the other bench sees the machine");
    // One record: different fields hold both, the same field is refused with both kept.
    one.take(&format!("{machine}/set"), "revision=1&field=setting.room&value=19..26+%C2%B0C");
    other.take(&format!("{machine}/set"), "revision=1&field=board.stages.count&value=6");
    let late = other.post(&format!("{machine}/set"), "revision=1&field=setting.room&value=10..31+%C2%B0C");
    assert_eq!(late.status, 409, "{}", late.body);
    assert!(late.body.contains("both are kept"), "{}", late.body);
    let record = one.get(&machine);
    assert!(record.contains("19..26 °C") && record.contains("not taken"), "{record}");
    // One job: both tick and note at once, and both end with the same sheet.
    let job = one.take(&format!("{machine}/jobs"), "parts=skerry-fine");
    let sheet = one.get(&job);
    let steps: Vec<&str> =
        sheet.split("data-step=\"").skip(1).filter_map(|piece| piece.split('"').next()).collect();
    std::thread::scope(|scope| {
        for (page, name) in [(&one, "one"), (&other, "other")] {
            let (job, steps) = (&job, &steps);
            scope.spawn(move || {
                for (step, number) in steps.iter().zip(0..) {
                    let kind = if number % 2 == 0 { "done" } else { "note" };
                    let fields = format!("key={name}-{number}&step={step}&kind={kind}&text=by+{name}");
                    page.take(&format!("{job}/entries"), &fields);
                }
            });
        }
    });
    let entries = |page: &Page| -> serde_json::Value {
        serde_json::from_str(&page.get(&format!("{job}/entries?after=0"))).unwrap()
    };
    assert_eq!(entries(&one), entries(&other));
    assert_eq!(entries(&one).as_array().unwrap().len(), 2 * steps.len());
}

#[test]
fn on_a_file() {
    let file = std::env::temp_dir().join(format!("reseat-two-pages-{}.db", std::process::id()));
    let _ = std::fs::remove_file(&file);
    check(file.to_str().unwrap());
    std::fs::remove_file(file).unwrap();
}

#[test]
fn on_a_server() {
    let Ok(server) = std::env::var("RESEAT_TEST_POSTGRES") else {
        eprintln!("passed over: RESEAT_TEST_POSTGRES names no server");
        return;
    };
    let schema = format!("two_pages_{}", std::process::id());
    let mut admin = postgres::Client::connect(&server, postgres::NoTls).unwrap();
    admin.batch_execute(&format!("create schema {schema}")).unwrap();
    let sign = if server.contains('?') { '&' } else { '?' };
    check(&format!("{server}{sign}options=-c%20search_path%3D{schema}"));
    admin.batch_execute(&format!("drop schema {schema} cascade")).unwrap();
}
