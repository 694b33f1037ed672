//! One symmetric multigrid cycle: what the conjugate gradients are preconditioned with.

use crate::conduction::level::{Beside, Level};
use crate::conduction::runs::{over_one, run_length};

/// All levels, finest first, with their room to work in.
#[derive(Debug)]
pub(crate) struct Cycle {
    levels: Vec<Level>,
    rooms: Vec<Room>,
    threads: usize,
}

/// Room of one level.
#[derive(Debug, Clone)]
struct Room {
    rhs: Vec<f32>,
    x: Vec<f32>,
    /// Nothing, once a slab: what a pass over slabs gives.
    units: Vec<()>,
}

impl Cycle {
    /// Levels down to a few columns.
    pub(crate) fn new(finest: Level, threads: usize) -> Self {
        let mut levels = vec![finest];
        while let Some(last) = levels.last()
            && last.nx.max(last.ny) > 2
        {
            let next = last.coarser();
            levels.push(next);
        }
        let rooms = levels
            .iter()
            .map(|level| {
                let zeros = || vec![0.0_f32; level.nx * level.ny * level.nz];
                Room { rhs: zeros(), x: zeros(), units: vec![(); level.ny] }
            })
            .collect();
        Self { levels, rooms, threads }
    }

    /// The finest level.
    pub(crate) fn finest(&self) -> &Level {
        &self.levels[0]
    }

    /// An approximate solution for a residual whose largest part is `size`, to be taken times `size`.
    pub(crate) fn precondition(&mut self, residual: &[f64], size: f64) -> &[f32] {
        // Single precision spans enough once the size is taken out.
        let scale = if size > 0.0 { 1.0 / size } else { 0.0 };
        let slab = self.levels[0].slab();
        let room = &mut self.rooms[0];
        over_one(self.threads, slab, &mut room.rhs, &mut room.units, |y, rhs| {
            for (rhs, r) in rhs.iter_mut().zip(&residual[y * slab..(y + 1) * slab]) {
                *rhs = (r * scale) as f32;
            }
        });
        self.visit(0);
        &self.rooms[0].x
    }

    /// Solves all columns of one colour, then those of the other.
    ///
    /// Both go through the memory together: behind the front of the first colour the second follows by one slab.
    /// Where two threads meet, the second colour of the slabs on both sides waits until both are done, so that the
    /// answer is that of one thread to the last bit.
    fn sweep(&mut self, at: usize, first: usize) {
        let (level, room) = (&self.levels[at], &mut self.rooms[at]);
        let (slab, ny) = (level.slab(), level.ny);
        let (rhs, x) = (&room.rhs, &mut room.x);
        let length = run_length(self.threads, ny, x.len());
        let second = 1 - first;
        // The first colour of a run's edge sees the other colour beyond it, which nobody has touched yet.
        let edges: Vec<Vec<f32>> =
            (0..ny.div_ceil(length)).map(|run| edge(x, slab, run * length, ny)).collect();
        let one_run = |run: usize, x: &mut [f32]| {
            let from = run * length;
            let (here, next) = (edges.get(run), edges.get(run + 1));
            let before = here.filter(|_| from > 0).map(|edge| &edge[..slab]);
            let after = next.map(|edge| &edge[slab..]);
            let mut work = vec![0.0; slab];
            let count = x.len() / slab;
            for place in 0..=count {
                if place < count {
                    let (mut beside, own) = around(x, slab, place);
                    beside.below = beside.below.or(before);
                    beside.above = beside.above.or(after);
                    level.relax(from + place, first, rhs, &beside, own, &mut work);
                }
                let Some(behind) = place.checked_sub(1) else { continue };
                let meets = (behind == 0 && before.is_some()) || (behind + 1 == count && after.is_some());
                if !meets {
                    let (beside, own) = around(x, slab, behind);
                    level.relax(from + behind, second, rhs, &beside, own, &mut work);
                }
            }
        };
        if length >= ny {
            one_run(0, x);
            return;
        }
        std::thread::scope(|scope| {
            for (run, x) in x.chunks_mut(length * slab).enumerate() {
                let one_run = &one_run;
                scope.spawn(move || one_run(run, x));
            }
        });
        let mut work = vec![0.0; slab];
        for meet in (length..ny).step_by(length) {
            for y in [meet - 1, meet] {
                let (beside, own) = around(x, slab, y);
                level.relax(y, second, rhs, &beside, own, &mut work);
            }
        }
    }

