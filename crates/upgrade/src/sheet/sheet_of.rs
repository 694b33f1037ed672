//! The job sheet of a route.

use std::collections::BTreeSet;

use crate::fit::finding::{Finding, Verdict};
use crate::fit::firmware::{FirmwareNeed, need};
use crate::fit::rule::judge;
use crate::machine::proposal::Proposal;
use crate::sheet::fact::Fact;
use crate::sheet::order::{NoOrder, order};
use crate::sheet::step::Step;
use crate::sheet::steps::{
    board, closing, cooler, memory, opening, paste, preparing, processor, proving, supply,
};

/// A job sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct JobSheet {
    /// What the job is.
    pub title: String,
    /// Machine.
    pub machine: String,
    /// Steps in their order.
    pub steps: Vec<Step>,
    /// Tools, each once, in the order of first use.
    pub tools: Vec<&'static str>,
    /// Minutes of all steps.
    pub minutes: u32,
    /// Conditions and open questions of the route, to be settled before the work.
    pub before_you_begin: Vec<Finding>,
}

/// What holds before the first step.
pub fn beginning(proposal: &Proposal<'_>) -> BTreeSet<Fact> {
    let changes = &proposal.changes;
    let swaps_fans = changes.changes_fans() && !changes.lifts_cooler();
    let mut holds = BTreeSet::from([
        Fact::MainsConnected,
        Fact::CoolerOn,
        Fact::SocketClosed,
        Fact::OldProcessorIn,
        Fact::OldBoardIn,
        Fact::OldMemoryIn,
        Fact::OldSupplyIn,
        Fact::BoardPowered,
        Fact::BoardCabled,
    ]);
    let moves_processor = changes.processor.is_some() || changes.board.is_some();
    let mut keep = |is_kept: bool, fact: Fact| {
        if is_kept {
            holds.insert(fact);
        }
    };
    // Other fans are not connected before they are there.
    keep(!swaps_fans, Fact::FanConnected);
    keep(!moves_processor, Fact::NewProcessorIn);
    keep(changes.board.is_none(), Fact::NewBoardIn);
    keep(changes.memory.is_none() && changes.board.is_none(), Fact::NewMemoryIn);
    keep(changes.supply.is_none(), Fact::NewSupplyIn);
    keep(changes.changes_cooler(), Fact::BaseClean);
    keep(!changes.lifts_cooler(), Fact::PasteOn);
    keep(!keys_step(proposal), Fact::KeysNoted);
    keep(
        !matches!(
            need(proposal),
            FirmwareNeed::UpdateBeforeSwap(_) | FirmwareNeed::UpdateWithoutProcessor(_)
        ),
        Fact::FirmwareReady,
    );
    // The seller's update is checked with the parts.
    keep(matches!(firmware_way(proposal), FirmwareWay::Elsewhere), Fact::FirmwareReady);
    holds
}

/// How the firmware is made ready on this job.
enum FirmwareWay {
    /// Nothing to do.
    Ready,
    /// On the present board, old processor in.
    OnOldBoard(crate::part::board::FirmwareVersion),
    /// On the new board, through its marked port.
    ThroughPort(crate::part::board::FirmwareVersion),
    /// By the seller, before the board comes.
    Elsewhere,
}

fn firmware_way(proposal: &Proposal<'_>) -> FirmwareWay {
    let swaps_board = proposal.changes.board.is_some();
    match need(proposal) {
        FirmwareNeed::Nothing | FirmwareNeed::Unknown => FirmwareWay::Ready,
        FirmwareNeed::UpdateBeforeSwap(version) if !swaps_board => FirmwareWay::OnOldBoard(version),
        FirmwareNeed::UpdateWithoutProcessor(version) if !swaps_board => FirmwareWay::OnOldBoard(version),
        FirmwareNeed::UpdateWithoutProcessor(version) => FirmwareWay::ThroughPort(version),
        FirmwareNeed::UpdateBeforeSwap(_) | FirmwareNeed::UpdateElsewhere(_) => FirmwareWay::Elsewhere,
    }
}

fn keys_step(proposal: &Proposal<'_>) -> bool {
    let touches = proposal.changes.board.is_some()
        || proposal.changes.processor.is_some()
        || !matches!(firmware_way(proposal), FirmwareWay::Ready);
    // Unknown is not "no": the step asks.
    let bound = proposal
        .now
        .software
        .bound_keys
        .get()
        .is_none_or(|keys| keys.disk_encryption != Some(false) || keys.licence != Some(false));
    touches && bound
}

fn parts_list(proposal: &Proposal<'_>) -> String {
    let changes = &proposal.changes;
    let mut names: Vec<String> = [
        changes.processor.map(|part| part.name.clone()),
        changes.board.map(|part| part.name.clone()),
        changes.memory.map(|part| part.name.clone()),
        changes.cooler.map(|part| part.name.clone()),
        changes.paste.map(|part| part.name.clone()),
        changes.supply.map(|part| part.name.clone()),
        changes.case.map(|part| part.name.clone()),
    ]
    .into_iter()
    .flatten()
    .collect();
    if matches!(firmware_way(proposal), FirmwareWay::Elsewhere) {
        names.push("the seller's word on the board's firmware version".to_owned());
    }
    names.join(", ")
}

