//! The front of cost, speed and wall power over tables of processors, boards, memory, coolers, supplies.
//!
//! # Model
//! A route takes a new processor and, of board, memory, cooler and supply, a new one or the one that is
//! there. Sockets, generations, series, memory types must match; power stages and cooler must carry the
//! processor, the supply everything. Cost is prices less resale of what comes out, speed is processor's
//! plus memory's, wall power is the sum.
//!
//! Exact by decomposition: a part that another of its class beats in everything that any later choice
//! can ask of it is dropped before anything is joined. For a power, the cheapest sufficient cooler and
//! supply are looked up; cost never falls with power, so dominance of partial routes stays dominance.

use std::collections::{BTreeMap, HashMap};

use crate::front::skyline::{Point, skyline};

/// A processor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ProcessorRow {
    /// Socket, by number.
    pub socket: u32,
    /// Generation, by number within its socket.
    pub generation: u32,
    /// Chipset series that drive it, as bits.
    pub series: u64,
    /// Memory type, by number.
    pub memory: u32,
    /// Sustained power.
    pub power: i64,
    /// Speed.
    pub speed: i64,
    /// Price.
    pub price: i64,
}

/// A board; the one that is there has its price as negative resale.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BoardRow {
    /// Socket.
    pub socket: u32,
    /// Chipset series.
    pub series: u32,
    /// Generations it drives, as bits.
    pub generations: u64,
    /// Memory type.
    pub memory: u32,
    /// Power its stages hold.
    pub stages: i64,
    /// Its own power.
    pub power: i64,
    /// Price.
    pub price: i64,
}

/// A memory kit that is large enough.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MemoryRow {
    /// Type.
    pub memory: u32,
    /// Speed it adds.
    pub speed: i64,
    /// Power.
    pub power: i64,
    /// Price.
    pub price: i64,
}

/// A cooler that fits the case.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CoolerRow {
    /// Sockets it mounts on, as bits.
    pub sockets: u64,
    /// Power it carries.
    pub carries: i64,
    /// Price.
    pub price: i64,
}

/// A supply.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SupplyRow {
    /// Power it gives.
    pub gives: i64,
    /// Price.
    pub price: i64,
}

/// Everything that is to be combined. What is there already stands among the rows, at the price of
/// keeping it: a new part's price less the old one's resale, or zero.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Problem {
    /// Processors.
    pub processors: Vec<ProcessorRow>,
    /// Boards.
    pub boards: Vec<BoardRow>,
    /// Memory kits.
    pub memory: Vec<MemoryRow>,
    /// Coolers.
    pub coolers: Vec<CoolerRow>,
    /// Supplies.
    pub supplies: Vec<SupplyRow>,
    /// Power of everything else, for the supply.
    pub other_power: i64,
    /// Power of everything else, at the wall.
    pub base_wall: i64,
}

/// A vector of the front with one route that has it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct FrontPoint {
    /// Cost.
    pub cost: i64,
    /// Speed.
    pub speed: i64,
    /// Wall power.
    pub wall: i64,
    /// Rows of processor, board, memory; the cheapest sufficient cooler and supply go with them.
    pub rows: [u32; 3],
}

/// Prices of the cheapest choice that reaches a power: powers rising, prices rising.
struct Cheapest {
    steps: Vec<(i64, i64)>,
}

impl Cheapest {
    fn of(rows: impl Iterator<Item = (i64, i64)>) -> Self {
        let mut rows: Vec<(i64, i64)> = rows.collect();
        // From the strongest down: a step is kept where it is cheaper than all stronger ones.
        rows.sort_unstable_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
        let mut steps: Vec<(i64, i64)> = Vec::new();
        for (power, price) in rows {
            if steps.last().is_none_or(|last| price < last.1) {
                steps.push((power, price));
            }
        }
        steps.reverse();
        Self { steps }
    }

    fn for_power(&self, power: i64) -> Option<i64> {
        let place = self.steps.partition_point(|step| step.0 < power);
        self.steps.get(place).map(|step| step.1)
    }
}

/// A fast hasher for small keys of whole numbers: multiply and rotate. Not for keys from strangers, who
/// could choose them to collide; here a collision costs time only.
#[derive(Default)]
struct SmallKeys(u64);

