//! The power stages of every pair of a large library: 3,000 processors on 2,000 boards.
//!
//! No peer: no general-purpose library answers this. One verdict is one or two solves of the whole
//! converter at a corner of what is unknown; one capacity is two searches for the largest power.

#![expect(clippy::expect_used, reason = "a bench that cannot build its parts has nothing to measure")]

use divan::{Bencher, black_box};
use physics::air::film::Air;
use physics::power::converter::Load;
use physics::power::limits::{largest_sustained, used};
use upgrade::carry::stage_air::StageAir;
use upgrade::carry::stage_class::Span;
use upgrade::carry::stage_corner::StageReadings;
use upgrade::part::board::StageClass;

fn main() {
    divan::main();
}

const AIR: StageAir = StageAir {
    weak: Air { celsius: 47.0, speed_m_s: 0.4, density_ratio: 0.82 },
    strong: Air { celsius: 23.0, speed_m_s: 1.2, density_ratio: 1.0 },
};

/// A small generator of equally spread numbers, so that the library is the same every time.
struct Draw(u64);

impl Draw {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + self.next() * (high - low)
    }
}

fn both(value: f64) -> Span {
    Span { weak: value, strong: value }
}

/// Boards of every class, most with their stages counted, some with printed figures read.
fn boards() -> Vec<StageReadings> {
    let mut draw = Draw(7);
    (0..2_000)
        .map(|place| StageReadings {
            classes: vec![StageClass::ALL[place % 4]],
            count: both(draw.between(3.0, 17.0).floor()),
            stage_a: (draw.next() < 0.5).then(|| both(20.0 + 15.0 * (place % 4) as f64)),
            inductance_h: (draw.next() < 0.5).then(|| both(draw.between(150e-9, 400e-9))),
            frequency_hz: (draw.next() < 0.3).then(|| both(draw.between(300e3, 500e3))),
            volts: Span { weak: 1.0, strong: 1.3 },
            air: AIR,
            least: 0.0,
        })
        .collect()
}

/// Sustained powers and voltages of processors.
fn processors() -> Vec<(f64, Span)> {
    let mut draw = Draw(11);
    (0..3_000)
        .map(|_| {
            let weak = draw.between(0.9, 1.1);
            (draw.between(35.0, 250.0).round(), Span { weak, strong: weak + draw.between(0.1, 0.3) })
        })
        .collect()
}

/// Surely, perhaps or not.
fn verdict(board: &StageReadings, power_w: f64, volts: Span) -> u8 {
    let holds = |corner: upgrade::carry::stage_corner::Corner, set_v: f64| {
        let load = Load { power_w, set_v };
        used(&corner.converter, &load, &corner.air, &corner.limits).expect("inputs are good").0 <= 1.0
    };
    if board.weak().all(|corner| holds(corner, volts.weak)) {
        0
    } else if board.strong().any(|corner| holds(corner, volts.strong)) {
        1
    } else {
        2
    }
}

#[divan::bench]
fn verdict_of_one_pair(bencher: Bencher<'_, '_>) {
    let (boards, processors) = (boards(), processors());
    let mut place = 0;
    bencher.bench_local(|| {
        place += 1;
        let (power_w, volts) = processors[place % processors.len()];
        verdict(black_box(&boards[(place * 7) % boards.len()]), power_w, volts)
    });
}

#[divan::bench]
fn interval_of_one_pair(bencher: Bencher<'_, '_>) {
    let boards = boards();
    let mut place = 0;
    bencher.bench_local(|| {
        place += 1;
        let board = black_box(&boards[place % boards.len()]);
        let held = |corner: upgrade::carry::stage_corner::Corner| {
            largest_sustained(&corner.converter, corner.set_v, &corner.air, &corner.limits)
                .expect("inputs are good")
                .0
        };
        (board.weak().map(held).fold(f64::INFINITY, f64::min), board.strong().map(held).fold(0.0, f64::max))
    });
}

/// All six million pairs.
#[divan::bench(sample_count = 1, sample_size = 1)]
fn verdicts_of_3000_processors_on_2000_boards(bencher: Bencher<'_, '_>) {
    let (boards, processors) = (boards(), processors());
    bencher.bench_local(|| {
        let mut counts = [0_u32; 3];
        for board in &boards {
            for (power_w, volts) in &processors {
                counts[usize::from(verdict(board, *power_w, *volts))] += 1;
            }
        }
        counts
    });
}