    fn visit(&mut self, at: usize) {
        self.rooms[at].x.fill(0.0);
        let is_last = at + 1 == self.levels.len();
        let turns = if is_last { 4 } else { 1 };
        for _ in 0..turns {
            self.sweep(at, 0);
        }
        if !is_last {
            self.restrict(at);
            self.visit(at + 1);
            self.prolong(at);
        }
        for _ in 0..turns {
            self.sweep(at, 1);
        }
    }

    /// Residual of a level, summed over two by two columns, to the next one.
    fn restrict(&mut self, at: usize) {
        let (level, coarse) = (&self.levels[at], &self.levels[at + 1]);
        let (upper, lower) = self.rooms.split_at_mut(at + 1);
        let (room, next) = (&upper[at], &mut lower[0]);
        let (rhs, x, nx, ny) = (&room.rhs, &room.x, level.nx, level.ny);
        over_one(self.threads, coarse.slab(), &mut next.rhs, &mut next.units, |y, out| {
            let mut row = vec![0.0; nx];
            out.fill(0.0);
            for fine_y in 2 * y..(2 * y + 2).min(ny) {
                for (z, to) in out.chunks_mut(coarse.nx).enumerate() {
                    level.residual_row(fine_y, z, rhs, x, &mut row);
                    let (pairs, rest) = row.as_chunks::<2>();
                    for (to, [a, b]) in to.iter_mut().zip(pairs) {
                        *to += a + b;
                    }
                    if let (Some(to), Some(last)) = (to.last_mut(), rest.first()) {
                        *to += last;
                    }
                }
            }
        });
    }

    /// Adds the next level's answer to each of its columns.
    fn prolong(&mut self, at: usize) {
        let level = &self.levels[at];
        let coarse_nx = self.levels[at + 1].nx;
        let (upper, lower) = self.rooms.split_at_mut(at + 1);
        let (room, next) = (&mut upper[at], &lower[0].x);
        let (nx, nz) = (level.nx, level.nz);
        over_one(self.threads, level.slab(), &mut room.x, &mut room.units, |y, out| {
            let from = &next[(y / 2) * nz * coarse_nx..(y / 2 + 1) * nz * coarse_nx];
            for (out, from) in out.chunks_mut(nx).zip(from.chunks(coarse_nx)) {
                let (pairs, rest) = out.as_chunks_mut::<2>();
                for ([a, b], value) in pairs.iter_mut().zip(from) {
                    *a += value;
                    *b += value;
                }
                if let (Some(last), Some(value)) = (rest.first_mut(), from.last()) {
                    *last += value;
                }
            }
        });
    }
}

/// The two slabs beside the place where a run begins: the one before it, then its own first.
fn edge(x: &[f32], slab: usize, from: usize, ny: usize) -> Vec<f32> {
    if from == 0 || from >= ny {
        return Vec::new();
    }
    x[(from - 1) * slab..(from + 1) * slab].to_vec()
}

/// A slab to be changed, and those beside it.
fn around(x: &mut [f32], slab: usize, place: usize) -> (Beside<'_>, &mut [f32]) {
    let (head, rest) = x.split_at_mut(place * slab);
    let (own, tail) = rest.split_at_mut(slab);
    let below = place.checked_sub(1).map(|place| &head[place * slab..]);
    let above = (!tail.is_empty()).then(|| &tail[..slab]);
    (Beside { below, above }, own)
}
