//! How often a pick stays unbeaten when everything uncertain is drawn from its interval.

use quantity::dimension::DurationDim;
use quantity::interval::Interval;

use crate::route::score::Objectives;

/// How many times the intervals are drawn.
pub const DRAWS: u32 = 200;

/// Small reproducible numbers between 0 and 1.
///
/// # Source
/// S. Vigna, An experimental exploration of Marsaglia's xorshift generators, scrambled, ACM Trans. Math.
/// Softw. 42, 2016 (xorshift64*).
struct Draw(u64);

impl Draw {
    fn unit(&mut self) -> f64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 11) as f64 / (1_u64 << 53) as f64
    }
}

/// For the wanted routes of a front the share of draws in which no other beats them.
///
/// # Model
/// The time saved is drawn evenly from its interval, for each route on its own; that readings are common to
/// several routes is left out, so that real steadiness is at least this. Cost, energy, bench time, risk and
/// noise stay as they are.
pub fn steadiness(front: &[(Objectives, Interval<DurationDim>)], wanted: &[usize], seed: u64) -> Vec<f64> {
    // A generator of this kind must not start from zero.
    let mut draw = Draw(seed | 1);
    let mut unbeaten = vec![0_u32; wanted.len()];
    let mut drawn: Vec<Objectives> = front.iter().map(|(objectives, _)| *objectives).collect();
    for _ in 0..DRAWS {
        for (objectives, (_, saved)) in drawn.iter_mut().zip(front) {
            let (low, high) = (saved.low().si(), saved.high().si());
            // Seconds of a day: far inside the range of the cast.
            objectives.lost_s = -((low + (high - low) * draw.unit()).round() as i64);
        }
        for (idx, count) in wanted.iter().zip(&mut unbeaten) {
            let Some(one) = drawn.get(*idx) else { continue };
            *count += u32::from(!drawn.iter().any(|other| other != one && other.no_worse_than(one)));
        }
    }
    unbeaten.into_iter().map(|count| f64::from(count) / f64::from(DRAWS)).collect()
}

#[cfg(test)]
mod tests {
    use quantity::interval::Interval;
    use quantity::measure::Quantity;

    use super::steadiness;
    use crate::route::score::Objectives;

    fn route(cost: i64, low: f64, high: f64) -> (Objectives, Interval<quantity::dimension::DurationDim>) {
        let middle = -((low + high) / 2.0) as i64;
        let objectives = Objectives { cost, lost_s: middle, energy_wh: 0, minutes: 0, risk: 0, noise: 0 };
        (objectives, Interval::between(Quantity::from_si(low), Quantity::from_si(high)))
    }

    #[test]
    fn what_nothing_can_beat_is_steady_and_a_coin_toss_is_half() {
        // The first is cheapest; the second saves as much as the third half of the time and costs less.
        let front = [route(0, 0.0, 0.0), route(10, 100.0, 200.0), route(20, 100.0, 200.0)];
        let shares = steadiness(&front, &[0, 1, 2], 7);
        assert_eq!((shares[0], shares[1]), (1.0, 1.0));
        assert!((shares[2] - 0.5).abs() < 0.12, "{shares:?}");
        assert_eq!(steadiness(&front, &[0, 1, 2], 7), shares, "the same seed gives the same answer");
    }
}
