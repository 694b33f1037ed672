//! Vectors that no other beats, for three objectives.

/// A vector and where it comes from: all three are better when smaller.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Point<W> {
    /// First objective.
    pub a: i64,
    /// Second objective.
    pub b: i64,
    /// Third objective.
    pub c: i64,
    /// Witness; of equal vectors the smallest stays.
    pub witness: W,
}

/// The distinct vectors that no other beats, in order.
///
/// Sorted by the first objective, each point is compared with a staircase of the second and third: what
/// comes earlier is never worse in the first. O(n log n) with short moves in the staircase. Where the
/// objectives span less than 32 bits each, sixteen-byte keys are sorted in the points' stead.
pub fn skyline<W: Copy + Ord>(mut points: Vec<Point<W>>) -> Vec<Point<W>> {
    let mut sweep = Sweep { front: Vec::new(), stairs: Vec::new() };
    match keys(&points) {
        Some(mut keys) => {
            keys.sort_unstable();
            for (_, _, idx) in keys {
                sweep.take(points[idx as usize]);
            }
        }
        None => {
            points.sort_unstable();
            for point in points {
                sweep.take(point);
            }
        }
    }
    sweep.front
}

/// Keys that sort as the points do: the first two objectives in one number, the third, the place.
fn keys<W>(points: &[Point<W>]) -> Option<Vec<(u64, u32, u32)>> {
    let lowest = |objective: fn(&Point<W>) -> i64| points.iter().map(objective).min().unwrap_or(0);
    let (low_a, low_b, low_c) = (lowest(|p| p.a), lowest(|p| p.b), lowest(|p| p.c));
    let above = |value: i64, low: i64| u32::try_from(value.checked_sub(low)?).ok();
    let mut keys = Vec::with_capacity(points.len());
    for (point, idx) in points.iter().zip(0_u32..) {
        let (a, b) = (above(point.a, low_a)?, above(point.b, low_b)?);
        keys.push((u64::from(a) << 32 | u64::from(b), above(point.c, low_c)?, idx));
    }
    (keys.len() == points.len()).then_some(keys)
}

/// The front so far, and its staircase: rising in the second objective, falling in the third.
struct Sweep<W> {
    front: Vec<Point<W>>,
    stairs: Vec<(i64, i64)>,
}

impl<W: Copy + Ord> Sweep<W> {
    /// Takes the next point in order.
    fn take(&mut self, point: Point<W>) {
        let place = self.stairs.partition_point(|stair| stair.0 <= point.b);
        if let Some(stair) = place.checked_sub(1).and_then(|before| self.stairs.get(before))
            && stair.1 <= point.c
        {
            if let Some(last) = self.front.last_mut()
                && (last.a, last.b, last.c) == (point.a, point.b, point.c)
            {
                last.witness = last.witness.min(point.witness);
            }
            return;
        }
        self.front.push(point);
        // A stair with the same b is replaced; those behind that are not lower in c go.
        let from = self.stairs.partition_point(|stair| stair.0 < point.b);
        let behind =
            self.stairs.get(from..).map_or(0, |rest| rest.partition_point(|stair| stair.1 >= point.c));
        self.stairs.splice(from..from + behind, [(point.b, point.c)]);
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::{Point, skyline};

    #[test]
    fn objectives_of_any_size_are_compared() {
        let far = [
            Point { a: 0, b: i64::MAX, c: 0, witness: 0 },
            Point { a: i64::MIN, b: 0, c: 5, witness: 1 },
            Point { a: 1, b: i64::MAX, c: 1, witness: 2 },
        ];
        let kept: Vec<i32> = skyline(far.to_vec()).iter().map(|point| point.witness).collect();
        assert_eq!(kept, [1, 0]);
    }

    proptest! {
        #[test]
        fn equals_the_plain_definition(list in proptest::collection::vec((0..12_i64, 0..12_i64, 0..12_i64), 0..80)) {
            let points: Vec<Point<usize>> =
                list.iter().enumerate().map(|(witness, (a, b, c))| Point { a: *a, b: *b, c: *c, witness }).collect();
            let found: Vec<(i64, i64, i64, usize)> =
                skyline(points.clone()).iter().map(|p| (p.a, p.b, p.c, p.witness)).collect();
            let mut plain: Vec<(i64, i64, i64, usize)> = Vec::new();
            for p in &points {
                let beaten = points.iter().any(|q| {
                    let no_worse = q.a <= p.a && q.b <= p.b && q.c <= p.c;
                    no_worse && ((q.a, q.b, q.c) != (p.a, p.b, p.c) || q.witness < p.witness)
                });
                if !beaten {
                    plain.push((p.a, p.b, p.c, p.witness));
                }
            }
            plain.sort_unstable();
            prop_assert_eq!(found, plain);
        }
    }
}
