//! What went between memory and the rest of the machine, as the memory controllers count it.

use survey::root::Root;

use crate::counting::call::{Group, Scope};
use crate::counting::described::{Described, asked_through, described, events, units};
use crate::counting::refused::Refused;

/// Parts of the names that kernels give memory controllers' units: integrated, dynamic and unified memory controllers,
/// and controllers of memory by its kind.
const CONTROLLERS: [&str; 5] = ["imc", "dmc", "umc", "ddr", "dram"];

/// What stands before the way in an event's name.
const BEFORE: [&str; 3] = ["data_", "cas_count_", "memory_"];

/// Counters of all memory controllers.
#[derive(Debug)]
pub struct Controllers {
    /// Each counter with the bytes that a count stands for.
    counters: Vec<(Group, f64)>,
}

/// A way through a controller.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Way {
    Read,
    Write,
    Both,
}

/// Which way an event counts, by its name.
fn way(name: &str) -> Option<Way> {
    let name = BEFORE.iter().find_map(|before| name.strip_prefix(before)).unwrap_or(name);
    if name.starts_with("read") {
        Some(Way::Read)
    } else if name.starts_with("write") {
        Some(Way::Write)
    } else {
        (name == "total").then_some(Way::Both)
    }
}

/// A unit's name without its number: units of one name count side by side.
fn family(unit: &str) -> &str {
    unit.trim_end_matches(|c: char| c.is_ascii_digit()).trim_end_matches('_')
}

/// The events that together count every byte once, each with the processor through which it is asked; of controllers that
/// are described twice the first description.
fn wanted(root: &Root) -> Vec<(usize, Described, f64)> {
    let mut chosen: Option<String> = None;
    let mut out = Vec::new();
    let mut units = units(root);
    units.sort();
    for unit in units {
        let name = unit.to_ascii_lowercase();
        let is_other = chosen.as_deref().is_some_and(|chosen| chosen != family(&unit));
        if is_other || !CONTROLLERS.iter().any(|word| name.contains(word)) {
            continue;
        }
        let known: Vec<(Way, Described, f64)> = events(root, &unit)
            .iter()
            .filter_map(|event| {
                let way = way(event)?;
                let described = described(root, &unit, event).ok()?;
                // Only what is described as an amount of data: a count of commands means something else on each machine.
                Some((way, described, described.bytes? * described.scale))
            })
            .collect();
        let has = |wanted: Way| known.iter().any(|(way, _, _)| *way == wanted);
        let is_wanted = |way: Way| match way {
            Way::Both => !(has(Way::Read) && has(Way::Write)),
            Way::Read | Way::Write => has(Way::Read) && has(Way::Write),
        };
        let of_unit: Vec<_> = known.iter().filter(|(way, _, _)| is_wanted(*way)).collect();
        if of_unit.is_empty() {
            continue;
        }
        chosen = Some(family(&unit).to_owned());
        for processor in asked_through(root, &unit) {
            out.extend(of_unit.iter().map(|(_, described, bytes)| (processor, *described, *bytes)));
        }
    }
    out
}

impl Controllers {
    /// Opens the counters of all memory controllers that the kernel describes.
    ///
    /// # Errors
    /// There are none, or one cannot be had: a part of the traffic would pass for all of it.
    pub fn open(root: &Root) -> Result<Self, Refused> {
        let counters: Vec<(Group, f64)> = wanted(root)
            .into_iter()
            .map(|(processor, known, bytes)| {
                Ok((Group::open(&[known.event], Scope::Processor(processor))?, bytes))
            })
            .collect::<Result<_, Refused>>()?;
        if counters.is_empty() { Err(Refused::NotThere) } else { Ok(Self { counters }) }
    }

    /// Bytes since this was asked last; none at first, and where a counter did not count.
    pub fn bytes(&mut self) -> Option<f64> {
        // Every counter is looked at, so that the next look begins here for all.
        let rises: Vec<Option<f64>> =
            self.counters.iter_mut().map(|(group, bytes)| Some(group.rises()?[0] * *bytes)).collect();
        rises.into_iter().sum()
    }
}

