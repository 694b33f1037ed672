//! A connection that is lost, at any place of the talk: nothing is half-applied, and what is told is true.
//!
//! Between store and server stands a line that can be cut after any number of bytes, in either direction.

use std::io::{Read as _, Write as _};
use std::net::{Shutdown, TcpListener, TcpStream};
use std::sync::Arc;
use std::sync::atomic::{AtomicI64, AtomicU16, Ordering};

use store::database::Fault;
use store::entry::{EntryKind, NewEntry};
use store::open::{At, Store, StoreError};

use crate::fresh::{Fresh, On};

/// The line is not cut.
const WHOLE: i64 = i64::MAX / 2;

/// A line to the server.
struct Line {
    port: u16,
    /// Where it leads; port zero is nowhere.
    to: Arc<AtomicU16>,
    /// Bytes that still go to the server, and back from it, before it is cut.
    out: Arc<AtomicI64>,
    back: Arc<AtomicI64>,
}

/// Carries bytes until the line ends, or as many went as may.
fn carry(mut from: TcpStream, mut to: TcpStream, left: &AtomicI64) {
    let mut buffer = [0; 4096];
    while let Ok(count @ 1..) = from.read(&mut buffer) {
        let before = left.fetch_sub(count as i64, Ordering::SeqCst);
        let may = count.min(usize::try_from(before.max(0)).unwrap());
        if to.write_all(&buffer[..may]).is_err() || may < count {
            // Cut: the next line is whole.
            left.store(WHOLE, Ordering::SeqCst);
            break;
        }
    }
    let _ = from.shutdown(Shutdown::Both);
    let _ = to.shutdown(Shutdown::Both);
}

impl Line {
    fn to(server: u16) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").unwrap();
        let line = Self {
            port: listener.local_addr().unwrap().port(),
            to: Arc::new(AtomicU16::new(server)),
            out: Arc::new(AtomicI64::new(WHOLE)),
            back: Arc::new(AtomicI64::new(WHOLE)),
        };
        let (to, out, back) = (Arc::clone(&line.to), Arc::clone(&line.out), Arc::clone(&line.back));
        std::thread::spawn(move || {
            for near in listener.incoming().map_while(Result::ok) {
                let Ok(far) = TcpStream::connect(("127.0.0.1", to.load(Ordering::SeqCst))) else { continue };
                let (near_too, far_too) = (near.try_clone().unwrap(), far.try_clone().unwrap());
                let (out, back) = (Arc::clone(&out), Arc::clone(&back));
                std::thread::spawn(move || carry(near, far, &out));
                std::thread::spawn(move || carry(far_too, near_too, &back));
            }
        });
        line
    }
}

/// A store at the far end of a line.
fn over_a_line(name: &str) -> Option<(Fresh, Line, Store)> {
    let fresh = Fresh::new(On::Server, name)?;
    let (before, after) = fresh.address().split_once('@').unwrap();
    let (host, path) = after.split_once('/').unwrap();
    let (_, port) = host.split_once(':').unwrap();
    let line = Line::to(port.parse().unwrap());
    let store = Store::open_at(&format!("{before}@127.0.0.1:{}/{path}", line.port).parse().unwrap()).unwrap();
    Some((fresh, line, store))
}

fn notes(round: i64) -> Vec<NewEntry> {
    let note = |which| NewEntry {
        key: format!("{round:05}-{which}"),
        step: "s".into(),
        kind: EntryKind::Note,
        text: format!("note {which} of round {round:05}"),
        device: "d".into(),
    };
    (0..3).map(note).collect()
}

/// How many bytes this takes in a direction, on a line that is whole.
fn bytes_of(direction: &AtomicI64, work: impl FnOnce()) -> i64 {
    direction.store(WHOLE, Ordering::SeqCst);
    work();
    WHOLE - direction.swap(WHOLE, Ordering::SeqCst)
}

/// Where a talk of so many bytes is cut: here and there, and often in its last words, which confirm the change.
fn cuts(whole: i64) -> Vec<i64> {
    (0..24).map(|part| whole * part / 24).chain((1..=20).map(|left| whole - left)).collect()
}

/// Cuts the line in this direction at every such place.
fn cut_everywhere(name: &str, which: fn(&Line) -> &AtomicI64) {
    let Some((fresh, line, mut store)) = over_a_line(name) else { return };
    let mut sure = fresh.store();
    let machine = sure.add_machine("m", "0", "typed", At(0)).unwrap();
    let job = sure.begin_job(&machine, &[], "t", At(0)).unwrap();
    let mut add = |round| store.add_entries(&job, &notes(round), At(0));
    // Twice, so that every statement is known to the server and each round talks the same.
    add(90).unwrap();
    let whole = bytes_of(which(&line), || add(91).unwrap());
    let mut kept = 6;
    for (bytes, round) in cuts(whole).into_iter().zip(100..) {
        which(&line).store(bytes, Ordering::SeqCst);
        let told = add(round);
        which(&line).store(WHOLE, Ordering::SeqCst);
        match &told {
            // It was cut while confirming: then the server was asked, and all three are there.
            Ok(()) => kept += 3,
            Err(StoreError::Access { source: Fault::Lost(_), .. }) => {}
            other => panic!("cut after {bytes} of {whole} bytes: {other:?}"),
        }
        let found = sure.entries(&job, 0).unwrap().len();
        assert_eq!(found, kept, "cut after {bytes} of {whole} bytes, told {told:?}");
        // Over a new connection, with every statement known again.
        add(round + 1000).unwrap();
        kept += 3;
    }
    assert!(kept < 3 * (2 + 2 * 44), "no cut lost anything");
}

