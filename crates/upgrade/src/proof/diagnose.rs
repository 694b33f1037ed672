//! From signs to what is wrong: how likely each fault is, and what the log cannot tell.

use physics::network::stations::Station;

use crate::proof::belief::with_sum;
use crate::proof::expected::Expected;
use crate::proof::fault::{AIR, FAULTS, Fault, NEIGHBOURS, Neighbours, nothing_wrong};
use crate::proof::path::PathFound;
use crate::proof::sign::{Force, Range, Sign};
use crate::proof::signs_of::SignRead;

/// What the log comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// Nothing that the log can show is wrong.
    NothingWrong,
    /// One fault, or two, are named.
    Named,
    /// One of some faults that look alike is there; the log does not tell which.
    OneOf,
    /// Something is wrong, and none of the faults that are known here explains it.
    SomethingElse,
    /// The log does not tell which.
    CannotTell,
}

impl Outcome {
    /// The words used in pages and messages.
    pub const fn word(self) -> &'static str {
        match self {
            Self::NothingWrong => "nothing wrong",
            Self::Named => "fault found",
            Self::OneOf => "one of two or three",
            Self::SomethingElse => "something else is wrong",
            Self::CannotTell => "cannot be told",
        }
    }
}

/// A fault with how likely it is.
#[derive(Debug, Clone, PartialEq)]
pub struct Suspect {
    /// The fault.
    pub fault: Fault,
    /// Its chance by the log.
    pub chance: f64,
    /// Its chance before it.
    pub before: f64,
    /// Signs that speak for it, strongest first, with how many times likelier each makes it than soundness.
    pub evidence: Vec<(SignRead, f64)>,
}

/// A fault about which the log says next to nothing, and the reading that would.
#[derive(Debug, Clone, PartialEq)]
pub struct Untold {
    /// The fault.
    pub fault: Fault,
    /// How to come by the reading.
    pub reading: &'static str,
}

/// What the signs come to.
#[derive(Debug, Clone, PartialEq)]
pub struct Diagnosis {
    /// In short.
    pub outcome: Outcome,
    /// Chance that nothing is wrong.
    pub nothing: f64,
    /// Chance that it is none of the known faults.
    pub something_else: f64,
    /// Every fault, likeliest first.
    pub suspects: Vec<Suspect>,
    /// How many of them are named, or are left over where it cannot be told.
    pub named: usize,
    /// What look-alikes are at fault where none of them alone can be named, with their chance together.
    pub one_of: Option<(Neighbours, f64)>,
    /// What would tell the first two that are left over apart.
    pub separates: Option<String>,
    /// Faults that the log says nothing about.
    pub untold: Vec<Untold>,
    /// All signs of the log.
    pub signs: Vec<SignRead>,
}

/// A fault is named from this chance on; so is soundness.
pub const NAMED: f64 = 0.5;
/// Among faults that look alike one is named by itself where it has so much of their chance together.
const ALONE: f64 = 0.85;
/// A fault below this chance is not left over.
const LEFT_OVER: f64 = 0.12;
/// Chance that something is wrong that is not listed here.
///
/// # Source
/// common practice, no source.
const SOMETHING_ELSE: f64 = 0.02;
/// Draws from what the fit leaves open.
const DRAWS: usize = 600;
/// A logistic curve of this scale has a standard deviation of one.
const LOGISTIC: f64 = 0.551_328_895_421_792;

fn logistic(x: f64) -> f64 {
    1.0 / (1.0 + (-x.clamp(-40.0, 40.0)).exp())
}

/// Density of a value that lies evenly between two ends, blurred.
fn soft(value: f64, low: f64, high: f64, blur: f64) -> f64 {
    let scale = LOGISTIC * blur.max(1e-6);
    let width = high - low;
    if width < 0.01 * scale {
        let share = logistic((value - 0.5 * (low + high)) / scale);
        return share * (1.0 - share) / scale;
    }
    (logistic((value - low) / scale) - logistic((value - high) / scale)) / width
}

