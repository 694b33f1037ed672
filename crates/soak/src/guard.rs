//! When a run must end: a temperature limit, a sensor that is lost or frozen. Pure: it sees rows and the time.

/// Why a run ended.
#[derive(Debug, Clone, PartialEq)]
pub enum Ended {
    /// Its time was over.
    Done,
    /// Somebody asked for it.
    Asked,
    /// A sensor reached its limit.
    Limit {
        /// The sensor's heading.
        sensor: String,
        /// What it said, in degrees Celsius.
        celsius: f64,
        /// The limit.
        limit: f64,
    },
    /// A sensor could not be read any more.
    Lost {
        /// The sensor's heading.
        sensor: String,
        /// For how long, in seconds.
        for_s: f64,
    },
    /// A sensor stood still although the load changed, or dipped to ask it.
    Frozen {
        /// The sensor's heading.
        sensor: String,
        /// What it kept saying, in degrees Celsius.
        celsius: f64,
        /// For how long, in seconds.
        for_s: f64,
    },
    /// A result was wrong.
    Wrong,
    /// Reading the sensors hung, so that the workers ended by themselves.
    Stuck,
    /// The log could not be written.
    NoLog {
        /// What the system said.
        why: String,
    },
}

/// A sensor that is watched.
#[derive(Debug, Clone, PartialEq)]
pub struct Watched {
    /// Its heading.
    pub heading: String,
    /// Column of a row.
    pub column: usize,
    /// Limit in degrees Celsius.
    pub limit: f64,
}

/// A sensor that cannot be read for so long is lost. One failed reading may be the driver's.
pub const LOST_AFTER_S: f64 = 1.0;
/// A step of the hardest worked core's load by this share must move a sensor.
const STEP_SHARE: f64 = 0.5;
/// A sensor that has not moved by one count for so long after a step is frozen: a step of load moves a die by kelvins
/// in a tenth of a second (`common practice, no source`).
pub const FROZEN_AFTER_STEP_S: f64 = 20.0;
/// A sensor that stands still for so long while another one moves by [`OTHER_MOVED_K`] is frozen.
const FROZEN_BESIDE_OTHERS_S: f64 = 5.0;
/// See [`FROZEN_BESIDE_OTHERS_S`].
const OTHER_MOVED_K: f64 = 8.0;
/// Values that no sensor in a running computer says.
const PLAUSIBLE: (f64, f64) = (-40.0, 150.0);
/// A change that no die makes between two rows less than a second apart: the reading is not believed.
const JUMP_K: f64 = 60.0;

#[derive(Debug, Clone)]
struct Seen {
    celsius: f64,
    /// When it was last read.
    at_s: f64,
    /// When it last changed.
    changed_s: f64,
    /// When the load first stepped after that.
    stepped_s: Option<f64>,
    /// What the sensors said when it last changed.
    others: Vec<Option<f64>>,
}

/// Watches the sensors of a run.
#[derive(Debug)]
pub struct Guard {
    watched: Vec<Watched>,
    seen: Vec<Option<Seen>>,
    begun_s: Option<f64>,
    load: Option<f64>,
    /// When the load began to dip, and no sensor has moved since.
    asked_s: Option<f64>,
}

impl Guard {
    /// A guard over these sensors.
    pub fn new(watched: Vec<Watched>) -> Self {
        let seen = vec![None; watched.len()];
        Self { watched, seen, begun_s: None, load: None, asked_s: None }
    }

    /// The sensors.
    pub fn watched(&self) -> &[Watched] {
        &self.watched
    }

    /// When a sensor last changed; none before the first row, and where none is watched.
    pub fn changed_s(&self) -> Option<f64> {
        self.seen.iter().flatten().map(|seen| seen.changed_s).reduce(f64::max)
    }

    /// The load dips to ask the sensors whether they live: one of them must move. That of a core which rests anyway may not, and
    /// one that stays behind the others is found beside them.
    pub const fn asked(&mut self, time_s: f64) {
        self.asked_s = Some(time_s);
    }

