//! A power cut loses nothing that was acknowledged.
//!
//! A process writes into a store and says after each call what it wrote, while `tests/power/shim.c` notes every write,
//! sync and word in their order. The test then plays the notes back up to a moment, as a disk would look that lost its
//! power there: what was synced is there; of everything after, each sector of 512 bytes is there or not by chance, and a
//! name that was made or removed is there or not until its folder was synced. Every such disk must open as a store and
//! hold all that had been said. Left out: a disk that says it has written what it has not.
//!
//! To see that such a loss would be found, the same is done once with every sync left out.

use std::collections::BTreeMap;
use std::io::{BufRead as _, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use crate::crash::{STORE, look, write_for_ever};
use crate::fresh::tempdir;

/// How much is said before the power is cut for good; enough for the log to be written back into the file once.
const SAID: usize = 330;
/// Moments that are looked at, beside the first ones at which something was said.
const MOMENTS: u64 = 50;
/// How many of them are looked at without syncs.
const CONTROL: usize = 20;
/// What a disk writes at once or not at all.
const SECTOR: usize = 512;

/// Something that was done.
#[derive(Debug)]
enum Act {
    Made(String),
    Written(String, usize, Vec<u8>),
    Cut(String, usize),
    Synced(String),
    Removed(String),
    Said(String),
}

fn number(bytes: &[u8]) -> usize {
    let mut eight = [0; 8];
    eight[..bytes.len()].copy_from_slice(bytes);
    usize::try_from(u64::from_le_bytes(eight)).unwrap()
}

fn acts(mut list: &[u8]) -> Vec<Act> {
    let mut acts = Vec::new();
    // The last one may be cut off: the process was killed.
    while list.len() >= 21 {
        let (kind, name_length) = (list[0], number(&list[1..5]));
        let (place, length) = (number(&list[5..13]), number(&list[13..21]));
        let held = if matches!(kind, b'w' | b'm') { length } else { 0 };
        if list.len() < 21 + name_length + held {
            break;
        }
        let name = String::from_utf8(list[21..21 + name_length].to_vec()).unwrap();
        let bytes = list[21 + name_length..21 + name_length + held].to_vec();
        list = &list[21 + name_length + held..];
        // What the programs share in memory is no part of what is kept.
        if name.ends_with("-shm") {
            continue;
        }
        acts.push(match kind {
            b'c' => Act::Made(name),
            b'w' => Act::Written(name, place, bytes),
            b't' => Act::Cut(name, place),
            b's' => Act::Synced(name),
            b'u' => Act::Removed(name),
            b'm' => Act::Said(String::from_utf8_lossy(&bytes).into_owned()),
            other => panic!("the list holds {other}"),
        });
    }
    acts
}

/// Chance that is the same in every run (xorshift, Marsaglia 2003).
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    fn is_heads(&mut self) -> bool {
        self.next() >> 40 & 1 == 1
    }
}

/// A file: what is safely on the disk, and what was done since.
#[derive(Default, Clone)]
struct OnDisk {
    safe: Vec<u8>,
    since: Vec<(usize, Option<Vec<u8>>)>,
    is_there: bool,
    was_there: bool,
}

fn apply(bytes: &mut Vec<u8>, place: usize, data: Option<&[u8]>) {
    match data {
        None => bytes.resize(place, 0),
        Some(data) => {
            if bytes.len() < place + data.len() {
                bytes.resize(place + data.len(), 0);
            }
            bytes[place..place + data.len()].copy_from_slice(data);
        }
    }
}

/// The files as a cut after these acts leaves them.
fn after_cut(acts: &[Act], obeys_sync: bool, chance: &mut Chance) -> BTreeMap<String, Vec<u8>> {
    let mut disk: BTreeMap<String, OnDisk> = BTreeMap::new();
    for act in acts {
        match act {
            Act::Made(name) => {
                let was_there = disk.get(name).is_some_and(|file| file.was_there);
                disk.insert(name.clone(), OnDisk { is_there: true, was_there, ..OnDisk::default() });
            }
            Act::Written(name, place, bytes) => {
                disk.entry(name.clone()).or_default().since.push((*place, Some(bytes.clone())));
            }
            Act::Cut(name, length) => disk.entry(name.clone()).or_default().since.push((*length, None)),
            Act::Removed(name) => disk.entry(name.clone()).or_default().is_there = false,
            Act::Synced(name) if obeys_sync => match disk.get_mut(name) {
                Some(file) => {
                    for (place, bytes) in std::mem::take(&mut file.since) {
                        apply(&mut file.safe, place, bytes.as_deref());
                    }
                }
                None => disk.values_mut().for_each(|file| file.was_there = file.is_there),
            },
            Act::Synced(_) | Act::Said(_) => {}
        }
    }
    let mut left = BTreeMap::new();
    for (name, mut file) in disk {
        if file.is_there != file.was_there && chance.is_heads() {
            file.is_there = file.was_there;
        }
        for (place, bytes) in std::mem::take(&mut file.since) {
            let Some(bytes) = bytes else {
                if chance.is_heads() {
                    apply(&mut file.safe, place, None);
                }
                continue;
            };
            for (sector, piece) in bytes.chunks(SECTOR).enumerate() {
                if chance.is_heads() {
                    apply(&mut file.safe, place + sector * SECTOR, Some(piece));
                }
            }
        }
        if file.is_there {
            left.insert(name, file.safe);
        }
    }
    left
}

