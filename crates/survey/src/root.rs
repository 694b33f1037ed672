//! Where a machine's files come from: its own root, a tree that was captured or mounted, or an archive.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io::Read as _;
use std::path::{Path, PathBuf};

/// Largest file that is read. Kernel files of interest have some kilobytes, the list of PCI names one
/// and a half megabytes.
const LARGEST: u64 = 8 * 1024 * 1024;

/// Why a file could not be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unread {
    /// It is not there.
    Missing,
    /// It is there, but not for this user.
    Forbidden,
    /// It is too large, or the system failed.
    Failed,
}

/// A machine's files.
#[derive(Debug)]
pub struct Root {
    place: Place,
    /// Files taken so far, where they are wanted for a capture.
    taken: Option<RefCell<BTreeMap<String, Vec<u8>>>>,
}

#[derive(Debug)]
enum Place {
    Folder { folder: PathBuf, real: PathBuf },
    Files(BTreeMap<String, Vec<u8>>),
}

impl Root {
    /// The files below a folder; `/` is this machine.
    ///
    /// # Errors
    /// The folder cannot be opened.
    pub fn folder(folder: &Path) -> std::io::Result<Self> {
        let real = fs::canonicalize(folder)?;
        fs::read_dir(&real)?;
        Ok(Self { place: Place::Folder { folder: folder.to_owned(), real }, taken: None })
    }

    /// Files held in memory, by their path from the root, without a leading slash.
    pub const fn files(files: BTreeMap<String, Vec<u8>>) -> Self {
        Self { place: Place::Files(files), taken: None }
    }

    /// Keeps a copy of every file that is read from now on.
    #[must_use]
    pub fn keeping(mut self) -> Self {
        self.taken = Some(RefCell::default());
        self
    }

    /// The files that were read since [`Self::keeping`].
    pub fn kept(&self) -> BTreeMap<String, Vec<u8>> {
        self.taken.as_ref().map(|taken| taken.borrow().clone()).unwrap_or_default()
    }

    /// Whether this is the running machine itself.
    pub fn is_live(&self) -> bool {
        matches!(&self.place, Place::Folder { real, .. } if real == Path::new("/"))
    }

    /// A file by its path from the root, without a leading slash.
    ///
    /// # Errors
    /// It is not there, not readable, leads out of the root by a link, or is larger than eight megabytes.
    pub fn read(&self, path: &str) -> Result<Vec<u8>, Unread> {
        let bytes = match &self.place {
            Place::Files(files) => files.get(path).cloned().ok_or(Unread::Missing)?,
            Place::Folder { folder, real } => read_below(folder, real, path)?,
        };
        if let Some(taken) = &self.taken {
            taken.borrow_mut().insert(path.to_owned(), bytes.clone());
        }
        Ok(bytes)
    }

    /// A file held open, to be read again and again; only below a folder.
    ///
    /// # Errors
    /// As [`Self::read`]; files held in memory cannot be opened.
    pub fn open(&self, path: &str) -> Result<fs::File, Unread> {
        match &self.place {
            Place::Files(_) => Err(Unread::Failed),
            Place::Folder { folder, real } => open_below(folder, real, path),
        }
    }

    /// A file as text without surrounding space; none where it cannot be read. Bytes that are no UTF-8
    /// are replaced.
    pub fn text(&self, path: &str) -> Option<String> {
        let bytes = self.read(path).ok()?;
        let text = String::from_utf8_lossy(&bytes);
        Some(text.trim_matches(|c: char| c.is_whitespace() || c == '\0').to_owned())
    }

    /// A file as a number, hexadecimal where it begins with `0x`.
    pub fn number(&self, path: &str) -> Option<u64> {
        let text = self.text(path)?;
        match text.strip_prefix("0x") {
            Some(hex) => u64::from_str_radix(hex, 16).ok(),
            None => text.parse().ok(),
        }
    }

    /// Names in a folder, sorted by their numbers; none where it cannot be read.
    pub fn list(&self, path: &str) -> Vec<String> {
        let mut names: Vec<String> = match &self.place {
            Place::Files(files) => {
                let inside = format!("{path}/");
                let names: BTreeSet<&str> = files
                    .keys()
                    .filter_map(|file| file.strip_prefix(&inside))
                    .filter_map(|rest| rest.split('/').next())
                    .collect();
                names.into_iter().map(str::to_owned).collect()
            }
            Place::Folder { folder, .. } => fs::read_dir(folder.join(path))
                .into_iter()
                .flatten()
                .take(4096)
                .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
                .collect(),
        };
        names.sort_by_key(|name| (number_in(name), name.clone()));
        names
    }

    /// Whether a file or folder is there.
    pub fn has(&self, path: &str) -> bool {
        match &self.place {
            Place::Files(files) => {
                let inside = format!("{path}/");
                files.keys().any(|file| file == path || file.starts_with(&inside))
            }
            Place::Folder { folder, .. } => folder.join(path).exists(),
        }
    }
}

/// The last number in a name, so that `cpu10` comes after `cpu9`.
fn number_in(name: &str) -> u64 {
    let digits: String =
        name.chars().rev().skip_while(|c| !c.is_ascii_digit()).take_while(char::is_ascii_digit).collect();
    digits.chars().rev().collect::<String>().parse().unwrap_or(0)
}

fn told(error: &std::io::Error) -> Unread {
    match error.kind() {
        std::io::ErrorKind::NotFound => Unread::Missing,
        std::io::ErrorKind::PermissionDenied => Unread::Forbidden,
        _ => Unread::Failed,
    }
}

fn open_below(folder: &Path, real: &Path, path: &str) -> Result<fs::File, Unread> {
    // A captured tree is somebody else's: its links must not lead out of it.
    let target = fs::canonicalize(folder.join(path)).map_err(|error| told(&error))?;
    if !target.starts_with(real) {
        return Err(Unread::Missing);
    }
    let file = fs::File::open(&target).map_err(|error| told(&error))?;
    if file.metadata().map_err(|error| told(&error))?.is_file() { Ok(file) } else { Err(Unread::Missing) }
}

fn read_below(folder: &Path, real: &Path, path: &str) -> Result<Vec<u8>, Unread> {
    let file = open_below(folder, real, path)?;
    let mut bytes = Vec::new();
    file.take(LARGEST + 1).read_to_end(&mut bytes).map_err(|error| told(&error))?;
    if bytes.len() as u64 > LARGEST { Err(Unread::Failed) } else { Ok(bytes) }
}
