//! The log's file: CSV while the run goes on, packed at its end where the name asks for it.

use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};

use soak::run::csv_log::CsvLog;
use soak::run::head::{About, headings, lines};
use soak::run::plan::Plan;
use soak::sensors::sampler::Sampler;

use crate::args::soak::Soak;
use crate::exit::Failure;
use crate::verb::file::write;

/// A log being written, and where it ends up.
pub(crate) struct LogFile {
    csv: CsvLog,
    end: End,
}

/// Where a log ends up.
pub(crate) struct End {
    csv: PathBuf,
    parquet: Option<PathBuf>,
}

fn no(path: &Path, error: &std::io::Error) -> Failure {
    let path = path.display();
    Failure::Report(if error.kind() == std::io::ErrorKind::AlreadyExists {
        format!(
            "error: there is a file {path} already; a log is never written over\n  do: give another name, or move that one away\n"
        )
    } else {
        format!(
            "error: the log {path} cannot be begun\n  because {error}\n  do: name a new file in a folder that can be written to\n"
        )
    })
}

impl LogFile {
    /// Begins it; a file that is there is not written over.
    pub(crate) fn begin(path: &Path, wanted: &Soak, plan: &Plan, sampler: &Sampler) -> Result<Self, Failure> {
        let packed = path.extension() == Some(OsStr::new("parquet"));
        if packed && path.exists() {
            return Err(no(path, &std::io::Error::from(std::io::ErrorKind::AlreadyExists)));
        }
        let csv_path = if packed { path.with_extension("parquet.csv") } else { path.to_owned() };
        let csv = CsvLog::begin(&csv_path, &about(wanted, plan, sampler), &headings(sampler))
            .map_err(|error| no(&csv_path, &error))?;
        Ok(Self { csv, end: End { csv: csv_path, parquet: packed.then(|| path.to_owned()) } })
    }

    /// What writes, and what is done at the end.
    pub(crate) fn parts(self) -> (CsvLog, End) {
        (self.csv, self.end)
    }
}

fn about(wanted: &Soak, plan: &Plan, sampler: &Sampler) -> Vec<(String, String)> {
    let about = About {
        load: wanted.load.load().word(),
        layout: wanted.layout.layout().word(),
        start: page::clock::for_files(page::clock::now()),
        program: format!("reseat {}", env!("CARGO_PKG_VERSION")),
        room: wanted.room.map(|room| room.to_string()),
    };
    lines(about, plan, sampler)
}

impl End {
    /// Packs it where that was asked for; says where the log is.
    pub(crate) fn finished(self) -> Result<String, Failure> {
        let Some(parquet) = self.parquet else { return Ok(self.csv.display().to_string()) };
        let kept = || format!("the log is kept as {}", self.csv.display());
        let text = fs::File::open(&self.csv)?;
        let bytes = intake::soak_log::packed::pack(text, Vec::new()).map_err(|error| {
            Failure::Report(format!("error: {error}\n  do: nothing is lost, {}\n", kept()))
        })?;
        write(&parquet, &bytes)?;
        // Only what is packed and on the disk is taken away.
        fs::remove_file(&self.csv)?;
        Ok(parquet.display().to_string())
    }
}