/// Ends of a range in the sign's own measure; none where a sound machine's figure is not known.
fn ends(range: &Range, expected: &Expected, sink: Option<(f64, f64)>) -> Option<(f64, f64)> {
    if !range.sign.is_step() {
        return Some((range.low, range.high));
    }
    let figure = |figure: quantity::reading::Figure<quantity::dimension::ThermalResistanceDim>| {
        figure.get().map(|value| (value.low().si(), value.high().si()))
    };
    let (low, high) = match range.sign {
        Sign::Paste => figure(expected.sound.paste),
        Sign::Sink => sink,
        _ => figure(expected.sound.case_air),
    }?;
    (low > 0.0).then(|| ((low * range.low).ln(), (high * range.high).ln()))
}

/// How one hypothesis has each sign be: a range that it names, or that of a sound machine.
struct View<'h> {
    ranges: &'h [Range],
    expected: &'h Expected,
    sink: Option<(f64, f64)>,
}

impl View<'_> {
    /// Density of a sign's value; none where nothing is known to compare it with.
    fn density(&self, sign: Sign, value: f64, uncertainty: f64) -> Option<f64> {
        let blur = sign.blur().hypot(uncertainty);
        let of = |range: &Range| {
            ends(range, self.expected, self.sink).map(|(low, high)| soft(value, low, high, blur))
        };
        let sound = || {
            let sound = sign.sound(self.expected);
            let plain = match sound.force {
                Force::Must => of(&sound)?,
                Force::May => 0.5 * of(&sign.from_to(0.0, crate::proof::sign::HELD))? + 0.5 * of(&sound)?,
            };
            Some(plain)
        };
        let named = self.ranges.iter().find(|range| range.sign == sign);
        let told = match named {
            Some(range) if range.force == Force::Must => of(range)?,
            Some(range) => 0.5 * of(range)? + 0.5 * sound()?,
            None => sound()?,
        };
        let stray = sign.stray();
        Some((1.0 - stray) * told + stray * of(&sign.anything())?)
    }
}

/// What is left open about the path's steps: draws of their logarithms, each with its weight against the priors.
struct Draws {
    signs: Vec<Sign>,
    logs: Vec<Vec<f64>>,
    prior_densities: Vec<f64>,
}

const STATIONS: [(Sign, Station); 3] =
    [(Sign::Paste, Station::Paste), (Sign::Sink, Station::Sink), (Sign::CaseAir, Station::CaseAir)];

/// Draws: SplitMix64, twelve uniform ones to an about normal one.
fn normal(state: &mut u64) -> f64 {
    let mut next = || {
        *state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = *state;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    };
    (0..12).map(|_| next()).sum::<f64>() - 6.0
}

fn draws(path: Option<&PathFound>) -> Option<Draws> {
    let path = path?;
    let used: Vec<_> =
        STATIONS.into_iter().filter(|(sign, _)| *sign != Sign::CaseAir || !path.air_measured).collect();
    let n = Station::ALL.len();
    let cell = |a: usize, b: usize| path.stations.covariance.get(a * n + b).copied().unwrap_or(0.0);
    // Cholesky's lower triangle of the few that count.
    let mut lower = vec![vec![0.0; used.len()]; used.len()];
    for i in 0..used.len() {
        for j in 0..=i {
            let known: f64 = (0..j).map(|k| lower[i][k] * lower[j][k]).sum();
            let left = cell(used[i].1 as usize, used[j].1 as usize) - known;
            lower[i][j] = if i == j { left.max(1e-8).sqrt() } else { left / lower[j][j] };
        }
    }
    let mut state = 7_u64;
    let mut out = Draws {
        signs: used.iter().map(|(sign, _)| *sign).collect(),
        logs: Vec::new(),
        prior_densities: Vec::new(),
    };
    for _ in 0..DRAWS {
        let unit: Vec<f64> = used.iter().map(|_| normal(&mut state)).collect();
        let mut logs = Vec::with_capacity(used.len());
        let mut density = 1.0;
        for (row, (_, station)) in used.iter().enumerate() {
            let middle = path.stations.logs.get(*station as usize).copied().unwrap_or(0.0);
            let log = middle + lower[row].iter().zip(&unit).map(|(a, b)| a * b).sum::<f64>();
            logs.push(log);
        }
        if let [_, sink, air] = logs.as_mut_slice() {
            (*sink, *air) = with_sum(&path.stations, (*sink, *air));
        }
        for (log, (_, station)) in logs.iter().zip(&used) {
            let prior = path.priors[*station as usize];
            let off = (log - prior.middle.ln()) / prior.spread;
            density *= (-0.5 * off * off).exp() / prior.spread;
        }
        out.logs.push(logs);
        out.prior_densities.push(density.max(1e-12));
    }
    Some(out)
}

