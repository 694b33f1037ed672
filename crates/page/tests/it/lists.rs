//! Lists: looked at, taken into a library's folder, taken back; and what must not get there.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};

use axum::body::Body;
use axum::http::{Request, StatusCode};
use imports::mapping::Mapping;
use imports::{preview, shelf, tables};
use page::library::Base;
use store::open::Store;

use crate::bench::{Bench, Got, HOST, TOKEN, form_with_file};

static NEXT: AtomicUsize = AtomicUsize::new(0);

const PRICES: &str = "id;price EUR;date\ntern-2-rush;311,00;2026-11-02\n";

/// A page on a library in a folder that goes when the test does.
struct World {
    dir: PathBuf,
    bench: Bench,
}

impl Drop for World {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.dir);
    }
}

impl World {
    /// With the demo's library in the folder.
    fn new() -> Self {
        let number = NEXT.fetch_add(1, Ordering::Relaxed);
        let dir = std::env::temp_dir().join(format!("reseat-page-lists-{}-{number}", std::process::id()));
        let _ = fs::remove_dir_all(&dir);
        fs::create_dir_all(&dir).unwrap();
        for file in intake::demo::files() {
            let name = Path::new(&file.name).file_name().unwrap().to_owned();
            fs::write(dir.join(name), file.bytes).unwrap();
        }
        let bench = Bench::with(Store::in_memory().unwrap(), Base::Folder(dir.clone()));
        Self { dir, bench }
    }

    /// The page of a list that was sent.
    fn look(&self, fields: &[(&str, &str)], list: &str) -> String {
        self.bench.send(send(TOKEN, fields, "list.csv", list.as_bytes())).goes_to()
    }

    /// Takes the list of a page as it is shown there.
    fn take(&self, at: &str, page: &str) -> Got {
        let seen = page.split("name=\"seen\" value=\"").nth(1).unwrap().split('"').next().unwrap();
        self.bench.post(&format!("{at}/take"), &[("seen", seen)])
    }

    /// Looks and takes.
    fn takes(&self, fields: &[(&str, &str)], list: &str) {
        let at = self.look(fields, list);
        let page = self.bench.get(&at).text();
        assert_eq!(self.take(&at, &page).goes_to(), "/parts/lists");
    }

    fn imports(&self) -> Vec<(u32, bool)> {
        shelf::history(&self.dir).unwrap().into_iter().map(|one| (one.number, one.undone)).collect()
    }
}

/// A form with a file, as browsers send it (RFC 7578).
fn send(token: &str, fields: &[(&str, &str)], name: &str, list: &[u8]) -> Request<Body> {
    form_with_file("/parts/lists", &[&[("token", token)], fields].concat(), ("list", name, list))
}

#[test]
fn a_list_is_looked_at_taken_shown_and_taken_back() {
    let world = World::new();
    let bench = &world.bench;
    assert!(!bench.get("/parts").text().contains("311.00 EUR"));
    let at = world.look(&[("shop", "Alder")], PRICES);
    let page = bench.get(&at).text();
    assert!(page.contains("New prices: 1") && page.contains("311.00 EUR"), "{page}");
    assert!(page.contains("decimals stand behind a comma"), "{page}");
    assert!(world.imports().is_empty(), "looking changes nothing");

    assert_eq!(world.take(&at, &page).goes_to(), "/parts/lists");
    assert_eq!(world.imports(), [(1, false)]);
    // Without a new start the page has the price, its history, and a list that it no longer keeps.
    assert!(bench.get("/parts").text().contains("311.00 EUR"));
    let prices = bench.get("/parts/prices?part=tern-2-rush").text();
    assert!(prices.contains("Alder") && prices.contains("list.csv (import 1 of "), "{prices}");
    assert!(bench.get("/parts/lists").text().contains("list.csv"));
    assert_eq!(bench.get(&at).status, StatusCode::NOT_FOUND);
    assert_eq!(bench.post(&format!("{at}/take"), &[("seen", "")]).status, StatusCode::NOT_FOUND);

    assert_eq!(bench.post("/parts/lists/undo", &[("number", "1")]).goes_to(), "/parts/lists");
    assert_eq!(world.imports(), [(1, true)]);
    assert!(!bench.get("/parts").text().contains("311.00 EUR"));
    assert!(bench.get("/parts/lists").text().contains("taken back"));
    let again = bench.post("/parts/lists/undo", &[("number", "1")]);
    assert_eq!(again.status, StatusCode::NOT_FOUND);
    assert!(again.text().contains("it has been already"));
    for number in ["", "-1", "../0001"] {
        let got = bench.post("/parts/lists/undo", &[("number", number)]);
        assert_eq!(got.status, StatusCode::UNPROCESSABLE_ENTITY, "{number}");
    }
}

