//! One symmetric multigrid cycle: what the conjugate gradients are preconditioned with.
//!
//! On each level the columns of one colour are solved, then those of the other, what is left is handed to the next level,
//! and on the way back the colours are solved in the other order. Each way is one pass through memory: the second colour
//! follows the first by one row of y, what comes after follows by another. A run of rows computes what it needs of its
//! neighbours' rows itself, so that runs need not wait for each other and the answer is that of one thread.

use core::ops::Range;

use crate::conduction::columns::Around;
use crate::conduction::layout::Layout;
use crate::conduction::level::Level;
use crate::conduction::products::pair;
use crate::conduction::runs::{deal, each, runs};

/// All levels, finest first, with their room to work in.
#[derive(Debug)]
pub(crate) struct Cycle {
    levels: Vec<Level>,
    rooms: Vec<Room>,
}

/// Room of one level.
#[derive(Debug)]
struct Room {
    /// Right side; the finest level has it from outside.
    rhs: Vec<f32>,
    /// First colour on the way down.
    first: Vec<f32>,
    /// Answer.
    x: Vec<f32>,
    runs: Vec<Range<usize>>,
    bands: Vec<Band>,
}

/// Last three rows of each colour, and a row of room.
#[derive(Debug, Clone)]
struct Band {
    first: [Vec<f32>; 3],
    second: [Vec<f32>; 3],
    work: Vec<f32>,
}

impl Band {
    fn new(part: usize) -> Self {
        let three = || core::array::from_fn(|_| vec![0.0; part]);
        Self { first: three(), second: three(), work: vec![0.0; part] }
    }
}

/// The rows of one colour around row `y`, of which the last three are kept.
fn around(kept: &[Vec<f32>; 3], y: usize, ny: usize) -> Around<'_> {
    Around {
        own: &kept[y % 3],
        before: (y > 0).then(|| &kept[(y + 2) % 3][..]),
        after: (y + 1 < ny).then(|| &kept[(y + 1) % 3][..]),
    }
}

/// Products of the answer with the right side and with the last direction's product, row by row of y.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Products {
    pub(crate) with_rhs: f64,
    pub(crate) with_last: f64,
}

impl Cycle {
    /// Levels down to one column.
    pub(crate) fn new(finest: Level, threads: usize) -> Self {
        let mut levels = vec![finest];
        while let Some(last) = levels.last()
            && last.layout.nx.max(last.layout.ny) > 1
        {
            let next = last.coarser();
            levels.push(next);
        }
        let rooms = levels.iter_mut().enumerate().map(|(at, level)| {
            level.factor(threads);
            let layout = level.layout;
            let runs = runs(threads, layout.ny, layout.places());
            Room {
                rhs: vec![0.0; if at == 0 { 0 } else { layout.places() }],
                first: vec![0.0; layout.ny * layout.part()],
                x: vec![0.0; layout.places()],
                bands: vec![Band::new(layout.part()); runs.len()],
                runs,
            }
        });
        let rooms = rooms.collect();
        Self { levels, rooms }
    }

    /// The finest level.
    pub(crate) fn finest(&self) -> &Level {
        &self.levels[0]
    }

    /// Runs of rows of y that threads take.
    pub(crate) fn runs(&self) -> &[Range<usize>] {
        &self.rooms[0].runs
    }

    /// Another ground for each row of cells.
    pub(crate) fn set_ground(&mut self, ground: &[f32], threads: usize) {
        for (factors, ground) in self.levels[0].factors.iter_mut().zip(ground) {
            factors.ground = *ground;
        }
        for at in 0..self.levels.len() {
            let (fine, coarse) = self.levels.split_at_mut(at);
            let level = &mut coarse[0];
            if let Some(finer) = fine.last() {
                level.take_ground(finer);
            }
            level.factor(threads);
        }
    }

