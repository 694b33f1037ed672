//! The kernel's call that opens counters, and the reading of a group of them.

use std::fs::File;
use std::io::{self, Read as _};
use std::os::fd::{AsRawFd as _, FromRawFd as _};

use crate::counting::described::Event;
use crate::counting::refused::Refused;

/// Whose events are counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Scope {
    /// Everything that a processor does, by the system's number.
    Processor(usize),
    /// This thread, wherever it runs.
    ThisThread,
}

/// The kernel's description of an event, as far as counting needs it: the fields up to the third setting.
///
/// # Source
/// Linux kernel, include/uapi/linux/perf_event.h, `struct perf_event_attr`; 72 bytes is `PERF_ATTR_SIZE_VER1`.
#[derive(Debug, Default)]
#[repr(C)]
struct Attributes {
    kind: u32,
    size: u32,
    config: u64,
    sample_period: u64,
    sample_type: u64,
    read_format: u64,
    flags: u64,
    wakeup_events: u32,
    bp_type: u32,
    config1: u64,
    config2: u64,
}

const _: () = assert!(size_of::<Attributes>() == 72);

/// Times that a group was wanted and that it ran; all values of a group at once.
const READ_FORMAT: u64 = 1 | 2 | 8;
/// Closed in programs that this one starts.
const CLOSE_ON_EXEC: libc::c_ulong = 8;

fn open(event: Event, scope: Scope, group: Option<&File>) -> Result<File, Refused> {
    let attributes = Attributes {
        kind: event.unit,
        size: size_of::<Attributes>() as u32,
        config: event.config[0],
        config1: event.config[1],
        config2: event.config[2],
        read_format: READ_FORMAT,
        ..Attributes::default()
    };
    let (task, processor) = match scope {
        Scope::Processor(number) => (-1, libc::c_int::try_from(number).map_err(|_| Refused::NotThere)?),
        Scope::ThisThread => (0, -1),
    };
    let group = group.map_or(-1, |leader| leader.as_raw_fd());
    // SAFETY: the description is ours, lives through the call and says its own size; the rest are numbers.
    let descriptor = unsafe {
        libc::syscall(
            libc::SYS_perf_event_open,
            &raw const attributes,
            task as libc::pid_t,
            processor,
            group,
            CLOSE_ON_EXEC,
        )
    };
    match libc::c_int::try_from(descriptor) {
        // SAFETY: the call made this descriptor just now, and nobody else has it.
        Ok(descriptor) if descriptor >= 0 => Ok(unsafe { File::from_raw_fd(descriptor) }),
        _ => Err(Refused::of(io::Error::last_os_error().raw_os_error().unwrap_or(0))),
    }
}

/// Most counters of a group.
pub const MOST: usize = 4;

/// Counters that run at the same times.
#[derive(Debug)]
pub struct Group {
    leader: File,
    /// Held open, so that they count.
    members: Vec<File>,
    last: Option<Reading>,
}

/// What a group says: nanoseconds that it was wanted and ran, and its values, the leader's first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Reading {
    wanted_ns: u64,
    ran_ns: u64,
    values: [u64; MOST],
}

impl Group {
    /// Opens counters that run together, which begin at once.
    ///
    /// # Errors
    /// One of them cannot be had.
    pub fn open(events: &[Event], scope: Scope) -> Result<Self, Refused> {
        let (first, others) = events.split_first().ok_or(Refused::NotThere)?;
        if events.len() > MOST {
            return Err(Refused::NotThere);
        }
        let leader = open(*first, scope, None)?;
        let members =
            others.iter().map(|event| open(*event, scope, Some(&leader))).collect::<Result<_, _>>()?;
        Ok(Self { leader, members, last: None })
    }

    fn read(&mut self) -> Option<Reading> {
        let mut bytes = [0; 8 * (3 + MOST)];
        let length = self.leader.read(&mut bytes).ok()?;
        let mut words = bytes
            .get(..length)?
            .chunks_exact(8)
            .filter_map(|word| Some(u64::from_ne_bytes(word.try_into().ok()?)));
        let count = usize::try_from(words.next()?).ok()?;
        if count != self.members.len() + 1 {
            return None;
        }
        let mut reading = Reading { wanted_ns: words.next()?, ran_ns: words.next()?, values: [0; MOST] };
        for value in reading.values.iter_mut().take(count) {
            *value = words.next()?;
        }
        Some(reading)
    }

    /// What the counters rose by since this was asked last, filled up for the time in which others had the hardware; none at
    /// first, and where they did not run at all.
    pub fn rises(&mut self) -> Option<[f64; MOST]> {
        let now = self.read()?;
        let then = self.last.replace(now)?;
        rises(&then, &now)
    }
}

