//! What was counted while a machine was watched.

/// What a machine was doing at one look.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State {
    /// Nothing wanted anything.
    Rest,
    /// One task wanted a processor.
    One,
    /// Several did.
    Many,
    /// None did, while some waited for a disk, or graphics were at their limit.
    Elsewhere,
}

/// Graphics busier than this are at their limit, whatever processors do beside (`common practice, no source`).
const GRAPHICS_FULL: f64 = 0.9;

/// The state at a look: tasks that run or could, tasks stuck in a disk's queue, share of its time that graphics is busy.
pub fn state(runs: u32, stuck: u32, graphics: Option<f64>) -> State {
    if graphics.is_some_and(|busy| busy >= GRAPHICS_FULL) {
        return State::Elsewhere;
    }
    match (runs, stuck) {
        (0, 0) => State::Rest,
        (0, _) => State::Elsewhere,
        (1, _) => State::One,
        _ => State::Many,
    }
}

/// Some seconds in which the machine was looked at many times.
///
/// # Units
/// Shares are 0 to 1 of the span's time; none where this machine does not tell.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Span {
    /// Length in seconds.
    pub length_s: f64,
    /// Looks at rest.
    pub rest: u32,
    /// Looks with one task wanting a processor.
    pub one: u32,
    /// Looks with several.
    pub many: u32,
    /// Looks at which it waited for something else.
    pub elsewhere: u32,
    /// Tasks that wanted a processor, added up over the looks with several.
    pub wanting: u32,
    /// Processors that were busy, on average.
    pub busy: Option<f64>,
    /// Share of the time in which some task waited for a processor, for memory to be freed, for a disk.
    pub stalled: [Option<f64>; 3],
    /// Share of the time in which the busiest disk worked.
    pub disk: Option<f64>,
    /// Share of the time in which graphics worked.
    pub graphics: Option<f64>,
    /// Mean clock in MHz.
    pub clock_mhz: Option<f64>,
    /// Bytes a second between processor and memory.
    pub memory_bytes_s: Option<f64>,
    /// Instructions that a running core did in a clock cycle.
    pub instructions_per_cycle: Option<f64>,
    /// Share of a running core's cycles in which its back end could take no instruction.
    pub stalled_cycles: Option<f64>,
    /// Share of a running core's slots for instructions that were lost to memory and caches.
    pub memory_bound: Option<f64>,
    /// Cache misses of all cores in a second.
    pub misses_s: Option<f64>,
}

impl Span {
    /// Counts a look.
    pub fn count(&mut self, state: State, runs: u32) {
        match state {
            State::Rest => self.rest += 1,
            State::One => self.one += 1,
            State::Many => {
                self.many += 1;
                self.wanting = self.wanting.saturating_add(runs);
            }
            State::Elsewhere => self.elsewhere += 1,
        }
    }

    /// All looks.
    pub fn looks(&self) -> f64 {
        f64::from(self.rest) + self.active()
    }

    /// Looks at which something was wanted.
    pub fn active(&self) -> f64 {
        f64::from(self.one) + f64::from(self.many) + f64::from(self.elsewhere)
    }
}
