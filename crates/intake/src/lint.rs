//! Contradictions and gaps in a library that reads without errors.

use std::collections::BTreeMap;

use upgrade::part::board::SupportScope;
use upgrade::part::id::{Kind, PartId};
use upgrade::part::offer::{Offers, PriceKind};
use upgrade::part::processor::{Multiplier, Processor};

use crate::library::ReadLibrary;
use crate::problem::{Problem, Severity};

/// What a lint looks into.
struct Lint<'l> {
    read: &'l ReadLibrary,
    found: Vec<Problem>,
}

impl Lint<'_> {
    fn add(&mut self, part: &PartId, field: &str, severity: Severity, message: String, help: &str) {
        let (file, line) = self.read.places.get(part).cloned().unwrap_or_default();
        self.found.push(Problem {
            file,
            span: 0..0,
            line,
            column: 1,
            field: format!("{part}.{field}"),
            severity,
            message,
            help: Some(help.to_owned()),
        });
    }

    fn error(&mut self, part: &PartId, field: &str, message: String, help: &str) {
        self.add(part, field, Severity::Error, message, help);
    }

    fn warning(&mut self, part: &PartId, field: &str, message: String, help: &str) {
        self.add(part, field, Severity::Warning, message, help);
    }

    fn offers(&mut self, part: &PartId, offers: &Offers) {
        let prices = [offers.new, offers.second_hand];
        if prices.iter().all(Option::is_none) {
            self.warning(
                part,
                "offers",
                format!("{part} has no price: no route can buy it"),
                "add offers.new or offers.second_hand",
            );
        } else if PriceKind::ALL
            .iter()
            .any(|kind| offers.price(*kind).is_some() && offers.day(*kind).is_none())
        {
            self.warning(
                part,
                "offers.priced_on",
                format!("the prices of {part} have no day"),
                "add the day they were taken",
            );
        }
        let same = |a: quantity::money::Money, b: quantity::money::Money| a.currency() == b.currency();
        if let (Some(new), Some(resale)) = (offers.new, offers.resale)
            && same(new, resale)
            && resale.minor() > new.minor()
        {
            self.error(
                part,
                "offers.resale",
                format!("{part} brings {resale} used but costs {new} new"),
                "correct one of the two",
            );
        }
        if let (Some(new), Some(used)) = (offers.new, offers.second_hand)
            && same(new, used)
            && used.minor() > new.minor()
        {
            self.warning(
                part,
                "offers.second_hand",
                format!("{part} costs {used} used but {new} new"),
                "correct one of the two",
            );
        }
    }

    fn processor(&mut self, processor: &Processor) {
        let id = &processor.id;
        if let (Some(sustained), Some(burst)) = (processor.sustained_power.get(), processor.burst_power.get())
            && burst.high() < sustained.low()
        {
            self.error(
                id,
                "burst_power",
                format!("{id} draws less in a burst than for ever"),
                "correct one of the two",
            );
        }
        for group in &processor.cores {
            if let (Some(base), Some(boost)) = (group.base_clock.get(), group.boost_clock.get())
                && boost.high() < base.low()
            {
                self.error(
                    id,
                    "cores",
                    format!("the boost clock of {id} is below its base clock"),
                    "correct one of the two",
                );
            }
        }
        if processor.memory.is_empty() {
            self.warning(
                id,
                "memory",
                format!("which memory {id} drives is not said"),
                "add memory = [{ kind = \"DDR4\" }]",
            );
        }
        let siblings = &self.read.library.processors;
        if let Some(sibling) = processor.locked_sibling.as_ref().and_then(|sibling| siblings.get(sibling)) {
            if processor.multiplier.get() != Some(Multiplier::Unlocked) {
                self.error(
                    id,
                    "locked_sibling",
                    format!("{id} has a locked sibling but is not unlocked"),
                    "correct multiplier or locked_sibling",
                );
            }
            if sibling.multiplier.get() == Some(Multiplier::Unlocked) {
                self.error(
                    id,
                    "locked_sibling",
                    format!("the locked sibling of {id} is unlocked itself"),
                    "name the locked one",
                );
            }
            if sibling.socket != processor.socket {
                self.error(
                    id,
                    "locked_sibling",
                    format!("the locked sibling of {id} has another socket"),
                    "name the right one",
                );
            }
        }
    }

    fn boards(&mut self) {
        let library = &self.read.library;
        for board in library.boards.values() {
            let id = &board.id;
            self.offers(id, &board.offers);
            let Some(chipset) = library.chipsets.get(&board.chipset) else { continue };
            if chipset.socket != board.socket {
                let message =
                    format!("{id} carries socket {}, its chipset is for {}", board.socket, chipset.socket);
                self.error(id, "socket", message, "correct socket or chipset");
            }
            for entry in &board.support {
                match &entry.scope {
                    SupportScope::Generation(generation) if !chipset.generations.contains(generation) => {
                        let message =
                            format!("{id} lists {generation}, which its chipset {} cannot drive", chipset.id);
                        self.error(
                            id,
                            "support",
                            message,
                            "correct the support list or the chipset's generations",
                        );
                    }
                    SupportScope::Processor(named) | SupportScope::Excluded(named) => {
                        let Some(processor) = library.processors.get(named) else { continue };
                        if processor.socket != board.socket {
                            let message = format!("{id} lists {named}, which is for another socket");
                            self.error(id, "support", message, "take it off the list");
                        } else if matches!(entry.scope, SupportScope::Processor(_))
                            && !chipset.generations.contains(&processor.generation)
                        {
                            let message = format!(
                                "{id} lists {named} of {}, which its chipset cannot drive",
                                processor.generation
                            );
                            self.error(
                                id,
                                "support",
                                message,
                                "correct the support list or the chipset's generations",
                            );
                        }
                    }
                    SupportScope::Generation(_) => {}
                }
            }
            if board.support.is_empty() {
                self.warning(
                    id,
                    "support",
                    format!("{id} has no support list"),
                    "add support = [{ generation = \"...\" }]",
                );
            }
            let names: Vec<&str> = board
                .slots
                .iter()
                .map(|slot| slot.name.as_str())
                .chain(board.drives.iter().map(|drive| drive.name.as_str()))
                .collect();
            for drive in &board.drives {
                if let Some(shared) = drive.shares_with.as_deref().filter(|shared| !names.contains(shared)) {
                    let message = format!(
                        "{} of {id} shares lanes with \"{shared}\", which the board does not have",
                        drive.name
                    );
                    self.error(id, "drives", message, "correct shares_with");
                }
            }
        }
    }

    /// One warning for each kind and file: a list may bring thousands.
    fn sketches(&mut self) {
        let read = self.read;
        let mut by_file: BTreeMap<(Kind, &str), (usize, &PartId)> = BTreeMap::new();
        for (kind, id) in read.sketches.keys() {
            let file = read.places.get(id).map_or("", |(file, _)| file.as_str());
            by_file.entry((*kind, file)).or_insert((0, id)).0 += 1;
        }
        for ((kind, _), (count, id)) in by_file {
            let missing = read.sketches.get(&(kind, id.clone())).map(|sketch| sketch.missing.join(", "));
            let message = format!(
                "{count} imported: {} sketches that cannot be used yet; {id} lacks {}",
                kind.word(),
                missing.unwrap_or_default()
            );
            self.warning(
                id,
                "sketch",
                message,
                "add what is missing in a file of the library, under the same id",
            );
        }
    }

    fn rest(&mut self) {
        let library = &self.read.library;
        for chipset in library.chipsets.values() {
            for generation in &chipset.generations {
                let mut of_it =
                    library.processors.values().filter(|processor| processor.generation == *generation);
                if of_it.any(|processor| processor.socket != chipset.socket) {
                    let message =
                        format!("{} drives {generation}, whose processors have another socket", chipset.id);
                    self.error(&chipset.id, "generations", message, "correct generations or socket");
                }
            }
        }
        for cooler in library.coolers.values() {
            self.offers(&cooler.id, &cooler.offers);
            if cooler.height.is_unknown() && !cooler.is_liquid_loop() {
                let message = format!("{} has no height: whether it fits a case cannot be told", cooler.id);
                self.warning(&cooler.id, "height", message, "add its height");
            }
            let is_silent = cooler.resistance.is_unknown() && cooler.rated_heat.is_unknown();
            if cooler.is_refit() && cooler.fans.is_none() {
                let message = format!("{} is fans for another cooler, but has none", cooler.id);
                self.warning(
                    &cooler.id,
                    "fans",
                    message,
                    "add count, free_flow and shut_pressure of the fans",
                );
            }
            if is_silent && !cooler.is_refit() && cooler.fins.is_none() && cooler.liquid.is_none() {
                let message =
                    format!("{} has neither resistance nor rated heat, nor fins or a loop", cooler.id);
                self.warning(&cooler.id, "resistance", message, "add one of them");
            }
            if cooler.sockets.is_empty() && cooler.sockets_with_extra_set.is_empty() {
                self.warning(
                    &cooler.id,
                    "sockets",
                    format!("{} fits no socket", cooler.id),
                    "add its sockets",
                );
            }
            if cooler.is_liquid_loop() && cooler.radiator.is_unknown() {
                self.warning(
                    &cooler.id,
                    "radiator",
                    format!("{} has no radiator length", cooler.id),
                    "add it",
                );
            }
        }
        for kit in library.memory.values() {
            self.offers(&kit.id, &kit.offers);
        }
        for paste in library.pastes.values() {
            self.offers(&paste.id, &paste.offers);
        }
        for supply in library.supplies.values() {
            self.offers(&supply.id, &supply.offers);
            if let (Some(all), Some(rail)) = (supply.rated_power.get(), supply.rail_12v_power.get())
                && rail.low() > all.high()
            {
                let message = format!("{} gives more at 12 V than in all", supply.id);
                self.error(&supply.id, "rail_12v_power", message, "correct one of the two");
            }
        }
        for case in library.cases.values() {
            self.offers(&case.id, &case.offers);
            if case.forms.is_empty() {
                self.warning(&case.id, "forms", format!("{} takes no board", case.id), "add forms");
            }
            if case.cooler_height.is_unknown() {
                let message = format!("the height free in {} is not said", case.id);
                self.warning(&case.id, "cooler_height", message, "measure it");
            }
        }
    }
}

/// Contradictions (errors) and gaps (warnings) of a library, by file and line.
pub fn lint(read: &ReadLibrary) -> Vec<Problem> {
    let mut lint = Lint { read, found: Vec::new() };
    for processor in read.library.processors.values() {
        lint.offers(&processor.id, &processor.offers);
        lint.processor(processor);
    }
    lint.boards();
    lint.rest();
    lint.sketches();
    lint.found.sort_by(|a, b| (&a.file, a.line, &a.field).cmp(&(&b.file, b.line, &b.field)));
    lint.found
}
