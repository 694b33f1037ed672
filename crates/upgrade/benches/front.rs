//! The exact front of large tables, tables read included, on one core.
//!
//! Peers on the same tables (size L: 3,000 processors, 2,000 boards, 800 kits, 600 coolers, 300 supplies),
//! from CSV files to the front in memory: nested loops with lookups in a compiled array language 2.38 s,
//! SQL by an expert in an analytical database 9.5 s, integer programming not finished.
//!
//! `RESEAT_BENCH_LIBRARY=DIR cargo bench -p upgrade --bench front` takes DIR/S, DIR/M, DIR/L, DIR/XL made by the
//! published generator, and prints how many vectors each front has; without it tables of the same make are
//! drawn here.

#![expect(clippy::expect_used, reason = "a bench that cannot read its tables has nothing to measure")]
#![expect(
    clippy::disallowed_methods,
    reason = "a bench is not part of the pure crate: it reads tables from disk"
)]

use std::collections::BTreeMap;

use upgrade::front::solve::{BoardRow, CoolerRow, MemoryRow, Problem, ProcessorRow, SupplyRow, front};
use upgrade::front::table::columns;

fn main() {
    for (name, tables) in all() {
        println!("{name}: {} vectors on the front", front(&read(tables)).len());
    }
    divan::main();
}

/// The five tables and the machine of one size.
#[derive(Debug)]
struct Tables {
    processors: Vec<u8>,
    boards: Vec<u8>,
    memory: Vec<u8>,
    coolers: Vec<u8>,
    supplies: Vec<u8>,
    machine: BTreeMap<String, i64>,
}

#[divan::bench(args = ["S", "M", "L", "XL"], sample_count = 60)]
fn tables_to_front(bencher: divan::Bencher, size: &str) {
    let Some(tables) = all().get(size) else { return };
    bencher.bench_local(|| front(&read(divan::black_box(tables))));
}

#[divan::bench(args = ["S", "M", "L", "XL"], sample_count = 60)]
fn tables_only(bencher: divan::Bencher, size: &str) {
    let Some(tables) = all().get(size) else { return };
    bencher.bench_local(|| read(divan::black_box(tables)));
}

fn all() -> &'static BTreeMap<&'static str, Tables> {
    static ALL: std::sync::OnceLock<BTreeMap<&'static str, Tables>> = std::sync::OnceLock::new();
    ALL.get_or_init(|| {
        let folder = std::env::var("RESEAT_BENCH_LIBRARY").ok();
        [
            ("S", [60, 40, 30, 30, 20]),
            ("M", [600, 400, 200, 200, 100]),
            ("L", [3000, 2000, 800, 600, 300]),
            ("XL", [30000, 20000, 4000, 3000, 1500]),
        ]
        .into_iter()
        .map(|(name, sizes)| {
            let tables = match &folder {
                Some(folder) => from_folder(&format!("{folder}/{name}")),
                None => drawn(name, sizes),
            };
            (name, tables)
        })
        .collect()
    })
}

fn from_folder(folder: &str) -> Tables {
    let file = |name: &str| std::fs::read(format!("{folder}/{name}")).expect("the folder holds all tables");
    let text = String::from_utf8(file("machine.json")).expect("machine.json is text");
    // A flat look at a small known file: every `"name": number`, nested names joined by the object's name.
    let mut machine = BTreeMap::new();
    let mut object = String::new();
    for line in text.lines() {
        let line = line.trim().trim_end_matches(',');
        let Some((name, value)) = line.split_once(':') else {
            if line.starts_with('}') {
                object.clear();
            }
            continue;
        };
        let name = name.trim().trim_matches('"');
        match value.trim() {
            "{" => name.clone_into(&mut object),
            number => {
                let key = if object.is_empty() { name.to_owned() } else { format!("{object}.{name}") };
                machine.insert(key, number.parse().expect("machine.json holds whole numbers"));
            }
        }
    }
    Tables {
        processors: file("processors.csv"),
        boards: file("boards.csv"),
        memory: file("memory.csv"),
        coolers: file("coolers.csv"),
        supplies: file("supplies.csv"),
        machine,
    }
}