    /// The operator and an approximate solution for a residual, with its products with it and with `last`.
    pub(crate) fn precondition(
        &mut self,
        residual: &[f32],
        last: &[f32],
        products: &mut [Products],
    ) -> (&Level, &[f32]) {
        let bottom = self.levels.len() - 1;
        for at in 0..bottom {
            self.down(at, residual);
        }
        let (level, room) = (&self.levels[bottom], &mut self.rooms[bottom]);
        let rhs = if bottom == 0 { residual } else { &room.rhs };
        // One column alone: its solve is exact.
        let part = level.layout.part();
        level.relax_alone(0, 0, &rhs[..part], &mut room.x[..part]);
        for at in (0..bottom).rev() {
            self.up(at, residual, last, products);
        }
        (&self.levels[0], &self.rooms[0].x)
    }

    /// Both colours from nothing; what is left of the right side goes to the next level.
    fn down(&mut self, at: usize, residual: &[f32]) {
        let (level, coarse) = (&self.levels[at], self.levels[at + 1].layout);
        let (upper, lower) = self.rooms.split_at_mut(at + 1);
        let (room, next) = (&mut upper[at], &mut lower[0]);
        let rhs = if at == 0 { residual } else { &room.rhs };
        let layout = level.layout;
        let halves: Vec<Range<usize>> =
            room.runs.iter().map(|run| run.start / 2..run.end.div_ceil(2)).collect();
        let firsts = deal(&mut room.first, &room.runs, layout.part());
        let nexts = deal(&mut next.rhs, &halves, coarse.slab());
        let jobs = room.runs.iter().zip(&mut room.bands).zip(firsts.into_iter().zip(nexts));
        each(jobs, |((run, band), (first, next))| {
            down_run(level, coarse, rhs, run.clone(), band, first, next);
        });
    }

    /// The next level's answer is added, then both colours are solved, the second one first.
    fn up(&mut self, at: usize, residual: &[f32], last: &[f32], products: &mut [Products]) {
        let (level, coarse) = (&self.levels[at], self.levels[at + 1].layout);
        let (upper, lower) = self.rooms.split_at_mut(at + 1);
        let (room, next) = (&mut upper[at], &lower[0].x);
        let rhs = if at == 0 { residual } else { &room.rhs };
        let layout = level.layout;
        let outs = deal(&mut room.x, &room.runs, layout.slab());
        let none = &mut [][..];
        let products = deal(if at == 0 { products } else { none }, &room.runs, 1);
        let first = &room.first;
        let jobs = room.runs.iter().zip(&mut room.bands).zip(outs.into_iter().zip(products));
        each(jobs, |((run, band), (out, products))| {
            let start = run.start;
            let slab = layout.slab();
            up_run(level, (coarse, next), (rhs, first), run.clone(), band, out, |y, out| {
                if let Some(sum) = products.get_mut(y - start) {
                    let at = y * slab..(y + 1) * slab;
                    let (with_rhs, with_last) = pair(out, &rhs[at.clone()], &last[at]);
                    *sum = Products { with_rhs, with_last };
                }
            });
        });
    }
}

/// Solves the second colour in the row behind the leading one, if the run or its edge has that row.
#[inline]
fn follow(level: &Level, lead: usize, rhs: &[f32], run: &Range<usize>, band: &mut Band) {
    let layout = level.layout;
    let (ny, part) = (layout.ny, layout.part());
    if let Some(y) = lead.checked_sub(1)
        && y + 1 >= run.start
        && y < ny
        && y <= run.end
    {
        let Band { first, second, .. } = band;
        let rhs = &rhs[y * layout.slab() + part..][..part];
        level.relax(y, 1, rhs, &around(first, y, ny), &mut second[y % 3]);
    }
}

