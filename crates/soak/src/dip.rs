//! A short dip of the load that asks a sensor which stands still whether it lives. Pure: it sees the time, the load and how
//! long every sensor has stood still, and says what share of its load the run shall do.
//!
//! A sensor with steps of a kelvin may stand still for minutes under a steady load, and so does one that froze. Nothing in
//! its readings tells the two apart; a die that rests for two seconds falls by kelvins, and only a living one says so. Whether it
//! answered is the [guard's](crate::guard) to judge.

/// Word for the load in a log's rows while it dips.
pub const WORD: &str = "dip";
/// Every sensor has stood still for so long under a steady load when they are asked, in seconds.
///
/// # Source
/// common practice, no source: a processor may be without a living sensor for so long, its own protection behind it; and two
/// seconds of a minute cost a load next to nothing.
pub const STILL_S: f64 = 60.0;
/// How long the first dip is, in seconds: the slowest board sensors are read every second and a half.
const FIRST_S: f64 = 2.0;
/// An answer to the first dip is waited for until so long after its beginning.
const WAIT_S: f64 = 6.0;
/// The second dip, for a sensor that follows slowly.
const SECOND_S: f64 = 6.0;
/// A load below this share heats too little for a dip to be seen, and for the sensor to matter.
pub const LEAST_LOAD: f64 = 0.5;
/// A load that changes by less is steady.
const STEADY: f64 = 0.1;

/// What the load does at a moment.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dip {
    /// It goes on as the schedule has it.
    None,
    /// It rests from now on: whoever watches the sensors expects an answer.
    Begins,
    /// It still rests, or rests again.
    GoesOn,
}

/// Where the asking stands.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Asked {
    /// Nothing is asked.
    No,
    /// Since this time.
    Since(f64),
}

/// Decides when the load dips.
#[derive(Debug, Clone, PartialEq)]
pub struct Dips {
    /// After how many still seconds.
    still_s: f64,
    /// The load, and since when it has been about that.
    steady: Option<(f64, f64)>,
    asked: Asked,
    count: usize,
}

impl Dips {
    /// Sensors that have stood still for so long are asked; [`STILL_S`] but for a trial.
    pub const fn after(still_s: f64) -> Self {
        Self { still_s, steady: None, asked: Asked::No, count: 0 }
    }

    /// What the load does at this time. `load` is the share that the hardest worked core has by the schedule; `changed_s`
    /// is when a watched sensor last changed, none where none is watched.
    pub fn dips(&mut self, time_s: f64, load: f64, changed_s: Option<f64>) -> Dip {
        let Some(changed_s) = changed_s else { return Dip::None };
        let since_s = match self.steady {
            Some((known, since_s)) if (known - load).abs() < STEADY => since_s,
            _ => {
                // The schedule changed the load by itself: that asks the sensors as well as a dip would.
                self.steady = Some((load, time_s));
                self.asked = Asked::No;
                time_s
            }
        };
        if let Asked::Since(asked_s) = self.asked
            && changed_s > asked_s
        {
            self.asked = Asked::No;
        }
        match self.asked {
            Asked::No if load >= LEAST_LOAD && time_s - since_s.max(changed_s) >= self.still_s => {
                self.asked = Asked::Since(time_s);
                self.count += 1;
                Dip::Begins
            }
            Asked::No => Dip::None,
            Asked::Since(asked_s) => {
                let passed_s = time_s - asked_s;
                let rests = passed_s < FIRST_S || (WAIT_S..WAIT_S + SECOND_S).contains(&passed_s);
                if rests { Dip::GoesOn } else { Dip::None }
            }
        }
    }

    /// How often they were asked so far.
    pub const fn count(&self) -> usize {
        self.count
    }
}

#[cfg(test)]
mod tests {
    use super::{Dip, Dips, STILL_S};
    use crate::guard::{Ended, Guard, Watched};

