//! The words of the command line: each option is defined here once, and help and completion follow.

pub(crate) mod bench;
pub(crate) mod fleet;
pub(crate) mod heat;
pub(crate) mod lists;
pub(crate) mod paste;
pub(crate) mod picture;
pub(crate) mod proof;
pub(crate) mod soak;

use std::path::PathBuf;

use clap::{Args as ClapArgs, Parser, Subcommand, ValueEnum};

use picture::PictureArg;

/// Helps to put a better processor into a desktop computer that already exists.
#[derive(Debug, Parser)]
#[command(
    name = "reseat",
    version,
    max_term_width = 100,
    after_help = "Examples:
  reseat plan demo                      what should go into the demo's editing computer
  reseat survey --out my-machine.toml   read what is in this machine
  reseat plan my-machine.toml           the same for a machine that was read or described
  reseat check demo --with PART         every finding about one change
  reseat chart demo                     which processors fit its board
  reseat fleet demo                     which of many machines to upgrade
  reseat page                           all of it in a browser, kept on this computer
  reseat parts lint --library DIR       contradictions in your parts library

Exit codes: 0 done; 1 the answer is no (does not fit, a case fails, a lint error);
2 the input cannot be read; 3 a missing reading leaves the answer open."
)]
pub(crate) struct Args {
    /// What to do.
    #[command(subcommand)]
    pub(crate) verb: Verb,
    /// Print without colour even on a terminal.
    #[arg(long, global = true)]
    pub(crate) plain: bool,
    /// Set text to this many columns instead of the terminal's.
    #[arg(long, global = true, value_name = "COLUMNS")]
    pub(crate) width: Option<usize>,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Verb {
    /// Read what is in a machine and write its record.
    Survey(Survey),
    /// Show a machine's record, set a reading by hand, compare two, list what is unknown.
    Machine(MachineFile),
    /// What should go into a machine: routes that no other beats, named picks, near misses.
    Plan(Plan),
    /// Every finding about a machine with the changes you name.
    Check(Check),
    /// The power path from the wall to the processor: each loss, each temperature, each limit.
    Power(Power),
    /// The heat path from the die to the room: each step in kelvin, the clock it holds, what binds.
    Heat(heat::Heat),
    /// How much paste to put, in which pattern, and what the joint then is.
    Paste(paste::Paste),
    /// Which of many machines to upgrade under one budget and so many hours at the bench.
    Fleet(fleet::Fleet),
    /// The job sheet of a change: ordered steps with cautions, for terminal, phone and paper.
    Sheet(Sheet),
    /// What a soak shows: what is wrong, and whether the work holds what the plan said.
    Proof(proof::Proof),
    /// The hand-over of a change: what was found, what was changed, what to expect of it.
    Handover(Handover),
    /// Load this machine with checked work, watch its sensors, write the log.
    Soak(soak::Soak),
    /// What is in a soak log, and the same as CSV or Parquet.
    Log(soak::Log),
    /// Watch what this machine does, and make of it the workload that a plan takes.
    Observe(soak::Observe),
    /// The local page for the bench: machines, routes, job sheets with ticks, hand-overs.
    Page(bench::Page),
    /// Back up what the page keeps as plain files, or restore it.
    Store(bench::StoreArgs),
    /// Which processors fit which boards, as text or picture.
    Chart(Chart),
    /// List, show or lint the parts library.
    Parts(Parts),
    /// Print the JSON Schema of a kind of file.
    Schema(Schema),
    /// Run reference cases against the program's own models.
    Verify(Verify),
    /// Print a completion script for a shell.
    Completion(Completion),
}

/// Where parts come from.
#[derive(Debug, ClapArgs)]
pub(crate) struct LibraryArg {
    /// Folder of TOML and CSV files with parts, instead of the demo's library.
    #[arg(long, value_name = "DIR")]
    pub(crate) library: Option<PathBuf>,
}

/// Parts that are changed.
#[derive(Debug, ClapArgs)]
pub(crate) struct ChangesArg {
    /// Id of a part that is changed; may be given for one part of each kind.
    #[arg(long = "with", value_name = "PART")]
    pub(crate) with: Vec<String>,
}

/// A machine and where its parts come from.
#[derive(Debug, ClapArgs)]
pub(crate) struct MachineArg {
    /// A machine file, or one of the demo machines: demo, school, family.
    #[arg(value_name = "MACHINE")]
    pub(crate) machine: String,
    #[command(flatten)]
    pub(crate) library: LibraryArg,
}

/// Survey a machine.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Examples:
  reseat survey --out my-machine.toml            this machine, as a record that plan takes
  reseat survey --capture my-machine.tar.gz      pack what a survey reads, to look at it elsewhere
  reseat survey --root my-machine.tar.gz         survey a capture, or a mounted tree
  reseat survey --dump table.bin                 survey a dump of the firmware's table

Serial numbers, identifiers, asset tags and network addresses are neither shown nor packed.")]
pub(crate) struct Survey {
    /// A folder that stands for the machine's root, or a capture, instead of this machine.
    #[arg(long, value_name = "DIR|CAPTURE", conflicts_with = "dump")]
    pub(crate) root: Option<PathBuf>,
    /// A dump of the firmware's table instead of a machine.
    #[arg(long, value_name = "FILE")]
    pub(crate) dump: Option<PathBuf>,
    /// Pack the few files that a survey reads into this archive.
    #[arg(long, value_name = "FILE", conflicts_with = "dump")]
    pub(crate) capture: Option<PathBuf>,
    /// Leave serial numbers and identifiers in the capture.
    #[arg(long, requires = "capture")]
    pub(crate) with_serials: bool,
    /// Write the record into this file.
    #[arg(long, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) library: LibraryArg,
    /// Print what was read as JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

/// A machine's record.
#[derive(Debug, ClapArgs)]
pub(crate) struct MachineFile {
    #[command(subcommand)]
    pub(crate) action: MachineAction,
}

#[derive(Debug, Subcommand)]
pub(crate) enum MachineAction {
    /// Show every reading of a record with its origin.
    #[command(after_help = "Example:
  reseat machine show demo")]
    Show {
        #[command(flatten)]
        machine: MachineArg,
        /// Print the answer as JSON.
        #[arg(long)]
        json: bool,
    },
    /// Set or correct a reading by hand; what is set by hand wins over anything read.
    #[command(after_help = "Examples:
  reseat machine set my-machine.toml board.stages.count 6
  reseat machine set my-machine.toml cooler.height \"148 mm\"
  reseat machine set my-machine.toml setting.room \"18..28 °C\"")]
    Set {
        #[command(flatten)]
        machine: MachineArg,
        /// Field, as `machine show` names it.
        field: String,
        /// Value, with its unit.
        value: String,
    },
    /// What differs between two records, such as before and after.
    #[command(after_help = "Example:
  reseat machine compare before.toml after.toml")]
    Compare {
        /// First record.
        before: String,
        /// Second record.
        after: String,
        #[command(flatten)]
        library: LibraryArg,
        /// Print the answer as JSON.
        #[arg(long)]
        json: bool,
    },
    /// What is unknown, in the order in which it would change the answer, and where to look.
    #[command(after_help = "Example:
  reseat machine unknown demo")]
    Unknown {
        #[command(flatten)]
        machine: MachineArg,
        /// Print the answer as JSON.
        #[arg(long)]
        json: bool,
    },
}

