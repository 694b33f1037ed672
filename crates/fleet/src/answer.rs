//! What the plan says of each machine.

use crate::donor::Donor;
use crate::plan::{FleetPlan, Job, Weighed};
use crate::ways::Way;

/// What is to be done with a machine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Answer<'p> {
    /// It gets something.
    Upgrade {
        /// Place among the jobs, from zero.
        turn: usize,
        /// The job.
        job: &'p Job,
        /// What is done.
        way: &'p Way,
    },
    /// It stays as it is: money, time or parts do more elsewhere.
    Leave {
        /// Ways it could have had.
        ways: usize,
    },
    /// It stays as it is: nothing is worth its trouble.
    NothingWorth,
    /// It cannot be told.
    CannotTell {
        /// Why.
        why: &'p str,
    },
}

impl Answer<'_> {
    /// The word used in tables and messages.
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Upgrade { .. } => "upgrade",
            Self::Leave { .. } => "leave as it is",
            Self::NothingWorth => "nothing is worth it",
            Self::CannotTell { .. } => "cannot tell",
        }
    }
}

impl FleetPlan {
    /// The way of a job.
    pub fn way(&self, job: &Job) -> Option<&Way> {
        self.groups.get(job.group)?.ways.as_ref().ok()?.list.get(job.way)
    }

    /// The processor that goes in from another machine.
    pub fn donor(&self, way: &Way) -> Option<&Donor> {
        self.donors.kinds.get(way.takes?)
    }

    /// What the machines of a group get when it is not upgraded, and why.
    pub fn unless_upgraded(weighed: &Weighed) -> Answer<'_> {
        match &weighed.ways {
            Err(error) => Answer::CannotTell { why: error.short() },
            Ok(ways) if !ways.list.is_empty() => Answer::Leave { ways: ways.list.len() },
            Ok(ways) if ways.hanging > 0 => Answer::CannotTell {
                why: ways
                    .settle
                    .first()
                    .map_or("every change that would do hangs on a missing reading", String::as_str),
            },
            Ok(_) => Answer::NothingWorth,
        }
    }

    /// What is said of each machine, in the order of the list of all, with its group.
    pub fn answers(&self, machines: usize) -> Vec<Option<(usize, Answer<'_>)>> {
        let mut answers = vec![None; machines];
        for (place, weighed) in self.groups.iter().enumerate() {
            for member in &weighed.group.members {
                if let Some(slot) = answers.get_mut(*member) {
                    *slot = Some((place, Self::unless_upgraded(weighed)));
                }
            }
        }
        for (turn, job) in self.jobs.iter().enumerate() {
            if let (Some(slot), Some(way)) = (answers.get_mut(job.member), self.way(job)) {
                *slot = Some((job.group, Answer::Upgrade { turn, job, way }));
            }
        }
        answers
    }
}