#[test]
fn what_is_not_taken_is_told_with_its_place_and_long_lists_are_cut() {
    let world = World::new();
    let mut list = "id,name,rated_power\n".to_owned();
    for number in 0..60 {
        list.push_str(&format!("s-{number},Supply {number},much\n"));
    }
    let page = world.bench.get(&world.look(&[("kind", "supply")], &list)).text();
    assert!(page.contains("Not taken: 60") && page.contains("list.csv:2:3"), "{page}");
    assert!(page.contains("and 10 more"), "{page}");
    assert!(!page.contains("list.csv:61:3"), "{page}");
}

#[test]
fn every_line_of_a_long_list_can_be_reached() {
    let world = World::new();
    let mut list = "id,name,rated_power\n".to_owned();
    for number in 0..1200 {
        list.push_str(&format!("s-{number},Supply {number},much\n"));
    }
    let at = world.look(&[("kind", "supply")], &list);
    let mut address = format!("{at}?from=0#lines");
    assert!(world.bench.get(&at).text().contains(&address), "it offers all lines");
    let mut seen = 0;
    for pages in 1.. {
        let page = world.bench.get(address.split('#').next().unwrap()).text();
        seen += page.matches("list.csv:").count();
        let Some((before, _)) = page.split_once("\">More lines") else {
            assert_eq!(pages, 3);
            break;
        };
        address = before.rsplit("href=\"").next().unwrap().to_owned();
    }
    assert_eq!(seen, 1200);
    for from in ["-1", "99999999999999999999", "18446744073709551615", "x"] {
        assert_eq!(world.bench.get(&format!("{at}?from={from}")).status, StatusCode::OK, "{from}");
    }
}

#[test]
fn a_list_is_taken_only_whole_where_that_is_asked_for() {
    let world = World::new();
    let at = world.look(&[("shop", "Alder")], &format!("{PRICES}tern-2-rush;much;2026-11-03\n"));
    let page = world.bench.get(&at).text();
    let seen = page.split("name=\"seen\" value=\"").nth(1).unwrap().split('"').next().unwrap().to_owned();
    let take =
        |whole: &str| world.bench.post(&format!("{at}/take"), &[("seen", &seen), ("whole", whole)]).goes_to();
    let to = take("yes");
    let told = world.bench.get(&to).text();
    assert!(told.contains("Nothing was taken, since not all of it can be: 1"), "{told}");
    assert!(world.imports().is_empty());
    assert_eq!(take(""), "/parts/lists");
    assert_eq!(world.imports(), [(1, false)]);
}

#[test]
fn a_mapping_is_corrected_and_the_list_looked_at_again() {
    let world = World::new();
    let at = world.look(&[], "id,costs,date\ntern-2-rush,311.00,2026-11-02\n");
    assert!(world.bench.get(&at).text().contains("There is nothing to take"));
    let mapping = "currency = \"EUR\"\n[[column]]\nheading = \"costs\"\nfield = \"price.new\"\n";
    let form = format!("{at}/mapping");
    assert_eq!(world.bench.post(&form, &[("mapping", mapping)]).goes_to(), at);
    assert!(world.bench.get(&at).text().contains("New prices: 1"));
    let wrong = world.bench.post(&form, &[("mapping", "kind = \"<b>\"")]);
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        wrong.text().contains("kind = &quot;&lt;b&gt;&quot;"),
        "what was typed is lost: {}",
        wrong.text()
    );
    assert!(world.bench.get(&at).text().contains("New prices: 1"), "the list is read as before");
}

#[test]
fn a_library_that_changed_meanwhile_is_looked_at_again() {
    let world = World::new();
    let at = world.look(&[("shop", "Alder")], PRICES);
    let page = world.bench.get(&at).text();
    // Another program takes the same list.
    let mapping = Mapping { shop: Some("Alder".to_owned()), ..Mapping::default() };
    let files = intake::folder::files(&world.dir).unwrap();
    let today = "2026-11-26".parse().unwrap();
    let (read, _) = intake::library::read(&files);
    let found = preview::preview("other.csv", PRICES.as_bytes().to_vec(), &mapping, &read, today).unwrap();
    let mark = shelf::mark(&world.dir).unwrap();
    shelf::take(&world.dir, &tables::files(&found, today), &mark).unwrap();

    let to = world.take(&at, &page).goes_to();
    let now = world.bench.get(&to).text();
    assert!(now.contains("changed meanwhile, so nothing was taken"), "{now}");
    assert!(now.contains("There is nothing to take"), "{now}");
    assert_eq!(world.imports(), [(1, false)], "only the other's");
    // What another program took is in the page without a new start.
    assert!(world.bench.get("/parts").text().contains("311.00 EUR"));
}

#[test]
fn a_change_by_hand_meanwhile_is_seen_too() {
    let world = World::new();
    let at = world.look(&[("shop", "Alder")], PRICES);
    let page = world.bench.get(&at).text();
    // Somebody gives the part another id, so that the list's price belongs to nothing.
    for file in intake::folder::files(&world.dir).unwrap() {
        let text = String::from_utf8(file.bytes).unwrap().replace("tern-2-rush", "tern-2-quick");
        fs::write(file.name, text).unwrap();
    }
    let to = world.take(&at, &page).goes_to();
    assert!(to.ends_with("?meanwhile=yes"), "{to}");
    assert!(world.imports().is_empty());
}

