//! `choice_of SEED GROUPS WAYS SECONDS`: draws a fleet's choice, prints it as lines of whole numbers and then what was chosen:
//! what the check against another solver runs.

use core::time::Duration;

use fleet::choose::{GroupRow, MoneyCounts, Problem, Proof, WayRow, choose};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let words: Vec<u64> = std::env::args().skip(1).map(|word| word.parse()).collect::<Result<_, _>>()?;
    let [seed, groups, ways, seconds] = words.as_slice() else {
        return Err("name a seed, how many groups and ways, and seconds".into());
    };
    let problem = drawn(*seed, *groups, *ways);
    let list = |values: &[i64]| values.iter().map(i64::to_string).collect::<Vec<_>>().join(" ");
    println!("limits {} {}", problem.budget.unwrap_or(-1), problem.minutes.unwrap_or(-1));
    println!("resale {}", list(&problem.resale));
    println!("stock {}", list(&problem.stock));
    let place = |kind: Option<usize>| kind.map_or(-1, |kind| i64::try_from(kind).unwrap_or(-1));
    for group in &problem.groups {
        println!("group {}", group.count);
        for way in &group.ways {
            let part = way.uses.first().map_or(-1, |(part, _)| i64::try_from(*part).unwrap_or(-1));
            let row = [way.value, way.cost, way.minutes, place(way.takes), place(way.gives), part];
            println!("way {}", list(&row));
        }
    }
    let begun = std::time::Instant::now();
    let chosen = choose(&problem, Some(Duration::from_secs(*seconds)))?;
    let proved = u8::from(chosen.proof == Proof::Optimal);
    let gap = match chosen.proof {
        Proof::Within { gap: Some(gap) } => gap,
        Proof::Optimal | Proof::Within { gap: None } => 0.0,
    };
    let objective = chosen.sums.objective(MoneyCounts::Whole);
    println!("chosen {objective} {proved} {gap} {:.3}", begun.elapsed().as_secs_f64());
    Ok(())
}

/// A choice like a district's: groups of a few to many machines, ways of rising cost and falling return.
fn drawn(seed: u64, groups: u64, ways: u64) -> Problem {
    let mut draw = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1;
    let mut below = move |bound: u64| {
        draw ^= draw << 13;
        draw ^= draw >> 7;
        draw ^= draw << 17;
        i64::try_from(draw % bound).unwrap_or(0)
    };
    let kinds = 3 + groups / 10;
    let maybe =
        |draw: i64, bound: u64, share: i64| usize::try_from(draw).ok().filter(|_| share < 30 && bound > 0);
    let mut machines = 0;
    let groups: Vec<GroupRow> = (0..groups)
        .map(|_| {
            let count = 1 + below(60);
            machines += count;
            let gives = maybe(below(kinds), kinds, below(60));
            let ways = (0..ways).map(|_| {
                let cost = 500 + below(26_000);
                let value = cost / 2 + below(40_000) + 300;
                let takes = maybe(below(kinds), kinds, below(100)).filter(|takes| Some(*takes) != gives);
                let uses = maybe(below(4), 4, below(120)).map(|part| (part, 1));
                WayRow {
                    value,
                    cost,
                    minutes: 30 + 5 * below(20),
                    takes,
                    gives,
                    uses: uses.into_iter().collect(),
                }
            });
            GroupRow { count, ways: ways.collect() }
        })
        .collect();
    Problem {
        groups,
        resale: (0..kinds).map(|_| 100 * below(60)).collect(),
        stock: (0..4).map(|_| below(40)).collect(),
        budget: Some(machines * 4_000),
        minutes: Some(machines * 25),
        money_counts: MoneyCounts::Whole,
    }
}
