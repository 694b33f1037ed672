//! The air over the power stages: how warm, how fast, how thin.

use physics::air::film::Air;
use quantity::dimension::{SpeedDim, TemperatureDim};
use quantity::interval::Interval;
use quantity::reading::Figure;

use crate::carry::assumption::between;
use crate::carry::cooler_air::density;
use crate::carry::heat::air as case_air;
use crate::machine::proposal::Proposal;
use crate::part::cooler::CoolerBuild;

/// What a cooler does to the air over the stages: speed in m/s and warming in kelvin, weak end first.
///
/// A top-flow cooler blows warm air straight onto them, a tower drags some past, a liquid loop leaves
/// them to the case's fans, and without any fan the processor's own plume is all that moves.
///
/// # Source
/// common practice, no source.
const fn over_stages(build: CoolerBuild) -> ((f64, f64), (f64, f64)) {
    match build {
        CoolerBuild::TopFlow => ((0.8, 2.5), (10.0, 3.0)),
        CoolerBuild::Tower => ((0.4, 1.2), (4.0, 0.0)),
        CoolerBuild::LiquidLoop => ((0.1, 0.6), (3.0, 0.0)),
        CoolerBuild::Fanless => ((0.05, 0.4), (10.0, 2.0)),
    }
}

/// Room where nobody measured it, in °C; the readings say so.
///
/// # Source
/// common practice, no source: heated rooms of the year and hot summer days.
const UNKNOWN_ROOM_C: (f64, f64) = (15.0, 35.0);

/// Air at both ends: the worse one for the stages, and the better.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StageAir {
    /// Warmest, slowest, thinnest.
    pub weak: Air,
    /// Coolest, fastest, densest.
    pub strong: Air,
}

impl StageAir {
    /// Temperature as a figure.
    pub fn temperature(&self) -> Figure<TemperatureDim> {
        between(self.strong.celsius + 273.15, self.weak.celsius + 273.15)
    }

    /// Speed as a figure.
    pub fn speed(&self) -> Figure<SpeedDim> {
        between(self.weak.speed_m_s, self.strong.speed_m_s)
    }
}

/// Air over the stages of the machine-to-be.
///
/// # Model
/// The case's air, warmed by what the cooler does, no warmer than a limit of 110 °C would allow.
/// Sees of the cooler only how it is built.
pub fn stage_air(proposal: &Proposal<'_>) -> StageAir {
    let builds = proposal.cooler().build.get().map_or_else(|| CoolerBuild::ALL.to_vec(), |build| vec![build]);
    let none = ((f64::INFINITY, 0.0_f64), (0.0_f64, f64::INFINITY));
    // Where nobody looked, whatever any build does.
    let ((slow, fast), (warmer, cooler)) = builds.into_iter().map(over_stages).fold(none, |all, one| {
        let ((slow, fast), (warmer, cooler)) = all;
        ((slow.min(one.0.0), fast.max(one.0.1)), (warmer.max(one.1.0), cooler.min(one.1.1)))
    });
    let (cold_c, warm_c) = case_air(proposal).get().map_or_else(
        || (UNKNOWN_ROOM_C.0 + 2.0, UNKNOWN_ROOM_C.1 + 14.0),
        |air: Interval<TemperatureDim>| (air.low().si() - 273.15, air.high().si() - 273.15),
    );
    let (dense, thin) = density(proposal);
    let mild = |celsius: f64| celsius.clamp(-40.0, 90.0);
    StageAir {
        weak: Air { celsius: mild(warm_c + warmer), speed_m_s: slow, density_ratio: thin },
        strong: Air { celsius: mild(cold_c + cooler), speed_m_s: fast, density_ratio: dense },
    }
}