/// How likely the log is under a hypothesis, up to a factor that is the same for all.
///
/// # Model
/// Single signs: the density of the range blurred by the sign's uncertainty. Steps of the path: the mean, over draws
/// from the fit, of the hypothesis' density over the density of the fit's own prior, so that what the log leaves open
/// between paste, cooler and air is left open here too.
fn likelihood(view: &View<'_>, signs: &[SignRead], draws: Option<&Draws>) -> f64 {
    let mut out = 1.0;
    for read in signs {
        let drawn = draws.is_some_and(|draws| draws.signs.contains(&read.sign));
        if !drawn {
            out *= view.density(read.sign, read.value, read.uncertainty).unwrap_or(1.0);
        }
    }
    if let Some(draws) = draws {
        let sum: f64 = draws
            .logs
            .iter()
            .zip(&draws.prior_densities)
            .map(|(logs, prior)| {
                let density: f64 = draws
                    .signs
                    .iter()
                    .zip(logs)
                    .map(|(sign, log)| view.density(*sign, *log, 0.0).unwrap_or(1.0))
                    .product();
                density / prior
            })
            .sum();
        out *= sum / draws.logs.len().max(1) as f64;
    }
    out
}

/// A set of faults and the ways in which they come together.
struct Hypothesis {
    faults: Vec<usize>,
    odds: f64,
    ways: Vec<Vec<Range>>,
}

/// Two sets of ranges at once: where both name a sign, from the lower to the higher of both.
fn together(one: &[Range], other: &[Range]) -> Vec<Range> {
    let mut out = one.to_vec();
    for range in other {
        match out.iter_mut().find(|mine| mine.sign == range.sign) {
            Some(mine) if mine.force == range.force => {
                mine.low = mine.low.min(range.low);
                mine.high = mine.high.max(range.high);
            }
            Some(mine) if range.force == Force::Must => *mine = *range,
            Some(_) => {}
            None => out.push(*range),
        }
    }
    out
}

fn hypotheses(expected: &Expected) -> Vec<Hypothesis> {
    let nothing = nothing_wrong(expected);
    let odds: Vec<f64> = FAULTS.iter().map(|fault| (fault.prior)(expected) / nothing).collect();
    let ways: Vec<Vec<Vec<Range>>> = FAULTS.iter().map(|fault| (fault.ways)(expected)).collect();
    let mut out = vec![Hypothesis { faults: Vec::new(), odds: 1.0, ways: vec![Vec::new()] }];
    for one in 0..FAULTS.len() {
        out.push(Hypothesis { faults: vec![one], odds: odds[one], ways: ways[one].clone() });
        for other in one + 1..FAULTS.len() {
            // Two of the paste's faults at once are one joint that is bad.
            if FAULTS[one].is_of_the_joint() && FAULTS[other].is_of_the_joint() {
                continue;
            }
            let both = ways[one].iter().flat_map(|a| ways[other].iter().map(|b| together(a, b))).collect();
            out.push(Hypothesis { faults: vec![one, other], odds: odds[one] * odds[other], ways: both });
        }
    }
    let anything = Sign::ALL.iter().map(|sign| sign.anything()).collect();
    out.push(Hypothesis { faults: vec![usize::MAX], odds: SOMETHING_ELSE / nothing, ways: vec![anything] });
    out
}

