//! Which processors of a large table go into each of a million machines.
//!
//! # Model
//! The rules of the fronts over large tables, for machines that keep their board and cooler: socket, generation, series and
//! memory type agree, and neither the power stages nor the cooler are asked for more than they carry. Of those that fit the
//! fastest is the best; of equally fast ones the cheaper, then the one that stands first.
//!
//! Machines with one kind of board share the processors it takes, sorted by power: for each power that is allowed a table
//! says how many fit and which is best, so that a machine costs one look. Rows are read eight bytes at a time.

use crate::front::table::{TableError, columns};

/// Heading of the table of machines: board's socket, its chipset series, the generations it drives as bits, its memory
/// type, the power its stages carry and the power the cooler carries, both in tenths of a watt.
pub const HEADING: [&str; 7] = ["id", "socket", "series", "gen_mask", "mem_type", "stages_dw", "cooler_dw"];

/// A processor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Candidate {
    /// Socket, by number.
    pub socket: u32,
    /// Generation, by number within its socket.
    pub generation: u32,
    /// Chipset series that drive it, as bits.
    pub series: u64,
    /// Memory type, by number.
    pub memory: u32,
    /// Sustained power in tenths of a watt.
    pub power: u32,
    /// Speed.
    pub speed: i64,
    /// Price.
    pub price: i64,
}

/// The processors of a table.
///
/// # Errors
/// A column is missing or a cell is no whole number, a socket, generation, type or power is negative or far out of range.
pub fn candidates(table: &[u8]) -> Result<Vec<Candidate>, FitsError> {
    let names = ["socket", "gen", "series_mask", "mem_type", "sustained_dw", "perf", "price"];
    let rows = columns(table, names).map_err(FitsError::Processors)?;
    if rows.len() >= usize::from(u16::MAX) {
        return Err(FitsError::TooMany(rows.len()));
    }
    let small = |value: i64, place: usize| {
        u32::try_from(value)
            .ok()
            .filter(|value| *value <= MOST_POWER)
            .ok_or(FitsError::Range { row: place + 1 })
    };
    rows.into_iter()
        .enumerate()
        .map(|(place, [socket, generation, series, memory, power, speed, price])| {
            Ok(Candidate {
                socket: small(socket, place)?,
                generation: small(generation, place)?,
                series: u64::try_from(series).map_err(|_| FitsError::Range { row: place + 1 })?,
                memory: small(memory, place)?,
                power: small(power, place)?,
                speed,
                price,
            })
        })
        .collect()
}

/// No processor takes more: ten kilowatts, in tenths of a watt.
const MOST_POWER: u32 = 100_000;

/// Why the tables cannot be joined.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum FitsError {
    /// The table of processors.
    #[error("the table of processors cannot be read")]
    Processors(#[source] TableError),
    /// More processors than are counted.
    #[error("there are {0} processors; at most 65534 are told apart")]
    TooMany(usize),
    /// A processor out of range.
    #[error("processor {row}: a number is negative or far too large")]
    Range {
        /// Row, from one.
        row: usize,
    },
    /// The heading of the machines.
    #[error("the table of machines must begin with  {}", HEADING.join(","))]
    Heading,
    /// A machine that cannot be read.
    #[error("machine {row} of this part of the table: expected seven whole numbers with commas between them")]
    Row {
        /// Row of the part, from one.
        row: usize,
    },
}

/// What fits one machine: as small as can be, since there are millions of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Fit {
    /// How many processors fit.
    pub count: u16,
    /// Row of the best one, from one; zero where none fits.
    pub best: u16,
}

/// Joins machines with processors; one for each thread, since it learns the kinds of board it meets.
#[derive(Debug, Clone)]
pub struct Matcher<'p> {
    processors: &'p [Candidate],
    /// Slots of a hash table: kind of board and its place among the windows.
    slots: Vec<(u64, u32)>,
    windows: Vec<Window>,
    /// For each kind of board and power how many fit and which is best.
    steps: Vec<Fit>,
}

/// Where one kind of board has its steps.
#[derive(Debug, Clone, Copy)]
struct Window {
    from: u32,
    /// Largest power that makes a difference.
    most: u32,
}

const EMPTY: u64 = u64::MAX;

impl<'p> Matcher<'p> {
    /// A matcher for these processors.
    pub fn new(processors: &'p [Candidate]) -> Self {
        Self { processors, slots: vec![(EMPTY, 0); 1024], windows: Vec::new(), steps: Vec::new() }
    }