    /// What a run of steady full load comes to, ten rows a second, a load from the first second on: dips in seconds of time, and
    /// why it ended. `sensor` says the temperature by time and load so far.
    fn run(until_s: f64, mut sensor: impl FnMut(f64, f64) -> f64) -> (Vec<f64>, Option<(f64, Ended)>) {
        let mut guard =
            Guard::new(vec![Watched { heading: "package °C".to_owned(), column: 0, limit: 95.0 }]);
        let (mut dips, mut dipped) = (Dips::after(STILL_S), Vec::new());
        for tick in 0..(until_s * 10.0) as u32 {
            let time_s = f64::from(tick) / 10.0;
            let load = if time_s < 1.0 { 0.0 } else { 1.0 };
            let dip = dips.dips(time_s, load, guard.changed_s());
            if dip == Dip::Begins {
                guard.asked(time_s);
            }
            let mut worked = load;
            if dip != Dip::None {
                dipped.push(time_s);
                worked = 0.0;
            }
            if let Some(ended) = guard.look(time_s, &[Some(sensor(time_s, worked))], load) {
                return (dipped, Some((time_s, ended)));
            }
        }
        (dipped, None)
    }

    /// A die over a lid: 15 K settle within a second, 30 K within a minute. Read in whole kelvins, with a lag of `lag_s`.
    fn living(lag_s: f64) -> impl FnMut(f64, f64) -> f64 {
        let (mut fast, mut slow, mut read) = (0.0, 0.0, 0.0);
        move |_, load| {
            fast += (15.0 * load - fast) * 0.1;
            slow += (30.0 * load - slow) * 0.1 / 60.0;
            read += (fast + slow - read) * (0.1 / (lag_s + 0.1));
            f64::round(35.0 + read)
        }
    }

    #[test]
    fn a_sensor_that_freezes_under_steady_load_ends_the_run() {
        let mut alive = living(0.0);
        let freezes_s = 300.0;
        let mut last = 0.0;
        let frozen = |time_s: f64, load: f64| {
            let says = alive(time_s, load);
            if time_s < freezes_s {
                last = says;
            }
            last
        };
        let (dipped, ended) = run(900.0, frozen);
        let (time_s, ended) = ended.unwrap();
        assert!(matches!(ended, Ended::Frozen { .. }), "{ended:?}");
        // A minute until it is asked, twenty seconds for an answer, and the minute may have begun before it froze.
        assert!((freezes_s..freezes_s + 82.0).contains(&time_s), "{time_s}");
        let last_dips = dipped.iter().filter(|at| **at > freezes_s).count();
        assert!((60..=100).contains(&last_dips), "the second dip is the longer one: {last_dips} rows");
    }

    #[test]
    fn a_living_sensor_that_stands_still_answers_and_the_run_goes_on() {
        for lag_s in [0.0, 1.0, 10.0, 30.0] {
            let (dipped, ended) = run(3600.0, living(lag_s));
            assert_eq!(ended, None, "lag {lag_s} s");
            assert!(!dipped.is_empty(), "it stands still long enough to be asked");
            // Of the hour no more than a part in twenty goes to dips, even where a slow sensor is asked twice.
            assert!(dipped.len() < 36_000 / 20, "lag {lag_s} s: {} rows", dipped.len());
        }
    }

    #[test]
    fn a_sensor_that_moves_by_itself_is_never_asked() {
        let mut alive = living(0.0);
        let flickers = |time_s: f64, load: f64| alive(time_s, load) + f64::from((time_s / 20.0) as u32 % 2);
        let (dipped, ended) = run(1800.0, flickers);
        assert_eq!((dipped.len(), ended), (0, None));
    }

    #[test]
    fn rest_and_light_loads_are_left_alone() {
        let mut dips = Dips::after(STILL_S);
        for second in 0..600 {
            assert_eq!(dips.dips(f64::from(second), 0.4, Some(0.0)), Dip::None);
        }
        let mut dips = Dips::after(STILL_S);
        assert!(
            (0..600).all(|second| dips.dips(f64::from(second), 1.0, None) == Dip::None),
            "nothing watched"
        );
    }
}