/// Diagnoses the signs of a log.
///
/// # Model
/// One fault, two at once, none, or something that is not listed; each with its chance beforehand, and each sign with a
/// range under each ([`crate::proof::fault`]). Bayes' rule gives the chances by the log. What the log does not have counts for
/// nothing.
///
/// # Source
/// Bayes' rule; the draws are importance sampling: D. J. C. MacKay, Information Theory, Inference, and Learning Algorithms,
/// 2003, ch. 29; from memory. Chances beforehand and ranges: common practice, no source.
pub fn diagnose(signs: Vec<SignRead>, path: Option<&PathFound>, expected: &Expected) -> Diagnosis {
    let sink = path
        .and_then(|path| path.step("cooler"))
        .and_then(|step| step.sound.get())
        .map(|value| (value.low().si(), value.high().si()));
    let draws = draws(path);
    let weigh = |ways: &[Vec<Range>], signs: &[SignRead], draws: Option<&Draws>| {
        let sum: f64 =
            ways.iter().map(|ranges| likelihood(&View { ranges, expected, sink }, signs, draws)).sum();
        sum / ways.len().max(1) as f64
    };
    let all = hypotheses(expected);
    let weights: Vec<f64> = all
        .iter()
        .map(|one| if one.odds > 0.0 { one.odds * weigh(&one.ways, &signs, draws.as_ref()) } else { 0.0 })
        .collect();
    let sum: f64 = weights.iter().sum::<f64>().max(f64::MIN_POSITIVE);
    let odds_sum: f64 = all.iter().map(|one| one.odds).sum();
    let share = |of: &dyn Fn(&Hypothesis) -> bool| {
        let chance: f64 =
            all.iter().zip(&weights).filter(|(one, _)| of(one)).map(|(_, weight)| weight / sum).sum();
        let before: f64 = all.iter().filter(|one| of(one)).map(|one| one.odds / odds_sum).sum();
        (chance, before)
    };
    let nothing = share(&|one| one.faults.is_empty()).0;
    let something_else = share(&|one| one.faults == [usize::MAX]).0;
    let sound = View { ranges: &[], expected, sink };
    let mut suspects: Vec<Suspect> = FAULTS
        .iter()
        .enumerate()
        .map(|(place, fault)| {
            let (chance, before) = share(&|one| one.faults.contains(&place));
            let ways = (fault.ways)(expected);
            let mut evidence: Vec<(SignRead, f64)> = signs
                .iter()
                .filter_map(|read| {
                    let plain = sound.density(read.sign, read.value, read.uncertainty)?;
                    let best = ways
                        .iter()
                        .filter_map(|ranges| {
                            View { ranges, expected, sink }.density(read.sign, read.value, read.uncertainty)
                        })
                        .fold(0.0, f64::max);
                    Some((read.clone(), best / plain.max(1e-12)))
                })
                .filter(|(_, times)| *times > 1.5)
                .collect();
            evidence.sort_by(|a, b| b.1.total_cmp(&a.1));
            Suspect { fault: *fault, chance, before, evidence }
        })
        .collect();
    suspects.sort_by(|a, b| b.chance.total_cmp(&a.chance));
    let (mut outcome, mut named) = outcome(&suspects, nothing, something_else);
    let mut one_of = None;
    if matches!(outcome, Outcome::CannotTell | Outcome::Named) {
        let chances = NEIGHBOURS.map(|group| {
            let of = |one: &Hypothesis| {
                one.faults
                    .iter()
                    .any(|place| FAULTS.get(*place).is_some_and(|fault| group.ids.contains(&fault.id)))
            };
            let first = suspects.iter().find(|one| group.ids.contains(&one.fault.id));
            (group, share(&of).0, first.map_or(0.0, |first| first.chance))
        });
        one_of = chances
            .into_iter()
            .filter(|(_, chance, first)| *chance >= NAMED && (*first < NAMED || *first < ALONE * chance))
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(group, chance, _)| (group, chance));
    }
    if let Some((group, _)) = one_of {
        // Those of the group first, and after them what is named besides.
        suspects.sort_by_key(|one| !(group.ids.contains(&one.fault.id) && one.chance >= LEFT_OVER));
        let of_group = suspects
            .iter()
            .take_while(|one| group.ids.contains(&one.fault.id) && one.chance >= LEFT_OVER)
            .count();
        named = suspects.iter().skip(of_group).take_while(|one| one.chance >= NAMED).count() + of_group;
        outcome = Outcome::OneOf;
    }
    let air_told = path.is_some_and(|path| path.air_told);
    let separates = match (outcome, one_of) {
        (Outcome::OneOf, Some((group, _))) if group == AIR && air_told => None,
        (Outcome::OneOf, Some((group, _))) => Some(group.check.to_owned()),
        (Outcome::CannotTell, _) => separates(&suspects, &signs, expected, named),
        _ => None,
    };
    // Whichever of cooler and air is named, where nothing but times speaks the other stays open.
    let separates = separates.or_else(|| {
        let of_air = |one: &Suspect| AIR.ids.contains(&one.fault.id) && one.chance >= LEFT_OVER;
        let both = suspects.iter().filter(|one| of_air(one)).count() == AIR.ids.len();
        (both && !air_told && outcome != Outcome::NothingWrong).then(|| AIR.check.to_owned())
    });
    let untold = untold(&suspects, &signs, expected);
    Diagnosis { outcome, nothing, something_else, suspects, named, one_of, separates, untold, signs }
}

