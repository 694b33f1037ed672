//! This machine's cores, memory and caches, for a plan.

use std::io;
use std::path::Path;

use survey::root::Root;

use crate::processor::allowed;
use crate::run::worker::Core;

/// Memory of a worker: enough for a matrix that no second-level cache holds, and no more than a quarter of what is free.
const LEAST: usize = 4 << 20;
const MOST: usize = 128 << 20;
/// The core's own cache, where the system does not say.
const CACHE: usize = 256 << 10;

/// Threads of the processor that may be used, with the number of the core each belongs to.
///
/// # Errors
/// The system does not say.
pub fn cores() -> io::Result<Vec<Core>> {
    let root = Root::folder(Path::new("/"))?;
    let number = |cpu: usize| {
        let core = root.number(&format!("sys/devices/system/cpu/cpu{cpu}/topology/core_id"))?;
        usize::try_from(core).ok()
    };
    Ok(allowed()?.into_iter().map(|cpu| Core { cpu, core: number(cpu).unwrap_or(cpu) }).collect())
}

/// Memory for each of so many workers, in bytes.
pub fn memory(workers: usize) -> usize {
    let free = || {
        let text = Root::folder(Path::new("/")).ok()?.text("proc/meminfo")?;
        let line = text.lines().find_map(|line| line.strip_prefix("MemAvailable:"))?;
        line.trim().trim_end_matches("kB").trim().parse::<usize>().ok()
    };
    let share = free().map_or(LEAST, |kib| kib.saturating_mul(1024) / 4 / workers.max(1));
    share.clamp(LEAST, MOST)
}

/// The first core's own second-level cache, in bytes.
pub fn cache() -> usize {
    let find = || {
        let root = Root::folder(Path::new("/")).ok()?;
        let base = "sys/devices/system/cpu/cpu0/cache";
        let index = root
            .list(base)
            .into_iter()
            .find(|index| root.number(&format!("{base}/{index}/level")) == Some(2))?;
        let kib = root.text(&format!("{base}/{index}/size"))?;
        Some(kib.trim_end_matches('K').parse::<usize>().ok()?.saturating_mul(1024))
    };
    find().unwrap_or(CACHE)
}
