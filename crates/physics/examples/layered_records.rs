//! Records of layered columns for another identification package to read, and what ours finds in them:
//! `cargo run --release -p physics --example layered_records -- FOLDER` writes times, temperatures and powers of each as plain
//! doubles and prints the truth, our layers and our shortest time as JSON.
#![expect(
    clippy::disallowed_methods,
    reason = "a program of its own beside the pure crate: it writes files and takes the time"
)]

use core::error::Error;
use std::fs::write;
use std::path::Path;
use std::time::Instant;

use layered_truth::{STACKS, step};
use physics::network::path::{Bands, identify};
use physics::network::record::Record;
use physics::network::spectrum::Air;
use serde_json::json;

#[path = "../tests/it/layered_truth.rs"]
mod layered_truth;

const ROWS: usize = 100_000;
const ROUNDS: usize = 5;
/// Draws of the noise for each column.
const DRAWS: u64 = 3;

fn main() -> Result<(), Box<dyn Error>> {
    let folder = std::env::args().nth(1).ok_or("say the folder")?;
    let air = Air { temperature_c: Some((25.0, 0.01)), drift_k: 1e-3 };
    let mut out = Vec::new();
    let places = STACKS.iter().enumerate().flat_map(|one| (1..=DRAWS).map(move |seed| (one, seed)));
    for ((place, stack), seed) in places {
        let columns = step(stack, ROWS, 0.1, seed);
        let name = format!("column-{place}-draw-{seed}.f64");
        let bytes: Vec<u8> = columns.iter().flatten().flat_map(|value| value.to_le_bytes()).collect();
        write(Path::new(&folder).join(&name), bytes)?;
        let [times_s, temperatures_c, powers_w] = &columns;
        let record = Record { begins_s: 0.0, power_before_w: 0.0, times_s, temperatures_c, powers_w };
        let mut best_s = f64::INFINITY;
        let mut layers = Vec::new();
        for _ in 0..ROUNDS {
            let begun = Instant::now();
            layers = identify(&record, &air, &Bands { resamples: 0, seed: 1 })?.layers;
            best_s = best_s.min(begun.elapsed().as_secs_f64());
        }
        let found: Vec<[f64; 2]> =
            layers.iter().map(|layer| [layer.resistance_k_w, layer.capacitance_j_k]).collect();
        out.push(json!({ "file": name, "rows": ROWS, "truth": stack, "found": found, "best_s": best_s }));
    }
    println!("{}", serde_json::to_string(&out)?);
    Ok(())
}
