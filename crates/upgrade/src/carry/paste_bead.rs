//! Beads of paste as a person writes them: `"0, 0"` a dot, `"-9, 0 to 9, 0"` a line, from the lid's centre.

use physics::paste::pattern::Bead;
use quantity::dimension::LengthDim;
use quantity::measure::Quantity;
use quantity::text::QuantityError;

/// Why a bead cannot be read.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoBead {
    /// A place is not two lengths.
    #[error(
        "\"{0}\" is not a place under the lid: write along and across from its centre, such as \"-9, 0\" or \"4 mm, 2.5 mm\""
    )]
    Place(String),
    /// A length cannot be read.
    #[error("\"{text}\" in a bead is not a length")]
    Length {
        /// What was written.
        text: String,
        /// Why not.
        source: QuantityError,
    },
}

/// A length; millimetres where no unit is written.
fn length_m(text: &str) -> Result<f64, NoBead> {
    let text = text.trim();
    let has_unit = text.chars().any(char::is_alphabetic);
    let whole = if has_unit { text.to_owned() } else { format!("{text} mm") };
    let length: Quantity<LengthDim> =
        whole.parse().map_err(|source| NoBead::Length { text: text.to_owned(), source })?;
    Ok(length.si())
}

fn place(text: &str) -> Result<(f64, f64), NoBead> {
    let (x, y) = text.split_once(',').ok_or_else(|| NoBead::Place(text.trim().to_owned()))?;
    Ok((length_m(x)?, length_m(y)?))
}

/// A bead: one place for a dot, two with `to` between for a line.
///
/// # Example
/// ```
/// let line = upgrade::carry::paste_bead::bead("-9, 0 to 9 mm, 1.5")?;
/// assert_eq!((line.from_m, line.to_m), ((-0.009, 0.0), (0.009, 0.0015)));
/// # Ok::<(), upgrade::carry::paste_bead::NoBead>(())
/// ```
///
/// # Errors
/// Anything that is not one place or two.
pub fn bead(text: &str) -> Result<Bead, NoBead> {
    let (from, to) = text.split_once(" to ").map_or((text, None), |(from, to)| (from, Some(to)));
    let from_m = place(from)?;
    let to_m = to.map_or(Ok(from_m), place)?;
    Ok(Bead { from_m, to_m })
}

#[cfg(test)]
mod tests {
    use super::bead;
    use proptest::prelude::*;

    #[test]
    fn slips_are_told_with_what_was_written() {
        for (text, part) in
            [("middle", "\"middle\""), ("1 2", "\"1 2\""), ("1 W, 2", "\"1 W\""), ("1, 2 to", "\"2 to\"")]
        {
            let told = bead(text).unwrap_err().to_string();
            assert!(told.contains(part), "{text}: {told}");
        }
    }

    proptest! {
        #[test]
        fn nothing_that_is_written_panics(text in ".*") {
            let _ = bead(&text);
        }

        #[test]
        fn what_is_written_is_read(x in -20.0..20.0_f64, y in -20.0..20.0_f64) {
            let read = bead(&format!("{x}, {y} mm to 0, 0")).unwrap();
            prop_assert!((read.from_m.0 - x * 1e-3).abs() < 1e-12 && (read.from_m.1 - y * 1e-3).abs() < 1e-12);
        }
    }
}