impl core::hash::Hasher for SmallKeys {
    fn finish(&self) -> u64 {
        self.0
    }
    fn write(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.write_u64(u64::from(*byte));
        }
    }
    fn write_u32(&mut self, value: u32) {
        self.write_u64(u64::from(value));
    }
    fn write_u64(&mut self, value: u64) {
        self.0 = (self.0.rotate_left(5) ^ value).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    }
}

type Groups<K, V> = HashMap<K, V, core::hash::BuildHasherDefault<SmallKeys>>;

/// Keeps, of each group, the rows that no other of the group beats in all of three figures.
fn keep_best<T, K: Eq + core::hash::Hash>(
    rows: &[T],
    key: impl Fn(&T) -> Option<K>,
    figures: impl Fn(&T) -> (i64, i64, i64),
) -> Groups<K, Vec<u32>> {
    let mut groups: Groups<K, Vec<Point<u32>>> = Groups::default();
    for (row, idx) in rows.iter().zip(0_u32..) {
        if let Some(key) = key(row) {
            let (a, b, c) = figures(row);
            groups.entry(key).or_default().push(Point { a, b, c, witness: idx });
        }
    }
    groups
        .into_iter()
        .map(|(key, points)| (key, skyline(points).into_iter().map(|point| point.witness).collect()))
        .collect()
}

/// A board on its way into the join: cost, power, and where it comes from.
#[derive(Clone, Copy)]
struct Half {
    cost: i64,
    power: i64,
    row: u32,
}

/// The front of a problem, in order of cost.
pub fn front(problem: &Problem) -> Vec<FrontPoint> {
    let supply = Cheapest::of(problem.supplies.iter().map(|row| (row.gives, row.price)));
    let sockets = problem.processors.iter().map(|row| row.socket).max().map_or(0, |most| most + 1);
    let coolers: Vec<Cheapest> = (0..sockets)
        .map(|socket| {
            let mounts = problem.coolers.iter().filter(|row| bit(row.sockets, socket));
            Cheapest::of(mounts.map(|row| (row.carries, row.price)))
        })
        .collect();
    let memory = keep_best(&problem.memory, |row| Some(row.memory), |row| (row.price, -row.speed, row.power));
    let boards = keep_best(
        &problem.boards,
        |row| Some((row.socket, row.memory, row.series, row.generations)),
        |row| (row.price, row.power, -row.stages),
    );
    // Cost of a processor with the cheapest cooler that carries it; none where nothing does.
    let cooled: Vec<Option<i64>> = problem
        .processors
        .iter()
        .map(|row| Some(row.price + coolers.get(row.socket as usize)?.for_power(row.power)?))
        .collect();
    let indices: Vec<u32> = (0..).take(problem.processors.len()).collect();
    let processors = keep_best(
        &indices,
        |idx| {
            let row = problem.processors.get(*idx as usize)?;
            cooled.get(*idx as usize).copied().flatten()?;
            Some((row.socket, row.memory, row.generation, row.series))
        },
        |idx| {
            let row = &problem.processors[*idx as usize];
            (cooled[*idx as usize].unwrap_or(i64::MAX), -row.speed, row.power)
        },
    );
    let mut places: BTreeMap<Place, Meeting<'_>> = BTreeMap::new();
    for (key, rows) in &boards {
        places.entry((key.0, key.1)).or_default().boards.push((key, rows));
    }
    for place in places.values_mut() {
        place.boards.sort_unstable();
    }
    for ((socket, memory_type, generation, series), rows) in &processors {
        if let Some(Meeting { classes, boards }) = places.get_mut(&(*socket, *memory_type)) {
            let drives = |key: &BoardKey| bit(*series, key.2) && bit(key.3, *generation);
            let goes: Vec<bool> = boards.iter().map(|(key, _)| drives(key)).collect();
            let rows = rows
                .iter()
                .filter_map(|idx| {
                    let row = problem.processors.get(*idx as usize)?;
                    let cost = cooled.get(*idx as usize).copied().flatten()?;
                    Some(Candidate { cost, speed: row.speed, power: row.power, row: *idx })
                })
                .collect();
            classes.push(Class { goes, rows });
        }
    }
    // Processor and board together: what is still to come asks only for their memory type and power,
    // so all pairs of one memory type compete, whatever their socket.
    let mut pairs: BTreeMap<u32, Vec<Point<[u32; 2]>>> = BTreeMap::new();
    for ((_, memory_type), Meeting { mut classes, boards }) in places {
        drop_beaten(&mut classes);
        let pairs = pairs.entry(memory_type).or_default();
        for class in &classes {
            pair_up(problem, class, &boards, pairs);
        }
    }
    let mut points: Vec<Point<[u32; 3]>> = Vec::new();
    for (memory_type, pairs) in pairs {
        let Some(kits) = memory.get(&memory_type) else { continue };
        for pair in skyline(pairs) {
            for kit in kits {
                let kit_row = &problem.memory[*kit as usize];
                let power = pair.c + kit_row.power;
                let Some(supply_price) = supply.for_power(power + problem.other_power) else { continue };
                points.push(Point {
                    a: pair.a + kit_row.price + supply_price,
                    b: pair.b - kit_row.speed,
                    c: power + problem.base_wall,
                    witness: [pair.witness[0], pair.witness[1], *kit],
                });
            }
        }
    }
    skyline(points)
        .into_iter()
        .map(|point| FrontPoint { cost: point.a, speed: -point.b, wall: point.c, rows: point.witness })
        .collect()
}

