//! Named picks from the front: which route for which wish, and why it and not its neighbour.

use quantity::money::Money;

use crate::fit::finding::Verdict;
use crate::machine::present::Machine;
use crate::route::detail::Route;
use crate::route::search::Found;

/// What a pick is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum PickKind {
    /// Change nothing.
    Stay,
    /// Cheapest change that is worth its trouble.
    CheapestWorthwhile,
    /// Most worth for its money.
    BestValue,
    /// Fastest within the budget.
    Fastest,
}

impl PickKind {
    /// The words used in pages and messages.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Stay => "change nothing",
            Self::CheapestWorthwhile => "cheapest that is worthwhile",
            Self::BestValue => "best value",
            Self::Fastest => "fastest within budget",
        }
    }
}

/// One pick with its reasons.
#[derive(Debug, Clone, PartialEq)]
pub struct Pick {
    /// What it is for.
    pub kind: PickKind,
    /// The route.
    pub route: Route,
    /// Why it, in sentences.
    pub reasons: Vec<String>,
    /// Share of draws from the uncertain readings in which no other route beats it.
    pub steadiness: f64,
}

/// Years over which a change is judged where the owner names no payback time.
///
/// # Source
/// common practice, no source.
pub const YEARS: f64 = 3.0;

const SECONDS_A_YEAR: f64 = 31_557_600.0;

/// How a route is weighed, for ordering.
#[derive(Debug, Clone, Copy)]
struct Weight {
    /// Share of the attended time that is saved.
    saved_share: f64,
    /// Money over the years judged, less the cost; `None` where an hour's value or the days are not said.
    net: Option<f64>,
}

struct Scales {
    attended_s: f64,
    least_gain: f64,
    years: f64,
    hour_minor: Option<f64>,
    days: Option<f64>,
    energy_minor_per_wh: Option<f64>,
    energy_now_wh: i64,
}

impl Scales {
    fn of(machine: &Machine, stay: Option<&Found>) -> Self {
        let attended_s = machine
            .workload
            .tasks
            .iter()
            .filter(|task| task.attended == crate::machine::workload::Attended::Waited)
            .filter_map(|task| task.time_a_day.known().map(|time| time.middle().si()))
            .sum();
        let wishes = &machine.wishes;
        Self {
            attended_s,
            least_gain: wishes.least_gain.known().map_or(0.0, |gain| gain.middle().si()),
            years: wishes.payback.known().map_or(YEARS, |time| time.middle().si() / SECONDS_A_YEAR),
            hour_minor: wishes.hour_value.map(|value| value.minor() as f64),
            days: machine.setting.days_a_year.map(f64::from),
            energy_minor_per_wh: machine.setting.energy_price.map(|price| price.minor() as f64 / 1000.0),
            energy_now_wh: stay.map_or(0, |stay| stay.objectives.energy_wh),
        }
    }

    fn weigh(&self, found: &Found) -> Weight {
        let saved = found.objectives.saved_s() as f64;
        // Without a price energy is not counted; the reasons of the pick say so.
        let energy = (found.objectives.energy_wh - self.energy_now_wh) as f64
            * self.energy_minor_per_wh.unwrap_or(0.0);
        let net = self.hour_minor.zip(self.days).map(|(hour, days)| {
            (saved / 3600.0 * days * hour - energy) * self.years - found.objectives.cost as f64
        });
        Weight { saved_share: if self.attended_s > 0.0 { saved / self.attended_s } else { 0.0 }, net }
    }

    /// Whether a change is worth its trouble: enough gain, and money back in time where that is asked.
    fn is_worthwhile(&self, found: &Found) -> bool {
        let weight = self.weigh(found);
        found.objectives.saved_s() > 0
            && weight.saved_share >= self.least_gain
            && weight.net.is_none_or(|net| net >= 0.0)
    }
}

