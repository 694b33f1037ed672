//! What the kernel says of a unit that counts: its number, which processors to ask, and how an event is written.
//!
//! # Source
//! Linux kernel, Documentation/ABI/testing/sysfs-bus-event_source-devices-{events,format} and
//! Documentation/admin-guide/perf.

use survey::root::Root;

/// Folder of the units.
const BASE: &str = "sys/bus/event_source/devices";

/// Most units and events that are looked at.
const MOST: usize = 1024;

/// What is asked of a unit: the first fields of the kernel's description.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Event {
    /// The unit's number.
    pub unit: u32,
    /// Its three fields of settings.
    pub config: [u64; 3],
}

/// An event as it is described, with what a count stands for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Described {
    /// What to ask for.
    pub event: Event,
    /// What one count is in the unit that the description names; 1 where it names none.
    pub scale: f64,
    /// Bytes of that unit; none where the unit is no amount of bytes.
    pub bytes: Option<f64>,
}

/// Why a description cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Unclear {
    /// A file is not there, or holds no such thing.
    #[error("/{0} cannot be read as what the kernel's documentation says it is")]
    File(String),
    /// A word of the event that the unit does not explain.
    #[error("/{file} says \"{word}\", which its folder of formats does not explain")]
    Word {
        /// The event's file.
        file: String,
        /// The word.
        word: String,
    },
}

/// The units that count.
pub fn units(root: &Root) -> Vec<String> {
    root.list(BASE).into_iter().take(MOST).collect()
}

/// The number of a unit, by which the kernel's call knows it.
pub fn number(root: &Root, unit: &str) -> Option<u32> {
    u32::try_from(root.number(&format!("{BASE}/{unit}/type"))?).ok()
}

/// The events that a unit names, without the files that describe their scale.
pub fn events(root: &Root, unit: &str) -> Vec<String> {
    let names = root.list(&format!("{BASE}/{unit}/events"));
    names.into_iter().take(MOST).filter(|name| !name.contains('.')).collect()
}

/// A list of processors as the kernel writes it, `0-3,8`; none where it is no such list.
pub fn processors(text: &str) -> Option<Vec<usize>> {
    let mut out = Vec::new();
    for part in text.trim().split(',') {
        let (first, last) = part.split_once('-').unwrap_or((part, part));
        let (first, last) = (first.trim().parse::<usize>().ok()?, last.trim().parse::<usize>().ok()?);
        if first > last || last >= 65_536 {
            return None;
        }
        out.extend(first..=last);
    }
    Some(out)
}

/// The processors through which a unit is asked: one for each of its places; the first where it does not say.
pub fn asked_through(root: &Root, unit: &str) -> Vec<usize> {
    root.text(&format!("{BASE}/{unit}/cpumask")).as_deref().and_then(processors).unwrap_or_else(|| vec![0])
}

/// The unit of the cores that a processor belongs to, where cores differ; none where all are alike.
pub fn unit_of_core(root: &Root, processor: usize) -> Option<(String, u32)> {
    units(root).into_iter().find_map(|unit| {
        let own = processors(&root.text(&format!("{BASE}/{unit}/cpus"))?)?;
        own.contains(&processor).then_some(())?;
        let number = number(root, &unit)?;
        Some((unit, number))
    })
}

/// Puts a value's bits, lowest first, into the places that a format names, `config1:0-7,32-35`.
fn put(config: &mut [u64; 3], format: &str, mut value: u64) -> Option<()> {
    let (field, places) = format.trim().split_once(':')?;
    let field = match field {
        "config" => 0,
        "config1" => 1,
        "config2" => 2,
        _ => return None,
    };
    for range in places.split(',') {
        let (low, high) = range.split_once('-').unwrap_or((range, range));
        let (low, high) = (low.trim().parse::<u32>().ok()?, high.trim().parse::<u32>().ok()?);
        if low > high || high > 63 {
            return None;
        }
        let width = high - low + 1;
        let mask = if width == 64 { u64::MAX } else { (1 << width) - 1 };
        let target = config.get_mut(field)?;
        *target |= (value & mask) << low;
        value = if width == 64 { 0 } else { value >> width };
    }
    // What does not fit would be another event.
    (value == 0).then_some(())
}

fn value(text: &str) -> Option<u64> {
    match text.strip_prefix("0x") {
        Some(hex) => u64::from_str_radix(hex, 16).ok(),
        None => text.parse().ok(),
    }
}

/// Bytes of a unit of an amount of data.
fn bytes(unit: &str) -> Option<f64> {
    Some(match unit {
        "Bytes" | "bytes" | "B" => 1.0,
        "KiB" => 1024.0,
        "MiB" => 1_048_576.0,
        "GiB" => 1_073_741_824.0,
        "MB" => 1e6,
        _ => return None,
    })
}

