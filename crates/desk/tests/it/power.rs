//! The power path over the demo's library: bounds hold, streams add up, hostile names stay text.

use physics::air::film::Air;
use physics::power::converter::Load;
use physics::power::limits::{largest_sustained, used};
use proptest::prelude::*;
use upgrade::carry::power_gauge::Kept;
use upgrade::carry::power_path::{FlowKind, power_path};
use upgrade::carry::stage_air::StageAir;
use upgrade::carry::stage_class::Span;
use upgrade::carry::stage_corner::StageReadings;
use upgrade::carry::stages::{capacity, efficiency, readings, verdicts, warranted_readings};
use upgrade::fit::finding::Verdict;
use upgrade::machine::proposal::{Changes, Proposal};

use crate::demo::{library, machine};

/// Searches take the class's bounds of efficiency instead of the solve: the solve must lie within, for
/// every pair whose stages may hold the processor.
#[test]
fn the_searchs_efficiency_bounds_hold_every_solve() {
    let all = library();
    let machine = machine("demo", &all);
    let mut solved_pairs = 0;
    for processor in all.library.processors.values() {
        for board in all.library.boards.values().filter(|board| board.socket == processor.socket) {
            let changes = Changes { processor: Some(processor), board: Some(board), ..Changes::default() };
            let proposal = Proposal { now: &machine, changes, library: &all.library };
            let Some(power) = processor.sustained_power.get() else { continue };
            let (worst, best) = efficiency(board);
            let readings = readings(&proposal);
            for corner in readings.weak().chain(readings.strong()) {
                let load = Load { power_w: power.middle().si(), set_v: corner.set_v };
                // A load that the limits forbid is no bound's business: the rule says so.
                if used(&corner.converter, &load, &corner.air, &corner.limits).unwrap().0 > 1.0 {
                    continue;
                }
                let found = corner.converter.solve(&load, &corner.air).unwrap().efficiency();
                assert!((worst..=best).contains(&found), "{} on {}: {found}", processor.id, board.id);
                solved_pairs += 1;
            }
        }
    }
    assert!(solved_pairs > 300, "{solved_pairs} solves looked at");
}

#[test]
fn verdicts_are_those_of_the_capacity() {
    let all = library();
    let machine = machine("demo", &all);
    let mut seen = [0_usize; 3];
    for processor in all.library.processors.values() {
        for board in all.library.boards.values().filter(|board| board.socket == processor.socket) {
            let changes = Changes { processor: Some(processor), board: Some(board), ..Changes::default() };
            let proposal = Proposal { now: &machine, changes, library: &all.library };
            let (Some(power), Some(held)) =
                (processor.sustained_power.get(), capacity(&proposal).sustained.get())
            else {
                continue;
            };
            let verdict = verdicts(&proposal).0.unwrap();
            let (low, high) = (held.low().si(), held.high().si());
            let slack = 1e-3 * high;
            match verdict {
                Verdict::Fits => assert!(power.high().si() <= low + slack),
                Verdict::DoesNotFit => assert!(power.low().si() >= high - slack),
                _ => assert!(power.high().si() >= low - slack && power.low().si() <= high + slack),
            }
            seen[match verdict {
                Verdict::Fits => 0,
                Verdict::DoesNotFit => 2,
                _ => 1,
            }] += 1;
        }
    }
    assert!(seen.iter().all(|count| *count > 5), "each verdict comes up: {seen:?}");
}

#[test]
fn streams_add_up_from_the_wall_to_the_processor() {
    let all = library();
    for name in intake::demo::NAMES {
        let machine = machine(name, &all);
        let path =
            power_path(&Proposal { now: &machine, changes: Changes::default(), library: &all.library });
        let sum = |of: FlowKind, from: usize, to: usize, high: bool| -> f64 {
            path.flows[from..to]
                .iter()
                .filter(|flow| flow.kind == of)
                .filter_map(|flow| flow.power.get())
                .map(|power| if high { power.high().si() } else { power.low().si() })
                .sum()
        };
        let place = |name: &str| path.flows.iter().position(|flow| flow.name == name).unwrap();
        let power = |name: &str, high: bool| {
            let power = path.flows[place(name)].power.get().unwrap();
            if high { power.high().si() } else { power.low().si() }
        };
        for high in [false, true] {
            let (wall, out) = (power("from the wall", high), power("out of the supply", high));
            assert!((wall - out - power("heat of the supply", high)).abs() < 1e-9);
            let (stages, last) = (place("into the power stages"), path.flows.len() - 1);
            let lost = sum(FlowKind::Loss, stages, last, high);
            let (into, processor) = (power("into the power stages", high), power("into the processor", high));
            assert!(
                (into - processor - lost).abs() < 1e-6,
                "{name}: {into} W, {processor} W and {lost} W lost"
            );
            // What leaves the supply lies within the search's bounds for what the stages take.
            let branches = sum(FlowKind::Branch, 0, stages, high);
            let bound = out - branches;
            assert!(
                if high { into <= bound + 1e-9 } else { into >= bound - 1e-9 },
                "{name}: {into} against {bound}"
            );
        }
    }
}