/// What had been said by then.
fn said(acts: &[Act]) -> Vec<String> {
    let all: String = acts
        .iter()
        .filter_map(|act| if let Act::Said(text) = act { Some(text.as_str()) } else { None })
        .collect();
    // A line counts when its end is out.
    let whole = all.rfind('\n').map_or("", |end| &all[..end]);
    whole.lines().filter_map(|line| line.split("said ").nth(1).map(str::to_owned)).collect()
}

/// Opens what a cut leaves, and looks for what was said.
fn survives(folder: &Path, acts: &[Act], obeys_sync: bool, chance: &mut Chance) -> Result<(), String> {
    let _ = std::fs::remove_dir_all(folder);
    std::fs::create_dir_all(folder).unwrap();
    for (name, bytes) in after_cut(acts, obeys_sync, chance) {
        std::fs::write(folder.join(Path::new(&name).file_name().unwrap()), bytes).unwrap();
    }
    // What was shared in memory may be left as anything.
    std::fs::write(folder.join("bench.sqlite-shm"), chance.next().to_le_bytes().repeat(4096)).unwrap();
    look(&folder.join("bench.sqlite"), &said(acts))
}

fn shim(folder: &Path) -> PathBuf {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/power/shim.c");
    let library = folder.join("shim.so");
    let built = Command::new("cc")
        .args(["-shared", "-fPIC", "-O1", "-Wall", "-o"])
        .arg(&library)
        .arg(source)
        .arg("-ldl")
        .output()
        .unwrap();
    assert!(built.status.success(), "{}", String::from_utf8_lossy(&built.stderr));
    library
}

#[test]
fn a_power_cut_loses_nothing_acknowledged() {
    if let Some(file) = std::env::var_os(STORE) {
        write_for_ever(Path::new(&file));
        return;
    }
    let folder = tempdir("power");
    let (live, list) = (folder.join("live"), folder.join("list"));
    std::fs::create_dir_all(&live).unwrap();
    let mut child = Command::new(std::env::current_exe().unwrap())
        .args(["power_cut::a_power_cut_loses_nothing_acknowledged", "--exact", "--nocapture"])
        .env(STORE, live.join("bench.sqlite"))
        .env("LD_PRELOAD", shim(&folder))
        .env("RESEAT_SHIM_LOG", &list)
        .env("RESEAT_SHIM_UNDER", &live)
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let lines = BufReader::new(child.stdout.take().unwrap()).lines();
    let heard = lines.map_while(Result::ok).filter(|line| line.contains("said ")).take(SAID).count();
    child.kill().unwrap();
    child.wait().unwrap();
    assert_eq!(heard, SAID, "the process ended by itself");
    let acts = acts(&std::fs::read(&list).unwrap());
    let syncs = acts.iter().filter(|act| matches!(act, Act::Synced(_))).count();
    let written_back =
        acts.iter().filter(|act| matches!(act, Act::Written(name, ..) if name.ends_with("sqlite"))).count();
    assert!(syncs > SAID && written_back > 100, "{syncs} syncs, {written_back} writes into the file itself");

    let mut chance = Chance(0x5eed_cafe);
    let after_words =
        (0..acts.len()).filter(|at| matches!(acts[*at], Act::Said(_))).map(|at| at + 1).take(CONTROL);
    let mut moments: Vec<usize> = after_words.collect();
    moments.extend((0..MOMENTS).map(|_| usize::try_from(chance.next() % acts.len() as u64).unwrap()));
    let image = folder.join("image");
    for moment in &moments {
        survives(&image, &acts[..*moment], true, &mut chance)
            .unwrap_or_else(|lost| panic!("cut after {moment} of {} acts: {lost}", acts.len()));
    }
    let lost =
        moments.iter().filter(|moment| survives(&image, &acts[..**moment], false, &mut chance).is_err());
    assert!(lost.count() > 30, "without syncs the cuts lose something");
    std::fs::remove_dir_all(folder).unwrap();
}