#[cfg(test)]
mod tests {
    use super::{Controllers, Refused, family, wanted};
    use std::collections::BTreeMap;
    use survey::root::Root;

    fn root(files: &[(&str, &str)]) -> Root {
        let at = |path: &str| format!("sys/bus/event_source/devices/{path}");
        Root::files(
            files.iter().map(|(path, text)| (at(path), text.as_bytes().to_vec())).collect::<BTreeMap<_, _>>(),
        )
    }

    /// A controller with read and write counted in 64 bytes, as 1/16384 MiB.
    fn controller(unit: &str, number: &str) -> Vec<(String, String)> {
        let mut files = vec![
            (format!("{unit}/type"), number.to_owned()),
            (format!("{unit}/cpumask"), "0,8".to_owned()),
            (format!("{unit}/format/event"), "config:0-7".to_owned()),
            (format!("{unit}/format/umask"), "config:8-15".to_owned()),
            (format!("{unit}/events/clockticks"), "event=0x1".to_owned()),
        ];
        for (name, text) in
            [("cas_count_read", "event=0x4,umask=0x3"), ("cas_count_write", "event=0x4,umask=0xc")]
        {
            files.push((format!("{unit}/events/{name}"), text.to_owned()));
            files.push((format!("{unit}/events/{name}.scale"), "6.103515625e-5".to_owned()));
            files.push((format!("{unit}/events/{name}.unit"), "MiB".to_owned()));
        }
        files
    }

    fn text(files: &[(String, String)]) -> Vec<(&str, &str)> {
        files.iter().map(|(path, text)| (path.as_str(), text.as_str())).collect()
    }

    #[test]
    fn every_controller_is_asked_both_ways_at_each_of_its_places() {
        let mut files = controller("uncore_imc_0", "14");
        files.extend(controller("uncore_imc_1", "15"));
        // Described a second time, and a unit that is no memory controller.
        files.extend(controller("uncore_imc_free_running_0", "16"));
        files.extend(controller("uncore_iio_0", "17"));
        let found = wanted(&root(&text(&files)));
        let mut asked: Vec<(u32, u64, usize)> =
            found.iter().map(|(cpu, known, _)| (known.event.unit, known.event.config[0], *cpu)).collect();
        asked.sort_unstable();
        let each = |unit| [(unit, 0x304, 0), (unit, 0x304, 8), (unit, 0xC04, 0), (unit, 0xC04, 8)];
        assert_eq!(asked, [each(14), each(15)].concat());
        assert!(found.iter().all(|(_, _, bytes)| (bytes - 64.0).abs() < 1e-9));
        assert_eq!(family("uncore_imc_12"), "uncore_imc");
    }

    #[test]
    fn a_total_is_taken_where_the_ways_are_not_told_apart() {
        let base = [
            ("m_imc/type", "20"),
            ("m_imc/format/event", "config:0-7"),
            ("m_imc/events/data_total", "event=0x5"),
        ];
        let unit = [("m_imc/events/data_total.unit", "GiB")];
        let found = wanted(&root(&[&base[..], &unit].concat()));
        assert_eq!(found.len(), 1);
        assert_eq!((found[0].0, found[0].2), (0, 1_073_741_824.0));
        // Without a unit it is a count of something else.
        assert!(wanted(&root(&base)).is_empty());
        let both = [
            ("m_imc/events/data_reads", "event=0x1"),
            ("m_imc/events/data_reads.unit", "MiB"),
            ("m_imc/events/data_writes", "event=0x2"),
            ("m_imc/events/data_writes.unit", "MiB"),
        ];
        let found = wanted(&root(&[&base[..], &unit, &both].concat()));
        assert_eq!(found.iter().map(|(_, known, _)| known.event.config[0]).collect::<Vec<_>>(), [1, 2]);
    }

    #[test]
    fn without_controllers_there_is_no_zero() {
        assert_eq!(Controllers::open(&root(&[])).unwrap_err(), Refused::NotThere);
    }
}
