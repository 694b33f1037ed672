//! What power stages of a class are made of, as intervals.
//!
//! Every figure is common practice, no source: the weak end is a cheap design of the class and the strong
//! end a good one, as sold for desktop boards over the last fifteen years. The ends are designs, not the
//! worst and best of every figure at once: resistance and charge of a switch trade against each other, so
//! no switch is worst in both. The reasons stand beside the figures. A reading of the board itself
//! (number, printed inductance, rated current, frequency) replaces the class's interval.

use crate::part::board::StageClass;

/// An interval by its ends: the one that lets the stages hold less, and the one that lets them hold more.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// The end at which the stages hold less.
    pub weak: f64,
    /// The end at which they hold more.
    pub strong: f64,
}

const fn span(weak: f64, strong: f64) -> Span {
    Span { weak, strong }
}

/// What stages of a class are made of. SI units; resistances at 25 °C.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClassSpans {
    /// On-resistance of the upper switch, in ohms.
    pub upper_ohm: Span,
    /// On-resistance of the lower switch; two in parallel count as one.
    pub lower_ohm: Span,
    /// Winding of the inductor.
    pub winding_ohm: Span,
    /// Overlap when the upper switch turns on, in seconds.
    pub rise_s: Span,
    /// Overlap when it turns off.
    pub fall_s: Span,
    /// Gate charges, upper and lower, in coulombs.
    pub gate_c: [Span; 2],
    /// Voltage that drives the gates.
    pub drive_v: Span,
    /// Each dead time, in seconds.
    pub dead_s: Span,
    /// Output charges, upper and lower.
    pub output_c: [Span; 2],
    /// Recovery charge of the body diode.
    pub recovery_c: Span,
    /// Switching frequency: losses have their least somewhere inside, so neither end is the strong one.
    pub frequency_hz: Span,
    /// Inductance.
    pub inductance_h: Span,
    /// Junction to board, upper and lower, in K/W.
    pub to_board_k_w: [Span; 2],
    /// Inductor to board.
    pub inductor_k_w: Span,
    /// Face that gives heat to the air, a stage's share of board and heatsink, in square metres.
    pub board_area_m2: Span,
    /// Heat capacity of a stage's share of board and heatsink, in J/K.
    pub board_j_k: Span,
    /// Mean current that the maker of the switches rates a stage for.
    pub stage_a: Span,
    /// Share of its input power that a converter of this class gives on under load, for searches; the
    /// solve lies within, which a test checks over the demo's library.
    pub efficiency: Span,
}

