//! The power path: published numbers, a second way of computing, and what must always hold.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

use physics::air::film::Air;
use physics::power::body::{Body, Temperatures};
use physics::power::burst::after;
use physics::power::converter::{Converter, Load, PowerError};
use physics::power::limits::{Limits, largest_burst, largest_sustained, slowest_air, used, warmest_air};
use physics::power::losses::{Stage, losses};
use physics::power::ripple::Phases;
use proptest::prelude::*;

use crate::buck::{AIR, BODY, CONVERTER, LIMITS, STAGE};

/// The numerical example of application note 64AN035E, Efficiency of Buck Converter: 12 V to 5 V, 3 A,
/// 1 MHz, 4.7 uH. Inputs and the loss of the upper switch, 376 mW, read in a public study of that note;
/// 723 mW of the winding, 180 mW of overlap and 90 mW of dead time are from memory.
#[test]
fn the_published_loss_budget_comes_out() {
    let phases = Phases { count: 1.0, input_v: 12.0, output_v: 5.0, inductance_h: 4.7e-6, frequency_hz: 1e6 };
    let stage = Stage {
        high_side_ohm: 0.1,
        low_side_ohm: 0.07,
        winding_ohm: 0.08,
        rise_s: 4e-9,
        fall_s: 6e-9,
        high_side_gate_c: 1e-9,
        low_side_gate_c: 1e-9,
        drive_v: 5.0,
        dead_rise_s: 30e-9,
        dead_fall_s: 30e-9,
        body_diode_v: 0.5,
        high_side_output_c: 0.0,
        low_side_output_c: 0.0,
        recovery_c: 0.0,
    };
    let lost = losses(&phases, &stage, 3.0).unwrap();
    assert!((lost.high_side_w - 0.376).abs() < 5e-4, "{}", lost.high_side_w);
    assert!((lost.winding_w - 0.723).abs() < 5e-4, "{}", lost.winding_w);
    // The note multiplies the mean current; here turn-on meets the valley and turn-off the peak.
    assert!((lost.overlap_w - 0.180).abs() < 5e-3, "{}", lost.overlap_w);
    assert!((lost.dead_time_w - 0.090).abs() < 5e-3, "{}", lost.dead_time_w);
}

#[test]
fn power_in_is_power_out_and_lost() {
    let solved = CONVERTER.solve(&Load { power_w: 95.0, set_v: 1.2 }, &AIR).unwrap();
    let named: f64 = solved.lost.named().iter().map(|(_, watts)| watts).sum();
    assert!((solved.input_w - 95.0 - named).abs() < 1e-9);
    assert!((solved.lost.total_w() - named).abs() < 1e-9);
    assert!((0.75..0.97).contains(&solved.efficiency()), "{}", solved.efficiency());
}

/// The heat that the losses make leaves through the films: the fixed point is one.
#[test]
fn the_temperatures_carry_off_the_losses() {
    use physics::air::film::coefficient_w_m2k;
    let solved = CONVERTER.solve(&Load { power_w: 95.0, set_v: 1.2 }, &AIR).unwrap();
    let film =
        |celsius: f64| coefficient_w_m2k(&AIR, 0.05, celsius - AIR.celsius, 0.9) * (celsius - AIR.celsius);
    let t = solved.temperatures;
    let left = 4.0 * (22e-4 * film(t.board_c) + 3e-4 * film(t.inductor_c));
    assert!((left / solved.lost.total_w() - 1.0).abs() < 1e-5, "{left} of {}", solved.lost.total_w());
}

/// A second way: the same equations by small explicit steps.
#[test]
fn a_burst_is_what_small_steps_come_to() {
    let air = Air { speed_m_s: 2.0, ..AIR };
    let before = Load { power_w: 10.0, set_v: 1.2 };
    let burst = Load { power_w: 120.0, set_v: 1.2 };
    for seconds in [0.02, 1.0, 20.0, 200.0] {
        let end = after(&CONVERTER, &before, &burst, &air, seconds).unwrap();
        let stepped = by_steps(&before, &burst, &air, seconds);
        for (exact, step) in end.list().into_iter().zip(stepped.list()) {
            assert!(
                (exact - step).abs() < 0.02 * (exact - air.celsius).max(1.0),
                "{seconds} s: {exact}, steps {step}"
            );
        }
    }
}