fn read(tables: &Tables) -> Problem {
    let of = |name: &str| tables.machine.get(name).copied().unwrap_or(0);
    let small = |value: i64| u32::try_from(value).unwrap_or(u32::MAX);
    let set = |value: i64| u64::try_from(value).unwrap_or(0);
    let processors = columns(
        &tables.processors,
        ["socket", "gen", "series_mask", "mem_type", "sustained_dw", "perf", "price"],
    );
    let boards = columns(
        &tables.boards,
        ["socket", "series", "gen_mask", "mem_type", "vrm_dw", "form", "watts_dw", "price"],
    );
    let memory = columns(&tables.memory, ["type", "gb", "perf", "watts_dw", "price"]);
    let coolers = columns(&tables.coolers, ["socket_mask", "watts_dw", "height_mm", "price"]);
    let supplies = columns(&tables.supplies, ["watts_dw", "price"]);
    let mut problem =
        Problem { other_power: of("other_dw"), base_wall: of("base_wall_dw"), ..Problem::default() };
    let resale = of("resale_processor");
    problem.processors.extend(processors.expect("good table").into_iter().map(
        |[socket, generation, series, memory, power, speed, price]| ProcessorRow {
            socket: small(socket),
            generation: small(generation),
            series: set(series),
            memory: small(memory),
            power,
            speed,
            price: price - resale,
        },
    ));
    problem.boards.push(BoardRow {
        socket: small(of("board.socket")),
        series: small(of("board.series")),
        generations: set(of("board.gen_mask")),
        memory: small(of("board.mem_type")),
        stages: of("board.vrm_dw"),
        power: of("board.watts_dw"),
        price: 0,
    });
    problem.boards.extend(
        boards.expect("good table").into_iter().filter(|row| row[5] >= of("case_form_min")).map(
            |[socket, series, generations, memory, stages, _, power, price]| BoardRow {
                socket: small(socket),
                series: small(series),
                generations: set(generations),
                memory: small(memory),
                stages,
                power,
                price: price - of("board.resale"),
            },
        ),
    );
    problem.memory.push(MemoryRow {
        memory: small(of("memory.type")),
        speed: of("memory.perf"),
        power: of("memory.watts_dw"),
        price: 0,
    });
    problem.memory.extend(memory.expect("good table").into_iter().filter(|row| row[1] >= of("need_gb")).map(
        |[kind, _, speed, power, price]| MemoryRow {
            memory: small(kind),
            speed,
            power,
            price: price - of("memory.resale"),
        },
    ));
    problem.coolers.push(CoolerRow {
        sockets: set(of("cooler.socket_mask")),
        carries: of("cooler.watts_dw"),
        price: 0,
    });
    problem.coolers.extend(
        coolers.expect("good table").into_iter().filter(|row| row[2] <= of("case_height_mm")).map(
            |[sockets, carries, _, price]| CoolerRow {
                sockets: set(sockets),
                carries,
                price: price - of("cooler.resale"),
            },
        ),
    );
    problem.supplies.push(SupplyRow { gives: of("supply.watts_dw"), price: 0 });
    problem.supplies.extend(
        supplies
            .expect("good table")
            .into_iter()
            .map(|[gives, price]| SupplyRow { gives, price: price - of("supply.resale") }),
    );
    problem
}

/// Small reproducible numbers (xorshift64*; Vigna, ACM Trans. Math. Softw. 42, 2016).
struct Draw(u64);

impl Draw {
    fn unit(&mut self) -> f64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 11) as f64 / (1_u64 << 53) as f64
    }
    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }
    fn below(&mut self, bound: usize) -> usize {
        ((self.unit() * bound as f64) as usize).min(bound.saturating_sub(1))
    }
    fn spread(&mut self, sigma: f64) -> f64 {
        // Sum of twelve: close enough to a normal number for prices.
        (sigma * ((0..12).map(|_| self.unit()).sum::<f64>() - 6.0)).exp()
    }
}

