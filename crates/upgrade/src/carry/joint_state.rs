//! What a joint's state does to it: how much worse its paste conducts, how much of the die it still covers, and
//! where it is bare; narrowed by its history where that is known.

use crate::machine::present::{Joint, PasteState};
use crate::machine::setting::Setting;

/// Where the paste is missing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bare {
    /// Nowhere.
    Nowhere,
    /// Over the middle of the die, from where warming and cooling carried it away.
    Middle,
    /// Towards the rim: what was put did not reach it.
    Rim,
    /// In patches, where air came in when the cooler was lifted.
    Patches,
    /// Along cracks of paste that has lost its oil.
    Cracks,
}

/// A joint against a fresh one of the same paste: each pair from the mild end to the bad one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JointState {
    /// How many times the resistance is where paste is.
    pub thicker: (f64, f64),
    /// Share of the die that paste covers.
    pub covered: (f64, f64),
    /// Where it is bare.
    pub bare: Bare,
}

/// What a joint has been through, each pair from the least to the most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct History {
    /// Hours at work.
    pub hours: (f64, f64),
    /// How often it was warmed and cooled.
    pub warmings: (f64, f64),
}

/// Days of work in a year, hours in a day and warmings in a day where nobody said them.
///
/// # Source
/// common practice, no source.
const UNKNOWN_DAYS: (f64, f64) = (150.0, 365.0);
const UNKNOWN_HOURS: (f64, f64) = (2.0, 16.0);
const WARMINGS_A_DAY: (f64, f64) = (1.0, 6.0);

/// Temperature of the joint at work, in °C; hours in which drying goes most of its way at 60 °C, and how much
/// faster it goes for each 10 K.
///
/// # Source
/// common practice, no source; that oil is lost with time and temperature, and paste with the number of warmings,
/// is measured by D. DeVoto, J. Major, P. Paret, G. S. Blackman, A. Wong, J. S. Meth, Degradation characterization
/// of thermal interface greases, IEEE ITherm 2017, 394-399, for other swings than a computer has.
const WORK_C: (f64, f64) = (45.0, 75.0);
const DRYING_H_AT_60_C: (f64, f64) = (20_000.0, 100_000.0);
const FASTER_EACH_10_K: f64 = 2.0;

/// Warmings in which pumping goes most of its way.
///
/// # Source
/// common practice, no source.
const PUMPING_WARMINGS: (f64, f64) = (1_000.0, 10_000.0);

impl History {
    /// The history of a joint, where its age is known.
    pub fn of(joint: &Joint, setting: &Setting) -> Option<Self> {
        let years = joint.age.get().map(|age| (age.low().si() / YEAR_S, age.high().si() / YEAR_S))?;
        let days = setting.days_a_year.map_or(UNKNOWN_DAYS, |days| (f64::from(days), f64::from(days)));
        let hours = setting
            .hours_on
            .get()
            .map_or(UNKNOWN_HOURS, |on| (on.low().si() / 3600.0, on.high().si() / 3600.0));
        let days = (years.0 * days.0, years.1 * days.1);
        Some(Self {
            hours: (days.0 * hours.0, days.1 * hours.1),
            warmings: (days.0 * WARMINGS_A_DAY.0, days.1 * WARMINGS_A_DAY.1),
        })
    }

    /// How far drying has gone, 0 to 1, at the mild end and at the bad one.
    fn dried(&self) -> (f64, f64) {
        let gone = |hours: f64, at_60_c: f64, celsius: f64| {
            1.0 - (-hours / (at_60_c * FASTER_EACH_10_K.powf((60.0 - celsius) / 10.0))).exp()
        };
        (gone(self.hours.0, DRYING_H_AT_60_C.1, WORK_C.0), gone(self.hours.1, DRYING_H_AT_60_C.0, WORK_C.1))
    }

    /// How far pumping has gone, 0 to 1, at the mild end and at the bad one.
    fn pumped(&self) -> (f64, f64) {
        let gone = |warmings: f64, most_of_it: f64| 1.0 - (-warmings / most_of_it).exp();
        (gone(self.warmings.0, PUMPING_WARMINGS.1), gone(self.warmings.1, PUMPING_WARMINGS.0))
    }
}

/// A mean year.
const YEAR_S: f64 = 365.25 * 86_400.0;

/// The worst of each state: how many times the resistance is, and the share of the die that stays covered.
///
/// # Source
/// common practice, no source.
const DRIED_THICKER: f64 = 3.5;
const DRIED_COVERED: f64 = 0.5;
const PUMPED_COVERED: f64 = 0.2;

/// What a state means where only the state is known.
///
/// # Source
/// common practice, no source, for every figure.
pub const fn seen(state: PasteState) -> JointState {
    let (thicker, covered, bare) = match state {
        PasteState::Fresh => ((1.0, 1.0), (1.0, 1.0), Bare::Nowhere),
        PasteState::TooMuch => ((1.0, 1.3), (1.0, 1.0), Bare::Nowhere),
        PasteState::TooLittle => ((1.0, 1.0), (0.9, 0.5), Bare::Rim),
        PasteState::OverRemains => ((1.3, 2.5), (1.0, 0.9), Bare::Patches),
        PasteState::Reused => ((1.2, 2.4), (0.8, 0.6), Bare::Patches),
        PasteState::PumpedOut => ((1.0, 1.0), (0.5, PUMPED_COVERED), Bare::Middle),
        PasteState::Dried => ((2.0, DRIED_THICKER), (0.8, DRIED_COVERED), Bare::Cracks),
        PasteState::Missing => ((12.0, 40.0), (1.0, 1.0), Bare::Nowhere),
    };
    JointState { thicker, covered, bare }
}

