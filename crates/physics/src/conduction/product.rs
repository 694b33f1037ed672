//! The operator: heat that leaves each cell at given temperatures.

use core::ops::{Add, Mul, Sub};

use crate::conduction::columns::stretches;
use crate::conduction::layout::Layout;
use crate::conduction::level::{Level, Row};

/// A row of y and those beside it, where there are some.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Slabs<'a, T> {
    pub(crate) own: &'a [T],
    pub(crate) before: Option<&'a [T]>,
    pub(crate) after: Option<&'a [T]>,
}

/// Cells' values along one stretch: their own and those of their neighbours.
struct Beside<'a, T> {
    own: &'a [T],
    near: &'a [T],
    far: &'a [T],
    before: &'a [T],
    after: &'a [T],
    under: &'a [T],
    over: &'a [T],
}

impl Level {
    /// Operator on one row of y, in the digits of `T`.
    ///
    /// Flows to the neighbours, so that what leaves one cell enters the next to the last digit.
    pub(crate) fn apply<T>(&self, y: usize, x: &Slabs<'_, T>, out: &mut [T])
    where
        T: Copy + From<f32> + Add<Output = T> + Sub<Output = T> + Mul<Output = T>,
    {
        let (half, nz, part) = (self.layout.half, self.layout.nz, self.layout.part());
        for (colour, out) in out.chunks_mut(part).enumerate() {
            let (here, other) = (colour * part, (1 - colour) * part);
            let side = Layout::side(y, colour);
            for (z, out) in out.chunks_mut(half).enumerate() {
                let row = self.row(y, z, colour);
                let (at, beside) = (here + z * half, other + z * half);
                let own = &x.own[at..at + half];
                let near = &x.own[beside..beside + half];
                // Where there is no neighbour its factor is zero, whatever stands in its place.
                let before = x.before.map_or(own, |slab| &slab[beside..beside + half]);
                let after = x.after.map_or(own, |slab| &slab[beside..beside + half]);
                let under = if z > 0 { &x.own[at - half..at] } else { own };
                let over = if z + 1 < nz { &x.own[at + half..at + 2 * half] } else { own };
                for (cut, far) in stretches(side, half, x.own, beside) {
                    if cut.is_empty() {
                        continue;
                    }
                    let values = Beside {
                        own: &own[cut.clone()],
                        near: &near[cut.clone()],
                        far,
                        before: &before[cut.clone()],
                        after: &after[cut.clone()],
                        under: &under[cut.clone()],
                        over: &over[cut.clone()],
                    };
                    leaving(&row, cut.start, &values, &mut out[cut]);
                }
            }
        }
    }
}

#[inline(never)]
fn leaving<T>(row: &Row<'_>, start: usize, beside: &Beside<'_, T>, out: &mut [T])
where
    T: Copy + From<f32> + Add<Output = T> + Sub<Output = T> + Mul<Output = T>,
{
    let count = out.len();
    let Beside { own, near, far, before, after, under, over } = *beside;
    let (own, near, far, before) = (&own[..count], &near[..count], &far[..count], &before[..count]);
    let (after, under, over) = (&after[..count], &under[..count], &over[..count]);
    let side = row.side;
    let (wide, g_near, g_far) =
        (&side.wide[start..][..count], &side.near[start..][..count], &side.far[start..][..count]);
    let (g_under, g_over) = (&row.under.0[start..][..count], &row.over.0[start..][..count]);
    let [along_x, ground, f_before, f_after, f_under, f_over] =
        [row.along_x, row.ground, row.before, row.after, row.under.1, row.over.1].map(T::from);
    for i in 0..count {
        let here = own[i];
        let along_x = along_x * (T::from(g_near[i]) * (here - near[i]) + T::from(g_far[i]) * (here - far[i]));
        let across = ground * here + f_before * (here - before[i]) + f_after * (here - after[i]);
        out[i] = along_x
            + T::from(wide[i]) * across
            + f_under * T::from(g_under[i]) * (here - under[i])
            + f_over * T::from(g_over[i]) * (here - over[i]);
    }
}