/// Tables drawn as the published generator draws them, with other random numbers.
fn drawn(name: &str, [n_processors, n_boards, n_memory, n_coolers, n_supplies]: [usize; 5]) -> Tables {
    let mut draw = Draw(0x9E37_79B9_7F4A_7C15);
    let sockets = match name {
        "S" => 4,
        "M" => 6,
        "L" => 8,
        _ => 12,
    };
    let generations: Vec<usize> = (0..sockets).map(|_| 2 + draw.below(3)).collect();
    let series: Vec<usize> = (0..sockets).map(|_| 3 + draw.below(3)).collect();
    let main_type: Vec<usize> = (0..sockets).map(|socket| socket * 3 / sockets).collect();
    let drives: Vec<Vec<u64>> = (0..sockets)
        .map(|socket| {
            (0..series[socket])
                .map(|one| {
                    if one == 0 {
                        return (1 << generations[socket]) - 1;
                    }
                    let low = draw.below(generations[socket]);
                    let high = low + draw.below(generations[socket] - low);
                    (low..=high).map(|generation| 1_u64 << generation).sum()
                })
                .collect()
        })
        .collect();
    let kind = |draw: &mut Draw, socket: usize, share: f64| {
        if draw.unit() < share { main_type[socket] } else { (main_type[socket] + 1) % 3 }
    };
    let mut processors = String::from(
        "id,socket,gen,series_mask,mem_type,tdp_dw,sustained_dw,perf_serial,perf_parallel,perf,price\n",
    );
    const CORES: [usize; 10] = [2, 4, 6, 8, 10, 12, 14, 16, 20, 24];
    for id in 0..n_processors {
        let socket = draw.below(sockets);
        let generation = draw.below(generations[socket]);
        let age = (sockets - 1 - socket) as f64 + 0.5 * (generations[socket] - 1 - generation) as f64;
        let cores = CORES[draw.below(10)] as f64;
        let serial = 1000.0 * 1.10_f64.powf(-age) * draw.between(0.8, 1.15);
        let parallel = serial * cores.powf(0.92) * draw.between(0.85, 1.1);
        let design = 10.0 * (25.0 + 6.2 * cores * draw.between(0.7, 1.3) * serial / 900.0);
        let sustained = design * draw.between(1.0, 1.6);
        let mut mask = 1;
        for (one, driven) in drives[socket].iter().enumerate() {
            if driven >> generation & 1 == 1 && draw.unit() < 0.85 {
                mask |= 1 << one;
            }
        }
        let memory = kind(&mut draw, socket, 0.75);
        let price = 100.0
            * ((parallel / 600.0).powf(0.75) * (serial / 600.0).powf(0.8) * 55.0 * draw.spread(0.35))
            + 1500.0;
        let speed = 10_000.0 * (1.0 / (0.35 / serial + 0.65 / parallel)).ln();
        processors.push_str(&format!("{id},{socket},{generation},{mask},{memory},{design:.0},{sustained:.0},{serial:.0},{parallel:.0},{speed:.0},{price:.0}\n"));
    }
    let mut boards = String::from("id,socket,series,gen_mask,mem_type,vrm_dw,form,watts_dw,price\n");
    for id in 0..n_boards {
        let socket = draw.below(sockets);
        let one = draw.below(series[socket]);
        let memory = kind(&mut draw, socket, 0.7);
        let stages =
            10.0 * [65.0, 95.0, 125.0, 160.0, 200.0, 260.0, 330.0][draw.below(7)] * draw.between(0.9, 1.1);
        let form = draw.below(3);
        let power = 10.0 * draw.between(8.0, 35.0);
        let mut mask: u64 = drives[socket][one];
        let top = 1_u64 << (63 - mask.leading_zeros());
        if draw.unit() < 0.25 && mask != top {
            mask &= !top;
        }
        let price = 100.0
            * (45.0 + stages / 10.0 * 0.45 + (2 - form) as f64 * 12.0)
            * draw.spread(0.3)
            * (1.0 + 0.12 * socket as f64);
        boards.push_str(&format!(
            "{id},{socket},{one},{mask},{memory},{stages:.0},{form},{power:.0},{price:.0}\n"
        ));
    }
    let mut memory = String::from("id,type,gb,speed,perf,watts_dw,price\n");
    for id in 0..n_memory {
        let kind = draw.below(3);
        let size = [8.0, 16.0, 32.0, 64.0, 96.0, 128.0][draw.below(6)];
        let rate = ([1600.0, 2666.0, 4800.0][kind] * draw.between(1.0, 1.7) / 100.0).floor() * 100.0;
        let speed = 900.0 * (rate / 1600.0_f64).ln() + 60.0 * f64::log2(size) + draw.between(-30.0, 30.0);
        let power = 10.0 * (1.5 + size / 16.0 * draw.between(0.6, 1.2) + rate / 2500.0);
        let price = 100.0
            * (8.0
                + size
                    * 1.9
                    * (1.0 + 0.25 * kind as f64)
                    * (rate / [1600.0, 2666.0, 4800.0][kind]).powf(1.4))
            * draw.spread(0.25);
        memory.push_str(&format!("{id},{kind},{size:.0},{rate:.0},{speed:.0},{power:.0},{price:.0}\n"));
    }
    let mut coolers = String::from("id,socket_mask,watts_dw,height_mm,price\n");
    for id in 0..n_coolers {
        let mask: u64 = (0..sockets).filter(|_| draw.unit() < 0.6).map(|socket| 1_u64 << socket).sum();
        let carries =
            10.0 * [65.0, 95.0, 130.0, 180.0, 230.0, 280.0, 350.0][draw.below(7)] * draw.between(0.85, 1.1);
        let height = 35.0 + carries / 10.0 * 0.4 * draw.between(0.7, 1.3);
        let price = 100.0 * (6.0 + carries / 10.0 * 0.22) * draw.spread(0.3);
        coolers.push_str(&format!("{id},{mask},{carries:.0},{height:.0},{price:.0}\n"));
    }
    let mut supplies = String::from("id,watts_dw,price\n");
    for id in 0..n_supplies {
        let gives = [300.0, 400.0, 450.0, 550.0, 650.0, 750.0, 850.0, 1000.0, 1200.0][draw.below(9)];
        supplies.push_str(&format!(
            "{id},{:.0},{:.0}\n",
            gives * 10.0,
            100.0 * (18.0 + gives * 0.09) * draw.spread(0.25)
        ));
    }
    let socket = sockets / 3;
    let machine = [
        ("case_height_mm", 160),
        ("case_form_min", i64::from(name != "S")),
        ("need_gb", 16),
        ("other_dw", 2200),
        ("base_wall_dw", 250),
        ("resale_processor", 4200),
        ("board.socket", socket as i64),
        ("board.series", 0),
        ("board.gen_mask", drives[socket][0] as i64),
        ("board.mem_type", main_type[socket] as i64),
        ("board.vrm_dw", 1300),
        ("board.watts_dw", 180),
        ("board.resale", 3800),
        ("memory.type", main_type[socket] as i64),
        ("memory.perf", 790),
        ("memory.watts_dw", 45),
        ("memory.resale", 1900),
        ("cooler.socket_mask", 1 << socket | 1 << ((socket + 1) % sockets)),
        ("cooler.watts_dw", 1150),
        ("cooler.resale", 900),
        ("supply.watts_dw", 4500),
        ("supply.resale", 1500),
    ];
    Tables {
        processors: processors.into_bytes(),
        boards: boards.into_bytes(),
        memory: memory.into_bytes(),
        coolers: coolers.into_bytes(),
        supplies: supplies.into_bytes(),
        machine: machine.into_iter().map(|(name, value)| (name.to_owned(), value)).collect(),
    }
}
