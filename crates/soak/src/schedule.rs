//! What runs when: steps of load on all cores or one, full, shared out or rising. Pure.

use crate::kernel::Load;

/// Which workers a step is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Who {
    /// All.
    All,
    /// One, by its place among the workers.
    One(usize),
}

/// One step.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// The load; none for rest.
    pub load: Option<Load>,
    /// How long, in seconds.
    pub length_s: f64,
    /// Who works.
    pub who: Who,
    /// Share of the time that is worked, at the step's beginning and at its end.
    pub duty: (f64, f64),
}

/// How a soak's load is laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Layout {
    /// Rest, all cores at full load, rest.
    All,
    /// Rest, then each core by itself in turn, rest.
    Each,
    /// Rest, then full load and rest in turn: steps of current.
    Steps,
    /// Rest, then from nothing to full load and back, slowly.
    Sweep,
}

impl Layout {
    /// Every layout.
    pub const ALL: [Self; 4] = [Self::All, Self::Each, Self::Steps, Self::Sweep];

    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::All => "all",
            Self::Each => "each",
            Self::Steps => "steps",
            Self::Sweep => "sweep",
        }
    }
}

/// What each worker does at a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Now<'s> {
    /// The step.
    pub step: &'s Step,
    /// Its place.
    pub place: usize,
    /// Share of the time that is worked.
    pub duty: f64,
}

/// Steps one after another.
#[derive(Debug, Clone, PartialEq)]
pub struct Schedule {
    steps: Vec<Step>,
}

/// Steps of full load and rest in [`Layout::Steps`].
const STEPS: usize = 6;

impl Schedule {
    /// A layout of a load over `load_s` seconds, with `rest_s` seconds of rest before and after.
    pub fn of(layout: Layout, load: Load, load_s: f64, rest_s: f64, workers: usize) -> Self {
        let step = |length_s: f64, who, duty| Step { load: Some(load), length_s, who, duty };
        let rest = |length_s: f64| Step { load: None, length_s, who: Who::All, duty: (0.0, 0.0) };
        let mut steps = vec![rest(rest_s)];
        match layout {
            Layout::All => steps.push(step(load_s, Who::All, (1.0, 1.0))),
            Layout::Each => {
                let each = load_s / workers.max(1) as f64;
                steps.extend((0..workers).map(|one| step(each, Who::One(one), (1.0, 1.0))));
            }
            Layout::Steps => {
                let each = load_s / (2 * STEPS - 1) as f64;
                for one in 0..STEPS {
                    if one > 0 {
                        steps.push(rest(each));
                    }
                    steps.push(step(each, Who::All, (1.0, 1.0)));
                }
            }
            Layout::Sweep => {
                steps.push(step(load_s / 2.0, Who::All, (0.0, 1.0)));
                steps.push(step(load_s / 2.0, Who::All, (1.0, 0.0)));
            }
        }
        steps.push(rest(rest_s));
        steps.retain(|step| step.length_s > 0.0);
        Self { steps }
    }

    /// How long all of it takes, in seconds.
    pub fn length_s(&self) -> f64 {
        self.steps.iter().map(|step| step.length_s).sum()
    }

    /// Loads that occur.
    pub fn loads(&self) -> Vec<Load> {
        let mut loads: Vec<Load> = self.steps.iter().filter_map(|step| step.load).collect();
        loads.sort_unstable();
        loads.dedup();
        loads
    }

    /// What is done at a time; none after the end.
    pub fn at(&self, time_s: f64) -> Option<Now<'_>> {
        let mut begun = 0.0;
        for (place, step) in self.steps.iter().enumerate() {
            if time_s < begun + step.length_s {
                let share = ((time_s - begun) / step.length_s).clamp(0.0, 1.0);
                let duty = step.duty.0 + share * (step.duty.1 - step.duty.0);
                return Some(Now { step, place, duty });
            }
            begun += step.length_s;
        }
        None
    }
}

impl Now<'_> {
    /// Share of the time that a worker works.
    pub fn duty_of(&self, worker: usize) -> f64 {
        match self.step.who {
            _ if self.step.load.is_none() => 0.0,
            Who::All => self.duty,
            Who::One(one) if one == worker => self.duty,
            Who::One(_) => 0.0,
        }
    }

    /// Share of all workers' time that is worked.
    pub fn load_share(&self, workers: usize) -> f64 {
        (0..workers).map(|worker| self.duty_of(worker)).sum::<f64>() / workers.max(1) as f64
    }
}

#[cfg(test)]
mod tests {
    use super::{Layout, Schedule};
    use crate::kernel::Load;

    #[test]
    fn every_layout_takes_the_time_that_was_asked_for_and_begins_and_ends_at_rest() {
        for layout in Layout::ALL {
            let schedule = Schedule::of(layout, Load::Vector, 60.0, 10.0, 4);
            assert!((schedule.length_s() - 80.0).abs() < 1e-9, "{layout:?}");
            assert_eq!(schedule.at(1.0).unwrap().load_share(4), 0.0, "{layout:?}");
            assert_eq!(schedule.at(79.0).unwrap().load_share(4), 0.0, "{layout:?}");
            assert_eq!(schedule.at(80.0), None, "{layout:?}");
        }
    }

    #[test]
    fn each_core_works_alone_and_for_as_long_as_the_others() {
        let schedule = Schedule::of(Layout::Each, Load::Vector, 60.0, 0.0, 4);
        let mut worked = [0; 4];
        for second in 0..60 {
            let now = schedule.at(f64::from(second) + 0.5).unwrap();
            let busy: Vec<usize> = (0..4).filter(|one| now.duty_of(*one) > 0.0).collect();
            assert_eq!(busy.len(), 1);
            worked[busy[0]] += 1;
        }
        assert_eq!(worked, [15; 4]);
    }

    #[test]
    fn a_sweep_rises_and_falls() {
        let schedule = Schedule::of(Layout::Sweep, Load::Vector, 100.0, 0.0, 2);
        let at = |time| schedule.at(time).unwrap().load_share(2);
        assert!((at(25.0) - 0.5).abs() < 1e-9 && (at(49.9) - 0.998).abs() < 1e-9);
        assert!((at(75.0) - 0.5).abs() < 1e-9);
    }
}