/// The steps of a job in the order of a practised person, before their conditions order them.
fn steps(proposal: &Proposal<'_>, paste_amount: &str) -> Vec<Step> {
    let changes = &proposal.changes;
    let now = proposal.now;
    let socket = |id| proposal.library.sockets.get(id);
    let old_socket = socket(&now.board.part.socket);
    let new_socket = socket(&proposal.board().socket);
    let moves_processor = changes.processor.is_some() || changes.board.is_some();
    let mut list = vec![preparing::soak_before(), preparing::back_up()];
    if keys_step(proposal) {
        list.push(preparing::note_keys());
    }
    let way = firmware_way(proposal);
    if let FirmwareWay::OnOldBoard(version) = &way {
        list.push(preparing::update_firmware(version));
    }
    list.extend([
        preparing::look_at_parts(&parts_list(proposal)),
        opening::shut_down(),
        opening::pull_cord(),
        opening::open_case(),
    ]);
    if changes.supply.is_some() {
        list.push(supply::take_out(&now.supply.part));
    }
    if changes.lifts_cooler() {
        list.extend([opening::let_cool(), cooler::take_off(&now.cooler.part)]);
    }
    if moves_processor {
        list.push(processor::take_out(&now.processor.part, old_socket));
    }
    if changes.memory.is_some() || changes.board.is_some() {
        list.push(memory::take_out());
    }
    if let Some(new) = changes.board {
        list.extend([board::take_out(&now.board.part), board::put_in(new)]);
    }
    if let Some(new) = changes.supply {
        list.push(supply::put_in(new));
    }
    if moves_processor {
        list.push(processor::put_in(proposal.processor(), new_socket));
    }
    if changes.lifts_cooler() {
        if !moves_processor {
            list.push(paste::clean_lid());
        }
        if !changes.changes_cooler() {
            list.push(paste::clean_base());
        }
        list.push(match changes.paste {
            None if cooler::brings_paste(proposal.cooler()) => paste::came_on_cooler(),
            paste => paste::put(paste, paste_amount),
        });
        if changes.changes_fans() {
            list.push(cooler::swap_fans(proposal.cooler(), cooler::Swapped::Off));
        }
        list.extend([cooler::put_on(proposal.cooler()), cooler::connect_fan(proposal.cooler())]);
    }
    if changes.changes_fans() && !changes.lifts_cooler() {
        list.push(cooler::swap_fans(proposal.cooler(), cooler::Swapped::On));
    }
    if changes.memory.is_some() || changes.board.is_some() {
        list.push(memory::put_in(&proposal.memory()));
    }
    if changes.board.is_some() || changes.supply.is_some() {
        list.push(board::connect_power(proposal.board()));
    }
    if changes.board.is_some() {
        list.push(board::connect_rest());
    }
    list.push(closing::connect_mains());
    if let FirmwareWay::ThroughPort(version) = &way {
        list.push(preparing::update_firmware_without_processor(version));
        // The processor goes in first here: the port needs none, and the cord stays out till all is in.
        for step in &mut list {
            if matches!(step.id, "processor-out" | "processor-in") {
                step.needs = if step.id == "processor-out" {
                    &[Fact::Bonded, Fact::OldProcessorIn]
                } else {
                    &[Fact::Bonded, Fact::PartsChecked, Fact::NewBoardIn]
                };
            }
        }
    } else if changes.board.is_some() {
        for step in list.iter_mut().filter(|step| step.id == "processor-in") {
            step.needs = &[Fact::Bonded, Fact::PartsChecked, Fact::FirmwareReady, Fact::NewBoardIn];
        }
    }
    list.extend([
        closing::first_start(),
        closing::set_firmware(settings(proposal)),
        closing::close_case(),
        proving::soak_after(),
        proving::hand_over(),
    ]);
    list
}

fn settings(proposal: &Proposal<'_>) -> &'static str {
    let stages = judge(proposal).into_iter().find(|finding| finding.rule == "power-stages");
    match stages.map(|finding| finding.verdict) {
        Some(Verdict::OnCondition) => {
            " Set the burst power limit to the sustained one: the board's stages ask for it."
        }
        _ => "",
    }
}

/// The job sheet for a machine-to-be. `paste_amount` says how much paste, as a person can see it.
///
/// # Errors
/// No order satisfies every step's conditions; that is a fault of the sheet, not of the job.
pub fn job_sheet(proposal: &Proposal<'_>, title: &str, paste_amount: &str) -> Result<JobSheet, NoOrder> {
    let mut steps = order(steps(proposal, paste_amount), beginning(proposal))?;
    for step in &mut steps {
        step.cautions.sort_by_key(|caution| caution.signal);
    }
    let mut tools: Vec<&'static str> = Vec::new();
    for tool in steps.iter().flat_map(|step| step.tools.iter().copied()) {
        if !tools.contains(&tool) {
            tools.push(tool);
        }
    }
    let before_you_begin =
        judge(proposal).into_iter().filter(|finding| finding.verdict != Verdict::Fits).collect();
    Ok(JobSheet {
        title: title.to_owned(),
        machine: proposal.now.name.clone(),
        minutes: steps.iter().map(|step| step.minutes).sum(),
        tools,
        before_you_begin,
        steps,
    })
}
