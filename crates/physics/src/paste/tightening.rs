//! How the mounting force comes: in what time, and where it acts while screws are tightened in turn.

use crate::refusal::{Refusal, not_negative, positive};

/// The load at a time; between two the load runs straight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    /// Time from first contact.
    pub time_s: f64,
    /// Force.
    pub force_n: f64,
    /// Where its middle lies, from the lid's centre.
    pub at_m: (f64, f64),
}

/// The load over time: constant before the first and after the last entry.
#[derive(Debug, Clone, PartialEq)]
pub struct Tightening {
    loads: Vec<Load>,
}

/// Where four screws stand, from the lid's centre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Screws {
    /// Half the distance along the length.
    pub half_length_m: f64,
    /// Half the distance along the width.
    pub half_width_m: f64,
}

/// In what order four screws are tightened.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Order {
    /// Corner, opposite corner, and so on, in two rounds of half the force each.
    Crosswise,
    /// The two of one side first, then the two of the other, one round.
    OneSideFirst,
}

impl Tightening {
    /// The whole force at once, in the middle.
    pub fn at_once(force_n: f64) -> Self {
        Self { loads: vec![Load { time_s: 0.0, force_n, at_m: (0.0, 0.0) }] }
    }

    /// Evenly from a twentieth of the force to all of it.
    pub fn ramp(force_n: f64, time_s: f64) -> Self {
        let at = |time_s, force_n| Load { time_s, force_n, at_m: (0.0, 0.0) };
        Self { loads: vec![at(0.0, 0.05 * force_n), at(time_s.max(1e-6), force_n)] }
    }

    /// Four screws, each turned in `each_s`. All begin finger-tight with a tenth of their force.
    ///
    /// # Source
    /// Two rounds crosswise: common practice, no source. Finger-tight share: assumption.
    pub fn screws(force_n: f64, screws: Screws, order: Order, each_s: f64) -> Self {
        let (a, b) = (screws.half_length_m, screws.half_width_m);
        let places = [(-a, -b), (a, b), (-a, b), (a, -b)];
        let (turns, rounds): (&[usize], usize) = match order {
            Order::Crosswise => (&[0, 1, 2, 3], 2),
            Order::OneSideFirst => (&[0, 2, 1, 3], 1),
        };
        let full = force_n / 4.0;
        let mut each = [0.1 * full; 4];
        let mut loads = vec![middle(0.0, &each, &places)];
        let mut time = 0.0;
        for round in 1..=rounds {
            for screw in turns {
                each[*screw] = full * round as f64 / rounds as f64;
                time += each_s.max(1e-6);
                loads.push(middle(time, &each, &places));
            }
        }
        Self { loads }
    }

    /// Any loads, in order of time.
    ///
    /// # Errors
    /// None given, one without force or out of order.
    pub fn from_loads(loads: Vec<Load>) -> Result<Self, Refusal> {
        positive("number of loads", loads.len() as f64)?;
        let mut last = 0.0;
        for load in &loads {
            not_negative("time since the load before", load.time_s - last)?;
            last = load.time_s;
        }
        Self { loads }.checked()
    }

    pub(crate) fn checked(self) -> Result<Self, Refusal> {
        for load in &self.loads {
            positive("mounting force", load.force_n)?;
            crate::refusal::finite("place of the force", load.at_m.0)?;
            crate::refusal::finite("place of the force", load.at_m.1)?;
            not_negative("time of the load", load.time_s)?;
        }
        Ok(self)
    }

    /// The load at a time.
    pub fn at(&self, time_s: f64) -> Load {
        let after = self.loads.partition_point(|load| load.time_s <= time_s);
        let last = Load { time_s, force_n: 0.0, at_m: (0.0, 0.0) };
        match (after.checked_sub(1).and_then(|k| self.loads.get(k)), self.loads.get(after)) {
            (Some(a), Some(b)) => {
                let part = (time_s - a.time_s) / (b.time_s - a.time_s);
                let mix = |a: f64, b: f64| a + (b - a) * part;
                // Forces add, so do moments: the place is that of the mixed moment.
                let force = mix(a.force_n, b.force_n);
                let x = mix(a.force_n * a.at_m.0, b.force_n * b.at_m.0) / force;
                let y = mix(a.force_n * a.at_m.1, b.force_n * b.at_m.1) / force;
                Load { time_s, force_n: force, at_m: (x, y) }
            }
            (Some(only), None) | (None, Some(only)) => Load { time_s, ..*only },
            (None, None) => last,
        }
    }

    /// When the load changes no more.
    pub fn settled_s(&self) -> f64 {
        self.loads.last().map_or(0.0, |load| load.time_s)
    }

    /// Whether the load always acts on the lid's centre.
    pub fn is_centred(&self) -> bool {
        self.loads.iter().all(|load| load.at_m == (0.0, 0.0))
    }

    /// The next time at which the load bends.
    pub(crate) fn next_after_s(&self, time_s: f64) -> Option<f64> {
        self.loads.iter().map(|load| load.time_s).find(|t| *t > time_s * (1.0 + 1e-12))
    }
}

fn middle(time_s: f64, each: &[f64; 4], places: &[(f64, f64); 4]) -> Load {
    let force: f64 = each.iter().sum();
    let x = each.iter().zip(places).map(|(f, p)| f * p.0).sum::<f64>() / force;
    let y = each.iter().zip(places).map(|(f, p)| f * p.1).sum::<f64>() / force;
    Load { time_s, force_n: force, at_m: (x, y) }
}

#[cfg(test)]
mod tests {
    use super::{Order, Screws, Tightening};

    #[test]
    fn four_equal_screws_pull_in_the_middle() {
        let screws = Screws { half_length_m: 0.03, half_width_m: 0.02 };
        for order in [Order::Crosswise, Order::OneSideFirst] {
            let all = Tightening::screws(200.0, screws, order, 5.0);
            let end = all.at(1e3);
            assert!((end.force_n - 200.0).abs() < 1e-9);
            assert!(end.at_m.0.abs() + end.at_m.1.abs() < 1e-12);
        }
    }

    #[test]
    fn one_side_first_pulls_to_that_side() {
        let screws = Screws { half_length_m: 0.03, half_width_m: 0.02 };
        let load = Tightening::screws(200.0, screws, Order::OneSideFirst, 5.0).at(10.0);
        assert!(load.at_m.0 < -0.02, "{load:?}");
    }
}
