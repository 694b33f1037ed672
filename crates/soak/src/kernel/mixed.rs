//! All loads in turn, some blocks of each: currents and temperatures never settle.

use crate::kernel::branch::Branch;
use crate::kernel::cache::Cache;
use crate::kernel::integer::Integer;
use crate::kernel::matrix::{self, Matrix};
use crate::kernel::memory::Memory;
use crate::kernel::vector::Vector;
use crate::kernel::{Done, Kernel, Room};

/// Blocks of one load before the next.
const BLOCKS: usize = 24;

/// The load.
pub struct Mixed {
    parts: [Box<dyn Kernel>; 6],
    block: usize,
}

impl Mixed {
    /// The load; its matrix and its stream share the memory.
    pub fn new(room: Room, seed: u64) -> Self {
        Self {
            parts: [
                Box::new(Vector::new(room.width, seed)),
                Box::new(Memory::new(room.memory / 2, seed)),
                Box::new(Matrix::new(room.width, matrix::side(room.memory / 2), seed)),
                Box::new(Branch::new(seed)),
                Box::new(Integer::new(seed)),
                Box::new(Cache::new(room.cache, seed)),
            ],
            block: 0,
        }
    }
}

impl Kernel for Mixed {
    fn block(&mut self) -> Done {
        let part = self.block / BLOCKS % self.parts.len();
        self.block += 1;
        let done = self.parts[part].block();
        Done { work: 1.0, wrong: done.wrong }
    }

    fn disturb(&mut self, bit: u32) {
        let part = self.block / BLOCKS % self.parts.len();
        self.parts[part].disturb(bit);
    }
}
