//! What the machine does: tasks with the time they take on it now.

use quantity::dimension::{DurationDim, RatioDim};
use quantity::reading::Figure;

/// What the machine does in a day.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Workload {
    /// Tasks.
    pub tasks: Vec<Task>,
}

/// One task, with how its time splits on the machine as it is now.
///
/// The four shares are of the task's time on this machine now and add up to one.
#[derive(Debug, Clone, PartialEq)]
pub struct Task {
    /// What it is.
    pub name: String,
    /// Time a day that it takes now.
    pub time_a_day: Figure<DurationDim>,
    /// Share that one core works through alone.
    pub serial: Figure<RatioDim>,
    /// Share that is spread over all cores.
    pub parallel: Figure<RatioDim>,
    /// Share that waits for memory.
    pub memory: Figure<RatioDim>,
    /// Share that waits for graphics, storage, network or people.
    pub elsewhere: Figure<RatioDim>,
    /// Whether somebody waits for it.
    pub attended: Attended,
    /// Most cores that it can use, where it has a limit.
    pub widest: Option<u32>,
}

/// Whether somebody waits for a task.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Attended {
    /// A person waits: time saved counts.
    Waited,
    /// It runs by itself: time saved saves energy only.
    Alone,
}
