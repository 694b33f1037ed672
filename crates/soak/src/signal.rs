//! The person's and the system's wish to end: Ctrl-C, and what a shutting-down system sends.

use std::io;
use std::sync::atomic::{AtomicBool, Ordering};

static ASKED: AtomicBool = AtomicBool::new(false);

extern "C" fn ask(_signal: libc::c_int) {
    // Storing into an atomic is all that a signal's handler may safely do here.
    ASKED.store(true, Ordering::Relaxed);
}

/// From now on Ctrl-C (SIGINT), SIGTERM and SIGHUP only note that an end is wished.
///
/// # Errors
/// The system refuses.
pub fn listen() -> io::Result<()> {
    for signal in [libc::SIGINT, libc::SIGTERM, libc::SIGHUP] {
        // SAFETY: all bits zero is a valid action: no flags, an empty mask.
        let mut action: libc::sigaction = unsafe { core::mem::zeroed() };
        action.sa_sigaction = ask as extern "C" fn(libc::c_int) as usize;
        // SAFETY: the action is ours, its handler touches one atomic only, and no old action is asked for.
        let done = unsafe { libc::sigaction(signal, &raw const action, core::ptr::null_mut()) };
        if done != 0 {
            return Err(io::Error::last_os_error());
        }
    }
    Ok(())
}

/// Whether somebody asked for the end since [`listen`].
pub fn asked() -> bool {
    ASKED.load(Ordering::Relaxed)
}