/// An event by its name.
///
/// # Errors
/// A file is missing, or says what its documentation does not allow.
pub fn described(root: &Root, unit: &str, name: &str) -> Result<Described, Unclear> {
    let type_file = format!("{BASE}/{unit}/type");
    let number = number(root, unit).ok_or(Unclear::File(type_file))?;
    let file = format!("{BASE}/{unit}/events/{name}");
    let text = root.text(&file).ok_or_else(|| Unclear::File(file.clone()))?;
    let mut config = [0; 3];
    for word in text.split(',').map(str::trim).filter(|word| !word.is_empty()) {
        let unclear = || Unclear::Word { file: file.clone(), word: word.to_owned() };
        // A word alone stands for 1.
        let (term, number) = word.split_once('=').unwrap_or((word, "1"));
        let number = value(number.trim()).ok_or_else(unclear)?;
        let term = term.trim();
        match term {
            "config" => config[0] |= number,
            "config1" => config[1] |= number,
            "config2" => config[2] |= number,
            _ => {
                let format = root.text(&format!("{BASE}/{unit}/format/{term}")).ok_or_else(unclear)?;
                put(&mut config, &format, number).ok_or_else(unclear)?;
            }
        }
    }
    let scale = match root.text(&format!("{file}.scale")) {
        None => 1.0,
        Some(text) => text
            .parse()
            .ok()
            .filter(|scale: &f64| scale.is_finite() && *scale > 0.0)
            .ok_or_else(|| Unclear::File(format!("{file}.scale")))?,
    };
    let bytes = root.text(&format!("{file}.unit")).as_deref().and_then(bytes);
    Ok(Described { event: Event { unit: number, config }, scale, bytes })
}

#[cfg(test)]
mod tests {
    use super::{Described, Event, Unclear, described, processors, put, unit_of_core};
    use proptest::prelude::*;
    use std::collections::BTreeMap;
    use survey::root::Root;

    fn root(files: &[(&str, &str)]) -> Root {
        let at = |path: &str| format!("sys/bus/event_source/devices/{path}");
        Root::files(
            files.iter().map(|(path, text)| (at(path), text.as_bytes().to_vec())).collect::<BTreeMap<_, _>>(),
        )
    }

    #[test]
    fn an_event_is_put_together_from_its_words() {
        // Format and text of the first event: the kernel's documentation of event files, `event=0xNNNN`; a byte's places
        // split over two ranges as some units have them.
        let root = root(&[
            ("unit_0/type", "17\n"),
            ("unit_0/format/event", "config:0-7,32-35\n"),
            ("unit_0/format/umask", "config:8-15\n"),
            ("unit_0/format/edge", "config:18\n"),
            ("unit_0/format/match", "config1:0-63\n"),
            ("unit_0/events/reads", "event=0x304,umask=0x03\n"),
            ("unit_0/events/reads.scale", "6.103515625e-5\n"),
            ("unit_0/events/reads.unit", "MiB\n"),
            ("unit_0/events/alone", "edge,match=0xffffffffffffffff"),
            ("unit_0/events/large", "umask=0x100"),
            ("unit_0/events/asks", "event=?"),
            ("unit_0/events/other", "thresh=1"),
        ]);
        assert_eq!(
            described(&root, "unit_0", "reads"),
            Ok(Described {
                event: Event { unit: 17, config: [0x3_0000_0304, 0, 0] },
                scale: 1.0 / 16384.0,
                bytes: Some(1_048_576.0)
            })
        );
        let alone = described(&root, "unit_0", "alone").unwrap();
        assert_eq!((alone.event.config, alone.bytes), ([1 << 18, u64::MAX, 0], None));
        for name in ["large", "asks", "other"] {
            assert!(matches!(described(&root, "unit_0", name), Err(Unclear::Word { .. })), "{name}");
        }
        assert!(matches!(described(&root, "unit_0", "missing"), Err(Unclear::File(_))));
        assert!(matches!(described(&root, "unit_1", "reads"), Err(Unclear::File(_))));
    }

    #[test]
    fn cores_that_differ_are_asked_of_their_own_unit() {
        let root = root(&[
            ("large/type", "4"),
            ("large/cpus", "0-15"),
            ("small/type", "10"),
            ("small/cpus", "16-23"),
            ("other/type", "9"),
        ]);
        assert_eq!(unit_of_core(&root, 3), Some(("large".to_owned(), 4)));
        assert_eq!(unit_of_core(&root, 16), Some(("small".to_owned(), 10)));
        assert_eq!(unit_of_core(&root, 24), None);
        assert_eq!(processors("0-2,7\n"), Some(vec![0, 1, 2, 7]));
        assert_eq!(processors("3-1"), None);
        assert_eq!(processors("0-99999999999"), None);
    }

    proptest! {
        #[test]
        fn no_text_makes_it_panic(format in "(config[12]?:)?[0-9,:-]{0,12}", value: u64, text in "[0-9,= x-]{0,20}") {
            let _ = put(&mut [0; 3], &format, value);
            let _ = processors(&text);
            let root = root(&[("u/type", "1"), ("u/format/a", &format), ("u/events/e", &format!("a={text}"))]);
            let _ = described(&root, "u", "e");
        }

        #[test]
        fn bits_that_are_put_can_be_taken_out_again(value in 0..0x1000_u64) {
            let mut config = [0; 3];
            put(&mut config, "config1:0-7,32-35", value).unwrap();
            prop_assert_eq!((config[1] & 0xFF) | ((config[1] >> 32) << 8), value);
        }
    }
}
