//! The kernel's calls about threads: where they may run, where this one runs, how long it ran.

use std::io;
use std::time::Duration;

/// Most processors that are told apart.
const MOST: usize = libc::CPU_SETSIZE as usize;

fn empty_set() -> libc::cpu_set_t {
    // SAFETY: a set is an array of whole numbers, for which all bits zero is the empty set.
    unsafe { core::mem::zeroed() }
}

/// The processors that this process may use, by the system's numbers.
///
/// # Errors
/// The system does not say.
pub fn allowed() -> io::Result<Vec<usize>> {
    let mut set = empty_set();
    // SAFETY: the set is ours and as large as is said; 0 is this thread.
    let told = unsafe { libc::sched_getaffinity(0, size_of::<libc::cpu_set_t>(), &raw mut set) };
    if told != 0 {
        return Err(io::Error::last_os_error());
    }
    // SAFETY: the place is below the set's size.
    Ok((0..MOST).filter(|cpu| unsafe { libc::CPU_ISSET(*cpu, &set) }).collect())
}

/// Lets this thread run on one processor only.
///
/// # Errors
/// The processor is not there, switched off, or not for this process.
pub fn pin_to(cpu: usize) -> io::Result<()> {
    if cpu >= MOST {
        return Err(io::Error::from(io::ErrorKind::InvalidInput));
    }
    let mut set = empty_set();
    // SAFETY: the place is below the set's size.
    unsafe { libc::CPU_SET(cpu, &mut set) };
    // SAFETY: the set is ours and as large as is said; 0 is this thread.
    let done = unsafe { libc::sched_setaffinity(0, size_of::<libc::cpu_set_t>(), &raw const set) };
    if done == 0 { Ok(()) } else { Err(io::Error::last_os_error()) }
}

/// Lets other threads go first, so that whoever watches is never kept waiting. Where the system refuses, nothing changes.
pub fn step_back() {
    const BEHIND: libc::c_int = 10;
    // SAFETY: numbers only; 0 is this thread, as Linux takes it.
    unsafe {
        libc::setpriority(libc::PRIO_PROCESS, 0, BEHIND);
    }
}

/// How long this thread has been running on a processor.
pub fn thread_time() -> Duration {
    let mut time = libc::timespec { tv_sec: 0, tv_nsec: 0 };
    // SAFETY: the place for the answer is ours.
    let told = unsafe { libc::clock_gettime(libc::CLOCK_THREAD_CPUTIME_ID, &raw mut time) };
    if told != 0 {
        return Duration::ZERO;
    }
    Duration::new(u64::try_from(time.tv_sec).unwrap_or(0), u32::try_from(time.tv_nsec).unwrap_or(0))
}

#[cfg(test)]
mod tests {
    use super::{allowed, pin_to, thread_time};

    #[test]
    fn a_thread_stays_where_it_was_put() {
        let before = allowed().unwrap();
        std::thread::spawn(move || {
            let last = *before.last().unwrap();
            pin_to(last).unwrap();
            assert_eq!(allowed().unwrap(), [last]);
            assert!(pin_to(1_000_000).is_err());
        })
        .join()
        .unwrap();
    }

    #[test]
    fn a_threads_time_goes_on_while_it_works() {
        let begun = thread_time();
        let mut x = 1_u64;
        while thread_time() == begun {
            x = std::hint::black_box(x.wrapping_mul(3));
        }
        assert!(thread_time() > begun);
    }
}
