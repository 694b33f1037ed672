//! Current in each 12 V pin of the auxiliary connectors.

use physics::power::feed::{Fed, Feed, fed};
use quantity::dimension::CurrentDim;
use quantity::interval::Interval;
use quantity::measure::Quantity;
use quantity::reading::{Figure, Origin, Reading};

use crate::carry::assumption::RAIL_12V;
use crate::carry::stages::efficiency;
use crate::machine::proposal::Proposal;
use crate::part::board::AuxConnector;
use crate::part::supply::Supply;

/// Gauge of the wires where nobody read it.
///
/// # Source
/// Design guide of desktop power supplies for the ATX family, document 336521: 18 AWG wire for the 12 V
/// processor connector.
const USUAL_GAUGE: u32 = 18;

/// Length of a supply's cable to the processor connector, in metres.
///
/// # Source
/// common practice, no source.
const CABLE_M: f64 = 0.65;

/// Wire beside a warm board, in °C.
///
/// # Source
/// common practice, no source.
const WIRE_C: f64 = 50.0;

/// Resistance of one mated contact, in ohms: new and clean, to worn.
///
/// # Source
/// common practice, no source: makers state at most 10 milliohms for 4.2 mm contacts.
const CONTACT_OHM: (f64, f64) = (0.002, 0.010);

/// The feed of a supply through so many live pins.
fn feed(supply: &Supply, pins: u32) -> Feed {
    Feed {
        pins: f64::from(pins.max(1)),
        gauge: f64::from(supply.wire_gauge.get().unwrap_or(USUAL_GAUGE)),
        length_m: CABLE_M,
        wire_c: WIRE_C,
        best_contact_ohm: CONTACT_OHM.0,
        worst_contact_ohm: CONTACT_OHM.1,
    }
}

/// What the feed of the machine-to-be does at a current, through so many live pins.
pub fn at_current(proposal: &Proposal<'_>, pins: u32, current_a: f64) -> Option<Fed> {
    fed(&feed(proposal.supply(), pins), current_a).ok()
}

/// Current in the most loaded of the `pins` 12 V pins while the processor draws its burst power.
///
/// # Model
/// Power over efficiency and voltage; from an equal share to the share of the best contact among worst
/// ones. Where no burst power is known the sustained power is taken.
pub fn per_pin(proposal: &Proposal<'_>, pins: u32) -> Figure<CurrentDim> {
    let processor = proposal.processor();
    let power = processor.burst_power.or(processor.sustained_power);
    let (worst, best) = efficiency(proposal.board());
    let Reading::Known(power, origin) = power else { return Reading::Unknown };
    let low = at_current(proposal, pins, power.low().si() / best / RAIL_12V.1);
    let high = at_current(proposal, pins, power.high().si() / worst / RAIL_12V.0);
    match (low, high) {
        (Some(low), Some(high)) => Reading::Known(
            Interval::between(Quantity::from_si(low.mean_pin_a), Quantity::from_si(high.most_pin_a)),
            origin,
        ),
        _ => Reading::Unknown,
    }
}

/// Current that one 12 V pin should carry at most, for ever, where the contact's maker is not known.
///
/// # Source
/// Design guides of desktop power supplies for the ATX family ask for high-current contacts and 18 gauge
/// wire since 2005 (document 336521 for the contact and wire; the date in a secondary source). Ratings of
/// that 4.2 mm family, read in a secondary source: 6 A a pin for standard and 9 A for high-current
/// contacts in housings of 20 to 24 pins, 8 A for standard ones in a housing of four. Makers' data for the
/// contact at hand rule.
pub fn pin_limit(supply: &Supply) -> Figure<CurrentDim> {
    supply.pin_rating.or(Reading::Known(
        Interval::between(Quantity::from_si(7.0), Quantity::from_si(9.0)),
        Origin::Estimated,
    ))
}

/// Number of 12 V pins that are fed when the supply's plugs go into the board's connectors, and
/// how many connectors stay empty or half filled.
pub fn fed_pins(wanted: &[AuxConnector], plugs: &[AuxConnector]) -> (u32, u32) {
    let mut left: Vec<AuxConnector> = plugs.to_vec();
    left.sort_unstable();
    let mut pins = 0;
    let mut short = 0;
    for connector in wanted {
        // A plug of the same size first; then two halves for an eight, or an eight split for a four.
        if let Some(idx) = left.iter().position(|plug| plug == connector) {
            left.remove(idx);
            pins += connector.live_pins();
        } else if let Some(plug) = left.pop() {
            pins += plug.live_pins().min(connector.live_pins());
            short += u32::from(plug.live_pins() < connector.live_pins());
        } else {
            short += 1;
        }
    }
    (pins, short)
}

#[cfg(test)]
mod tests {
    use super::fed_pins;
    use crate::part::board::AuxConnector::{self, EightPin, FourPin};

    #[track_caller]
    fn check(board: &[AuxConnector], supply: &[AuxConnector], pins: u32, short: u32) {
        assert_eq!(fed_pins(board, supply), (pins, short));
    }

    #[test]
    fn plugs_go_where_they_fit_best() {
        check(&[EightPin], &[EightPin], 4, 0);
        check(&[EightPin], &[FourPin], 2, 1);
        check(&[EightPin, FourPin], &[FourPin, EightPin], 6, 0);
        check(&[EightPin, EightPin], &[EightPin], 4, 1);
        check(&[FourPin], &[EightPin], 2, 0);
        check(&[FourPin], &[], 0, 1);
    }
}
