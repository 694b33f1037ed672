//! One symmetric multigrid cycle: what the conjugate gradients are preconditioned with.

use crate::conduction::level::Level;

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
    other: Vec<f32>,
}

/// Runs a piece of work on each slab of `out`, slabs dealt to threads in runs. Every slab is computed the same
/// way whichever thread has it.
pub(crate) fn by_slab<T: Send>(
    threads: usize,
    slab: usize,
    out: &mut [T],
    work: impl Fn(usize, &mut [T]) + Sync,
) {
    let slabs = out.len() / slab;
    // Small levels are done sooner than a thread is started.
    if threads < 2 || out.len() < 40_000 {
        for (y, part) in out.chunks_mut(slab).enumerate() {
            work(y, part);
        }
        return;
    }
    let run = slabs.div_ceil(threads);
    std::thread::scope(|scope| {
        for (place, part) in out.chunks_mut(run * slab).enumerate() {
            let work = &work;
            scope.spawn(move || {
                for (y, part) in part.chunks_mut(slab).enumerate() {
                    work(place * run + y, part);
                }
            });
        }
    });
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
                Room { rhs: zeros(), x: zeros(), other: zeros() }
            })
            .collect();
        Self { levels, rooms, threads }
    }

    /// The finest level.
    pub(crate) fn finest(&self) -> &Level {
        &self.levels[0]
    }

    /// An approximate solution for a residual.
    pub(crate) fn precondition(&mut self, residual: &[f64], out: &mut [f64]) {
        // Single precision spans enough once the size is taken out.
        let size = residual.iter().fold(0.0_f64, |most, r| most.max(r.abs()));
        if size == 0.0 {
            out.fill(0.0);
            return;
        }
        for (rhs, r) in self.rooms[0].rhs.iter_mut().zip(residual) {
            *rhs = (r / size) as f32;
        }
        self.visit(0);
        for (out, x) in out.iter_mut().zip(&self.rooms[0].x) {
            *out = f64::from(*x) * size;
        }
    }

    fn sweep(&mut self, at: usize, colour: usize) {
        let (level, room) = (&self.levels[at], &mut self.rooms[at]);
        let (rhs, x) = (&room.rhs, &room.x);
        by_slab(self.threads, level.slab(), &mut room.other, |y, out| {
            level.relax_slab(y, colour, rhs, x, out)
        });
        core::mem::swap(&mut room.x, &mut room.other);
    }

    fn visit(&mut self, at: usize) {
        self.rooms[at].x.fill(0.0);
        let is_last = at + 1 == self.levels.len();
        let turns = if is_last { 4 } else { 1 };
        for _ in 0..turns {
            self.sweep(at, 0);
            self.sweep(at, 1);
        }
        if !is_last {
            self.restrict(at);
            self.visit(at + 1);
            self.prolong(at);
        }
        for _ in 0..turns {
            self.sweep(at, 1);
            self.sweep(at, 0);
        }
    }

    /// Residual of a level, summed over two by two columns, to the next one.
    fn restrict(&mut self, at: usize) {
        let level = &self.levels[at];
        let (upper, lower) = self.rooms.split_at_mut(at + 1);
        let (room, next) = (&mut upper[at], &mut lower[0]);
        let (rhs, x) = (&room.rhs, &room.x);
        by_slab(self.threads, level.slab(), &mut room.other, |y, out| level.residual_slab(y, rhs, x, out));
        let coarse = &self.levels[at + 1];
        let (fine, nx, nz, ny) = (&room.other, level.nx, level.nz, level.ny);
        by_slab(self.threads, coarse.slab(), &mut next.rhs, |y, out| {
            out.fill(0.0);
            for fine_y in 2 * y..(2 * y + 2).min(ny) {
                for z in 0..nz {
                    let from = &fine[(fine_y * nz + z) * nx..(fine_y * nz + z + 1) * nx];
                    let to = &mut out[z * coarse.nx..(z + 1) * coarse.nx];
                    for (place, value) in from.iter().enumerate() {
                        to[place / 2] += value;
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
        by_slab(self.threads, level.slab(), &mut room.x, |y, out| {
            for z in 0..nz {
                let from = &next[((y / 2) * nz + z) * coarse_nx..((y / 2) * nz + z + 1) * coarse_nx];
                for (place, value) in out[z * nx..(z + 1) * nx].iter_mut().enumerate() {
                    *value += from[place / 2];
                }
            }
        });
    }
}
