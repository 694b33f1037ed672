//! `fits_of PROCESSORS.csv MACHINES.csv THREADS OUT.bin`: what the check against another program runs. Writes for each
//! machine how many processors fit and the row of the best one, from one, as 16-bit numbers, and prints the best of
//! nine times it took, tables read included.

use std::path::Path;

use fleet::in_parts::fits;
use upgrade::front::fits::candidates;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let [processors, machines, threads, out] = words.as_slice() else {
        return Err("name the tables, the number of threads and the file to write".into());
    };
    let threads: usize = threads.parse()?;
    let mut best = f64::INFINITY;
    let mut found = Vec::new();
    for _ in 0..9 {
        let begun = std::time::Instant::now();
        found = fits(Path::new(machines), &candidates(&std::fs::read(processors)?)?, threads)?;
        best = best.min(begun.elapsed().as_secs_f64());
    }
    let bytes: Vec<u8> =
        found.iter().flat_map(|fit| [fit.count.to_le_bytes(), fit.best.to_le_bytes()].concat()).collect();
    std::fs::write(out, bytes)?;
    let pairs: u64 = found.iter().map(|fit| u64::from(fit.count)).sum();
    println!("{} {pairs} {best:.6}", found.len());
    Ok(())
}
