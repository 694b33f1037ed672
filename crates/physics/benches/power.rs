//! The power path: one forward solve, one inverse answer, one burst.
//!
//! No peer: a circuit simulator solves another problem (it marches through some hundred periods), at
//! about a second a circuit; `tests/it/circuit.rs` runs it for agreement.

use divan::{Bencher, black_box};
use physics::air::film::Air;
use physics::power::body::Body;
use physics::power::burst::after;
use physics::power::converter::{Converter, Load};
use physics::power::core_loss::Core;
use physics::power::limits::{Limits, largest_burst, largest_sustained};
use physics::power::losses::Stage;

fn main() {
    divan::main();
}

const CONVERTER: Converter = Converter {
    count: 8.0,
    input_v: 12.0,
    inductance_h: 220e-9,
    frequency_hz: 400e3,
    stage: Stage {
        high_side_ohm: 0.005,
        low_side_ohm: 0.0018,
        winding_ohm: 0.0005,
        rise_s: 6e-9,
        fall_s: 8e-9,
        high_side_gate_c: 10e-9,
        low_side_gate_c: 30e-9,
        drive_v: 8.0,
        dead_rise_s: 15e-9,
        dead_fall_s: 15e-9,
        body_diode_v: 0.8,
        high_side_output_c: 12e-9,
        low_side_output_c: 20e-9,
        recovery_c: 20e-9,
    },
    switch_per_k: 0.0045,
    core: Core {
        volume_m3: 3e-7,
        turns_area_m2: 3e-5,
        coefficient_w_m3: 0.05,
        frequency_exponent: 1.4,
        flux_exponent: 2.3,
    },
    plane_ohm: 0.0003,
    load_line_ohm: 0.0,
    body: Body {
        upper_k_w: 6.0,
        lower_k_w: 5.0,
        inductor_k_w: 12.0,
        board_area_m2: 22e-4,
        inductor_area_m2: 3e-4,
        flow_length_m: 0.05,
        emissivity: 0.9,
        switch_j_k: 0.08,
        inductor_j_k: 2.0,
        board_j_k: 9.0,
    },
};
const AIR: Air = Air { celsius: 35.0, speed_m_s: 1.0, density_ratio: 1.0 };
const LIMITS: Limits =
    Limits { junction_c: 125.0, inductor_c: 125.0, board_c: 105.0, stage_a: 40.0, peak_a: 60.0 };

#[divan::bench]
fn forward_solve(bencher: Bencher<'_, '_>) {
    bencher.bench(|| CONVERTER.solve(black_box(&Load { power_w: 125.0, set_v: 1.2 }), black_box(&AIR)));
}

#[divan::bench]
fn largest_power_for_ever(bencher: Bencher<'_, '_>) {
    bencher.bench(|| largest_sustained(black_box(&CONVERTER), 1.2, &AIR, &LIMITS));
}

#[divan::bench]
fn largest_power_for_a_burst(bencher: Bencher<'_, '_>) {
    bencher.bench(|| largest_burst(black_box(&CONVERTER), 1.2, &AIR, &LIMITS, 65.0, 28.0));
}

#[divan::bench]
fn temperatures_after_a_burst(bencher: Bencher<'_, '_>) {
    let before = Load { power_w: 65.0, set_v: 1.2 };
    let burst = Load { power_w: 150.0, set_v: 1.2 };
    bencher.bench(|| after(black_box(&CONVERTER), &before, &burst, &AIR, 28.0));
}