fn down_run(
    level: &Level,
    coarse: Layout,
    rhs: &[f32],
    run: Range<usize>,
    band: &mut Band,
    first: &mut [f32],
    next: &mut [f32],
) {
    let layout = level.layout;
    let (ny, part, slab) = (layout.ny, layout.part(), layout.slab());
    for lead in run.start.saturating_sub(2)..run.end + 2 {
        if lead < ny {
            let out = &mut band.first[lead % 3];
            level.relax_alone(lead, 0, &rhs[lead * slab..][..part], out);
            if run.contains(&lead) {
                first[(lead - run.start) * part..][..part].copy_from_slice(out);
            }
        }
        follow(level, lead, rhs, &run, band);
        if let Some(y) = lead.checked_sub(2)
            && run.contains(&y)
        {
            // The second colour is solved to the last digit, and the first was before it: what is left is what
            // the second brings into the first.
            if y % 2 == 0 {
                band.work.fill(0.0);
            }
            level.add_brought(y, 0, &around(&band.second, y, ny), &mut band.work);
            if y % 2 == 1 || y + 1 == ny {
                let next = &mut next[(y / 2 - run.start / 2) * coarse.slab()..][..coarse.slab()];
                restrict(coarse, y / 2, &band.work, next);
            }
        }
    }
}

fn up_run(
    level: &Level,
    (coarse, next): (Layout, &[f32]),
    (rhs, first): (&[f32], &[f32]),
    run: Range<usize>,
    band: &mut Band,
    out: &mut [f32],
    mut done: impl FnMut(usize, &[f32]),
) {
    let layout = level.layout;
    let (ny, part, slab) = (layout.ny, layout.part(), layout.slab());
    for lead in run.start.saturating_sub(2)..run.end + 2 {
        if lead < ny {
            let sum = &mut band.first[lead % 3];
            let next = &next[lead / 2 * coarse.slab()..][..coarse.slab()];
            prolong(coarse, lead / 2, next, &first[lead * part..][..part], sum);
        }
        follow(level, lead, rhs, &run, band);
        if let Some(y) = lead.checked_sub(2)
            && run.contains(&y)
        {
            let out = &mut out[(y - run.start) * slab..][..slab];
            let (own, other) = out.split_at_mut(part);
            level.relax(y, 0, &rhs[y * slab..][..part], &around(&band.second, y, ny), own);
            other.copy_from_slice(&band.second[y % 3]);
            done(y, out);
        }
    }
}

/// What is left at the columns of two by two, one of each pair of rows in `left`, to the coarse row `y`.
fn restrict(coarse: Layout, y: usize, left: &[f32], out: &mut [f32]) {
    let fine_half = left.len() / coarse.nz;
    let (low, high) = out.split_at_mut(coarse.part());
    let (even, odd) = if y.is_multiple_of(2) { (low, high) } else { (high, low) };
    let rows = even.chunks_mut(coarse.half).zip(odd.chunks_mut(coarse.half));
    for ((even, odd), left) in rows.zip(left.chunks(fine_half)) {
        let (pairs, rest) = left.as_chunks::<2>();
        for ((even, odd), [a, b]) in even.iter_mut().zip(odd.iter_mut()).zip(pairs) {
            *even = *a;
            *odd = *b;
        }
        if let (Some(even), Some(last)) = (even.last_mut(), rest.first()) {
            *even = *last;
        }
    }
}

/// The first colour of a row with the coarse row's answer added.
fn prolong(coarse: Layout, y: usize, next: &[f32], first: &[f32], out: &mut [f32]) {
    let fine_half = first.len() / coarse.nz;
    let (low, high) = next.split_at(coarse.part());
    let (even, odd) = if y.is_multiple_of(2) { (low, high) } else { (high, low) };
    let rows = even.chunks(coarse.half).zip(odd.chunks(coarse.half));
    for (((even, odd), first), out) in rows.zip(first.chunks(fine_half)).zip(out.chunks_mut(fine_half)) {
        let ((pairs, rest), (outs, out_rest)) = (first.as_chunks::<2>(), out.as_chunks_mut::<2>());
        for (((even, odd), [a, b]), [to_a, to_b]) in even.iter().zip(odd).zip(pairs).zip(outs) {
            *to_a = a + even;
            *to_b = b + odd;
        }
        if let (Some(even), Some(a), Some(to)) = (even.last(), rest.first(), out_rest.first_mut()) {
            *to = a + even;
        }
    }
}