/// Picks from a front. `detail` gives a route in full.
///
/// # Model
/// Only routes without an open question are picked; where one with an open question would have been
/// taken otherwise, the pick says which reading would open it.
pub fn picks(machine: &Machine, front: &[Found], detail: impl Fn(&Found) -> Route) -> Vec<Pick> {
    let stay = front.iter().find(|found| found.choice == crate::route::options::Choice::default());
    let scales = Scales::of(machine, stay);
    let worthwhile: Vec<&Found> = front.iter().filter(|found| scales.is_worthwhile(found)).collect();
    let mut picks = Vec::new();
    if let Some(stay) = stay {
        let reasons = vec![why_stay(&scales, front, &worthwhile)];
        picks.push(Pick { kind: PickKind::Stay, route: detail(stay), reasons, steadiness: 1.0 });
    }
    let mut cheapest = worthwhile.clone();
    cheapest.sort_by_key(|found| (found.objectives.cost, found.objectives.lost_s, found.choice));
    let value = ordered(&scales, worthwhile.clone());
    let mut fastest = worthwhile;
    fastest.sort_by_key(|found| (found.objectives.lost_s, found.objectives.cost, found.choice));
    for (kind, order) in [
        (PickKind::CheapestWorthwhile, &cheapest),
        (PickKind::BestValue, &value),
        (PickKind::Fastest, &fastest),
    ] {
        if let Some(pick) = first_sure(kind, order, &scales, &detail) {
            picks.push(pick);
        }
    }
    picks
}

/// Routes of a front by their worth, the most worth first, whether they are worthwhile or not.
pub fn by_worth<'f>(machine: &Machine, front: &'f [Found]) -> Vec<&'f Found> {
    let stay = front.iter().find(|found| found.choice == crate::route::options::Choice::default());
    let scales = Scales::of(machine, stay);
    ordered(&scales, front.iter().filter(|found| found.objectives.saved_s() > 0).collect())
}

/// The route among these that is picked as the best value, where one is: of those that no other of them beats the most worth
/// without an open question, or the most worth if all have one.
pub fn best_value<'f>(
    machine: &Machine,
    routes: &'f [Found],
    mut is_open: impl FnMut(&Found) -> bool,
) -> Option<&'f Found> {
    let stay = routes.iter().find(|found| found.choice == crate::route::options::Choice::default());
    let scales = Scales::of(machine, stay);
    let mut first = None;
    for found in ordered(&scales, routes.iter().filter(|found| scales.is_worthwhile(found)).collect()) {
        let own = &found.objectives;
        if routes.iter().any(|other| other.objectives != *own && other.objectives.no_worse_than(own)) {
            continue;
        }
        if !is_open(found) {
            return Some(found);
        }
        first.get_or_insert(found);
    }
    first
}

/// The most worth first; of equal ones the first of the front.
fn ordered<'f>(scales: &Scales, mut routes: Vec<&'f Found>) -> Vec<&'f Found> {
    routes.sort_by(|a, b| worth(scales, b).total_cmp(&worth(scales, a)).then(a.cmp(b)));
    routes
}

/// Worth for ordering: net money where an hour's value is known, else time saved for the money.
fn worth(scales: &Scales, found: &Found) -> f64 {
    scales.weigh(found).net.unwrap_or_else(|| {
        // Without an hour's value: seconds a day for each hundred minor units, free routes first.
        found.objectives.saved_s() as f64 / (found.objectives.cost.max(0) as f64 + 500.0)
    })
}

fn first_sure(
    kind: PickKind,
    order: &[&Found],
    scales: &Scales,
    detail: &impl Fn(&Found) -> Route,
) -> Option<Pick> {
    let mut open: Option<Route> = None;
    for (idx, found) in order.iter().enumerate() {
        let route = detail(found);
        if route.verdict == Verdict::CannotTell {
            open.get_or_insert(route);
            continue;
        }
        let mut reasons = vec![why(kind, &route, scales, found)];
        if let Some(next) = order.get(idx + 1) {
            reasons.push(against(kind, &route, &detail(next)));
        }
        if let Some(open) = open {
            let settle = settle(&open);
            reasons.push(format!(
                "{} would come before it, but something is not known. What settles it: {settle}",
                open.title
            ));
        }
        return Some(Pick { kind, route, reasons, steadiness: 1.0 });
    }
    // Nothing is sure: the first that hangs on a reading is better than silence.
    let route = open?;
    let found = order.first()?;
    let mut reasons = vec![why(kind, &route, scales, found)];
    let settle = settle(&route);
    reasons
        .push(format!("It hangs on a reading, as every route that would do does. What settles it: {settle}"));
    Some(Pick { kind, route, reasons, steadiness: 1.0 })
}

