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
/// comes earlier is never worse in the first. O(n log n) with short moves in the staircase.
pub fn skyline<W: Copy + Ord>(mut points: Vec<Point<W>>) -> Vec<Point<W>> {
    points.sort_unstable();
    let mut front: Vec<Point<W>> = Vec::new();
    // Rising in b, falling in c.
    let mut stairs: Vec<(i64, i64)> = Vec::new();
    for point in points {
        let place = stairs.partition_point(|stair| stair.0 <= point.b);
        if let Some(stair) = place.checked_sub(1).and_then(|before| stairs.get(before))
            && stair.1 <= point.c
        {
            continue;
        }
        front.push(point);
        // A stair with the same b is replaced; those behind that are not lower in c go.
        let from = stairs.partition_point(|stair| stair.0 < point.b);
        let behind = stairs.get(from..).map_or(0, |rest| rest.partition_point(|stair| stair.1 >= point.c));
        stairs.splice(from..from + behind, [(point.b, point.c)]);
    }
    front
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::{Point, skyline};

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
