//! Does the supply carry everything, for ever and in bursts, at its age?

use crate::carry::supply_load::{self, SupplyLoad};
use crate::fit::finding::{Finding, Margin, Verdict};
use crate::fit::limit::{at_least, holds};
use crate::fit::rule::Rule;
use crate::machine::proposal::Proposal;
use crate::part::id::Kind;

/// Continuous load, 12 V load and bursts against the supply's ratings, with its age.
pub const RULE: Rule = Rule {
    id: "supply-power",
    question: "Does the supply carry everything, also in bursts?",
    looks_at: &[Kind::Processor, Kind::Board, Kind::Memory, Kind::Supply],
    judge,
    quick: Some(quick),
};

type Check = (&'static str, Option<(Verdict, Margin)>);

fn checks(load: &SupplyLoad) -> [Check; 3] {
    [
        ("all outputs, sustained", at_least(&load.rated, &load.sustained)),
        ("12 V, sustained", at_least(&load.rail_12v, &load.sustained_12v)),
        ("all outputs, burst", at_least(&load.rated_burst, &load.burst)),
    ]
}

fn quick(proposal: &Proposal<'_>) -> Verdict {
    let load = supply_load::load(proposal);
    let verdicts = [
        holds(&load.rated, &load.sustained),
        holds(&load.rail_12v, &load.sustained_12v),
        holds(&load.rated_burst, &load.burst),
    ];
    if verdicts.contains(&Some(Verdict::DoesNotFit)) {
        return Verdict::DoesNotFit;
    }
    verdicts
        .into_iter()
        .map(|verdict| verdict.unwrap_or(Verdict::CannotTell))
        .max()
        .unwrap_or(Verdict::CannotTell)
}

fn judge(proposal: &Proposal<'_>) -> Finding {
    let supply = proposal.supply();
    let load = supply_load::load(proposal);
    let checks = checks(&load);
    let worst = checks
        .iter()
        .filter_map(|(what, check)| check.as_ref().map(|(verdict, margin)| (what, verdict, margin)))
        .min_by(|a, b| a.2.worst_share.total_cmp(&b.2.worst_share));
    let unknown = checks.iter().find(|(_, check)| check.is_none());
    let finding = match (worst, unknown) {
        (Some((what, Verdict::DoesNotFit, margin)), _) => Finding::new(
            RULE.id,
            Verdict::DoesNotFit,
            format!("{} cannot carry the load ({what}).", supply.name),
        )
        .margin(Some(margin.clone()))
        .cure("Choose a stronger supply, or parts that draw less."),
        (_, Some((what, _))) => Finding::new(
            RULE.id,
            Verdict::CannotTell,
            format!("Whether {} carries the load cannot be told ({what}).", supply.name),
        )
        .settle(supply_load::settle(proposal)),
        (Some((what, verdict, margin)), None) => {
            let sentence = match verdict {
                Verdict::Fits => {
                    format!("{} carries the load; nearest to its limit is: {what}.", supply.name)
                }
                _ => format!("{} may be short ({what}).", supply.name),
            };
            let finding = Finding::new(RULE.id, *verdict, sentence).margin(Some(margin.clone()));
            if *verdict == Verdict::CannotTell {
                finding.settle(supply_load::settle(proposal))
            } else {
                finding
            }
        }
        (None, None) => Finding::new(RULE.id, Verdict::CannotTell, "Nothing is known of load and supply.")
            .settle(supply_load::settle(proposal)),
    };
    finding
        .reading("sustained load", &load.sustained)
        .reading("load at 12 V", &load.sustained_12v)
        .reading("burst load", &load.burst)
        .reading("continuous power of the supply, aged", &load.rated)
        .reading("12 V power of the supply, aged", &load.rail_12v)
        .reading("short-time power of the supply, aged", &load.rated_burst)
}