/// What the bad end needs suffices at both ends, and asks no less of the air than the good end.
#[test]
fn air_that_is_needed_at_worst_does_at_best() {
    let all = library();
    let machine = machine("demo", &all);
    let mut apart = 0;
    for processor in all.library.processors.values() {
        let board = all.library.boards.values().find(|board| board.socket == processor.socket);
        let changes = Changes { processor: Some(processor), board, ..Changes::default() };
        let proposal = Proposal { now: &machine, changes, library: &all.library };
        let (Some((worst, best)), Some(power)) = (power_path(&proposal).air, processor.sustained_power.get())
        else {
            continue;
        };
        assert!(worst.warmest <= best.warmest, "{}: {worst:?} {best:?}", processor.id);
        assert!(best.slowest.is_some() || worst.slowest.is_none());
        if let (Some(a), Some(b)) = (worst.slowest, best.slowest) {
            assert!(a >= b, "{}: {worst:?} {best:?}", processor.id);
        }
        if let Some(warmest) = worst.warmest {
            let readings = warranted_readings(&proposal);
            for (corner, power) in
                readings.weak().map(|c| (c, power.high())).chain(readings.strong().map(|c| (c, power.low())))
            {
                let air = Air { celsius: warmest.si() - 273.15 - 0.01, ..corner.air };
                let load = Load { power_w: power.si(), set_v: corner.set_v };
                assert!(used(&corner.converter, &load, &air, &corner.limits).unwrap().0 <= 1.0);
            }
        }
        apart += usize::from(worst != best);
    }
    assert!(apart > 10, "{apart} processors with two ends");
}

#[test]
fn a_board_that_keeps_its_makers_word_shows_it() {
    let all = library();
    let machine = machine("demo", &all);
    let path = power_path(&Proposal { now: &machine, changes: Changes::default(), library: &all.library });
    let rated = machine.board.part.rated_processor_power.get().unwrap();
    assert!(path.held.sustained.get().unwrap().low() >= rated.low());
    assert!(path.gauges.iter().all(|gauge| gauge.kept() == Kept::Surely), "{:?}", path.gauges);
}

