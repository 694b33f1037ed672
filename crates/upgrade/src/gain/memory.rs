//! How much faster memory-bound work becomes.

use crate::fit::memory_speed::running_rate;
use crate::gain::speed::Corner;
use crate::machine::proposal::Proposal;

/// Bytes that one channel moves in one transfer.
///
/// # Source
/// JESD79-3/4/5: 64 data bits a channel (two of 32 in JESD79-5).
const BYTES_A_TRANSFER: f64 = 8.0;

/// Peak bandwidth of the memory in bytes a second: rate, bytes a transfer, channels that are filled.
///
/// # Model
/// One module fills one channel. Memory-bound work is taken to scale with peak bandwidth; latency
/// is left out, so a task that waits for latency gains less than this says.
pub fn bandwidth(proposal: &Proposal<'_>, corner: Corner) -> Option<f64> {
    let modules: u32 = proposal.memory().iter().map(|kit| kit.modules).sum();
    let channels = proposal.processor().memory_channels.get()?;
    let rate = running_rate(proposal).0.get()?;
    Some(corner.of(rate) * BYTES_A_TRANSFER * f64::from(channels.min(modules).max(1)))
}
