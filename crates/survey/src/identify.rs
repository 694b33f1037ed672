//! What the machine's parts are: what hardware reports, matched with the library, and what contradicts itself.

use upgrade::part::id::PartId;
use upgrade::part::library::Library;

use crate::recognise::{Candidate, Match, OFFERED, normal, recognise, score};
use crate::smbios::{ModuleFacts, SocketFacts};
use crate::survey::Survey;

/// What the parts of the machine are, as far as the library knows them.
#[derive(Debug, Clone, PartialEq)]
pub struct Identified {
    /// Processor.
    pub processor: Match,
    /// Board.
    pub board: Match,
    /// Memory, alike modules together.
    pub memory: Vec<(Modules, Match)>,
    /// What each was told by, in sentences.
    pub told_by: Vec<String>,
    /// What does not agree.
    pub contradictions: Vec<String>,
}

impl Identified {
    /// Sockets by the processor and by the board, where the library knows them.
    pub fn sockets<'l>(&self, library: &'l Library) -> [Option<&'l PartId>; 2] {
        let taken = |found: &Match| match found {
            Match::Taken(found) => Some(found.id.clone()),
            Match::Offered(_) | Match::Unknown => None,
        };
        [
            taken(&self.processor).and_then(|id| library.processors.get(&id)).map(|part| &part.socket),
            taken(&self.board).and_then(|id| library.boards.get(&id)).map(|part| &part.socket),
        ]
    }
}

/// Modules that are alike.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Modules {
    /// One of them.
    pub one: ModuleFacts,
    /// How many.
    pub count: u32,
}

pub(crate) fn socket(survey: &Survey) -> Option<&SocketFacts> {
    let sockets = &survey.table.as_ref()?.sockets;
    sockets.iter().find(|socket| socket.populated).or_else(|| sockets.first())
}

/// Name by which the processor goes: what it says of itself first, what the firmware says of it second.
pub(crate) fn processor_name(survey: &Survey) -> Option<(&str, &'static str)> {
    let own = survey.topology.name.as_deref().map(|name| (name, "the name it reports of itself"));
    own.or_else(|| Some((socket(survey)?.processor.as_deref()?, "the name in the firmware's table")))
}

fn alike(survey: &Survey) -> Vec<Modules> {
    let mut out: Vec<Modules> = Vec::new();
    let listed = survey.table.iter().flat_map(|table| &table.modules).filter(|module| module.bytes.is_some());
    for module in listed {
        let same = out.iter_mut().find(|known| {
            (&known.one.part, known.one.bytes, &known.one.kind, known.one.speed_mts)
                == (&module.part, module.bytes, &module.kind, module.speed_mts)
        });
        match same {
            Some(known) => known.count += 1,
            None => out.push(Modules { one: module.clone(), count: 1 }),
        }
    }
    if out.is_empty() {
        // Without the firmware's table the modules still speak for themselves.
        for (_, spd) in &survey.modules {
            let module = ModuleFacts {
                bytes: spd.bytes,
                kind: Some(spd.kind.word().to_owned()),
                speed_mts: spd.speed_mts,
                ranks: spd.ranks,
                registered: spd.registered,
                corrects: spd.corrects,
                part: spd.part.clone(),
                ..ModuleFacts::default()
            };
            match out.iter_mut().find(|known| known.one == module) {
                Some(known) => known.count += 1,
                None => out.push(Modules { one: module, count: 1 }),
            }
        }
    }
    out
}

/// Names that a part goes by.
fn names(maker: &str, name: &str, reported: &[String]) -> Vec<String> {
    let mut names = vec![name.to_owned(), format!("{maker} {name}")];
    names.extend(reported.iter().cloned());
    names
}