fn outcome(suspects: &[Suspect], nothing: f64, something_else: f64) -> (Outcome, usize) {
    let above = |limit: f64| suspects.iter().filter(|suspect| suspect.chance >= limit).count();
    if nothing >= NAMED {
        (Outcome::NothingWrong, 0)
    } else if above(NAMED) > 0 {
        (Outcome::Named, above(NAMED))
    } else if something_else >= NAMED {
        (Outcome::SomethingElse, 0)
    } else {
        (Outcome::CannotTell, above(LEFT_OVER).max(1))
    }
}

/// The reading that would tell the likeliest apart.
fn separates(suspects: &[Suspect], signs: &[SignRead], expected: &Expected, left: usize) -> Option<String> {
    let first = suspects.first()?;
    let second = suspects.get(1).filter(|_| left > 1);
    let missing = |sign: &Sign| !signs.iter().any(|read| read.sign == *sign);
    let must = |fault: &Fault, sign: Sign| {
        (fault.ways)(expected)
            .into_iter()
            .flatten()
            .find(|range| range.sign == sign && range.force == Force::Must)
            .unwrap_or_else(|| sign.sound(expected))
    };
    let apart = Sign::ALL.iter().filter(|sign| missing(sign)).find(|sign| {
        let one = must(&first.fault, **sign);
        let other = second.map_or_else(|| sign.sound(expected), |second| must(&second.fault, **sign));
        one.high <= other.low || other.high <= one.low
    });
    Some(apart.map_or_else(
        || first.fault.check.to_owned(),
        |sign| format!("{}: {}.", capital(sign.words()), sign.how_to_read()),
    ))
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

/// How much of its chance a fault must lose to count as looked at.
const LOOKED_AT: f64 = 0.6;

fn untold(suspects: &[Suspect], signs: &[SignRead], expected: &Expected) -> Vec<Untold> {
    suspects
        .iter()
        .filter(|suspect| {
            suspect.before > 0.0 && suspect.chance < NAMED && suspect.chance > LOOKED_AT * suspect.before
        })
        .filter_map(|suspect| {
            let lacks = (suspect.fault.ways)(expected).into_iter().flatten().find(|range| {
                range.force == Force::Must && !signs.iter().any(|read| read.sign == range.sign)
            })?;
            Some(Untold { fault: suspect.fault, reading: lacks.sign.how_to_read() })
        })
        .collect()
}