fn by_steps(before: &Load, burst: &Load, air: &Air, seconds: f64) -> Temperatures {
    use physics::air::film::coefficient_w_m2k;
    let start = CONVERTER.solve(before, air).unwrap().temperatures;
    let hot = after(&CONVERTER, before, burst, air, seconds).unwrap();
    // Losses of one stage at the burst, by the public forward model at two flat temperatures.
    let phases = Phases {
        count: 4.0,
        input_v: 12.0,
        output_v: duty(&hot, burst) * 12.0,
        inductance_h: 220e-9,
        frequency_hz: 400e3,
    };
    let amps = burst.power_w / burst.set_v;
    let lost = losses(&phases, &STAGE, amps).unwrap();
    let core_w = CONVERTER.core.loss_w(220e-9, 400e3, phases.phase_ripple_a());
    let film = |celsius: f64| coefficient_w_m2k(air, 0.05, celsius - air.celsius, 0.9);
    let (h_l, h_b) = (film(start.inductor_c), film(start.board_c));
    let steps = (seconds / 1e-3).ceil().max(20.0);
    let dt = seconds / steps;
    let mut t = start;
    for _ in 0..steps as usize {
        let warm = |c: f64, a: f64| 1.0 + a * (c - 25.0);
        let upper_w = (lost.high_side_w * warm(t.upper_c, 0.0045)
            + lost.overlap_w
            + lost.output_charge_w
            + lost.recovery_w
            + 0.5 * lost.gate_w)
            / 4.0;
        let lower_w =
            (lost.low_side_w * warm(t.lower_c, 0.0045) + lost.dead_time_w + 0.5 * lost.gate_w) / 4.0;
        let inductor_w = lost.winding_w * warm(t.inductor_c, 0.00393) / 4.0 + core_w;
        let board_w = amps * amps * 0.0003 * warm(t.board_c, 0.00393) / 4.0;
        let (from_u, from_d, from_l) =
            ((t.upper_c - t.board_c) / 6.0, (t.lower_c - t.board_c) / 5.0, (t.inductor_c - t.board_c) / 12.0);
        let air_l = 3e-4 * h_l * (t.inductor_c - air.celsius);
        let air_b = 22e-4 * h_b * (t.board_c - air.celsius);
        t.upper_c += dt * (upper_w - from_u) / 0.08;
        t.lower_c += dt * (lower_w - from_d) / 0.08;
        t.inductor_c += dt * (inductor_w - from_l - air_l) / 2.0;
        t.board_c += dt * (board_w + from_u + from_d + from_l - air_b) / 9.0;
    }
    t
}

/// Duty with the drops at these temperatures, by hand.
fn duty(t: &Temperatures, load: &Load) -> f64 {
    let amps = load.power_w / load.set_v;
    let each = amps / 4.0;
    let warm = |ohm: f64, c: f64, a: f64| ohm * (1.0 + a * (c - 25.0));
    let behind =
        load.set_v + amps * warm(0.0003, t.board_c, 0.00393) + each * warm(0.0005, t.inductor_c, 0.00393);
    let (upper, lower) = (warm(0.005, t.upper_c, 0.0045), warm(0.0018, t.lower_c, 0.0045));
    (behind + each * lower) / (12.0 - each * (upper - lower))
}