#[test]
fn a_line_cut_on_the_way_to_the_server() {
    cut_everywhere("lost_out", |line| &line.out);
}

#[test]
fn a_line_cut_on_the_way_back() {
    cut_everywhere("lost_back", |line| &line.back);
}

#[test]
fn a_server_that_ended_every_connection_is_called_again() {
    let Some(fresh) = Fresh::new(On::Server, "lost_ended") else { return };
    let mut store = fresh.store();
    let machine = store.add_machine("m", "0", "typed", At(0)).unwrap();
    let end = || {
        let mut client = fresh.client();
        let schema: String = client.query_one("select current_schema()::text", &[]).unwrap().get(0);
        let held = client
            .query(
                "select pg_terminate_backend(pid) from pg_stat_activity join pg_locks using (pid)
                 where pid <> pg_backend_pid() and relation = to_regclass('reseat_store')",
                &[],
            )
            .unwrap();
        assert!(held.is_empty(), "no connection of {schema} holds anything between two calls");
        // The one that holds nothing is found by its name and what it asked last.
        client
            .execute(
                "select pg_terminate_backend(pid) from pg_stat_activity where pid <> pg_backend_pid()
                 and application_name = 'reseat' and query like '%' || $1 || '%'",
                &[&"mark of this test"],
            )
            .unwrap();
    };
    let mark = |store: &mut Store| assert_eq!(store.own_parts_file("mark of this test").unwrap().0, 0);
    mark(&mut store);
    end();
    assert_eq!(store.machine(&machine).unwrap().text, "0", "looking calls again");
    mark(&mut store);
    end();
    store.change_machine(&machine, 1, ("m", "1"), "x", At(1)).unwrap();
    assert_eq!(fresh.store().machine(&machine).unwrap().text, "1", "so does the beginning of a change");
}

#[test]
fn a_server_that_is_away_is_told_of_and_used_again_when_it_is_back() {
    let Some((fresh, line, mut store)) = over_a_line("lost_away") else { return };
    let machine = store.add_machine("m", "0", "typed", At(0)).unwrap();
    let server = line.to.swap(1, Ordering::SeqCst);
    line.out.store(0, Ordering::SeqCst);
    let told = store.change_machine(&machine, 1, ("m", "1"), "x", At(1)).unwrap_err();
    let source = std::error::Error::source(&told).unwrap().to_string();
    assert!(
        source.contains("the server cannot be reached") && source.contains("nothing was changed"),
        "{source}"
    );
    assert!(store.machines().is_err());
    line.to.store(server, Ordering::SeqCst);
    assert_eq!(store.machine(&machine).unwrap().text, "0");
    store.change_machine(&machine, 1, ("m", "1"), "x", At(1)).unwrap();
    assert_eq!(fresh.store().machine(&machine).unwrap().text, "1");
}

#[test]
fn a_confirmation_that_cannot_be_asked_about_is_told_as_such() {
    let Some((fresh, line, mut store)) = over_a_line("lost_unsure") else { return };
    let machine = store.add_machine("m", "0", "typed", At(0)).unwrap();
    let mut change = |text: i64| store.change_machine(&machine, text, ("m", &text.to_string()), "x", At(1));
    change(1).unwrap();
    let whole = bytes_of(&line.back, || assert_eq!(change(2).unwrap(), 3));
    // Cut within the last words, with the server away from then on.
    let server = line.to.swap(1, Ordering::SeqCst);
    line.back.store(whole - 3, Ordering::SeqCst);
    let told = change(3).unwrap_err();
    line.back.store(WHOLE, Ordering::SeqCst);
    line.to.store(server, Ordering::SeqCst);
    assert!(matches!(told, StoreError::Access { source: Fault::Unsure(_), .. }), "{told:?}");
    assert!(std::error::Error::source(&told).unwrap().to_string().contains("look whether it is there"));
    // Here it was kept; sent once more it is no quarrel.
    assert_eq!(fresh.store().machine(&machine).unwrap().revision, 4);
    assert_eq!(change(3).unwrap(), 4);
}

#[test]
fn a_restore_that_loses_its_server_leaves_nothing() {
    let Some((fresh, line, mut store)) = over_a_line("lost_restore") else { return };
    let mut source = Store::in_memory().unwrap();
    for name in ["a", "b", "c", "d"] {
        source.add_machine(name, &"text ".repeat(5000), "typed", At(0)).unwrap();
    }
    let folder = fresh.folder.join("plain");
    source.back_up(&folder).unwrap();
    for bytes in [500, 3000, 40_000, 90_000] {
        line.out.store(bytes, Ordering::SeqCst);
        store.restore(&folder).unwrap_err();
        line.out.store(WHOLE, Ordering::SeqCst);
        assert!(store.machines().unwrap().is_empty(), "cut after {bytes} bytes");
    }
    store.restore(&folder).unwrap();
    assert_eq!(fresh.store().machines().unwrap().len(), 4);
}
