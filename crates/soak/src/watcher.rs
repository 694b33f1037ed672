//! Looks at what the machine is doing, ten times a second, with next to no load of its own.

use std::fs::File;
use std::os::unix::fs::FileExt as _;
use std::time::{Duration, Instant};

use survey::root::Root;
use upgrade::gain::observed::span::{Span, state};

use crate::counting::controllers::Controllers;
use crate::counting::cores::{Cores, Work};
use crate::counting::refused::Refused;
use crate::processor::thread_time;
use crate::sensors::channel::{Source, Text, number};
use crate::sensors::counters::Counter;

/// Looks a second.
pub const LOOKS_HZ: f64 = 10.0;
/// Length of a span.
pub const SPAN_S: f64 = 10.0;
/// Longest nap; a wish to end is seen within it.
const NAP: Duration = Duration::from_millis(50);

/// A counter in a file, as the share of a second that it counts in.
#[derive(Debug)]
struct Share {
    source: Source,
    counter: Counter,
    per_s: f64,
}

impl Share {
    fn of(root: &Root, path: &str, text: Text, per_s: f64) -> Option<Self> {
        let source = Source::new(root.open(path).ok()?, text);
        source.read()?;
        Some(Self { source, counter: Counter::new(None), per_s })
    }

    fn since(&mut self, time_s: f64) -> Option<f64> {
        let rise = self.counter.rise(time_s, self.source.read())?;
        Some(rise.by / (rise.in_s * self.per_s))
    }
}

/// What is looked at.
#[derive(Debug)]
pub struct Watcher {
    stat: File,
    text: Vec<u8>,
    times: Source,
    last_times: Option<(i128, i128)>,
    stalled: [Option<Share>; 3],
    disks: Vec<Share>,
    graphics: Vec<Source>,
    clocks: Vec<Source>,
    memory: Vec<Share>,
    cores: Result<Cores, Refused>,
    controllers: Result<Controllers, Refused>,
    /// What the system says of who may count.
    level: Option<String>,
    /// Whether the cores' counters ever counted.
    has_counted: bool,
    threads: u32,
}

/// What rose during a span.
#[derive(Debug, Clone, Copy, Default)]
struct Rises {
    busy: Option<f64>,
    stalled: [Option<f64>; 3],
    disk: Option<f64>,
    /// Bytes a second, by the cores' monitors.
    memory: Option<f64>,
    /// Bytes, by the controllers' counters.
    bytes: Option<f64>,
    work: Option<Work>,
}

/// Why watching cannot begin.
#[derive(Debug, thiserror::Error)]
#[error("the system's counts of tasks (/proc/stat) cannot be read")]
pub struct NoCounts;

/// What one look found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Counts {
    /// Tasks that run or could.
    pub runs: u32,
    /// Tasks that wait in a disk's queue.
    pub stuck: u32,
}

/// Lines `procs_running` and `procs_blocked` of the system's counts.
pub fn counts(text: &[u8]) -> Option<Counts> {
    let find = |name: &[u8]| {
        let line = text.rsplit(|byte| *byte == b'\n').find_map(|line| line.strip_prefix(name))?;
        u32::try_from(number(line)?).ok()
    };
    Some(Counts { runs: find(b"procs_running ")?, stuck: find(b"procs_blocked ")? })
}