/// Matches what hardware reports with the library.
///
/// The processor is told by its own name and signature first, by the board second, and by the firmware's
/// socket byte last; what does not agree is said.
pub fn identify(survey: &Survey, library: &Library) -> Identified {
    let mut told_by = Vec::new();
    let mut contradictions = survey.contradictions.clone();
    let mut processor = Match::Unknown;
    if let Some((name, by)) = processor_name(survey) {
        let parts = library.processors.values();
        processor =
            recognise(name, parts.map(|part| (&part.id, names(&part.maker, &part.name, &part.reported))));
        told_by.push(format!("The processor is \"{name}\": {by}."));
    }
    if let Some(signature) = survey.topology.signature {
        let text = signature.to_string();
        let listed: Vec<&PartId> = library
            .processors
            .values()
            .filter(|part| part.signatures.contains(&text))
            .map(|part| &part.id)
            .collect();
        match &processor {
            Match::Taken(found) => {
                let part = &library.processors[&found.id];
                if !part.signatures.is_empty() && !part.signatures.contains(&text) {
                    contradictions.push(format!(
                        "The name says {}, but its signature {text} is none that the library lists for it: it may be relabelled.",
                        part.name
                    ));
                }
            }
            Match::Offered(offered) => {
                // The signature decides between brothers with like names.
                let mut both = offered.iter().filter(|candidate| listed.contains(&&candidate.id));
                if let (Some(only), None) = (both.next(), both.next()) {
                    told_by.push(format!("Of several with like names, only one has the signature {text}."));
                    processor = Match::Taken(only.clone());
                }
            }
            Match::Unknown => {
                if let [only] = listed.as_slice() {
                    told_by.push(format!("Its name is not in the library; its signature {text} is."));
                    processor = Match::Offered(vec![Candidate { id: (*only).clone(), score: OFFERED }]);
                }
            }
        }
    }
    let mut board = Match::Unknown;
    if let Some(table) = &survey.table
        && let Some(product) = &table.board.product
    {
        let maker = table.board.maker.clone().unwrap_or_default();
        let parts = library.boards.values();
        board = recognise(
            product,
            parts.clone().map(|part| (&part.id, names(&part.maker, &part.name, &part.reported))),
        );
        if board == Match::Unknown {
            let full = format!("{maker} {product}");
            board = recognise(
                &full,
                parts.map(|part| (&part.id, names(&part.maker, &part.name, &part.reported))),
            );
        }
        told_by.push(format!("The board is \"{product}\" of \"{maker}\": the firmware's table."));
    }
    let memory = memory(survey, library);
    let mut out = Identified { processor, board, memory, told_by, contradictions };
    sockets_agree(survey, library, &mut out);
    out
}

/// Whether processor, board and the firmware's socket byte name one socket.
fn sockets_agree(survey: &Survey, library: &Library, out: &mut Identified) {
    let [by_processor, by_board] = out.sockets(library);
    if let (Some(a), Some(b)) = (by_processor, by_board)
        && a != b
    {
        out.contradictions.push(format!(
            "The processor goes into {a}, the board has {b}: one of the two is not what it says."
        ));
    }
    if let Some(facts) = socket(survey)
        && let Some(name) = &facts.kind_name
    {
        let known = by_processor.or(by_board);
        let words = format!("The firmware's socket byte says {name}: only a hint, for it is often wrong.");
        if let Some(known) = known.and_then(|id| library.sockets.get(id))
            && score(name, &known.name) < OFFERED
            && normal(name).concat() != normal(&known.name).concat()
        {
            out.contradictions.push(format!("{words} Processor and board say {}.", known.name));
        } else {
            out.told_by.push(words);
        }
    }
}

/// The memory, alike modules together, each with its match.
fn memory(survey: &Survey, library: &Library) -> Vec<(Modules, Match)> {
    alike(survey)
        .into_iter()
        .map(|modules| {
            let parts = library.memory.values().filter(|kit| kit.modules == modules.count);
            let found = modules.one.part.as_deref().map_or(Match::Unknown, |number| {
                recognise(number, parts.map(|kit| (&kit.id, names(&kit.maker, &kit.name, &kit.reported))))
            });
            (modules, found)
        })
        .collect()
}
