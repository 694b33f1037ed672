//! Conservation, symmetry and monotony, on values that parts of a computer have.

use physics::network::cauer::{Rung, from_foster, to_foster};
use physics::network::identify::identify;
use physics::paste::bingham::{Bingham, Held};
use physics::power::losses::{Stage, losses};
use physics::power::ripple::Phases;
use physics::spreading::channel::{Block, Layer, Rectangle, influence, spreading};
use proptest::prelude::*;

fn ladder() -> impl Strategy<Value = Vec<Rung>> {
    let rung = (-2.5..0.5_f64, -2.0..3.5_f64)
        .prop_map(|(r, c)| Rung { resistance_k_w: 10_f64.powf(r), capacitance_j_k: 10_f64.powf(c) });
    proptest::collection::vec(rung, 1..7)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// The slowest rate is found to the rounding of the fastest: over ten decades of rates six digits are left.
    #[test]
    fn a_ladder_survives_its_spectrum(rungs in ladder()) {
        let terms = to_foster(&rungs).unwrap();
        let total: f64 = rungs.iter().map(|rung| rung.resistance_k_w).sum();
        let sum: f64 = terms.iter().map(|term| term.resistance_k_w).sum();
        prop_assert!((sum - total).abs() < 1e-5 * total, "the whole resistance stays");
        prop_assert!(terms.iter().all(|term| term.resistance_k_w >= 0.0 && term.time_constant_s > 0.0), "passive");
        if terms.iter().all(|term| term.resistance_k_w > 1e-9 * total) {
            let back = from_foster(&terms).unwrap();
            let again = to_foster(&back).unwrap();
            for (one, other) in terms.iter().zip(&again) {
                prop_assert!((one.time_constant_s / other.time_constant_s - 1.0).abs() < 1e-4);
            }
        }
    }

    #[test]
    fn any_response_is_identified_or_refused(points in proptest::collection::vec((any::<f64>(), any::<f64>()), 0..30)) {
        let _ = identify(&points);
    }

    #[test]
    fn losses_rise_with_the_load(load in 1.0..200.0_f64, more in 0.1..50.0_f64) {
        let phases = Phases { count: 6.0, input_v: 12.0, output_v: 1.2, inductance_h: 2.2e-7, frequency_hz: 4e5 };
        let stage = Stage {
            high_side_ohm: 4e-3, low_side_ohm: 1.5e-3, winding_ohm: 4e-4, rise_s: 6e-9, fall_s: 8e-9,
            high_side_gate_c: 1e-8, low_side_gate_c: 3e-8, drive_v: 5.0, dead_rise_s: 1.5e-8, dead_fall_s: 1.5e-8,
            body_diode_v: 0.8, high_side_output_c: 1e-8, low_side_output_c: 3e-8, recovery_c: 2e-8,
        };
        // Above the valley's zero the terms all rise; at light load the dead-time term may fall a little.
        let heavy = load + 60.0;
        let (one, other) = (losses(&phases, &stage, heavy).unwrap(), losses(&phases, &stage, heavy + more).unwrap());
        prop_assert!(other.total_w() > one.total_w());
    }

    /// Reciprocity: what a source does to a place, the place does to the source.
    #[test]
    fn influence_is_mutual(x in 0.2..0.8_f64, y in 0.2..0.8_f64) {
        let layers = vec![Layer { thickness_m: 2e-3, conductivity_w_mk: 390.0 }];
        let block = Block { width_m: 0.04, depth_m: 0.03, layers, film_w_m2k: 1e4 };
        let one = Rectangle { width_m: 0.006, depth_m: 0.005, centre_x_m: 0.01, centre_y_m: 0.008 };
        let other = Rectangle { width_m: 0.008, depth_m: 0.004, centre_x_m: 0.04 * x, centre_y_m: 0.03 * y };
        let (forth, back) = (influence(&block, &one, &other).unwrap(), influence(&block, &other, &one).unwrap());
        prop_assert!((forth - back).abs() <= 1e-9 * forth);
    }
}

#[test]
fn the_hottest_place_is_no_cooler_than_the_middle() {
    let layers = vec![Layer { thickness_m: 3e-3, conductivity_w_mk: 390.0 }];
    let block = Block { width_m: 0.036, depth_m: 0.036, layers, film_w_m2k: 2e4 };
    for centre in [0.006, 0.012, 0.018, 0.03] {
        let source = Rectangle { width_m: 0.01, depth_m: 0.012, centre_x_m: centre, centre_y_m: 0.018 };
        let found = spreading(&block, &source).unwrap();
        assert!(found.max_k_w >= found.centroid_k_w && found.centroid_k_w > found.mean_k_w * 0.9);
        assert!(found.mean_k_w > found.one_dimensional_k_w);
    }
}

#[test]
fn a_pressed_paste_only_gets_thinner_and_stops_at_its_limit() {
    let paste = Bingham {
        viscosity_pa_s: 150.0,
        yield_stress_pa: 120.0,
        force_n: 250.0,
        initial_gap_m: 1e-3,
        held: Held::Volume(8e-8),
    };
    let limit = paste.limit_m().unwrap();
    let mut before = 1e-3;
    for time in [0.1, 1.0, 10.0, 100.0, 1e4] {
        let gap = paste.gap_after_m(time).unwrap();
        assert!(gap < before && gap >= limit, "{gap} after {time} s");
        before = gap;
    }
    assert!(before < 1.05 * limit);
}
