//! How long a supply holds its outputs after the mains have gone.

use crate::refusal::{Refusal, not_negative, positive, within};

/// Hold time in seconds at a load, from that at another.
///
/// # Model
/// The store is the charge of one capacitor between its working voltage and the lowest at which the
/// converter still works: an energy. It lasts as long as the load takes it: time goes with one over the
/// load, and with what is left of the capacitance. The efficiency of the stage behind it is taken as
/// the same at both loads.
///
/// # Errors
/// A time, load or rating that is not above zero, or a share of capacitance outside 0 to 1.
pub fn hold_s(given_s: f64, given_load_w: f64, load_w: f64, capacitance_left: f64) -> Result<f64, Refusal> {
    not_negative("hold time", given_s)?;
    positive("load of the given hold time", given_load_w)?;
    positive("load", load_w)?;
    within("capacitance left", capacitance_left, (0.0..=1.0).contains(&capacitance_left), "between 0 and 1")?;
    Ok(given_s * given_load_w / load_w * capacitance_left)
}

#[cfg(test)]
mod tests {
    use super::hold_s;

    /// An energy: half the load lasts twice as long, four fifths of the capacitance four fifths.
    #[test]
    fn the_store_is_an_energy() {
        assert!((hold_s(0.016, 450.0, 225.0, 1.0).unwrap() - 0.032).abs() < 1e-15);
        assert!((hold_s(0.016, 450.0, 450.0, 0.8).unwrap() - 0.0128).abs() < 1e-15);
        assert!(hold_s(0.016, 450.0, 0.0, 1.0).is_err());
        assert!(hold_s(0.016, 450.0, 100.0, 1.5).is_err());
    }
}