fn settle(route: &Route) -> String {
    let open = route.findings.iter().find(|finding| finding.verdict == Verdict::CannotTell);
    open.and_then(|finding| finding.settle.clone()).unwrap_or_default()
}

/// Minutes and seconds a day, as people say it.
pub fn time_a_day(seconds: i64) -> String {
    let (sign, size) = if seconds < 0 { ("-", -seconds) } else { ("", seconds) };
    if size >= 3600 {
        format!("{sign}{} h {} min a day", size / 3600, (size % 3600) / 60)
    } else if size >= 60 {
        format!("{sign}{} min {} s a day", size / 60, size % 60)
    } else {
        format!("{sign}{size} s a day")
    }
}

fn why_stay(scales: &Scales, front: &[Found], worthwhile: &[&Found]) -> String {
    if !worthwhile.is_empty() {
        return "It costs nothing and risks nothing, but gives up what the picks below gain.".to_owned();
    }
    let best = front.iter().map(|found| found.objectives.saved_s()).max().unwrap_or(0);
    if best <= 0 {
        return "No change in the library makes this machine's work faster.".to_owned();
    }
    let share = 100.0 * best as f64 / scales.attended_s.max(1.0);
    let wish = 100.0 * scales.least_gain;
    if share < wish {
        format!(
            "The most that any change saves is {} ({share:.0} % of the time waited for), less than the {wish:.0} % that would be worth the trouble.",
            time_a_day(best)
        )
    } else {
        format!(
            "No change brings its money back within {:.1} years; the fastest would save {}.",
            scales.years,
            time_a_day(best)
        )
    }
}

fn why(kind: PickKind, route: &Route, scales: &Scales, found: &Found) -> String {
    let saved = time_a_day(route.objectives.saved_s());
    let share = 100.0 * scales.weigh(found).saved_share;
    match kind {
        PickKind::Stay => String::new(),
        PickKind::CheapestWorthwhile => {
            format!("No cheaper change saves enough: for {} it saves {saved} ({share:.0} %).", route.net_cost)
        }
        PickKind::BestValue => match scales.weigh(found).net {
            Some(net) if scales.energy_minor_per_wh.is_none() => format!(
                "Over {:.1} years it is worth {} more than it costs, energy not counted, for its price is not known; it saves {saved} ({share:.0} %).",
                scales.years,
                Money::from_minor(net.round() as i64, route.net_cost.currency())
            ),
            Some(net) => format!(
                "Over {:.1} years it is worth {} more than it costs, more than any other; it saves {saved} ({share:.0} %).",
                scales.years,
                Money::from_minor(net.round() as i64, route.net_cost.currency())
            ),
            None => format!("It saves the most time for its money: {saved} for {}.", route.net_cost),
        },
        PickKind::Fastest => format!("Nothing within the budget saves more: {saved} ({share:.0} %)."),
    }
}

fn against(kind: PickKind, route: &Route, next: &Route) -> String {
    let (ours, theirs) = (&route.objectives, &next.objectives);
    let money = Money::from_minor((theirs.cost - ours.cost).abs(), route.net_cost.currency());
    let dearer = if theirs.cost >= ours.cost { "more" } else { "less" };
    let time = time_a_day((theirs.saved_s() - ours.saved_s()).abs());
    let faster = if theirs.saved_s() >= ours.saved_s() { "more" } else { "less" };
    let what = match kind {
        PickKind::CheapestWorthwhile => "The next dearer one",
        PickKind::BestValue => "The next best",
        PickKind::Fastest => "The next slower one",
        PickKind::Stay => "The next",
    };
    format!("{what}, {}, costs {money} {dearer} and saves {time} {faster}.", next.title)
}
