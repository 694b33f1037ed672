//! What is done to the columns of one colour of one row of y: solved, or asked for what their neighbours bring.

use core::ops::Range;

use crate::conduction::layout::Layout;
use crate::conduction::level::{Level, Row};

/// The other colour's columns around those of a row of y: in that row, before it and after it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Around<'a> {
    pub(crate) own: &'a [f32],
    pub(crate) before: Option<&'a [f32]>,
    pub(crate) after: Option<&'a [f32]>,
}

impl<'a> Around<'a> {
    /// The three rows of cells at one z; where there is no row its factor is zero, whatever stands in its place.
    fn at(&self, from: usize, half: usize) -> [&'a [f32]; 3] {
        let own = &self.own[from..from + half];
        let other = |part: Option<&'a [f32]>| part.map(|part| &part[from..from + half]);
        [own, other(self.before).unwrap_or(own), other(self.after).unwrap_or(own)]
    }
}

/// Ranges along x that are done at once, with their far neighbours: those of the other colour's row, which begins at
/// `from` of `all`, one place before for even columns and one behind for odd ones. The outermost column has none, but
/// its factor is zero, so that what stands in its place in the next row serves, where there is one.
pub(crate) fn stretches<T>(side: usize, half: usize, all: &[T], from: usize) -> [(Range<usize>, &[T]); 2] {
    let row = &all[from..from + half];
    let start = if side == 0 { from.checked_sub(1) } else { Some(from + 1) };
    match start.and_then(|start| all.get(start..start + half)) {
        Some(far) => [(0..half, far), (half..half, &[])],
        None if side == 0 => [(0..1, &row[..1]), (1..half, &row[..half - 1])],
        None => [(0..half - 1, &row[1..]), (half - 1..half, &row[half - 1..])],
    }
}

impl Level {
    /// Solves the columns of one colour, the other being zero.
    pub(crate) fn relax_alone(&self, y: usize, colour: usize, rhs: &[f32], out: &mut [f32]) {
        let half = self.layout.half;
        let pivots = self.part_of_pivots(y, colour);
        for z in 0..self.layout.nz {
            let from = z * half;
            let (done, rest) = out.split_at_mut(from);
            let under = if z > 0 { &done[from - half..] } else { &rhs[..half] };
            let here = from..from + half;
            forward_alone(
                &self.row(y, z, colour),
                &rhs[here.clone()],
                under,
                &pivots[here],
                &mut rest[..half],
            );
        }
        self.backward(y, colour, pivots, out);
    }

    /// Solves the columns of one colour, the other as it is.
    pub(crate) fn relax(&self, y: usize, colour: usize, rhs: &[f32], around: &Around<'_>, out: &mut [f32]) {
        let half = self.layout.half;
        let pivots = self.part_of_pivots(y, colour);
        for z in 0..self.layout.nz {
            let from = z * half;
            let (done, rest) = out.split_at_mut(from);
            let under = if z > 0 { &done[from - half..] } else { &rhs[..half] };
            let row = self.row(y, z, colour);
            let [own, before, after] = around.at(from, half);
            let (rhs, pivots, out) = (&rhs[from..from + half], &pivots[from..from + half], &mut rest[..half]);
            let side = Layout::side(y, colour);
            for (part, far) in stretches(side, half, around.own, from) {
                if part.is_empty() {
                    continue;
                }
                let near = [&own[part.clone()], far, &before[part.clone()], &after[part.clone()]];
                forward(
                    &row,
                    part.start,
                    &rhs[part.clone()],
                    near,
                    &under[part.clone()],
                    &pivots[part.clone()],
                    &mut out[part],
                );
            }
        }
        self.backward(y, colour, pivots, out);
    }

    /// Adds what the other colour brings into the columns of one colour.
    pub(crate) fn add_brought(&self, y: usize, colour: usize, around: &Around<'_>, out: &mut [f32]) {
        let half = self.layout.half;
        for (z, out) in out.chunks_mut(half).enumerate() {
            let row = self.row(y, z, colour);
            let [own, before, after] = around.at(z * half, half);
            let side = Layout::side(y, colour);
            for (part, far) in stretches(side, half, around.own, z * half) {
                if part.is_empty() {
                    continue;
                }
                let near = [&own[part.clone()], far, &before[part.clone()], &after[part.clone()]];
                add_brought(&row, part.start, near, &mut out[part]);
            }
        }
    }

    fn part_of_pivots(&self, y: usize, colour: usize) -> &[f32] {
        &self.pivots[(2 * y + colour) * self.layout.part()..][..self.layout.part()]
    }

    /// Second half of a solve: from the uppermost row down.
    fn backward(&self, y: usize, colour: usize, pivots: &[f32], out: &mut [f32]) {
        let half = self.layout.half;
        for z in (0..self.layout.nz.saturating_sub(1)).rev() {
            let (here, above) = out[z * half..].split_at_mut(half);
            let (over, factor) = self.row(y, z, colour).over;
            let (over, pivots, above) = (&over[..half], &pivots[z * half..][..half], &above[..half]);
            for i in 0..half {
                here[i] += factor * over[i] * pivots[i] * above[i];
            }
        }
    }
}

#[inline(never)]
fn forward_alone(row: &Row<'_>, rhs: &[f32], under: &[f32], pivots: &[f32], out: &mut [f32]) {
    let count = out.len();
    let (rhs, under, pivots) = (&rhs[..count], &under[..count], &pivots[..count]);
    let (g_under, factor) = (&row.under.0[..count], row.under.1);
    for i in 0..count {
        out[i] = (rhs[i] + factor * g_under[i] * under[i]) * pivots[i];
    }
}

#[inline(never)]
fn forward(
    row: &Row<'_>,
    start: usize,
    rhs: &[f32],
    [own, far, before, after]: [&[f32]; 4],
    under: &[f32],
    pivots: &[f32],
    out: &mut [f32],
) {
    let count = out.len();
    let (rhs, under, pivots) = (&rhs[..count], &under[..count], &pivots[..count]);
    let (own, far, before, after) = (&own[..count], &far[..count], &before[..count], &after[..count]);
    let side = row.side;
    let (wide, g_near, g_far) =
        (&side.wide[start..][..count], &side.near[start..][..count], &side.far[start..][..count]);
    let (g_under, factor) = (&row.under.0[start..][..count], row.under.1);
    for i in 0..count {
        let brought = row.along_x * (g_near[i] * own[i] + g_far[i] * far[i])
            + wide[i] * (row.before * before[i] + row.after * after[i]);
        out[i] = (rhs[i] + brought + factor * g_under[i] * under[i]) * pivots[i];
    }
}

#[inline(never)]
fn add_brought(row: &Row<'_>, start: usize, [own, far, before, after]: [&[f32]; 4], out: &mut [f32]) {
    let count = out.len();
    let (own, far, before, after) = (&own[..count], &far[..count], &before[..count], &after[..count]);
    let side = row.side;
    let (wide, g_near, g_far) =
        (&side.wide[start..][..count], &side.near[start..][..count], &side.far[start..][..count]);
    for i in 0..count {
        out[i] += row.along_x * (g_near[i] * own[i] + g_far[i] * far[i])
            + wide[i] * (row.before * before[i] + row.after * after[i]);
    }
}
