//! Any numbers at all: an answer is finite, or there is a refusal.

use physics::cooler::channel::{Air, Channel, flow};
use physics::cooler::fan::{Fan, Resistance, operating_point};
use physics::cooler::fin::{FinArray, array};
use physics::discharge::body;
use physics::network::foster::{Term, step_response_k_w};
use physics::paste::stefan::{Pressing, disc_constant_area_s};
use physics::paste::yield_limit::disc_constant_volume_m;
use physics::point::clock::{ClockedChip, highest};
use physics::point::leakage::{Chip, settle};
use physics::power::losses::{Stage, losses};
use physics::power::ripple::{Phases, ripple};
use physics::scaling::universal::{capacity, peak};
use physics::spreading::disc::closed_form;
use physics::supply::certificate::{Column, Level, least_efficiency};
use proptest::prelude::*;

/// Numbers that go wrong: zeros, infinities, not-a-number, and everything between.
fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => any::<f64>(),
        2 => -10.0..10.0_f64,
        1 => Just(0.0), 1 => Just(f64::NAN), 1 => Just(f64::INFINITY), 1 => Just(1e308), 1 => Just(-1.0),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn no_input_panics(x in proptest::array::uniform14(number())) {
        let _ = array(&FinArray { conductivity_w_mk: x[0], film_w_m2k: x[1], thickness_m: x[2], height_m: x[3], width_m: x[4], fins: x[5], base_m2: x[6] });
        let channel = Channel { gap_m: x[0], height_m: x[1], length_m: x[2], speed_m_s: x[3] };
        let _ = flow(&channel, &Air { density_kg_m3: x[4], viscosity_pa_s: x[5], conductivity_w_mk: x[6], prandtl: x[7] });
        let fan = Fan { shut_pressure_pa: x[0], free_flow_m3_s: x[1] };
        let _ = operating_point(&fan, &Resistance { linear_pa_s_m3: x[2], quadratic_pa_s2_m6: x[3] });
        let _ = body(x[0], x[1], x[2]);
        let _ = step_response_k_w(&[Term { resistance_k_w: x[0], time_constant_s: x[1] }], x[2]);
        let _ = disc_constant_area_s(&Pressing { viscosity_pa_s: x[0], force_n: x[1], initial_gap_m: x[2], final_gap_m: x[3] }, x[4]);
        let _ = disc_constant_volume_m(x[0], x[1], x[2]);
        let _ = settle(&Chip { dynamic_w: x[0], leakage_w: x[1], reference_c: x[2], scale_k: x[3], ambient_c: x[4], resistance_k_w: x[5] });
        let chip = ClockedChip { capacitance_w_v2ghz: x[0], voltage_at_zero_v: x[1], voltage_slope_v_ghz: x[2], leakage_w: x[3], reference_v: x[4], reference_c: x[5], scale_k: x[6], ambient_c: x[7], resistance_k_w: x[8] };
        let _ = highest(&chip, x[9]);
        let phases = Phases { count: x[0], input_v: x[1], output_v: x[2], inductance_h: x[3], frequency_hz: x[4] };
        let _ = ripple(&phases, x[5]);
        let stage = Stage { high_side_ohm: x[0], low_side_ohm: x[1], winding_ohm: x[2], rise_s: x[3], fall_s: x[4], high_side_gate_c: x[5], low_side_gate_c: x[6], drive_v: x[7], dead_rise_s: x[8], dead_fall_s: x[9], body_diode_v: x[10], high_side_output_c: x[11], low_side_output_c: x[12], recovery_c: x[13] };
        let _ = losses(&phases, &stage, x[6]);
        let _ = capacity(x[0], x[1], x[2]);
        let _ = peak(x[0], x[1]);
        let _ = closed_form(x[0], x[1], x[2], x[3], x[4]);
        let _ = least_efficiency(Level::Gold, Column::Volts115, x[0], x[1]);
    }
}

#[test]
fn what_means_nothing_is_refused_by_name() {
    let good = Phases { count: 4.0, input_v: 12.0, output_v: 1.2, inductance_h: 2e-7, frequency_hz: 4e5 };
    #[track_caller]
    fn refused(result: Result<impl core::fmt::Debug, physics::refusal::Refusal>, part: &str) {
        let told = result.unwrap_err().to_string();
        assert!(told.contains(part), "{told}");
    }
    refused(ripple(&Phases { count: 0.0, ..good }, 50.0), "phases is 0");
    refused(ripple(&Phases { output_v: 13.0, ..good }, 50.0), "below the input voltage");
    refused(ripple(&good, f64::NAN), "output current is NaN");
    refused(closed_form(2.0, 1.0, 1.0, 1.0, 1.0), "at least the source's area");
    refused(capacity(-0.1, 0.0, 4.0), "contention is -0.1");
}