#[test]
fn nothing_known_is_said_so_and_drawn_so() {
    let all = library();
    let mut machine = machine("demo", &all);
    machine.processor.part.sustained_power = quantity::reading::Reading::Unknown;
    machine.processor.part.burst_power = quantity::reading::Reading::Unknown;
    machine.name = "<script>alert(1)</script> \u{202e}".to_owned();
    let path = power_path(&Proposal { now: &machine, changes: Changes::default(), library: &all.library });
    assert!(path.converter.is_none());
    let text = draw::power_text::power(&path, 80, draw::paint::Paint::Plain);
    assert!(text.contains("unknown"), "{text}");
    let picture = draw::power_picture::power(&path);
    assert!(!picture.contains("<script"), "names are escaped");
    assert!(picture.contains("not known"), "{picture}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// Both ends bound what any design between them holds: every unknown drawn by itself.
    #[test]
    fn what_a_drawn_design_holds_lies_within(
        board in 0_usize..64, draw in proptest::collection::vec(0.0_f64..1.0, 32),
    ) {
        let all = library();
        let machine = machine("demo", &all);
        let boards: Vec<_> = all.library.boards.values().collect();
        let changes = Changes { board: Some(boards[board % boards.len()]), ..Changes::default() };
        let readings = readings(&Proposal { now: &machine, changes, library: &all.library });
        let held = |corner: upgrade::carry::stage_corner::Corner| {
            largest_sustained(&corner.converter, corner.set_v, &corner.air, &corner.limits).unwrap().0
        };
        let low = readings.weak().map(held).fold(f64::INFINITY, f64::min);
        let high = readings.strong().map(held).fold(0.0, f64::max);
        let inside = held(drawn(&readings, &draw));
        prop_assert!(inside >= low * (1.0 - 1e-3) - 1e-6 && inside <= high * (1.0 + 1e-3) + 1e-6,
            "{inside} W outside {low}..{high} W");
    }
}

/// A design with every unknown somewhere between its ends, input voltage and frequency included.
fn drawn(readings: &StageReadings, draw: &[f64]) -> upgrade::carry::stage_corner::Corner {
    let mut weak = readings.weak();
    let class = (draw[31] * readings.classes.len() as f64) as usize;
    let (weak, strong) = (weak.nth(class).unwrap(), readings.strong().nth(class).unwrap());
    let mut next = draw.iter().copied();
    let mut between = |a: f64, b: f64| a + next.next().unwrap() * (b - a);
    let mut out = strong;
    let (w, s) = (&weak.converter, &strong.converter);
    out.converter.count = between(w.count, s.count).round();
    // The corners stretch inductance and upper resistance for frequency and voltage: taken back here.
    let class = upgrade::carry::stage_class::spans(readings.classes[class]);
    let frequency = readings.frequency_hz.unwrap_or(class.frequency_hz);
    let inductance = readings.inductance_h.unwrap_or(class.inductance_h);
    let span = |span: Span, share: f64| span.weak + share * (span.strong - span.weak);
    out.converter.frequency_hz = span(frequency, draw[28]);
    out.converter.inductance_h = span(inductance, draw[29]);
    out.converter.input_v = 11.4 + 1.2 * draw[30];
    out.converter.stage.high_side_ohm = span(class.upper_ohm, draw[27]);
    out.converter.core.turns_area_m2 = span(upgrade::carry::stage_class::COMMON.turns_area_m2, draw[26]);
    let stage = &mut out.converter.stage;
    for (value, weak, strong) in [
        (&mut stage.low_side_ohm, w.stage.low_side_ohm, s.stage.low_side_ohm),
        (&mut stage.winding_ohm, w.stage.winding_ohm, s.stage.winding_ohm),
        (&mut stage.rise_s, w.stage.rise_s, s.stage.rise_s),
        (&mut stage.fall_s, w.stage.fall_s, s.stage.fall_s),
        (&mut stage.drive_v, w.stage.drive_v, s.stage.drive_v),
        (&mut stage.dead_rise_s, w.stage.dead_rise_s, s.stage.dead_rise_s),
        (&mut stage.dead_fall_s, w.stage.dead_fall_s, s.stage.dead_fall_s),
        (&mut stage.recovery_c, w.stage.recovery_c, s.stage.recovery_c),
    ] {
        *value = between(weak, strong);
    }
    let body = &mut out.converter.body;
    for (value, weak, strong) in [
        (&mut body.upper_k_w, w.body.upper_k_w, s.body.upper_k_w),
        (&mut body.lower_k_w, w.body.lower_k_w, s.body.lower_k_w),
        (&mut body.inductor_k_w, w.body.inductor_k_w, s.body.inductor_k_w),
        (&mut body.board_area_m2, w.body.board_area_m2, s.body.board_area_m2),
    ] {
        *value = between(weak, strong);
    }
    out.air.celsius = between(weak.air.celsius, strong.air.celsius);
    out.air.speed_m_s = between(weak.air.speed_m_s, strong.air.speed_m_s);
    out.air.density_ratio = between(weak.air.density_ratio, strong.air.density_ratio);
    out.limits.junction_c = between(weak.limits.junction_c, strong.limits.junction_c);
    out.limits.board_c = between(weak.limits.board_c, strong.limits.board_c);
    out.limits.stage_a = between(weak.limits.stage_a, strong.limits.stage_a);
    out.set_v = between(weak.set_v, strong.set_v);
    out
}

/// Air is a plain value: the same air at both ends leaves only the board's own unknowns.
#[test]
fn known_air_narrows_what_is_held() {
    let all = library();
    let machine = machine("demo", &all);
    let wide = readings(&Proposal { now: &machine, changes: Changes::default(), library: &all.library });
    let air = StageAir { weak: wide.air.strong, strong: wide.air.strong };
    let narrow = StageReadings { air, ..wide.clone() };
    let low = |readings: &StageReadings| {
        readings
            .weak()
            .map(|corner| {
                largest_sustained(&corner.converter, corner.set_v, &corner.air, &corner.limits).unwrap().0
            })
            .fold(f64::INFINITY, f64::min)
    };
    assert!(low(&narrow) > low(&wide));
}