impl Watcher {
    /// Opens what there is.
    ///
    /// # Errors
    /// The counts of tasks cannot be read.
    pub fn new(root: &Root) -> Result<Self, NoCounts> {
        let open = |path: &str| root.open(path).ok();
        let stat = open("proc/stat").ok_or(NoCounts)?;
        let times = Source::new(open("proc/stat").ok_or(NoCounts)?, Text::Times);
        let stalled = ["cpu", "memory", "io"]
            .map(|what| Share::of(root, &format!("proc/pressure/{what}"), Text::Stall, 1e6));
        let disks = root
            .list("sys/block")
            .into_iter()
            .take(64)
            .filter(|disk| root.has(&format!("sys/block/{disk}/device")) || disk.starts_with("vd"))
            .filter_map(|disk| Share::of(root, &format!("sys/block/{disk}/stat"), Text::DiskBusy, 1e3))
            .collect();
        let graphics = root
            .list("sys/class/drm")
            .into_iter()
            .take(64)
            .filter_map(|card| open(&format!("sys/class/drm/{card}/device/gpu_busy_percent")))
            .map(|file| Source::new(file, Text::Number))
            .collect();
        let cores = crate::sensors::find::cores(root);
        let clocks = cores
            .iter()
            .filter_map(|(cpu, _)| open(&format!("sys/devices/system/cpu/cpu{cpu}/cpufreq/scaling_cur_freq")))
            .map(|file| Source::new(file, Text::Number))
            .collect();
        let memory = root
            .list("sys/fs/resctrl/mon_data")
            .into_iter()
            .filter_map(|domain| {
                Share::of(
                    root,
                    &format!("sys/fs/resctrl/mon_data/{domain}/mbm_total_bytes"),
                    Text::Number,
                    1.0,
                )
            })
            .collect();
        let threads = root.text("proc/stat").map_or(1, |text| {
            text.lines().filter(|line| line.starts_with("cpu") && !line.starts_with("cpu ")).count()
        });
        // Counters are this machine's, whatever tree its files stand in.
        let (cores, controllers) = if root.is_live() {
            (Cores::open(root), Controllers::open(root))
        } else {
            (Err(Refused::NotThere), Err(Refused::NotThere))
        };
        let level = root.text("proc/sys/kernel/perf_event_paranoid");
        let mut watcher = Self {
            stat,
            text: vec![0; 1 << 16],
            times,
            last_times: None,
            stalled,
            disks,
            graphics,
            clocks,
            memory,
            cores,
            controllers,
            level,
            has_counted: false,
            threads: u32::try_from(threads.max(1)).unwrap_or(u32::MAX),
        };
        watcher.look().ok_or(NoCounts)?;
        Ok(watcher)
    }

    /// Threads of the processor.
    pub const fn threads(&self) -> u32 {
        self.threads
    }

    /// Which counters could not be had, why, and what would let them, in sentences.
    pub fn not_counted(&self) -> Vec<String> {
        let cores = match &self.cores {
            Ok(_) if self.has_counted => None,
            Ok(_) => Some(Refused::Still),
            Err(refused) => Some(*refused),
        };
        // The cores' own monitors tell of memory as well.
        let controllers = self.controllers.as_ref().err().filter(|_| self.memory.is_empty()).copied();
        let told = |what: &str, refused: Refused| {
            let cure = refused.cure(self.level.as_deref()).map_or(String::new(), |cure| format!(" {cure}"));
            format!("{what} would narrow this: {refused}.{cure}")
        };
        match (cores, controllers) {
            (Some(one), Some(other)) if one == other => {
                vec![told("The counters of cores and memory controllers", one)]
            }
            (cores, controllers) => cores
                .map(|refused| told("The cores' counters", refused))
                .into_iter()
                .chain(controllers.map(|refused| told("The memory controllers' counters", refused)))
                .collect(),
        }
    }

    /// Tasks at this moment, without the one that looks.
    pub fn look(&mut self) -> Option<Counts> {
        loop {
            let length = self.stat.read_at(&mut self.text, 0).ok()?;
            if length < self.text.len() {
                let counts = counts(self.text.get(..length)?)?;
                return Some(Counts { runs: counts.runs.saturating_sub(1), ..counts });
            }
            // A machine with very many interrupts; the room is kept.
            self.text.resize(self.text.len() * 2, 0);
        }
    }

    fn graphics_busy(&self) -> Option<f64> {
        let busy = self.graphics.iter().filter_map(|card| Some(card.read()? as f64 / 100.0));
        busy.reduce(f64::max)
    }

    fn busy(&mut self) -> Option<f64> {
        let now = self.times.read().map(|raw| (raw >> 64, raw & i128::from(u64::MAX)))?;
        let (busy_then, all_then) = self.last_times.replace(now)?;
        let all = now.1 - all_then;
        (all > 0).then(|| (now.0 - busy_then) as f64 / all as f64 * f64::from(self.threads))
    }

