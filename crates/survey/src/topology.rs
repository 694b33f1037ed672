//! The processor as the kernel sees it: name, signature, cores by kind, threads, caches, clocks.

use std::collections::{BTreeMap, BTreeSet};

use crate::psabi;
use crate::root::Root;

/// The signature that the processor gives of itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Signature {
    /// Family.
    pub family: u32,
    /// Model.
    pub model: u32,
    /// Stepping.
    pub stepping: u32,
}

impl core::fmt::Display for Signature {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{}-{}-{}", self.family, self.model, self.stepping)
    }
}

/// Cores of one kind: alike in highest clock and threads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CoreKind {
    /// How many.
    pub count: u32,
    /// Threads that one of them runs.
    pub threads_per_core: u32,
    /// Highest clock in kilohertz, where the kernel says it.
    pub max_khz: Option<u64>,
}

/// One level of cache.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cache {
    /// Level.
    pub level: u32,
    /// Data, Instruction or Unified, as the kernel says.
    pub kind: String,
    /// Size of one, in kibibytes.
    pub kib: u64,
    /// How many there are.
    pub count: u32,
}

/// The processor as the kernel sees it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Topology {
    /// Name that the processor reports.
    pub name: Option<String>,
    /// Who made it, as it reports.
    pub vendor: Option<String>,
    /// Signature.
    pub signature: Option<Signature>,
    /// Packages.
    pub packages: u32,
    /// Cores by kind, fastest first.
    pub cores: Vec<CoreKind>,
    /// Caches by level.
    pub caches: Vec<Cache>,
    /// Instruction-set level 1 to 4.
    pub level: Option<u8>,
}

impl Topology {
    /// Cores of all kinds.
    pub fn core_count(&self) -> u32 {
        self.cores.iter().map(|kind| kind.count).sum()
    }

    /// Threads of all kinds.
    pub fn thread_count(&self) -> u32 {
        self.cores.iter().map(|kind| kind.count * kind.threads_per_core).sum()
    }
}

/// Most processors of a kernel that are looked at.
const MOST: usize = 4096;

/// Fields of the first processor in `/proc/cpuinfo`.
fn first_block(text: &str) -> BTreeMap<&str, &str> {
    text.lines()
        .take_while(|line| !line.trim().is_empty())
        .filter_map(|line| line.split_once(':'))
        .map(|(name, value)| (name.trim(), value.trim()))
        .collect()
}

/// The processor as the kernel sees it.
pub fn topology(root: &Root) -> Topology {
    let text = root.text("proc/cpuinfo").unwrap_or_default();
    let block = first_block(&text);
    let number = |name: &str| block.get(name)?.parse::<u32>().ok();
    let signature = match (number("cpu family"), number("model"), number("stepping")) {
        (Some(family), Some(model), Some(stepping)) => Some(Signature { family, model, stepping }),
        _ => None,
    };
    let word = |name: &str| block.get(name).filter(|text| !text.is_empty()).map(|text| (*text).to_owned());
    let mut out = Topology {
        name: word("model name"),
        vendor: word("vendor_id"),
        signature,
        level: block.get("flags").and_then(|flags| psabi::level(flags.split_whitespace())),
        ..Topology::default()
    };
    cores(root, &mut out);
    if out.cores.is_empty() {
        from_cpuinfo(&text, &mut out);
    }
    out
}

/// Cores and caches from sysfs.
fn cores(root: &Root, out: &mut Topology) {
    const BASE: &str = "sys/devices/system/cpu";
    let mut threads: BTreeMap<(u64, u64), (u32, Option<u64>)> = BTreeMap::new();
    let mut packages = BTreeSet::new();
    let mut caches: BTreeMap<(u32, String, u64), BTreeSet<String>> = BTreeMap::new();
    let names = root.list(BASE);
    let numbered = names.iter().filter(|name| {
        name.strip_prefix("cpu")
            .is_some_and(|rest| !rest.is_empty() && rest.bytes().all(|b| b.is_ascii_digit()))
    });
    for name in numbered.take(MOST) {
        let at = |file: &str| format!("{BASE}/{name}/{file}");
        let Some(core) = root.number(&at("topology/core_id")) else { continue };
        let package = root.number(&at("topology/physical_package_id")).unwrap_or(0);
        packages.insert(package);
        let clock = root.number(&at("cpufreq/cpuinfo_max_freq"));
        let entry = threads.entry((package, core)).or_insert((0, clock));
        entry.0 += 1;
        for index in root.list(&at("cache")) {
            let part = |file: &str| root.text(&at(&format!("cache/{index}/{file}")));
            let (Some(level), Some(kind), Some(size)) = (part("level"), part("type"), part("size")) else {
                continue;
            };
            let (Ok(level), Some(kib)) = (level.parse(), size.trim_end_matches('K').parse().ok()) else {
                continue;
            };
            let shared = part("shared_cpu_list").unwrap_or_else(|| name.clone());
            caches.entry((level, kind, kib)).or_default().insert(shared);
        }
    }
    let mut kinds: BTreeMap<(core::cmp::Reverse<Option<u64>>, u32), u32> = BTreeMap::new();
    for (count, clock) in threads.values() {
        *kinds.entry((core::cmp::Reverse(*clock), *count)).or_default() += 1;
    }
    out.packages = u32::try_from(packages.len()).unwrap_or(u32::MAX);
    out.cores = merged(kinds);
    out.caches = caches
        .into_iter()
        .map(|((level, kind, kib), shared)| Cache {
            level,
            kind,
            kib,
            count: u32::try_from(shared.len()).unwrap_or(u32::MAX),
        })
        .collect();
}

/// Favoured cores may be clocked a few per cent higher than their brothers and are no kind of their own.
fn merged(kinds: BTreeMap<(core::cmp::Reverse<Option<u64>>, u32), u32>) -> Vec<CoreKind> {
    let mut out: Vec<CoreKind> = Vec::new();
    for ((core::cmp::Reverse(max_khz), threads_per_core), count) in kinds {
        let alike = out.last_mut().filter(|last| {
            last.threads_per_core == threads_per_core
                && match (last.max_khz, max_khz) {
                    (Some(a), Some(b)) => a - b <= a / 16,
                    (a, b) => a == b,
                }
        });
        match alike {
            Some(last) => last.count += count,
            None => out.push(CoreKind { count, threads_per_core, max_khz }),
        }
    }
    out
}

/// Where sysfs says nothing: counts of `/proc/cpuinfo`.
fn from_cpuinfo(text: &str, out: &mut Topology) {
    let block = first_block(text);
    let number = |name: &str| block.get(name).and_then(|value| value.parse::<u32>().ok());
    if let (Some(cores), Some(siblings)) = (number("cpu cores"), number("siblings"))
        && cores > 0
    {
        out.packages = out.packages.max(1);
        out.cores =
            vec![CoreKind { count: cores, threads_per_core: (siblings / cores).max(1), max_khz: None }];
    }
}