#[test]
fn a_long_burst_is_no_cooler_than_steady() {
    let burst = Load { power_w: 80.0, set_v: 1.2 };
    let steady = CONVERTER.solve(&burst, &AIR).unwrap().temperatures;
    let end = after(&CONVERTER, &Load { power_w: 5.0, set_v: 1.2 }, &burst, &AIR, 1e6).unwrap();
    // The film keeps its value from before the burst, so the end lies above; by at most a quarter.
    for (end, steady) in end.list().into_iter().zip(steady.list()) {
        assert!(end >= steady - 1e-6 && end - 35.0 < 1.25 * (steady - 35.0), "{end} against {steady}");
    }
}

#[test]
fn limits_are_met_exactly_where_they_bind() {
    let (power_w, nearest) = largest_sustained(&CONVERTER, 1.2, &AIR, &LIMITS).unwrap();
    let (share, again) = used(&CONVERTER, &Load { power_w, set_v: 1.2 }, &AIR, &LIMITS).unwrap();
    assert!((share - 1.0).abs() < 1e-5 && nearest == again, "{power_w} W uses {share}");
    let wide = Limits { stage_a: 200.0, peak_a: 400.0, ..LIMITS };
    let (brief_w, _) = largest_burst(&CONVERTER, 1.2, &AIR, &wide, 20.0, 2.0).unwrap();
    let (long_w, _) = largest_burst(&CONVERTER, 1.2, &AIR, &wide, 20.0, 60.0).unwrap();
    assert!(brief_w > long_w && long_w > 0.9 * power_w, "{brief_w}, {long_w}, {power_w}");
    let load = Load { power_w: 0.9 * power_w, set_v: 1.2 };
    let warm_c = warmest_air(&CONVERTER, &load, &AIR, &LIMITS).unwrap().unwrap();
    let in_it = Air { celsius: warm_c, ..AIR };
    assert!((used(&CONVERTER, &load, &in_it, &LIMITS).unwrap().0 - 1.0).abs() < 1e-3);
    let slow = slowest_air(&CONVERTER, &load, &AIR, &LIMITS).unwrap().unwrap();
    assert!(slow < 1.0, "{slow} m/s");
    assert_eq!(slowest_air(&CONVERTER, &Load { power_w: 500.0, set_v: 1.2 }, &AIR, &LIMITS).unwrap(), None);
}

#[test]
fn heat_that_feeds_itself_is_called_runaway() {
    let hot = Converter { switch_per_k: 0.05, body: Body { board_area_m2: 2e-4, ..BODY }, ..CONVERTER };
    let error = hot.solve(&Load { power_w: 150.0, set_v: 1.0 }, &AIR).unwrap_err();
    assert!(matches!(error, PowerError::Runaway { feedback, .. } if feedback >= 1.0), "{error}");
    assert!(error.to_string().contains("run away"));
}

#[test]
fn a_load_line_droops_and_has_an_end() {
    let soft = Converter { load_line_ohm: 0.0015, ..CONVERTER };
    let solved = soft.solve(&Load { power_w: 95.0, set_v: 1.3 }, &AIR).unwrap();
    assert!((1.3 - 0.0015 * solved.output_a - solved.output_v).abs() < 1e-12);
    assert!((solved.output_a * solved.output_v - 95.0).abs() < 1e-9);
    let error = soft.solve(&Load { power_w: 400.0, set_v: 1.3 }, &AIR).unwrap_err();
    assert!(matches!(error, PowerError::LoadLine { .. }), "{error}");
}