/// The spans of a class.
///
/// Discrete switches are packages of their own with milliohms in single figures and slow edges through
/// a separate driver. Integrated stages hold driver and both switches: shorter loops, faster edges, lower
/// resistance, rated for more current. A bare stage gives its heat to the copper around it, some
/// centimetres each way on both faces; a heatsink doubles to trebles the face and adds its mass.
pub const fn spans(class: StageClass) -> ClassSpans {
    const DISCRETE: ClassSpans = ClassSpans {
        upper_ohm: span(8.0e-3, 5.0e-3),
        lower_ohm: span(3.6e-3, 2.2e-3),
        winding_ohm: span(1.1e-3, 0.7e-3),
        rise_s: span(9e-9, 6e-9),
        fall_s: span(11e-9, 8e-9),
        gate_c: [span(10e-9, 8e-9), span(30e-9, 25e-9)],
        drive_v: span(8.0, 5.0),
        dead_s: span(22e-9, 14e-9),
        output_c: [span(11e-9, 9e-9), span(22e-9, 18e-9)],
        recovery_c: span(18e-9, 10e-9),
        frequency_hz: span(350e3, 250e3),
        inductance_h: span(260e-9, 470e-9),
        to_board_k_w: [span(8.0, 5.0), span(6.0, 4.0)],
        inductor_k_w: span(12.0, 8.0),
        board_area_m2: span(20e-4, 30e-4),
        board_j_k: span(4.0, 8.0),
        stage_a: span(18.0, 30.0),
        efficiency: span(0.75, 0.95),
    };
    const INTEGRATED: ClassSpans = ClassSpans {
        upper_ohm: span(4.8e-3, 3.0e-3),
        lower_ohm: span(1.8e-3, 1.0e-3),
        winding_ohm: span(0.7e-3, 0.4e-3),
        rise_s: span(6e-9, 4e-9),
        fall_s: span(8e-9, 5e-9),
        gate_c: [span(8e-9, 6e-9), span(25e-9, 18e-9)],
        drive_v: span(6.0, 5.0),
        dead_s: span(16e-9, 10e-9),
        output_c: [span(10e-9, 7e-9), span(20e-9, 14e-9)],
        recovery_c: span(14e-9, 6e-9),
        frequency_hz: span(600e3, 350e3),
        inductance_h: span(180e-9, 330e-9),
        to_board_k_w: [span(5.5, 3.5), span(4.5, 3.0)],
        inductor_k_w: span(10.0, 6.0),
        board_area_m2: span(20e-4, 32e-4),
        board_j_k: span(4.0, 8.0),
        stage_a: span(35.0, 55.0),
        efficiency: span(0.77, 0.96),
    };
    match class {
        StageClass::DiscreteBare => DISCRETE,
        StageClass::DiscreteWithHeatsink => ClassSpans {
            to_board_k_w: [span(7.0, 4.5), span(5.5, 3.5)],
            board_area_m2: span(38e-4, 75e-4),
            board_j_k: span(10.0, 30.0),
            stage_a: span(22.0, 35.0),
            ..DISCRETE
        },
        StageClass::IntegratedBare => INTEGRATED,
        StageClass::IntegratedWithHeatsink => ClassSpans {
            to_board_k_w: [span(4.5, 3.0), span(3.5, 2.5)],
            board_area_m2: span(42e-4, 85e-4),
            board_j_k: span(10.0, 30.0),
            stage_a: span(45.0, 80.0),
            ..INTEGRATED
        },
    }
}

/// Number of stages of a desktop board where nobody counted them.
///
/// # Source
/// common practice, no source.
pub const UNCOUNTED: Span = span(2.0, 20.0);

/// What is alike in every class.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CommonSpans {
    /// Rise of on-resistance for each kelvin.
    pub switch_per_k: Span,
    /// Forward voltage of the body diode.
    pub body_diode_v: Span,
    /// Coefficient of core loss in W/m3 at 1 Hz and 1 T: moulded powder to ferrite.
    pub core_w_m3: Span,
    /// Exponents of core loss: frequency and flux.
    pub core_exponents: [Span; 2],
    /// Volume of a core.
    pub core_m3: Span,
    /// Turns times cross-section of a core.
    pub turns_area_m2: Span,
    /// Copper of the board from stages to processor, all stages together.
    pub plane_ohm: Span,
    /// Face of an inductor.
    pub inductor_area_m2: Span,
    /// Heat capacity of a switch.
    pub switch_j_k: Span,
    /// Heat capacity of an inductor.
    pub inductor_j_k: Span,
    /// Peak current of an inductor over the rated mean current of its stage.
    pub peak_over_rated: Span,
    /// Limit of a junction: where stages protect themselves, to where their makers end.
    pub junction_c: Span,
    /// Limit of an inductor.
    pub inductor_c: Span,
    /// Limit of the board: ordinary laminate to the better kind.
    pub board_c: Span,
}

/// The spans that are alike in every class. common practice, no source.
pub const COMMON: CommonSpans = CommonSpans {
    switch_per_k: span(0.0050, 0.0038),
    body_diode_v: span(0.9, 0.7),
    core_w_m3: span(12.0, 1.5),
    core_exponents: [span(1.3, 1.4), span(2.2, 2.4)],
    core_m3: span(3e-7, 2e-7),
    turns_area_m2: span(2.6e-5, 4e-5),
    plane_ohm: span(0.4e-3, 0.2e-3),
    inductor_area_m2: span(2e-4, 4e-4),
    switch_j_k: span(0.04, 0.12),
    inductor_j_k: span(1.2, 2.5),
    peak_over_rated: span(1.3, 2.0),
    junction_c: span(120.0, 135.0),
    inductor_c: span(115.0, 130.0),
    board_c: span(105.0, 120.0),
};