    /// Watches for a span; shorter where the end is wished.
    pub fn span(&mut self, begun: Instant, length_s: f64, asked: &dyn Fn() -> bool) -> Span {
        let mut span = Span::default();
        let start_s = begun.elapsed().as_secs_f64();
        // Sets the counters; what they rose by is read at the end.
        let _ = self.rises(start_s);
        let mut graphics = (0.0, 0.0);
        let mut next_s = start_s;
        while begun.elapsed().as_secs_f64() - start_s < length_s && !asked() {
            if let Some(Counts { runs, stuck }) = self.look() {
                let busy = self.graphics_busy();
                span.count(state(runs, stuck, busy), runs);
                graphics = busy.map_or(graphics, |busy| (graphics.0 + busy, graphics.1 + 1.0));
            }
            next_s += 1.0 / LOOKS_HZ;
            loop {
                let left = next_s - begun.elapsed().as_secs_f64();
                if left <= 0.0 || asked() {
                    break;
                }
                std::thread::sleep(Duration::from_secs_f64(left).min(NAP));
            }
        }
        let end_s = begun.elapsed().as_secs_f64();
        span.length_s = end_s - start_s;
        let rises = self.rises(end_s);
        span.busy = rises.busy;
        span.stalled = rises.stalled;
        span.disk = rises.disk;
        let a_second = |count: f64| (span.length_s > 0.0).then(|| count / span.length_s);
        span.memory_bytes_s = rises.bytes.and_then(a_second).or(rises.memory);
        if let Some(work) = rises.work {
            span.instructions_per_cycle = Some(work.instructions / work.cycles);
            span.stalled_cycles = work.stalled;
            span.memory_bound = work.memory_bound;
            span.misses_s = work.misses.and_then(a_second);
        }
        span.graphics = (graphics.1 > 0.0).then(|| graphics.0 / graphics.1);
        let clocks: Vec<f64> =
            self.clocks.iter().filter_map(|clock| Some(clock.read()? as f64 / 1e3)).collect();
        span.clock_mhz = (!clocks.is_empty()).then(|| clocks.iter().sum::<f64>() / clocks.len() as f64);
        span
    }

    fn rises(&mut self, time_s: f64) -> Rises {
        let mut stalled = [None; 3];
        for (cell, share) in stalled.iter_mut().zip(&mut self.stalled) {
            *cell = share.as_mut().and_then(|share| share.since(time_s)).map(|share| share.min(1.0));
        }
        let disk = self.disks.iter_mut().filter_map(|disk| disk.since(time_s)).reduce(f64::max);
        let work = self.cores.as_mut().ok().and_then(Cores::work);
        self.has_counted |= work.is_some();
        Rises {
            busy: self.busy(),
            stalled,
            disk: disk.map(|share| share.min(1.0)),
            memory: self
                .memory
                .iter_mut()
                .filter_map(|domain| domain.since(time_s))
                .reduce(|sum, one| sum + one),
            bytes: self.controllers.as_mut().ok().and_then(Controllers::bytes),
            work,
        }
    }
}

/// Share of a core that watching took since a thread began, for its own report.
pub fn own_share(since: Instant, time_then: Duration) -> f64 {
    let passed = since.elapsed().as_secs_f64();
    if passed > 0.0 { (thread_time().saturating_sub(time_then)).as_secs_f64() / passed } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::{Counts, counts};

    #[test]
    fn tasks_are_counted_at_the_end_of_the_text() {
        let text = b"cpu  1 2 3 4\nintr 5 0 0\nctxt 9\nbtime 1\nprocesses 12\nprocs_running 3\nprocs_blocked 1\nsoftirq 4 0\n";
        assert_eq!(counts(text), Some(Counts { runs: 3, stuck: 1 }));
        assert_eq!(counts(b"procs_running 3\n"), None);
        assert_eq!(counts(b"procs_running x\nprocs_blocked 1\n"), None);
    }
}