    /// Looks at a row: when it was taken, its columns, the share of its time that the hardest worked core works by the
    /// schedule. Says why the run must end, where it must.
    pub fn look(&mut self, time_s: f64, row: &[Option<f64>], load: f64) -> Option<Ended> {
        let begun_s = *self.begun_s.get_or_insert(time_s);
        if (load - *self.load.get_or_insert(load)).abs() >= STEP_SHARE {
            self.load = Some(load);
            for seen in self.seen.iter_mut().flatten() {
                seen.stepped_s.get_or_insert(time_s);
            }
        }
        let said = |one: &Watched| row.get(one.column).copied().flatten();
        for (one, seen) in self.watched.iter().zip(&mut self.seen) {
            let believed = said(one).filter(|celsius| {
                let jumped = seen.as_ref().is_some_and(|seen| {
                    time_s - seen.at_s < LOST_AFTER_S && (celsius - seen.celsius).abs() > JUMP_K
                });
                // Upwards past the limit is believed whatever it is: stopping does no harm.
                (PLAUSIBLE.0..=PLAUSIBLE.1).contains(celsius) && (!jumped || *celsius >= one.limit)
            });
            if let Some(celsius) = believed {
                if celsius >= one.limit {
                    return Some(Ended::Limit { sensor: one.heading.clone(), celsius, limit: one.limit });
                }
                match seen {
                    Some(seen) if seen.celsius == celsius => seen.at_s = time_s,
                    _ => {
                        let others = self.watched.iter().map(said).collect();
                        *seen =
                            Some(Seen { celsius, at_s: time_s, changed_s: time_s, stepped_s: None, others });
                    }
                }
            }
            let unread_s = time_s - seen.as_ref().map_or(begun_s, |seen| seen.at_s);
            if unread_s > LOST_AFTER_S {
                return Some(Ended::Lost { sensor: one.heading.clone(), for_s: unread_s });
            }
        }
        if self.asked_s.is_some_and(|asked_s| self.changed_s().is_some_and(|changed_s| changed_s > asked_s)) {
            self.asked_s = None;
        }
        self.frozen(time_s)
    }

    fn frozen(&self, time_s: f64) -> Option<Ended> {
        let unanswered = self.asked_s.is_some_and(|asked_s| time_s - asked_s >= FROZEN_AFTER_STEP_S);
        self.watched.iter().zip(&self.seen).find_map(|(one, seen)| {
            let seen = seen.as_ref()?;
            let after_step = seen.stepped_s.is_some_and(|stepped| time_s - stepped >= FROZEN_AFTER_STEP_S);
            let moved = |(now, then): (&Option<Seen>, &Option<f64>)| {
                now.as_ref().zip(*then).is_some_and(|(now, then)| (now.celsius - then).abs() >= OTHER_MOVED_K)
            };
            let beside_others = time_s - seen.changed_s >= FROZEN_BESIDE_OTHERS_S
                && self.seen.iter().zip(&seen.others).any(moved);
            (after_step || beside_others || unanswered).then(|| Ended::Frozen {
                sensor: one.heading.clone(),
                celsius: seen.celsius,
                for_s: time_s - seen.changed_s,
            })
        })
    }
}

#[cfg(test)]
mod tests {
    use super::{Ended, Guard, Watched};

    fn guard(count: usize) -> Guard {
        Guard::new(
            (0..count)
                .map(|column| Watched { heading: format!("core {column} °C"), column, limit: 90.0 })
                .collect(),
        )
    }

    /// Rows ten times a second; load from 1 s on. When it ended and why.
    fn run(mut guard: Guard, until_s: f64, row: impl Fn(f64) -> Vec<Option<f64>>) -> Option<(f64, Ended)> {
        (0..(until_s * 10.0) as u32).find_map(|tick| {
            let time = f64::from(tick) / 10.0;
            let load = if time < 1.0 { 0.0 } else { 1.0 };
            Some((time, guard.look(time, &row(time), load)?))
        })
    }

    /// A die that warms by 40 K with a time of 10 s, read in whole kelvins.
    fn warming(time: f64) -> f64 {
        (35.0 + 40.0 * (1.0 - (-(time - 1.0).max(0.0) / 10.0).exp())).round()
    }