/// Socket and memory type.
type Place = (u32, u32);
/// Socket, memory type, chipset series, generations.
type BoardKey = (u32, u32, u32, u64);

/// Processors and boards of one place, both by class.
#[derive(Default)]
struct Meeting<'b> {
    classes: Vec<Class>,
    boards: Vec<(&'b BoardKey, &'b Vec<u32>)>,
}

/// A processor with the cheapest cooler that carries it.
#[derive(Clone, Copy)]
struct Candidate {
    cost: i64,
    speed: i64,
    power: i64,
    row: u32,
}

/// Processors that go on the same classes of boards.
struct Class {
    goes: Vec<bool>,
    rows: Vec<Candidate>,
}

/// Drops processors that one of a class with at least the same boards beats in cost, speed and power.
fn drop_beaten(classes: &mut [Class]) {
    let covers = |more: &[bool], less: &[bool]| more.iter().zip(less).all(|(more, less)| *more || !*less);
    // Classes with more boards first, so that what beats is judged before what it beats.
    classes.sort_by_key(|class| core::cmp::Reverse(class.goes.iter().filter(|goes| **goes).count()));
    for idx in 1..classes.len() {
        let (before, rest) = classes.split_at_mut(idx);
        let Some(class) = rest.first_mut() else { continue };
        let wider: Vec<&Class> = before.iter().filter(|other| covers(&other.goes, &class.goes)).collect();
        class.rows.retain(|row| {
            !wider.iter().any(|other| {
                other.rows.iter().any(|strong| {
                    strong.cost <= row.cost && strong.speed >= row.speed && strong.power <= row.power
                })
            })
        });
    }
}

/// Pairs the processors of a class with the boards whose stages hold them.
fn pair_up(
    problem: &Problem,
    class: &Class,
    boards: &[(&BoardKey, &Vec<u32>)],
    pairs: &mut Vec<Point<[u32; 2]>>,
) {
    if class.rows.is_empty() {
        return;
    }
    // Boards of every class that drives these processors, strongest stages first.
    let mut halves: Vec<(i64, Half)> = Vec::new();
    for ((_, rows), _) in boards.iter().zip(&class.goes).filter(|(_, goes)| **goes) {
        halves.extend(rows.iter().map(|row| {
            let board = &problem.boards[*row as usize];
            (-board.stages, Half { cost: board.price, power: board.power, row: *row })
        }));
    }
    halves.sort_unstable_by_key(|(stages, half)| (*stages, half.cost, half.power, half.row));
    // Processors from the hungriest down: the staircase of sufficient boards only grows.
    let mut order: Vec<Candidate> = class.rows.clone();
    order.sort_unstable_by_key(|row| (-row.power, row.row));
    let mut sufficient: Vec<Half> = Vec::new();
    let mut next = 0;
    for row in order {
        while let Some((stages, half)) = halves.get(next)
            && -stages >= row.power
        {
            insert(&mut sufficient, *half);
            next += 1;
        }
        pairs.extend(sufficient.iter().map(|board| Point {
            a: row.cost + board.cost,
            b: -row.speed,
            c: row.power + board.power,
            witness: [row.row, board.row],
        }));
    }
}

