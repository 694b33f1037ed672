//! From supply to board: wires, contacts, and how unequally like pins share a current.

use crate::refusal::{Refusal, positive, within};

/// Wires and contacts that feed a board at 12 V.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Feed {
    /// Live pins; as many return.
    pub pins: f64,
    /// Gauge of the wire.
    pub gauge: f64,
    /// Length of the cable.
    pub length_m: f64,
    /// Temperature of the wire in °C.
    pub wire_c: f64,
    /// Resistance of the best contact.
    pub best_contact_ohm: f64,
    /// Resistance of the worst contact.
    pub worst_contact_ohm: f64,
}

/// What the feed does at a current.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fed {
    /// Current of a pin where all share alike.
    pub mean_pin_a: f64,
    /// Current of the best pin while every other is the worst.
    pub most_pin_a: f64,
    /// Voltage lost on the way there and back, every contact the worst.
    pub drop_v: f64,
    /// Power lost on the way, every contact the worst.
    pub lost_w: f64,
    /// Heat of one metre of wire at the most loaded pin, in watts.
    pub wire_w_m: f64,
}

/// Resistivity of annealed copper at 20 °C in ohm metre.
///
/// # Source
/// IEC 60028:1925, International standard of resistance for copper: 1/58 ohm mm2/m.
pub const COPPER_OHM_M: f64 = 1.0 / 58.0 * 1e-6;

/// Cross-section of a wire of the American gauge, in square metres.
///
/// # Source
/// ASTM B258, Standard nominal diameters of round wires by American wire gauge: diameter
/// `0.127 mm * 92^((36 - n) / 39)` (from memory).
///
/// # Errors
/// A gauge outside 8 to 28, none of which feeds a board.
pub fn section_m2(gauge: f64) -> Result<f64, Refusal> {
    within("wire gauge", gauge, (8.0..=28.0).contains(&gauge), "between 8 and 28")?;
    let diameter_m = 0.127e-3 * 92.0_f64.powf((36.0 - gauge) / 39.0);
    Ok(core::f64::consts::PI / 4.0 * diameter_m * diameter_m)
}

/// Resistance of one metre of wire, in ohms.
///
/// # Errors
/// A gauge outside 8 to 28.
pub fn wire_ohm_m(gauge: f64, celsius: f64) -> Result<f64, Refusal> {
    let warm = 1.0 + crate::power::converter::COPPER_PER_K * (celsius - 20.0);
    Ok(COPPER_OHM_M * warm / section_m2(gauge)?)
}

/// What a feed does while it carries `current_a`.
///
/// # Model
/// Every pin is a wire and a contact in series; pins are parallel, and so are the returns. Where one
/// pin has the best contact and all others the worst, it carries the most. Left out: contacts of the
/// supply's own end where the cable is fixed, and heat of one pin warming its neighbour.
///
/// # Errors
/// No pins or a part of one, a gauge out of range, or a value that is not above zero.
pub fn fed(feed: &Feed, current_a: f64) -> Result<Fed, Refusal> {
    let whole = feed.pins.fract() == 0.0 && (1.0..=64.0).contains(&feed.pins);
    within("live pins", feed.pins, whole, "a whole number from 1 to 64")?;
    positive("cable length", feed.length_m)?;
    positive("best contact", feed.best_contact_ohm)?;
    let ordered = feed.worst_contact_ohm >= feed.best_contact_ohm;
    within("worst contact", feed.worst_contact_ohm, ordered, "not below the best contact")?;
    within("current", current_a, current_a >= 0.0, "a number not below zero")?;
    let wire_ohm_m = wire_ohm_m(feed.gauge, feed.wire_c)?;
    let wire_ohm = wire_ohm_m * feed.length_m;
    let (best, worst) = (wire_ohm + feed.best_contact_ohm, wire_ohm + feed.worst_contact_ohm);
    let most_share = (1.0 / best) / (1.0 / best + (feed.pins - 1.0) / worst);
    let drop_v = 2.0 * current_a * worst / feed.pins;
    let most_pin_a = current_a * most_share;
    Ok(Fed {
        mean_pin_a: current_a / feed.pins,
        most_pin_a,
        drop_v,
        lost_w: drop_v * current_a,
        wire_w_m: most_pin_a * most_pin_a * wire_ohm_m,
    })
}

#[cfg(test)]
mod tests {
    use super::{Feed, fed, section_m2, wire_ohm_m};

    /// ASTM B258: gauge 18 is 0.823 mm2, gauge 16 is 1.31 mm2, gauge 20 is 0.519 mm2 (from memory).
    #[test]
    fn gauges_are_the_standards() {
        for (gauge, mm2) in [(16.0, 1.309), (18.0, 0.8231), (20.0, 0.5176)] {
            let found = section_m2(gauge).unwrap() * 1e6;
            assert!((found / mm2 - 1.0).abs() < 2e-3, "gauge {gauge}: {found} mm2");
        }
        // Gauge 18 at 20 °C: 20.95 ohm/km (handbook tables of solid copper wire, from memory).
        assert!((wire_ohm_m(18.0, 20.0).unwrap() * 1e3 - 20.95).abs() < 0.05);
    }

    #[test]
    fn a_better_contact_carries_more_than_its_share() {
        let feed = Feed {
            pins: 4.0,
            gauge: 18.0,
            length_m: 0.6,
            wire_c: 45.0,
            best_contact_ohm: 0.002,
            worst_contact_ohm: 0.01,
        };
        let fed = fed(&feed, 20.0).unwrap();
        assert!(fed.most_pin_a > fed.mean_pin_a && fed.most_pin_a < 20.0);
        let alike = super::fed(&Feed { worst_contact_ohm: 0.002, ..feed }, 20.0).unwrap();
        assert!((alike.most_pin_a - alike.mean_pin_a).abs() < 1e-12);
        assert!(super::fed(&Feed { pins: 0.0, ..feed }, 20.0).is_err());
        assert!(super::fed(&Feed { gauge: f64::NAN, ..feed }, 20.0).is_err());
    }
}