#[test]
fn hostile_cells_and_names_stay_text() {
    let world = World::new();
    let bad = "<script>alert(1)</script>";
    let list =
        format!("id,name,rated_power,{bad}\n\"x-1\",\"{bad}\",\"=1+1\",\"{bad}\"\n{bad},{bad},{bad},{bad}\n");
    for name in [bad, "../../../etc/passwd", "\u{202e}vsc.exe"] {
        let got = world.bench.send(send(TOKEN, &[("kind", "supply"), ("shop", bad)], name, list.as_bytes()));
        let at = got.goes_to();
        let page = world.bench.get(&at).text();
        assert!(!page.contains("<script>alert") && page.contains("&lt;script&gt;alert"), "{page}");
        assert!(!page.contains("../") && !page.contains('\u{202e}'), "{page}");
        if page.contains("name=\"seen\"") {
            world.take(&at, &page).goes_to();
        }
    }
    for path in ["/parts", "/parts/lists", "/parts/prices?part=%3Cscript%3Ealert(1)%3C/script%3E"] {
        let page = world.bench.get(path).text();
        assert!(!page.contains("<script>alert"), "{path}: {page}");
    }
    for key in ["..%2F..%2Fimports", "0001", "%00"] {
        assert_eq!(world.bench.get(&format!("/parts/lists/{key}")).status, StatusCode::NOT_FOUND, "{key}");
    }
}

#[test]
fn what_is_too_large_or_no_list_is_refused_in_words() {
    let world = World::new();
    let large = vec![b'a'; page::pages::lists::LARGEST_LIST + 1];
    let got = world.bench.send(send(TOKEN, &[], "list.csv", &large));
    assert_eq!(got.status, StatusCode::PAYLOAD_TOO_LARGE);
    assert!(got.text().contains("33 MiB; at most 32 MiB are taken. Split the list"), "{}", got.text());
    for (bytes, words) in [
        (&b""[..], "the list is empty"),
        (b"\xD0\xCF\x11\xE0 old", "old binary workbook"),
        (b"PK\x03\x04", "unpacked"),
    ] {
        let got = world.bench.send(send(TOKEN, &[], "list.csv", bytes));
        assert_eq!(got.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(got.text().contains(words), "{}", got.text());
    }
    for (field, value) in [("kind", "sofa"), ("currency", "12"), ("day", "soon"), ("mapping", "= =")] {
        let got = world.bench.send(send(TOKEN, &[(field, value)], "list.csv", PRICES.as_bytes()));
        assert_eq!(got.status, StatusCode::UNPROCESSABLE_ENTITY, "{field}");
    }
}

#[test]
fn a_form_without_this_runs_token_changes_nothing() {
    let world = World::new();
    assert_eq!(
        world.bench.send(send("wrong", &[], "list.csv", PRICES.as_bytes())).status,
        StatusCode::FORBIDDEN
    );
    let at = world.look(&[], PRICES);
    for path in [format!("{at}/take"), format!("{at}/mapping"), "/parts/lists/undo".to_owned()] {
        let request = crate::bench::post(HOST, &path, &[("token", "wrong"), ("number", "1")]);
        assert_eq!(world.bench.send(request).status, StatusCode::FORBIDDEN, "{path}");
    }
    assert!(world.imports().is_empty());
}

#[test]
fn the_demos_library_says_how_to_start_with_a_folder() {
    let bench = Bench::new();
    let page = bench.get("/parts/lists").text();
    assert!(page.contains("cannot be changed") && page.contains("reseat page --library"), "{page}");
    assert!(!page.contains("type=\"file\""));
    for got in [
        bench.send(send(TOKEN, &[], "list.csv", PRICES.as_bytes())),
        bench.post("/parts/lists/undo", &[("number", "1")]),
        bench.get("/parts/lists/0123"),
    ] {
        assert_eq!(got.status, StatusCode::FORBIDDEN);
        assert!(got.text().contains("reseat page --library"), "{}", got.text());
    }
    assert_eq!(bench.get("/parts/prices?part=tern-2-rush").status, StatusCode::OK);
    assert_eq!(bench.get("/parts/prices?part=none-such").status, StatusCode::NOT_FOUND);
}

#[test]
fn a_folder_that_went_away_leaves_the_work_what_was_read() {
    let world = World::new();
    world.takes(&[("shop", "Alder")], PRICES);
    let machine = world.bench.demo();
    fs::remove_dir_all(&world.dir).unwrap();
    assert_eq!(world.bench.get(&format!("{machine}/fits")).status, StatusCode::OK);
    assert_eq!(world.bench.get("/parts/lists").status, StatusCode::SERVICE_UNAVAILABLE);
}
