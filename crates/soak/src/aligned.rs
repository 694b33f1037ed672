//! Numbers that begin where a cache line begins, so that no register's worth of them lies across two.

use core::ops::{Deref, DerefMut};

/// Bytes of a line, at most.
const LINE: usize = 64;

/// As many numbers as it was made with.
#[derive(Debug)]
pub(crate) struct Aligned {
    numbers: Vec<f64>,
    start: usize,
}

impl Aligned {
    /// These numbers.
    pub(crate) fn of(from: &[f64]) -> Self {
        let mut numbers = vec![0.0; from.len() + LINE / size_of::<f64>()];
        // Never grown, so the numbers stay where they are. Not found would cost speed, nothing else.
        let start = numbers.as_ptr().align_offset(LINE).min(LINE / size_of::<f64>());
        numbers.drain(from.len() + start..);
        if let Some(place) = numbers.get_mut(start..) {
            place.copy_from_slice(from);
        }
        Self { numbers, start }
    }
}

impl Deref for Aligned {
    type Target = [f64];

    fn deref(&self) -> &[f64] {
        self.numbers.get(self.start..).unwrap_or(&[])
    }
}

impl DerefMut for Aligned {
    fn deref_mut(&mut self) -> &mut [f64] {
        self.numbers.get_mut(self.start..).unwrap_or(&mut [])
    }
}
