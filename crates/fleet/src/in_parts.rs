//! Which processors go into each machine of a very large table, read in parts on several threads.
//!
//! The only file of this crate that touches the disk: the table is never in memory whole, each thread reads its own part
//! in pieces that stay in the processor's cache.

use std::fs::File;
use std::io::{Read as _, Seek as _, SeekFrom};
use std::path::Path;

use upgrade::front::fits::{Candidate, Fit, FitsError, Matcher, is_heading};

/// Why a table could not be joined.
#[derive(Debug, thiserror::Error)]
pub enum PartsError {
    /// The file could not be read.
    #[error("the table of machines cannot be read")]
    File(#[from] std::io::Error),
    /// A row that is none.
    #[error(transparent)]
    Fits(#[from] FitsError),
}

/// Bytes read at once.
const PIECE: usize = 1 << 18;
/// No line of such a table is longer.
const LONGEST_LINE: usize = 1 << 12;

/// The fits of every machine of a file, in its order.
///
/// # Errors
/// The file cannot be read, has another heading, or a row that is no machine.
pub fn fits(machines: &Path, processors: &[Candidate], threads: usize) -> Result<Vec<Fit>, PartsError> {
    let length = std::fs::metadata(machines)?.len();
    let mut first = vec![0_u8; LONGEST_LINE];
    let read = File::open(machines)?.read(&mut first)?;
    first.truncate(read);
    let heading = first.split_inclusive(|byte| *byte == b'\n').next().unwrap_or(&[]);
    if !is_heading(heading) {
        return Err(FitsError::Heading.into());
    }
    let begin = heading.len() as u64;
    let threads = threads.max(1) as u64;
    let cut = |part: u64| begin + (length - begin) / threads * part;
    let part = |number: u64| {
        let end = if number + 1 == threads { length } else { cut(number + 1) };
        one_part(machines, cut(number).max(begin), end, begin, processors)
    };
    let parts: Vec<Result<Vec<Fit>, PartsError>> = std::thread::scope(|scope| {
        let others: Vec<_> = (1..threads).map(|number| scope.spawn(move || part(number))).collect();
        let mut parts = vec![part(0)];
        parts.extend(others.into_iter().map(|one| {
            one.join().unwrap_or_else(|_| {
                Err(std::io::Error::other("a thread that read a part ended early").into())
            })
        }));
        parts
    });
    let mut all = Vec::new();
    for part in parts {
        let part = part?;
        if all.is_empty() {
            all = part;
        } else {
            all.extend_from_slice(&part);
        }
    }
    Ok(all)
}

/// The lines that begin from `from` to before `to`.
fn one_part(
    path: &Path,
    from: u64,
    to: u64,
    begin: u64,
    processors: &[Candidate],
) -> Result<Vec<Fit>, PartsError> {
    let mut file = File::open(path)?;
    // A line belongs to the part in which it begins: one byte before tells whether one begins just here.
    let mut at = if from > begin { from - 1 } else { from };
    file.seek(SeekFrom::Start(at))?;
    let mut skipping = from > begin;
    let mut matcher = Matcher::new(processors);
    // A guess of the rows, at least twenty bytes each; it grows where they are shorter.
    let mut out = Vec::with_capacity(usize::try_from((to - from.min(to)) / 20).unwrap_or(0));
    let mut buffer = vec![0_u8; PIECE + LONGEST_LINE];
    let mut kept = 0;
    loop {
        let space = buffer.get_mut(kept..kept + PIECE).unwrap_or_default();
        let read = file.read(space)?;
        let filled = kept + read;
        let mut piece = buffer.get(..filled).unwrap_or_default();
        let mut piece_at = at;
        if skipping {
            let Some(end) = piece.iter().position(|byte| *byte == b'\n') else {
                if read == 0 || filled > LONGEST_LINE {
                    return Ok(out);
                }
                kept = filled;
                continue;
            };
            piece = piece.get(end + 1..).unwrap_or_default();
            piece_at += end as u64 + 1;
            skipping = false;
        }
        // Whole lines that begin before the end of the part.
        let whole = if read == 0 {
            piece.len()
        } else {
            piece.iter().rposition(|byte| *byte == b'\n').map_or(0, |end| end + 1)
        };
        let mut lines = piece.get(..whole).unwrap_or_default();
        let mut is_last = read == 0;
        if piece_at + lines.len() as u64 >= to {
            let inside = usize::try_from(to.saturating_sub(piece_at)).unwrap_or(usize::MAX);
            // The line that begins last inside ends at the first line end from the byte before the border on.
            let upto = match inside.checked_sub(1) {
                None => 0,
                Some(last) => {
                    let tail = lines.get(last..).unwrap_or_default();
                    tail.iter().position(|byte| *byte == b'\n').map_or(lines.len(), |end| last + end + 1)
                }
            };
            lines = lines.get(..upto).unwrap_or_default();
            is_last = true;
        }
        matcher.rows(lines, &mut out)?;
        if is_last {
            return Ok(out);
        }
        let rest = whole;
        let taken = filled - piece.len() + rest;
        at += taken as u64;
        kept = filled - taken;
        if kept > LONGEST_LINE {
            return Err(FitsError::Row { row: out.len() + 1 }.into());
        }
        buffer.copy_within(taken..filled, 0);
    }
}
