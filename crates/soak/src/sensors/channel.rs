//! One file that is read again and again, and the number in it.

use std::fs::File;
use std::os::unix::fs::FileExt as _;

/// Longest text that is looked at; one number, or one line of a counter file.
const LONGEST: usize = 256;

/// What a file's text is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Text {
    /// One number.
    Number,
    /// Stall information: the total of the line `some`, in microseconds.
    Stall,
    /// Processor times: busy and all of the first line, in ticks, as busy in the upper and all in the lower half.
    Times,
    /// A disk's statistics: milliseconds that it worked, the tenth number.
    ///
    /// # Source
    /// Linux kernel, Documentation/block/stat.rst: field 10, `io_ticks`.
    DiskBusy,
}

/// A file held open.
#[derive(Debug)]
pub struct Source {
    file: File,
    text: Text,
}

impl Source {
    /// A file to be read as such a text.
    pub fn new(file: File, text: Text) -> Self {
        Self { file, text }
    }

    /// What it says now; none where it cannot be read.
    pub fn read(&self) -> Option<i128> {
        let mut buffer = [0; LONGEST];
        let length = self.file.read_at(&mut buffer, 0).ok()?;
        let text = buffer.get(..length)?;
        match self.text {
            Text::Number => number(text),
            Text::Stall => stall(text),
            Text::Times => times(text),
            Text::DiskBusy => disk_busy(text),
        }
    }
}

/// A whole number with blanks around it, and nothing else.
pub fn number(text: &[u8]) -> Option<i128> {
    let text = text.trim_ascii();
    let (negative, digits) = match text {
        [b'-', digits @ ..] => (true, digits),
        digits => (false, digits),
    };
    // A file of the kernel holds 64 bits at most; more digits are no number of its.
    if digits.is_empty() || digits.len() > 20 {
        return None;
    }
    let mut value = 0_i128;
    for digit in digits {
        if !digit.is_ascii_digit() {
            return None;
        }
        value = value * 10 + i128::from(digit - b'0');
    }
    Some(if negative { -value } else { value })
}

/// `some avg10=0.00 avg60=0.00 avg300=0.00 total=123`
fn stall(text: &[u8]) -> Option<i128> {
    let line = text.split(|byte| *byte == b'\n').next()?;
    if !line.starts_with(b"some ") {
        return None;
    }
    number(line.split(|byte| *byte == b' ').find_map(|word| word.strip_prefix(b"total="))?)
}

/// `cpu  user nice system idle iowait irq softirq steal guest guest_nice`: guest times are within user's.
fn times(text: &[u8]) -> Option<i128> {
    let line = text.split(|byte| *byte == b'\n').next()?.strip_prefix(b"cpu ")?;
    let mut all = 0;
    let mut idle = 0;
    for (place, word) in line.split(|byte| *byte == b' ').filter(|word| !word.is_empty()).take(8).enumerate()
    {
        let ticks = number(word)?;
        all += ticks;
        if place == 3 || place == 4 {
            idle += ticks;
        }
    }
    Some((all - idle) << 64 | all)
}

fn disk_busy(text: &[u8]) -> Option<i128> {
    let words = text.split(u8::is_ascii_whitespace).filter(|word| !word.is_empty());
    number(words.into_iter().nth(9)?)
}

#[cfg(test)]
mod tests {
    use super::{disk_busy, number, stall, times};
    use proptest::prelude::*;

    #[test]
    fn numbers_are_read_whole_or_not_at_all() {
        for (text, want) in [
            (&b"45000\n"[..], Some(45_000)),
            (b"-1250", Some(-1250)),
            (b"18446744073709551615\n", Some(18_446_744_073_709_551_615)),
            (b"", None),
            (b"\n", None),
            (b"45 000", None),
            (b"N/A", None),
            (b"4.5", None),
        ] {
            assert_eq!(number(text), want, "{text:?}");
        }
    }

    #[test]
    fn lines_of_counters_are_read() {
        let text = b"some avg10=8.68 avg60=2.80 avg300=2.41 total=22811589\nfull avg10=0.00 total=7\n";
        assert_eq!(stall(text), Some(22_811_589));
        assert_eq!(stall(b"full avg10=0.00 total=7"), None);
        let all = 26_760 + 10_224 + 75_580 + 714 + 61 + 13;
        let busy = 26_760 + 10_224 + 61 + 13;
        assert_eq!(disk_busy(b"  12 0 345 6  78 0 90 1  0  4711 5000\n"), Some(4711));
        assert_eq!(times(b"cpu  26760 0 10224 75580 714 0 61 13 0 0\ncpu0 1 2"), Some((busy << 64) | all));
    }

    proptest! {
        #[test]
        fn no_bytes_make_it_panic(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
            let _ = (number(&bytes), stall(&bytes), times(&bytes), disk_busy(&bytes));
        }
    }
}