    /// Adds the fits of a part of the table of machines: whole lines, without the heading.
    ///
    /// # Errors
    /// A row that is no machine.
    pub fn rows(&mut self, lines: &[u8], out: &mut Vec<Fit>) -> Result<(), FitsError> {
        let mut rest = lines;
        let mut row = 0_usize;
        while !rest.is_empty() {
            row += 1;
            let (cells, after) = cells(rest).ok_or(FitsError::Row { row })?;
            let [_, socket, series, generations, memory, stages, cooler] = cells;
            let key = kind(socket, series, generations, memory).ok_or(FitsError::Row { row })?;
            let window = self.window(key);
            let step = window.from + stages.min(cooler).min(window.most);
            out.push(self.steps.get(step as usize).copied().unwrap_or_default());
            rest = after;
        }
        Ok(())
    }

    fn window(&mut self, key: u64) -> Window {
        let mask = self.slots.len() - 1;
        let mut place = (key.wrapping_mul(0x9E37_79B9_7F4A_7C15) >> 32) as usize & mask;
        loop {
            match self.slots.get(place) {
                Some((found, window)) if *found == key => {
                    return self
                        .windows
                        .get(*window as usize)
                        .copied()
                        .unwrap_or(Window { from: 0, most: 0 });
                }
                Some((EMPTY, _)) | None => return self.learn(key, place),
                Some(_) => place = (place + 1) & mask,
            }
        }
    }

    /// Makes the window of a kind of board that was not met yet.
    #[cold]
    fn learn(&mut self, key: u64, place: usize) -> Window {
        let [socket, series, memory] = [key >> 48, key >> 40 & 0xFF, key >> 32 & 0xFF];
        let generations = key & 0xFFFF_FFFF;
        let takes = |one: &Candidate| {
            u64::from(one.socket) == socket
                && u64::from(one.memory) == memory
                && one.generation < 32
                && generations >> one.generation & 1 == 1
                && series < 64
                && one.series >> series & 1 == 1
        };
        let mut those: Vec<(u32, u16)> = (1_u16..)
            .zip(self.processors)
            .filter(|(_, one)| takes(one))
            .map(|(row, one)| (one.power, row))
            .collect();
        those.sort_unstable();
        let most = those.last().map_or(0, |last| last.0);
        let window = Window { from: u32::try_from(self.steps.len()).unwrap_or(u32::MAX), most };
        let mut fit = Fit::default();
        let mut next = those.iter().peekable();
        for power in 0..=most {
            while let Some((_, row)) = next.next_if(|(one, _)| *one <= power) {
                fit.count += 1;
                if self.is_better(*row, fit.best) {
                    fit.best = *row;
                }
            }
            self.steps.push(fit);
        }
        if let Some(slot) = self.slots.get_mut(place) {
            *slot = (key, u32::try_from(self.windows.len()).unwrap_or(u32::MAX));
        }
        self.windows.push(window);
        if self.windows.len() * 2 > self.slots.len() {
            self.grow();
        }
        window
    }

    fn is_better(&self, row: u16, than: u16) -> bool {
        let of = |row: u16| usize::from(row).checked_sub(1).and_then(|place| self.processors.get(place));
        match (of(row), of(than)) {
            (Some(one), Some(other)) => (-one.speed, one.price, row) < (-other.speed, other.price, than),
            (one, _) => one.is_some(),
        }
    }

    fn grow(&mut self) {
        let mut slots = vec![(EMPTY, 0); self.slots.len() * 2];
        let mask = slots.len() - 1;
        for (key, window) in self.slots.iter().filter(|(key, _)| *key != EMPTY) {
            let mut place = (key.wrapping_mul(0x9E37_79B9_7F4A_7C15) >> 32) as usize & mask;
            while slots.get(place).is_some_and(|slot| slot.0 != EMPTY) {
                place = (place + 1) & mask;
            }
            if let Some(slot) = slots.get_mut(place) {
                *slot = (*key, *window);
            }
        }
        self.slots = slots;
    }
}

/// What tells one kind of board from another, in one number; none where a figure is out of range.
fn kind(socket: u32, series: u32, generations: u32, memory: u32) -> Option<u64> {
    let fits = socket < 0x8000 && series < 0x100 && memory < 0x100;
    fits.then(|| {
        u64::from(socket) << 48 | u64::from(series) << 40 | u64::from(memory) << 32 | u64::from(generations)
    })
}

/// The seven cells of the first line and what comes after it.
#[inline]
fn cells(line: &[u8]) -> Option<([u32; 7], &[u8])> {
    let mut cells = [0_u32; 7];
    let mut rest = line;
    for (place, cell) in cells.iter_mut().enumerate() {
        let (value, after) = number(rest)?;
        *cell = value;
        rest = match (place, after) {
            (0..6, [b',', after @ ..]) => after,
            (6, [b'\n', after @ ..] | [b'\r', b'\n', after @ ..]) => after,
            (6, []) => after,
            _ => return None,
        };
    }
    Some((cells, rest))
}