#[test]
fn nonsense_is_refused_by_name() {
    let load = Load { power_w: 50.0, set_v: 1.2 };
    let say = |converter: Converter, air: Air| converter.solve(&load, &air).unwrap_err().to_string();
    let mut negative = CONVERTER;
    negative.stage.low_side_ohm = -0.001;
    let mut nan = CONVERTER;
    nan.body.board_area_m2 = f64::NAN;
    for (found, word) in [
        (say(Converter { count: 0.0, ..CONVERTER }, AIR), "stages"),
        (say(Converter { count: 3.5, ..CONVERTER }, AIR), "stages"),
        (say(negative, AIR), "low-side resistance"),
        (say(nan, AIR), "face of the board"),
        (say(Converter { input_v: 1.0, ..CONVERTER }, AIR), "duty"),
        (say(CONVERTER, Air { celsius: 200.0, ..AIR }), "air temperature"),
        (say(CONVERTER, Air { speed_m_s: f64::NAN, ..AIR }), "air speed"),
    ] {
        assert!(found.contains(word), "{found} does not name {word}");
    }
    let hot = Air { celsius: 110.0, ..AIR };
    let past = largest_sustained(&CONVERTER, 1.2, &hot, &LIMITS).unwrap_err().to_string();
    assert!(
        past.contains("limit of the board") && past.contains("above the temperature of the air"),
        "{past}"
    );
}

proptest! {
    /// What a stronger or cooler converter holds is never less.
    #[test]
    fn better_never_holds_less(
        count in 3_u32..16, volts in 0.8_f64..1.4, celsius in 15.0_f64..60.0, speed in 0.0_f64..5.0,
        upper in 1e-3_f64..9e-3, lower in 0.5e-3_f64..4e-3, area in 8e-4_f64..60e-4,
    ) {
        let mut weak = Converter { count: f64::from(count), ..CONVERTER };
        weak.stage.high_side_ohm = upper;
        weak.stage.low_side_ohm = lower;
        weak.body.board_area_m2 = area;
        let air = Air { celsius, speed_m_s: speed, ..AIR };
        let held = |converter: &Converter, volts: f64, air: &Air| {
            largest_sustained(converter, volts, air, &LIMITS).map(|(watts, _)| watts)
        };
        let base = held(&weak, volts, &air)?;
        let slack = 1e-4 * base + 1e-6;
        let mut strong = weak;
        strong.count += 1.0;
        prop_assert!(held(&strong, volts, &air)? >= base - slack, "one more stage");
        strong = weak;
        strong.stage.high_side_ohm *= 0.8;
        prop_assert!(held(&strong, volts, &air)? >= base - slack, "less upper resistance");
        strong = weak;
        strong.stage.low_side_ohm *= 0.8;
        prop_assert!(held(&strong, volts, &air)? >= base - slack, "less lower resistance");
        strong = weak;
        strong.stage.fall_s *= 0.5;
        prop_assert!(held(&strong, volts, &air)? >= base - slack, "faster switches");
        strong = weak;
        strong.body.board_area_m2 *= 1.3;
        prop_assert!(held(&strong, volts, &air)? >= base - slack, "more face");
        strong = weak;
        strong.inductance_h *= 1.5;
        prop_assert!(held(&strong, volts, &air)? >= base - slack, "more inductance");
        prop_assert!(held(&weak, volts, &Air { celsius: celsius - 5.0, ..air })? >= base - slack, "cooler air");
        prop_assert!(held(&weak, volts, &Air { speed_m_s: speed + 0.5, ..air })? >= base - slack, "faster air");
        let thin = held(&weak, volts, &Air { density_ratio: 0.8, ..air })?;
        prop_assert!(thin <= base + slack, "thinner air holds {thin} W, not {base} W");
        prop_assert!(held(&weak, volts * 1.05, &air)? >= base - slack, "higher voltage");
    }

    /// Any numbers at all end in an answer or a refusal, and an answer is finite.
    #[test]
    fn any_numbers_end(
        count in prop::num::f64::ANY, volts in prop::num::f64::ANY, watts in prop::num::f64::ANY,
        henry in prop::num::f64::ANY, hertz in prop::num::f64::ANY, area in prop::num::f64::ANY,
    ) {
        let mut wild = Converter { count, inductance_h: henry, frequency_hz: hertz, ..CONVERTER };
        wild.body.board_area_m2 = area;
        if let Ok(solved) = wild.solve(&Load { power_w: watts, set_v: volts }, &AIR) {
            prop_assert!(solved.input_w.is_finite() && solved.temperatures.hottest_c().is_finite());
        }
    }
}