fn rises(then: &Reading, now: &Reading) -> Option<[f64; MOST]> {
    let (wanted, ran) = (now.wanted_ns.checked_sub(then.wanted_ns)?, now.ran_ns.checked_sub(then.ran_ns)?);
    if ran == 0 {
        return None;
    }
    let fill = wanted as f64 / ran as f64;
    let mut out = [0.0; MOST];
    for (out, (now, then)) in out.iter_mut().zip(now.values.iter().zip(&then.values)) {
        *out = now.checked_sub(*then)? as f64 * fill;
    }
    Some(out)
}

#[cfg(test)]
mod tests {
    use super::{Event, Group, MOST, Reading, Refused, Scope, rises};
    use crate::processor::thread_time;

    // Linux kernel, include/uapi/linux/perf_event.h: software events.
    const SOFTWARE: u32 = 1;
    const TASK_CLOCK: Event = Event { unit: SOFTWARE, config: [1, 0, 0] };
    const PAGE_FAULTS: Event = Event { unit: SOFTWARE, config: [2, 0, 0] };

    /// None where this system, a container say, forbids the call itself.
    fn group(events: &[Event]) -> Option<Group> {
        match Group::open(events, Scope::ThisThread) {
            Ok(group) => Some(group),
            Err(Refused::Forbidden | Refused::NoCall) => {
                eprintln!("counters are forbidden here: not tested");
                None
            }
            Err(other) => panic!("{other}"),
        }
    }

    #[test]
    fn the_kernels_own_counters_count_what_this_thread_does() {
        let Some(mut group) = group(&[PAGE_FAULTS, TASK_CLOCK]) else { return };
        assert_eq!(group.rises(), None, "the first look sets them");
        // Pages of fresh memory, each touched once: a fault each, unless the system hands out larger ones.
        const PAGES: usize = 2000;
        let before = thread_time();
        let mut memory = vec![0_u8; PAGES * 4096];
        for page in memory.chunks_mut(4096) {
            page[0] = 1;
        }
        let mut x = 1_u64;
        while (thread_time() - before).as_millis() < 20 {
            x = std::hint::black_box(x.wrapping_mul(3));
        }
        let took = (thread_time() - before).as_nanos() as f64;
        std::hint::black_box(&memory);
        let [faults, clock, ..] = group.rises().unwrap();
        // The thread's clock as another call tells it. A virtual machine's time that went to others is in one of them and not in
        // the other, so only the size is asked for: units or fields mixed up would be off by a thousand.
        assert!((0.1..10.0).contains(&(clock / took)), "{clock} ns counted, {took} ns by the thread's clock");
        assert!((4.0..=PAGES as f64 + 200.0).contains(&faults), "{faults}");
    }

    #[test]
    fn a_processor_is_counted_whatever_runs_on_it() {
        // Page faults and switches between tasks of one processor; only root or a system that allows it may.
        let first = crate::processor::allowed().unwrap()[0];
        let switches = Event { unit: SOFTWARE, config: [3, 0, 0] };
        let mut group = match Group::open(&[PAGE_FAULTS, switches], Scope::Processor(first)) {
            Ok(group) => group,
            Err(Refused::Forbidden | Refused::NoCall) => {
                eprintln!("counting a whole processor is forbidden here: not tested");
                return;
            }
            Err(other) => panic!("{other}"),
        };
        group.rises();
        let worker = std::thread::spawn(move || {
            crate::processor::pin_to(first).unwrap();
            let mut memory = vec![0_u8; 64 << 20];
            for page in memory.chunks_mut(4096) {
                page[0] = 1;
            }
            std::hint::black_box(&memory);
        });
        worker.join().unwrap();
        // Another thread's faults, and at least the switch to it, seen from here. Large pages make few faults.
        let [faults, switches, ..] = group.rises().unwrap();
        assert!(faults >= 16.0 && switches >= 1.0, "{faults} faults, {switches} switches");
    }

    #[test]
    fn what_is_not_there_is_refused() {
        let event = Event { unit: 0x7FFF_FFFF, config: [0; 3] };
        let refused = Group::open(&[event], Scope::ThisThread).unwrap_err();
        assert!(matches!(refused, Refused::NotThere | Refused::Forbidden | Refused::NoCall), "{refused:?}");
        assert_eq!(Group::open(&[], Scope::ThisThread).unwrap_err(), Refused::NotThere);
        assert!(Group::open(&[TASK_CLOCK; MOST + 1], Scope::ThisThread).is_err());
        assert!(Group::open(&[TASK_CLOCK], Scope::Processor(1 << 20)).is_err());
    }

    #[test]
    fn time_in_which_others_counted_is_filled_up() {
        let reading = |wanted_ns, ran_ns, value| Reading { wanted_ns, ran_ns, values: [value, 0, 0, 0] };
        assert_eq!(rises(&reading(0, 0, 0), &reading(100, 25, 7)), Some([28.0, 0.0, 0.0, 0.0]));
        assert_eq!(rises(&reading(100, 25, 7), &reading(200, 25, 7)), None, "it did not run");
        assert_eq!(rises(&reading(100, 25, 7), &reading(200, 50, 6)), None, "a counter never falls");
    }
}
