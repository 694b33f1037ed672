//! The converter against a general-purpose circuit simulator, on circuits written from its own figures.

#![expect(clippy::unwrap_used, clippy::panic, reason = "a test that cannot run its circuit has failed")]
#![expect(clippy::disallowed_methods, reason = "the simulator reads a file and is another program")]

use std::fmt::Write as _;
use std::path::Path;
use std::process::Command;

use physics::air::film::Air;
use physics::power::converter::{Converter, Load, Solved};
use physics::power::losses::Stage;

use crate::buck::{BODY, CONVERTER, STAGE};

/// The converter with nothing but resistance, so that the simulator's switches are the same.
fn resistive(count: f64) -> Converter {
    let stage = Stage {
        rise_s: 0.0,
        fall_s: 0.0,
        high_side_gate_c: 0.0,
        low_side_gate_c: 0.0,
        dead_rise_s: 0.0,
        dead_fall_s: 0.0,
        high_side_output_c: 0.0,
        low_side_output_c: 0.0,
        recovery_c: 0.0,
        ..STAGE
    };
    let mut core = CONVERTER.core;
    core.coefficient_w_m3 = 0.0;
    Converter { count, stage, core, body: BODY, ..CONVERTER }
}

const CAPACITOR_F: f64 = 2e-3;
const CAPACITOR_OHM: f64 = 4e-4;

/// The circuit with every resistance at the temperature that the model found, and the model's duty.
fn netlist(converter: &Converter, solved: &Solved) -> String {
    let t = solved.temperatures;
    let warm = |ohm: f64, per_k: f64, celsius: f64| ohm * (1.0 + per_k * (celsius - 25.0));
    let upper = warm(converter.stage.high_side_ohm, converter.switch_per_k, t.upper_c);
    let lower = warm(converter.stage.low_side_ohm, converter.switch_per_k, t.lower_c);
    let winding = warm(converter.stage.winding_ohm, 0.003_93, t.inductor_c);
    let plane = warm(converter.plane_ohm, 0.003_93, t.board_c);
    let count = converter.count as usize;
    let period = 1.0 / converter.frequency_hz;
    let edge = 5e-10;
    // The gate crosses zero in the middle of each edge.
    let width = solved.duty * period - edge;
    let ripple = solved.ripple.phase_a;
    let mean = solved.output_a / converter.count;
    let behind = solved.output_v + solved.output_a * plane;
    let mut text =
        format!("* {count}-phase step-down converter, resistive switches\nVin in 0 {}\n", converter.input_v);
    for phase in 0..count {
        let delay = 1e-9 + period * phase as f64 / converter.count;
        // Where the triangle stands when time begins: off since its last pulse ended.
        let since_on = (1.0 - phase as f64 / converter.count) % 1.0;
        let start = if since_on < solved.duty {
            mean + ripple * (since_on / solved.duty - 0.5)
        } else {
            mean + ripple * (0.5 - (since_on - solved.duty) / (1.0 - solved.duty))
        };
        let _ = write!(
            text,
            "Vg{phase} g{phase} 0 PULSE(-1 1 {delay:e} {edge:e} {edge:e} {width:e} {period:e})\n\
             Sh{phase} in s{phase} g{phase} 0 upper\nSl{phase} s{phase} 0 0 g{phase} lower\n\
             Vs{phase} s{phase} a{phase} 0\nL{phase} a{phase} b{phase} {:e} IC={start}\nR{phase} b{phase} mid {winding:e}\n",
            converter.inductance_h
        );
    }
    let sum: Vec<String> = (0..count).map(|phase| format!("i(Vs{phase})")).collect();
    let stop = 240.0 * period;
    let from = 220.0 * period;
    let _ = write!(
        text,
        "Co mid x {CAPACITOR_F:e} IC={behind}\nRe x 0 {CAPACITOR_OHM:e}\nRp mid out {plane:e}\nIl out 0 {}\n\
         .model upper SW(Ron={upper:e} Roff=1e7 Vt=0 Vh=0)\n.model lower SW(Ron={lower:e} Roff=1e7 Vt=0 Vh=0)\n\
         Btot tot 0 V={}\nRtot tot 0 1\nBpin pin 0 V=-i(Vin)*v(in)\nRpin pin 0 1\n\
         .options reltol=1e-5 abstol=1e-9 vntol=1e-8 method=gear maxord=2\n\
         .tran 2e-09 {stop:e} {from:e} 2e-09 uic\n.control\nrun\n\
         meas tran vo avg v(out) from={from:e} to={stop:e}\n\
         meas tran ipp pp i(Vs0) from={from:e} to={stop:e}\n\
         meas tran itot pp v(tot) from={from:e} to={stop:e}\n\
         meas tran pin avg v(pin) from={from:e} to={stop:e}\nquit\n.endc\n.end\n",
        solved.output_a,
        sum.join("+")
    );
    text
}

/// What the simulator measured under a name.
fn measured(output: &str, name: &str) -> f64 {
    let line = output.lines().find(|line| line.split_once('=').is_some_and(|(left, _)| left.trim() == name));
    let line = line.unwrap_or_else(|| panic!("ngspice printed no {name}:\n{output}"));
    let (_, right) = line.split_once('=').unwrap();
    right.split_whitespace().next().unwrap().parse().unwrap()
}

#[track_caller]
fn check(count: f64, power_w: f64) {
    let converter = resistive(count);
    let air = Air { celsius: 35.0, speed_m_s: 1.5, density_ratio: 1.0 };
    let solved = converter.solve(&Load { power_w, set_v: 1.2 }, &air).unwrap();
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("converter-{count}.cir"));
    std::fs::write(&path, netlist(&converter, &solved)).unwrap();
    let run = match Command::new("ngspice").arg("-b").arg(&path).output() {
        Ok(run) => run,
        Err(error) if std::env::var_os("CI").is_none() => {
            eprintln!("skipped: ngspice does not run ({error}); install the Debian package ngspice");
            return;
        }
        Err(error) => panic!("ngspice does not run: {error}"),
    };
    let output = String::from_utf8_lossy(&run.stdout).into_owned() + &String::from_utf8_lossy(&run.stderr);
    let near = |name: &str, found: f64, model: f64, tolerance: f64| {
        let off = found / model - 1.0;
        assert!(
            off.abs() <= tolerance,
            "{count} phases, {power_w} W, {name}: circuit {found}, model {model}, {off:+.1e}"
        );
    };
    // The duty is right when it gives the voltage that was asked for.
    near("output voltage", measured(&output, "vo"), solved.output_v, 1e-3);
    near("phase ripple", measured(&output, "ipp"), solved.ripple.phase_a, 1e-2);
    near("total ripple", measured(&output, "itot"), solved.ripple.total_a, 2e-2);
    // Loss of the ripple in the capacitor is no loss of the board's stages.
    let capacitor_w = CAPACITOR_OHM * solved.ripple.total_a.powi(2) / 12.0;
    let input_w = measured(&output, "pin") - capacitor_w;
    near("efficiency", power_w / input_w, solved.efficiency(), 2e-3);
}

/// Tolerances: 1e-3 for voltage, 1 % and 2 % for ripple (the closed form takes the triangle's slopes
/// as straight), 2e-3 for efficiency.
#[test]
fn one_phase_is_the_circuits() {
    check(1.0, 25.0);
}

#[test]
fn four_phases_are_the_circuits() {
    check(4.0, 95.0);
}

#[test]
fn eight_phases_are_the_circuits() {
    check(8.0, 180.0);
}
