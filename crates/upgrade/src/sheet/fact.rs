//! What can hold at the bench while a job is under way.

/// Something that holds or not.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fact {
    /// A back-up that has been read back exists.
    BackedUp,
    /// Recovery keys and licences are written down away from the machine.
    KeysNoted,
    /// Every new part is there and looked at.
    PartsChecked,
    /// A soak of the machine as it was is on record.
    SoakedBefore,
    /// The firmware knows the new processor.
    FirmwareReady,
    /// The machine is shut down.
    ShutDown,
    /// The mains cord is in.
    MainsConnected,
    /// The supply's capacitors have been drained through the machine.
    Drained,
    /// The case is open.
    CaseOpen,
    /// The person is bonded to the case.
    Bonded,
    /// The cooler has cooled to the touch.
    CoolerCold,
    /// The cooler's fan is on its header.
    FanConnected,
    /// The cooler sits on the processor.
    CoolerOn,
    /// No old paste is left on the cooler that will be used.
    BaseClean,
    /// No old paste is left on the lid of the processor that will be used.
    LidClean,
    /// The socket's hold-down is closed.
    SocketClosed,
    /// The old processor is in the socket.
    OldProcessorIn,
    /// The processor of the machine-to-be is in the socket.
    NewProcessorIn,
    /// The old board is in the case.
    OldBoardIn,
    /// The board of the machine-to-be is in the case.
    NewBoardIn,
    /// The old memory is in its slots.
    OldMemoryIn,
    /// The memory of the machine-to-be is in its slots.
    NewMemoryIn,
    /// The old supply is in the case.
    OldSupplyIn,
    /// The supply of the machine-to-be is in the case.
    NewSupplyIn,
    /// Main and auxiliary connectors are on the board.
    BoardPowered,
    /// Cards and front panel are connected to the board.
    BoardCabled,
    /// Fresh paste, or the paste that came on the cooler, is in the joint.
    PasteOn,
    /// The machine has started once and shows its firmware.
    Started,
    /// Firmware settings are made.
    FirmwareSet,
    /// Every sensor and part shows up.
    Seen,
    /// The soak after the work is done.
    SoakedAfter,
}