/// Adds a half to a staircase that rises in cost and falls in power; equal ones keep the first row.
fn insert(stairs: &mut Vec<Half>, new: Half) {
    let place = stairs.partition_point(|half| (half.cost, half.power) <= (new.cost, new.power));
    if place > 0 && stairs[place - 1].power <= new.power {
        return;
    }
    let behind = stairs[place..].iter().take_while(|half| half.power >= new.power).count();
    stairs.splice(place..place + behind, [new]);
}

fn bit(set: u64, number: u32) -> bool {
    number < 64 && set >> number & 1 == 1
}

/// The front by trying every route: what [`front`] is compared with.
pub fn enumerate(problem: &Problem) -> Vec<(i64, i64, i64)> {
    let mut vectors = Vec::new();
    for processor in &problem.processors {
        for board in &problem.boards {
            let goes = board.socket == processor.socket
                && board.memory == processor.memory
                && bit(board.generations, processor.generation)
                && bit(processor.series, board.series)
                && board.stages >= processor.power;
            if !goes {
                continue;
            }
            for kit in problem.memory.iter().filter(|kit| kit.memory == board.memory) {
                for cooler in &problem.coolers {
                    if !bit(cooler.sockets, processor.socket) || cooler.carries < processor.power {
                        continue;
                    }
                    let power = processor.power + board.power + kit.power;
                    for supply in problem.supplies.iter().filter(|s| s.gives >= power + problem.other_power) {
                        vectors.push((
                            processor.price + board.price + kit.price + cooler.price + supply.price,
                            processor.speed + kit.speed,
                            power + problem.base_wall,
                        ));
                    }
                }
            }
        }
    }
    vectors.sort_unstable();
    vectors.dedup();
    let beaten = |one: &(i64, i64, i64)| {
        vectors.iter().any(|other| other != one && other.0 <= one.0 && other.1 >= one.1 && other.2 <= one.2)
    };
    vectors.iter().filter(|vector| !beaten(vector)).copied().collect()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn problem() -> impl Strategy<Value = Problem> {
        let processor = (0..2_u32, 0..2_u32, 1..4_u64, 0..2_u32, 1..9_i64, 1..9_i64, 0..9_i64).prop_map(
            |(socket, generation, series, memory, power, speed, price)| ProcessorRow {
                socket,
                generation,
                series,
                memory,
                power,
                speed,
                price,
            },
        );
        let board = (0..2_u32, 0..2_u32, 1..4_u64, 0..2_u32, 1..9_i64, 1..5_i64, 0..9_i64).prop_map(
            |(socket, series, generations, memory, stages, power, price)| BoardRow {
                socket,
                series,
                generations,
                memory,
                stages,
                power,
                price,
            },
        );
        let kit = (0..2_u32, 0..4_i64, 1..4_i64, 0..9_i64)
            .prop_map(|(memory, speed, power, price)| MemoryRow { memory, speed, power, price });
        let cooler = (1..4_u64, 1..9_i64, 0..9_i64).prop_map(|(sockets, carries, price)| CoolerRow {
            sockets,
            carries,
            price,
        });
        let supply = (5..30_i64, -2..9_i64).prop_map(|(gives, price)| SupplyRow { gives, price });
        (
            proptest::collection::vec(processor, 0..7),
            proptest::collection::vec(board, 0..7),
            proptest::collection::vec(kit, 0..6),
            proptest::collection::vec(cooler, 0..5),
            proptest::collection::vec(supply, 0..5),
            0..6_i64,
        )
            .prop_map(|(processors, boards, memory, coolers, supplies, other_power)| Problem {
                processors,
                boards,
                memory,
                coolers,
                supplies,
                other_power,
                base_wall: 3,
            })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(600))]

        #[test]
        fn the_front_is_that_of_plain_enumeration(problem in problem()) {
            let mut found: Vec<(i64, i64, i64)> =
                front(&problem).iter().map(|p| (p.cost, p.speed, p.wall)).collect();
            found.sort_unstable();
            prop_assert_eq!(found, enumerate(&problem));
        }

        #[test]
        fn witnesses_have_the_vector_they_stand_for(problem in problem()) {
            for point in front(&problem) {
                let [p, b, m] = point.rows.map(|row| row as usize);
                let only = Problem {
                    processors: vec![problem.processors[p]],
                    boards: vec![problem.boards[b]],
                    memory: vec![problem.memory[m]],
                    ..problem.clone()
                };
                let vectors = enumerate(&only);
                prop_assert!(vectors.contains(&(point.cost, point.speed, point.wall)));
            }
        }
    }
}