/// Plan for a machine.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Examples:
  reseat plan demo
  reseat plan demo --json | less
  reseat plan my-machine.toml --library parts/ --svg routes.svg")]
pub(crate) struct Plan {
    #[command(flatten)]
    pub(crate) machine: MachineArg,
    /// Print the answer as JSON.
    #[arg(long)]
    pub(crate) json: bool,
    /// Work out at which prices the best value becomes another, however large the library is.
    #[arg(long)]
    pub(crate) price_turns: bool,
    #[command(flatten)]
    pub(crate) today: lists::TodayArg,
    /// List every route of the front, not only those that save more than every cheaper one.
    #[arg(long)]
    pub(crate) all: bool,
    #[command(flatten)]
    pub(crate) picture: PictureArg,
}

/// Check a machine with changes.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Examples:
  reseat check demo                                  the machine as it is
  reseat check demo --with PROCESSOR --with PASTE    with two changes
  reseat check demo --with PROCESSOR --readings      with the readings behind each finding")]
pub(crate) struct Check {
    #[command(flatten)]
    pub(crate) machine: MachineArg,
    #[command(flatten)]
    pub(crate) changes: ChangesArg,
    /// Show the readings that each finding rests on.
    #[arg(long)]
    pub(crate) readings: bool,
    /// Print the answer as JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

/// The power path of a machine with changes.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Examples:
  reseat power demo                                  the machine as it is
  reseat power demo --with PROCESSOR                 with another processor
  reseat power demo --with PROCESSOR --svg path.svg  and as a picture

Exit code 0: every limit is kept at its worst; 1: a limit is passed; 3: it cannot be told.")]
pub(crate) struct Power {
    #[command(flatten)]
    pub(crate) machine: MachineArg,
    #[command(flatten)]
    pub(crate) changes: ChangesArg,
    #[command(flatten)]
    pub(crate) picture: PictureArg,
    /// Print the answer as JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

/// Picks of a plan.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(crate) enum PickArg {
    Cheapest,
    Value,
    Fastest,
}

/// A machine and what is done to it: named parts, or a pick of its plan.
#[derive(Debug, ClapArgs)]
pub(crate) struct JobArg {
    #[command(flatten)]
    pub(crate) machine: MachineArg,
    #[command(flatten)]
    pub(crate) changes: ChangesArg,
    /// Which pick of the plan, where no part is named.
    #[arg(long, value_enum, default_value = "value")]
    pub(crate) pick: PickArg,
}

/// Make a job sheet.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Examples:
  reseat sheet demo                          the job of the plan's best value
  reseat sheet demo --html job.html          one file for a phone, or to print
  reseat sheet demo --with PASTE             fresh paste only")]
pub(crate) struct Sheet {
    #[command(flatten)]
    pub(crate) job: JobArg,
    /// Write one self-contained HTML file that keeps its ticks and prints well.
    #[arg(long, value_name = "FILE")]
    pub(crate) html: Option<PathBuf>,
    /// Print the answer as JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

/// Make a hand-over.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Examples:
  reseat handover demo                             of the plan's best value
  reseat handover demo --with PART --html job.html one file that prints well
  reseat handover demo --pdf job.pdf --paper letter")]
pub(crate) struct Handover {
    #[command(flatten)]
    pub(crate) job: JobArg,
    /// Log of the soak after the work: what it proves goes into the hand-over, with its curves.
    #[arg(long, value_name = "LOG")]
    pub(crate) after: Option<String>,
    /// Log of the soak before the work.
    #[arg(long, value_name = "LOG", requires = "after")]
    pub(crate) before: Option<String>,
    /// Write one self-contained HTML file that prints well.
    #[arg(long, value_name = "FILE")]
    pub(crate) html: Option<PathBuf>,
    /// Write a PDF.
    #[arg(long, value_name = "FILE")]
    pub(crate) pdf: Option<PathBuf>,
    /// Paper of the PDF.
    #[arg(long, value_enum, default_value = "a4", requires = "pdf")]
    pub(crate) paper: PaperArg,
    /// Print the answer as JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

/// Sizes of paper.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(crate) enum PaperArg {
    A4,
    Letter,
}

/// Chart processors against boards.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Examples:
  reseat chart demo                                every processor on the demo's board
  reseat chart demo --socket SOCKET --svg fit.svg  all boards of a socket, as a picture")]
pub(crate) struct Chart {
    #[command(flatten)]
    pub(crate) machine: MachineArg,
    /// Chart all boards of this socket instead of the machine's own board.
    #[arg(long, value_name = "SOCKET")]
    pub(crate) socket: Option<String>,
    #[command(flatten)]
    pub(crate) picture: PictureArg,
    /// Print the answer as JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

/// Kinds of part, for listing.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(crate) enum KindArg {
    Processor,
    Chipset,
    Board,
    Memory,
    Cooler,
    Paste,
    Supply,
    Case,
}

/// The parts library.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Examples:
  reseat parts list --kind processor
  reseat parts show PART
  reseat parts lint --library my-parts/
  reseat parts preview LIST --kind processor --library my-parts/")]
pub(crate) struct Parts {
    #[command(subcommand)]
    pub(crate) action: PartsAction,
}

#[derive(Debug, Subcommand)]
pub(crate) enum PartsAction {
    /// List the parts.
    List {
        /// Only parts of this kind.
        #[arg(long, value_enum)]
        kind: Option<KindArg>,
        /// Also list sketches: parts of which imports say too little to use them.
        #[arg(long)]
        sketches: bool,
        /// Write the list into this CSV file, in which no cell can be a formula.
        #[arg(long, value_name = "FILE")]
        csv: Option<PathBuf>,
        #[command(flatten)]
        library: LibraryArg,
        /// Print the answer as JSON.
        #[arg(long)]
        json: bool,
    },
    /// Show one part with every figure and its origin.
    Show {
        /// Id of the part.
        part: String,
        #[command(flatten)]
        library: LibraryArg,
        /// Print the answer as JSON.
        #[arg(long)]
        json: bool,
    },
    /// What a list from elsewhere would change in a library; nothing is changed.
    Preview(lists::ListArg),
    /// Take a list into a library, whole or not at all.
    Take {
        #[command(flatten)]
        list: lists::ListArg,
        /// Take nothing if any row, cell or figure of the list cannot be taken.
        #[arg(long)]
        whole: bool,
    },
    /// Take an import back: the last one, or the one with this number.
    #[command(after_help = "Examples:
  reseat parts undo --library parts/
  reseat parts undo 3 --library parts/")]
    Undo {
        /// Number of the import, as `history` lists it.
        number: Option<u32>,
        #[command(flatten)]
        shelf: lists::ShelfArg,
    },
    /// Every import of a library: from which file, when, and what became of it.
    #[command(after_help = "Example:
  reseat parts history --library parts/")]
    History {
        #[command(flatten)]
        shelf: lists::ShelfArg,
    },
    /// Prices of a part over time, and which of them counts.
    #[command(after_help = "Example:
  reseat parts prices PART --library parts/")]
    Prices {
        /// Id of the part.
        part: String,
        #[command(flatten)]
        library: LibraryArg,
        #[command(flatten)]
        today: lists::TodayArg,
        /// Print the answer as JSON.
        #[arg(long)]
        json: bool,
    },
    /// Look for contradictions and gaps.
    Lint {
        #[command(flatten)]
        library: LibraryArg,
        /// Print the answer as JSON.
        #[arg(long)]
        json: bool,
    },
}

/// Kinds of file that have a schema.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(crate) enum SchemaArg {
    /// A TOML file of parts.
    Library,
    /// A TOML file of one machine.
    Machine,
    /// A TOML file of tasks only.
    Workload,
    /// A JSON file of reference cases.
    Cases,
}

/// Print a schema.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Example:
  reseat schema machine > machine.schema.json")]
pub(crate) struct Schema {
    /// Kind of file.
    #[arg(value_enum)]
    pub(crate) kind: SchemaArg,
}

/// Run reference cases.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Examples:
  reseat verify reference/*.json
  reseat verify reference/scaling.json --failures")]
pub(crate) struct Verify {
    /// Case files.
    #[arg(required = true, value_name = "CASEFILE")]
    pub(crate) files: Vec<PathBuf>,
    /// Do not count a model that does not exist as a failure.
    #[arg(long)]
    pub(crate) allow_missing: bool,
    /// List only what fails.
    #[arg(long)]
    pub(crate) failures: bool,
    /// Print the answer as JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

/// Print a completion script.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Example:
  reseat completion bash > ~/.local/share/bash-completion/completions/reseat")]
pub(crate) struct Completion {
    /// Shell.
    #[arg(value_enum)]
    pub(crate) shell: clap_complete::Shell,
}
