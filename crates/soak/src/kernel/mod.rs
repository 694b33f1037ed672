//! The loads: work at the processor's limit whose results are known by another way.

pub mod branch;
pub mod cache;
pub mod integer;
pub mod matrix;
pub mod memory;
pub mod mixed;
pub mod progression;
pub mod vector;

use crate::width::Width;

/// What a block of work did.
#[derive(Debug, Clone, PartialEq)]
pub struct Done {
    /// Units of work; [`Load::unit`] says which.
    pub work: f64,
    /// A result that is not what it must be.
    pub wrong: Option<Wrong>,
}

/// A result that is not what it must be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wrong {
    /// Where and by how much, in a sentence.
    pub what: String,
}

/// Work that is done block by block. A block takes some milliseconds at most on a desktop computer.
pub trait Kernel: Send {
    /// Does a block. Results are checked at the latest after some hundred blocks.
    fn block(&mut self) -> Done;

    /// Flips one bit in the data that is worked on, as a failing machine would; for proving that it is found.
    fn disturb(&mut self, bit: u32);
}

/// Kinds of load.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Load {
    /// Multiply and add in the widest registers: the most heat.
    Vector,
    /// Matrix multiplication through registers, caches and memory.
    Matrix,
    /// Whole numbers: multiply, shift, combine.
    Integer,
    /// Jumps that cannot be foretold.
    Branch,
    /// Following addresses and changing values inside the cache.
    Cache,
    /// Streams through memory.
    Memory,
    /// All of them in turn.
    Mixed,
}

/// What a load may use.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Room {
    /// Memory of this worker, in bytes.
    pub memory: usize,
    /// The core's own second-level cache, in bytes.
    pub cache: usize,
    /// Width of its registers.
    pub width: Width,
}

impl Load {
    /// Every load.
    pub const ALL: [Self; 7] =
        [Self::Vector, Self::Matrix, Self::Integer, Self::Branch, Self::Cache, Self::Memory, Self::Mixed];

    /// The word for it, in logs and on the command line.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Vector => "vector",
            Self::Matrix => "matrix",
            Self::Integer => "integer",
            Self::Branch => "branch",
            Self::Cache => "cache",
            Self::Memory => "memory",
            Self::Mixed => "mixed",
        }
    }

    /// What its units of work are.
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Vector | Self::Matrix => "floating-point operations",
            Self::Integer => "operations",
            Self::Branch => "jumps",
            Self::Cache => "accesses",
            Self::Memory => "bytes",
            Self::Mixed => "blocks",
        }
    }

    /// The load, ready to run; `seed` makes workers' data differ.
    pub fn kernel(self, room: Room, seed: u64) -> Box<dyn Kernel> {
        match self {
            Self::Vector => Box::new(vector::Vector::new(room.width, seed)),
            Self::Matrix => Box::new(matrix::Matrix::new(room.width, matrix::side(room.memory), seed)),
            Self::Integer => Box::new(integer::Integer::new(seed)),
            Self::Branch => Box::new(branch::Branch::new(seed)),
            Self::Cache => Box::new(cache::Cache::new(room.cache, seed)),
            Self::Memory => Box::new(memory::Memory::new(room.memory, seed)),
            Self::Mixed => Box::new(mixed::Mixed::new(room, seed)),
        }
    }
}
