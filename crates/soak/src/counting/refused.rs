//! Why a counter does not count, and what would let it.

/// Why a counter cannot be had.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, thiserror::Error)]
pub enum Refused {
    /// This machine, or the virtual one that it is, has no such counter.
    #[error("this machine shows no such counter, as virtual machines often do not")]
    NotThere,
    /// It is there and counted nothing: others hold it, or it is only for show.
    #[error("the counters are there, but count nothing: another program may hold them, or a virtual machine")]
    Still,
    /// The kernel has no call for counters.
    #[error("the system's kernel was built without counters, or forbids the call for them")]
    NoCall,
    /// Too many files are open.
    #[error("too many files are open for all counters")]
    TooMany,
    /// The system failed in another way.
    #[error("the system refuses (error {0})")]
    Failed(i32),
    /// Not for this user.
    #[error("the system keeps them from this user")]
    Forbidden,
}

impl Refused {
    /// From the call's error number.
    ///
    /// # Source
    /// Linux manual pages, `perf_event_open(2)`, section ERRORS.
    pub const fn of(number: i32) -> Self {
        match number {
            libc::EACCES | libc::EPERM => Self::Forbidden,
            libc::ENOENT | libc::ENODEV | libc::EOPNOTSUPP | libc::EINVAL | libc::ENXIO => Self::NotThere,
            libc::ENOSYS => Self::NoCall,
            libc::EMFILE | libc::ENFILE => Self::TooMany,
            number => Self::Failed(number),
        }
    }

    /// What would let it count, in a sentence; none where nothing on this machine would. `level` is what the system's
    /// `kernel.perf_event_paranoid` says.
    pub fn cure(self, level: Option<&str>) -> Option<String> {
        match self {
            Self::Forbidden => Some(format!(
                "What would let them: run it as root, give the program the right CAP_PERFMON, or set kernel.perf_event_paranoid to 0 ({}).",
                level.map_or("it cannot be read here".to_owned(), |level| format!("it is {level} now"))
            )),
            Self::NoCall => Some(
                "What would let them: a kernel with performance events, or a container that allows the call."
                    .to_owned(),
            ),
            Self::TooMany => {
                Some("What would let them: a higher limit of open files (ulimit -n).".to_owned())
            }
            Self::Still => Some(
                "What would let them: end other programs that count, or watch the real machine.".to_owned(),
            ),
            Self::NotThere | Self::Failed(_) => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Refused;

    #[test]
    fn a_refusal_says_what_would_lift_it() {
        let cure = Refused::of(libc::EACCES).cure(Some("4")).unwrap();
        assert!(cure.contains("it is 4 now") && cure.contains("CAP_PERFMON"), "{cure}");
        assert_eq!(Refused::of(libc::ENOENT), Refused::NotThere);
        assert_eq!(Refused::NotThere.cure(None), None);
        assert_eq!(Refused::of(libc::EMFILE), Refused::TooMany);
        assert_eq!(Refused::of(libc::EIO), Refused::Failed(libc::EIO));
    }
}
