//! The soak log as a CSV file that is written while the run goes on: what was measured before a crash is kept.

use std::fmt::Write as _;
use std::fs::File;
use std::io::{self, Write as _};
use std::path::Path;
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::thread::JoinHandle;
use std::time::Duration;

/// How often what was written is made to reach the disk.
const SYNC_EVERY: Duration = Duration::from_secs(5);
/// Text is handed to the system after so many seconds of rows.
const HAND_OVER_S: f64 = 1.0;

/// A log being written.
#[derive(Debug)]
pub struct CsvLog {
    file: File,
    text: String,
    handed_over_s: f64,
    syncing: Option<(Sender<()>, JoinHandle<()>)>,
}

/// A line's worth of text: no line ends.
fn one_line(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

impl CsvLog {
    /// Begins a new file; one that is there is not written over.
    ///
    /// # Errors
    /// It is there already, or cannot be made.
    pub fn begin(path: &Path, about: &[(String, String)], headings: &[String]) -> io::Result<Self> {
        let file = File::options().write(true).create_new(true).open(path)?;
        let mut text = String::with_capacity(1 << 16);
        for (key, value) in about {
            let _ = writeln!(text, "# {}: {}", one_line(key), one_line(value));
        }
        text.push_str(&headings.join(","));
        text.push('\n');
        let syncing = file.try_clone().ok().map(|copy| {
            let (tell, wait) = channel();
            (tell, std::thread::spawn(move || sync(&copy, &wait)))
        });
        let mut log = Self { file, text, handed_over_s: 0.0, syncing };
        log.hand_over()?;
        Ok(log)
    }

    /// Adds a row: the time, then a number or a word for each heading after it.
    ///
    /// # Errors
    /// The file cannot be written.
    pub fn row(&mut self, time_s: f64, cells: &[Option<f64>], load: &str) -> io::Result<()> {
        let _ = write!(self.text, "{time_s:.3}");
        for cell in cells {
            match cell {
                // Writing into text that is ours cannot fail.
                Some(value) => drop(write!(self.text, ",{}", Short(*value))),
                None => self.text.push(','),
            }
        }
        let _ = writeln!(self.text, ",{load}");
        if time_s - self.handed_over_s >= HAND_OVER_S {
            self.handed_over_s = time_s;
            self.hand_over()?;
        }
        Ok(())
    }

    fn hand_over(&mut self) -> io::Result<()> {
        self.file.write_all(self.text.as_bytes())?;
        self.text.clear();
        Ok(())
    }

    /// Ends the log; everything is on the disk then.
    ///
    /// # Errors
    /// The file cannot be written.
    pub fn end(mut self) -> io::Result<()> {
        self.hand_over()?;
        if let Some((tell, thread)) = self.syncing.take() {
            drop(tell);
            let _ = thread.join();
        }
        self.file.sync_all()
    }
}

fn sync(file: &File, wait: &Receiver<()>) {
    while let Err(RecvTimeoutError::Timeout) = wait.recv_timeout(SYNC_EVERY) {
        // That it failed shows again, and is told, when the log ends.
        let _ = file.sync_data();
    }
}

/// A number with as many digits as a sensor's value has sense: three behind the point below a hundred thousand.
struct Short(f64);

impl core::fmt::Display for Short {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        if self.0.abs() >= 1e5 {
            write!(f, "{:.0}", self.0)
        } else if self.0.fract() == 0.0 {
            write!(f, "{}", self.0)
        } else {
            write!(f, "{:.3}", self.0)
        }
    }
}