    #[test]
    fn a_healthy_run_goes_on() {
        assert_eq!(run(guard(2), 600.0, |time| vec![Some(warming(time)), Some(warming(time) - 2.0)]), None);
    }

    #[test]
    fn the_limit_ends_it_at_once() {
        let hot = |time: f64| vec![Some(35.0 + 6.0 * (time - 1.0).max(0.0))];
        let (time, ended) = run(guard(1), 100.0, hot).unwrap();
        assert!(matches!(ended, Ended::Limit { celsius, limit: 90.0, .. } if celsius < 90.7), "{ended:?}");
        assert!((10.1..10.4).contains(&time));
    }

    #[test]
    fn a_leap_past_the_limit_ends_it_too() {
        let leap = |time: f64| vec![Some(if time < 5.0 { warming(time) } else { 120.0 })];
        assert!(matches!(run(guard(1), 100.0, leap), Some((5.0, Ended::Limit { .. }))));
    }

    #[test]
    fn a_sensor_that_is_gone_ends_it_within_the_second_and_one_failed_reading_does_not() {
        let gone = |time: f64| vec![(time < 5.0).then(|| warming(time))];
        let (time, ended) = run(guard(1), 100.0, gone).unwrap();
        assert!(matches!(ended, Ended::Lost { .. }) && time <= 6.1, "{ended:?} at {time}");
        let blinking = |time: f64| vec![(!((time * 10.0) as u32).is_multiple_of(5)).then(|| warming(time))];
        assert_eq!(run(guard(1), 60.0, blinking), None);
        assert!(matches!(run(guard(1), 10.0, |_| vec![None]), Some((_, Ended::Lost { .. }))));
    }

    #[test]
    fn a_value_that_cannot_be_is_no_value() {
        let absurd = |time: f64| vec![Some(if time < 5.0 { warming(time) } else { -128.0 })];
        assert!(matches!(run(guard(1), 100.0, absurd), Some((_, Ended::Lost { .. }))));
        let fallen = |time: f64| vec![Some(if time < 60.0 { warming(time) } else { 0.0 })];
        let ended = run(guard(1), 60.9, fallen);
        assert_eq!(ended, None, "a fall of 75 K in a tenth of a second is not believed");
    }

    #[test]
    fn a_frozen_sensor_ends_it_when_the_load_steps() {
        let (time, ended) = run(guard(1), 100.0, |_| vec![Some(36.0)]).unwrap();
        assert!(matches!(ended, Ended::Frozen { celsius: 36.0, .. }), "{ended:?}");
        assert!((20.9..21.3).contains(&time), "{time}");
    }

    #[test]
    fn among_others_a_frozen_sensor_is_found_sooner() {
        let (time, ended) = run(guard(2), 100.0, |time| vec![Some(36.0), Some(warming(time))]).unwrap();
        assert!(matches!(&ended, Ended::Frozen { sensor, .. } if sensor == "core 0 °C"), "{ended:?}");
        assert!(time < 7.0, "{time}");
    }

    #[test]
    fn a_sensor_that_freezes_later_is_found_by_the_others_and_by_the_next_step() {
        let later = |time: f64| vec![Some(warming(time.min(5.0))), Some(warming(time))];
        assert!(matches!(run(guard(2), 100.0, later), Some((_, Ended::Frozen { .. }))));
        let steps = |time: f64| f64::from((time / 10.0) as u32 % 2);
        let mut guard = guard(1);
        let ended = (0..1000).find_map(|tick| {
            let time = f64::from(tick) / 10.0;
            guard.look(
                time,
                &[Some(if time < 15.0 { 36.0 + (time % 2.0).round() } else { 40.0 })],
                steps(time),
            )
        });
        assert!(
            matches!(ended, Some(Ended::Frozen { .. })),
            "steps shorter than the wait count from the first"
        );
    }

    #[test]
    fn standing_still_at_the_end_of_warming_is_not_frozen() {
        // Whole kelvins stand still for minutes at steady load.
        assert_eq!(run(guard(1), 3600.0, |time| vec![Some(warming(time))]), None);
    }
}
