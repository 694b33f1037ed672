//! A converter as on a desktop board, invented: what tests and benches of the power path begin with.

use physics::air::film::Air;
use physics::power::body::Body;
use physics::power::converter::Converter;
use physics::power::core_loss::Core;
use physics::power::limits::Limits;
use physics::power::losses::Stage;

pub(crate) const STAGE: Stage = Stage {
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
};

pub(crate) const BODY: Body = Body {
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
};

pub(crate) const CONVERTER: Converter = Converter {
    count: 4.0,
    input_v: 12.0,
    inductance_h: 220e-9,
    frequency_hz: 400e3,
    stage: STAGE,
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
    body: BODY,
};

pub(crate) const AIR: Air = Air { celsius: 35.0, speed_m_s: 1.0, density_ratio: 1.0 };
pub(crate) const LIMITS: Limits =
    Limits { junction_c: 125.0, inductor_c: 125.0, board_c: 105.0, stage_a: 35.0, peak_a: 55.0 };
