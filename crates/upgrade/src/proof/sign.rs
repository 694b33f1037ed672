//! Signs: the figures of a soak that tell faults apart.

use crate::carry::point::Binding;
use crate::proof::expected::Expected;

/// A limit that holds the clock for a smaller share of the time than this does not hold it.
pub const HELD: f64 = 0.02;

/// A figure that a fault moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sign {
    /// Resistance of the paste joint, in K/W.
    Paste,
    /// Resistance of the cooler at the speed its fan had, in K/W.
    Sink,
    /// Warming of the case's air for each watt, in K/W.
    CaseAir,
    /// Speed of the cooler's fan as a share of what firmware has it turn at such a temperature.
    Fan,
    /// Speed of the pump as a share of its highest in the log; zero where it stands.
    Pump,
    /// Share of the time for which a power limit held the clock.
    HeldByPower,
    /// Share for which the power stages or their current held it.
    HeldByStages,
    /// Share for which the junction's limit held it.
    HeldByJunction,
    /// Power as a share of the limit that is set.
    PowerOfLimit,
    /// The limit that the firmware had set as a share of what the processor's maker sets.
    LimitSet,
    /// Kelvins between junction and its limit.
    Margin,
    /// Power stages in °C.
    Stages,
    /// Rise of temperature from the first core to the last along a straight line, as a share of the rise from the lid's
    /// air side to the junction.
    Slope,
    /// Wrong results at rest or under a light load, as the logarithm to base ten of one and their number.
    ErrorsLight,
    /// Wrong results under full load, in the same way.
    ErrorsFull,
}

/// What a fault, or soundness, has a sign be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// The sign.
    pub sign: Sign,
    /// Lowest: for resistances how many times that of a sound machine, else the sign's own value.
    pub low: f64,
    /// Highest.
    pub high: f64,
    /// Whether it must be so.
    pub force: Force,
}

/// Whether a fault must move a sign or only can.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Force {
    /// It always does.
    Must,
    /// Every second time, for all that is known.
    May,
}

impl Sign {
    /// All.
    pub const ALL: [Self; 15] = [
        Self::Paste,
        Self::Sink,
        Self::CaseAir,
        Self::Fan,
        Self::Pump,
        Self::HeldByPower,
        Self::HeldByStages,
        Self::HeldByJunction,
        Self::PowerOfLimit,
        Self::LimitSet,
        Self::Margin,
        Self::Stages,
        Self::Slope,
        Self::ErrorsLight,
        Self::ErrorsFull,
    ];

    /// Whether it is a step of the heat path.
    pub const fn is_step(self) -> bool {
        matches!(self, Self::Paste | Self::Sink | Self::CaseAir)
    }

    /// This sign from so much to so much.
    pub const fn from_to(self, low: f64, high: f64) -> Range {
        Range { sign: self, low, high, force: Force::Must }
    }

    /// This sign as in a sound machine, or else from so much to so much.
    pub const fn may(self, low: f64, high: f64) -> Range {
        Range { sign: self, low, high, force: Force::May }
    }