/// A joint's state.
///
/// # Model
/// A state that was seen says what happened, the history how far it can have gone: drying goes as one minus an
/// exponential of the hours at work, faster when warm, pumping as one of the warmings; both only narrow what the
/// state says. A state nobody saw lies between that of a fresh joint and the worse of dried and pumped out, as far as
/// the history lets them go.
pub fn joint_state(state: Option<PasteState>, history: Option<&History>) -> JointState {
    let Some(state) = state else {
        let worst = match history {
            None => (DRIED_THICKER / DRIED_COVERED, 1.0),
            Some(history) => {
                let (dried, pumped) = (history.dried().1, history.pumped().1);
                let by_drying = thicker_by(dried) / covered_by(dried, DRIED_COVERED);
                (by_drying.max(1.0 / covered_by(pumped, PUMPED_COVERED)), 1.0)
            }
        };
        return JointState { thicker: (1.0, worst.0), covered: (1.0, worst.1), bare: Bare::Nowhere };
    };
    let seen = seen(state);
    let Some(history) = history else { return seen };
    let within = |value: f64, (one, other): (f64, f64)| value.clamp(one.min(other), one.max(other));
    match state {
        PasteState::Dried => {
            let (mild, bad) = history.dried();
            JointState {
                thicker: (within(thicker_by(mild), seen.thicker), within(thicker_by(bad), seen.thicker)),
                covered: (
                    within(covered_by(mild, DRIED_COVERED), seen.covered),
                    within(covered_by(bad, DRIED_COVERED), seen.covered),
                ),
                bare: seen.bare,
            }
        }
        PasteState::PumpedOut => {
            let (mild, bad) = history.pumped();
            JointState {
                covered: (
                    within(covered_by(mild, PUMPED_COVERED), seen.covered),
                    within(covered_by(bad, PUMPED_COVERED), seen.covered),
                ),
                ..seen
            }
        }
        _ => seen,
    }
}

fn thicker_by(dried: f64) -> f64 {
    1.0 + (DRIED_THICKER - 1.0) * dried
}

fn covered_by(gone: f64, at_the_end: f64) -> f64 {
    1.0 - (1.0 - at_the_end) * gone
}

impl JointState {
    /// How many times the joint's resistance is that of a fresh one, at the mild end and at the bad one: bare places
    /// count as carrying nothing.
    pub fn times(&self) -> (f64, f64) {
        (self.thicker.0 / self.covered.0, self.thicker.1 / self.covered.1)
    }

    /// What is assumed, as a sentence.
    pub fn assumed(&self, state: Option<PasteState>) -> String {
        let name = state.map_or("of unknown state", PasteState::word);
        let range = |(mild, bad): (f64, f64)| {
            let (mild, bad) = (format!("{mild:.1}"), format!("{bad:.1}"));
            if mild == bad { mild } else { format!("{mild} to {bad}") }
        };
        let percent = |share: f64| format!("{:.0}", 100.0 * share);
        let (most, least) = (percent(self.covered.0), percent(self.covered.1));
        let covers = if most == least { most } else { format!("{least} to {most}") };
        let place = match self.bare {
            Bare::Nowhere => "",
            Bare::Middle => ", bare over its middle",
            Bare::Rim => ", bare towards its rim",
            Bare::Patches => ", bare in patches",
            Bare::Cracks => ", bare along cracks",
        };
        format!(
            "The joint is {name}: taken to resist {} times as much as fresh where paste is, and to cover {covers} % of \
             the die{place} (common practice, no source).",
            range(self.thicker)
        )
    }
}

#[cfg(test)]
mod tests {
    use super::{History, joint_state, seen};
    use crate::machine::present::PasteState;

    fn history(years: f64) -> History {
        let days = 220.0 * years;
        History { hours: (8.0 * days, 8.0 * days), warmings: (days, 6.0 * days) }
    }

    #[test]
    fn a_history_only_narrows_what_was_seen() {
        for state in PasteState::ALL {
            let wide = seen(state).times();
            for years in [0.0, 0.5, 3.0, 30.0] {
                let narrow = joint_state(Some(state), Some(&history(years))).times();
                assert!(narrow.0 >= wide.0 - 1e-12 && narrow.1 <= wide.1 + 1e-12, "{state:?}: {narrow:?}");
                assert!(narrow.0 <= narrow.1, "{state:?}: {narrow:?}");
            }
        }
    }

    #[test]
    fn what_nobody_saw_gets_worse_with_age_and_never_better_than_fresh() {
        let at = |years: f64| joint_state(None, Some(&history(years))).times();
        assert_eq!(at(0.0), (1.0, 1.0));
        let worst: Vec<f64> = [0.0, 0.5, 2.0, 8.0, 40.0].into_iter().map(|years| at(years).1).collect();
        assert!(worst.windows(2).all(|pair| pair[1] > pair[0]), "{worst:?}");
        assert!(at(40.0).1 <= joint_state(None, None).times().1);
    }

    /// By hand: 10,560 h at 75 °C, where most of the drying takes 20,000 h / 2^1.5 = 7,071 h: 1 - exp(-1.4934) = 0.7754
    /// of it; 1 + 2.5 x 0.7754 = 2.939 times the resistance on 1 - 0.5 x 0.7754 = 0.6123 of the die: 4.799.
    #[test]
    fn six_years_of_drying_by_hand() {
        let times = joint_state(Some(PasteState::Dried), Some(&history(6.0))).times();
        assert!((times.1 - 4.799).abs() < 2e-3, "{times:?}");
        assert!((times.0 - 2.5).abs() < 1e-12, "the mild end is what was seen: {times:?}");
    }
}