/// A number of at most nine digits at the beginning, and what comes after it.
///
/// # Source
/// Eight digits at once in a word: D. Lemire, "Quickly parsing eight digits", 2018, here with the digits shifted so that a
/// shorter number has zeros before it.
#[inline]
fn number(text: &[u8]) -> Option<(u32, &[u8])> {
    if let Some((first, _)) = text.split_first_chunk::<8>() {
        let digits = u64::from_le_bytes(*first) ^ 0x3030_3030_3030_3030;
        // A byte above nine carries into its highest bit; bytes before the first such one carry nothing.
        let other = (digits.wrapping_add(0x7676_7676_7676_7676) | digits) & 0x8080_8080_8080_8080;
        if other != 0 {
            let length = (other.trailing_zeros() / 8) as usize;
            if length == 0 {
                return None;
            }
            let aligned = digits << (64 - 8 * length);
            let pairs = (aligned.wrapping_mul(10).wrapping_add(aligned >> 8)) & 0x00FF_00FF_00FF_00FF;
            let fours = (pairs.wrapping_mul(100).wrapping_add(pairs >> 16)) & 0x0000_FFFF_0000_FFFF;
            let eight = fours.wrapping_mul(10_000).wrapping_add(fours >> 32) & 0xFFFF_FFFF;
            return Some((u32::try_from(eight).ok()?, text.get(length..)?));
        }
    }
    slow_number(text)
}

#[cold]
fn slow_number(text: &[u8]) -> Option<(u32, &[u8])> {
    let length = text.iter().take_while(|byte| byte.is_ascii_digit()).count();
    let value = core::str::from_utf8(text.get(..length)?).ok()?.parse().ok()?;
    Some((value, text.get(length..)?))
}

/// Whether a line is the heading of a table of machines.
pub fn is_heading(line: &[u8]) -> bool {
    core::str::from_utf8(line)
        .is_ok_and(|line| line.trim_start_matches('\u{feff}').trim().split(',').map(str::trim).eq(HEADING))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn numbers_are_read_whatever_follows(value in 0_u32..1_000_000_000, after in "[,\n ][0-9,\n]{0,12}") {
            let text = format!("{value}{after}");
            prop_assert_eq!(number(text.as_bytes()), Some((value, after.as_bytes())));
            let alone = value.to_string();
            prop_assert_eq!(number(alone.as_bytes()), Some((value, &b""[..])));
        }

        #[test]
        fn any_bytes_are_rows_or_an_error(bytes in proptest::collection::vec(any::<u8>(), 0..60)) {
            let _ = Matcher::new(&[]).rows(&bytes, &mut Vec::new());
        }

        /// Against the rules as they stand in words, one machine and one processor at a time.
        #[test]
        fn equals_the_plain_join(
            processors in proptest::collection::vec((0_u32..3, 0_u32..3, 0_u64..8, 0_u32..2, 0_u32..40, 0_i64..6, 0_i64..6), 0..40),
            machines in proptest::collection::vec((0_u32..3, 0_u32..3, 0_u32..8, 0_u32..2, 0_u32..45, 0_u32..45), 0..40),
        ) {
            let list: Vec<Candidate> = processors
                .iter()
                .map(|&(socket, generation, series, memory, power, speed, price)| Candidate {
                    socket, generation, series, memory, power, speed, price,
                })
                .collect();
            let mut text = String::new();
            let mut plain = Vec::new();
            for (id, (socket, series, generations, memory, stages, cooler)) in machines.iter().enumerate() {
                text.push_str(&format!("{id},{socket},{series},{generations},{memory},{stages},{cooler}\n"));
                let those: Vec<(i64, i64, usize)> = list
                    .iter()
                    .enumerate()
                    .filter(|(_, one)| {
                        one.socket == *socket
                            && generations >> one.generation & 1 == 1
                            && one.series >> series & 1 == 1
                            && one.memory == *memory
                            && one.power <= *stages
                            && one.power <= *cooler
                    })
                    .map(|(place, one)| (-one.speed, one.price, place + 1))
                    .collect();
                let best = those.iter().min().map_or(0, |best| best.2);
                plain.push(Fit { count: u16::try_from(those.len()).unwrap(), best: u16::try_from(best).unwrap() });
            }
            let mut found = Vec::new();
            Matcher::new(&list).rows(text.as_bytes(), &mut found).unwrap();
            prop_assert_eq!(found, plain);
        }
    }

    #[test]
    fn a_broken_row_is_told_by_its_number() {
        for (text, row) in [
            ("1,0,0,1,0,5,5\n2,0,0,1,0,5\n", 2),
            ("1,0,0,1,0,5,x\n", 1),
            ("1,0,0,1,0,-5,5\n", 1),
            ("\n", 1),
            ("1,0,0,1,0,99999999999,5\n", 1),
        ] {
            let mut out = Vec::new();
            assert_eq!(
                Matcher::new(&[]).rows(text.as_bytes(), &mut out),
                Err(FitsError::Row { row }),
                "{text}"
            );
        }
    }
}