    /// What it is called.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Paste => "paste joint",
            Self::Sink => "cooler",
            Self::CaseAir => "air in the case",
            Self::Fan => "speed of the cooler's fan",
            Self::Pump => "speed of the pump",
            Self::HeldByPower => "time held by a power limit",
            Self::HeldByStages => "time held by the power stages",
            Self::HeldByJunction => "time held by the junction limit",
            Self::PowerOfLimit => "power beside its limit",
            Self::LimitSet => "power limit beside the maker's",
            Self::Margin => "left to the junction limit",
            Self::Stages => "power stages",
            Self::Slope => "slope from core to core",
            Self::ErrorsLight => "wrong results at light load",
            Self::ErrorsFull => "wrong results at full load",
        }
    }

    /// How a log comes to have it.
    pub const fn how_to_read(self) -> &'static str {
        match self {
            Self::Paste | Self::Sink => {
                "log the processor's temperature and power at two rows a second or more, two minutes at rest, then fifteen at full load"
            }
            Self::CaseAir => {
                "hold a thermometer where the cooler takes its air and say what it shows (--case-air \"38 °C\"), log it as \"case air °C\", or repeat the soak with \
                 the side of the case open (--open LOG)"
            }
            Self::Fan => "log \"fan 1 rpm\"",
            Self::Pump => "log \"pump 1 rpm\", or feel whether both hoses grow warm",
            Self::HeldByPower => "log \"held by power %\"",
            Self::HeldByStages => "log \"held by stages %\" and \"held by current %\"",
            Self::HeldByJunction => "log \"held by junction %\"",
            Self::PowerOfLimit => "log \"power W\"",
            Self::LimitSet => {
                "write the power limit that the firmware shows above the log: \"# power limit: 65 W\""
            }
            Self::Margin => "log \"package °C\" and note the processor's junction limit in its record",
            Self::Stages => "log \"stages °C\", or hold a thermometer to the power stages' heatsink",
            Self::Slope => "log each core's temperature: \"core 0 °C\", \"core 1 °C\" and so on",
            Self::ErrorsLight => {
                "run a load that checks its results on one core and at rest, and log \"errors\""
            }
            Self::ErrorsFull => "run a load that checks its results, and log \"errors\"",
        }
    }

    /// What a sound machine shows.
    ///
    /// # Source
    /// common practice, no source, for every range that does not follow from the plan.
    pub fn sound(self, expected: &Expected) -> Range {
        // What the plan has bind may hold the clock or not.
        let held = |limit: Binding| {
            if expected.may_bind(limit) { self.may(0.02, 1.0) } else { self.from_to(0.0, HELD) }
        };
        match self {
            // Beyond what the sheets admit: joints and coolers of one kind differ by as much from bench to bench.
            Self::Paste => self.from_to(0.7, 1.4),
            Self::Sink => self.from_to(0.9, 1.12),
            Self::CaseAir => self.from_to(0.7, 1.5),
            Self::Fan => self.from_to(0.65, 2.2),
            Self::Pump => self.from_to(0.6, 1.1),
            Self::HeldByPower => held(Binding::SustainedPower),
            Self::HeldByStages => held(Binding::PowerStages),
            Self::HeldByJunction => held(Binding::Junction),
            Self::PowerOfLimit => self.from_to(0.3, 1.03),
            Self::LimitSet => self.from_to(0.97, 1.03),
            Self::Margin => self.from_to(if expected.may_bind(Binding::Junction) { -2.0 } else { 3.0 }, 70.0),
            Self::Stages => self.from_to(35.0, 95.0),
            // Cores at one end of a die with graphics at the other, and sensors of different gain.
            Self::Slope => self.from_to(0.0, 0.08),
            Self::ErrorsLight | Self::ErrorsFull => self.from_to(0.0, 0.0),
        }
    }

    /// All that it can be, whatever is wrong.
    pub const fn anything(self) -> Range {
        match self {
            Self::Paste => self.from_to(0.3, 40.0),
            Self::Sink | Self::CaseAir => self.from_to(0.3, 10.0),
            Self::Fan => self.from_to(0.0, 2.5),
            Self::Pump => self.from_to(0.0, 1.3),
            Self::HeldByPower | Self::HeldByStages | Self::HeldByJunction => self.from_to(0.0, 1.0),
            Self::PowerOfLimit => self.from_to(0.1, 3.0),
            Self::LimitSet => self.from_to(0.1, 10.0),
            Self::Margin => self.from_to(-10.0, 80.0),
            Self::Stages => self.from_to(20.0, 140.0),
            Self::Slope => self.from_to(0.0, 1.0),
            Self::ErrorsLight | Self::ErrorsFull => self.from_to(0.0, 6.0),
        }
    }

    /// Part of the sign that follows no range: sensors lie, and models leave out. A checked result does neither.
    pub const fn stray(self) -> f64 {
        match self {
            Self::ErrorsLight | Self::ErrorsFull => 1e-6,
            _ => 0.01,
        }
    }

    /// How blurred the ends of a range are, in the sign's unit; for steps in their logarithm.
    pub const fn blur(self) -> f64 {
        match self {
            Self::Paste | Self::Sink | Self::CaseAir => 0.1,
            Self::Fan | Self::Pump | Self::PowerOfLimit | Self::LimitSet | Self::Slope => 0.02,
            Self::HeldByPower | Self::HeldByStages | Self::HeldByJunction => 0.01,
            Self::Margin => 1.5,
            Self::Stages => 4.0,
            Self::ErrorsLight | Self::ErrorsFull => 0.05,
        }
    }
}
