//! The few files that a survey reads, packed to be looked at elsewhere.

use std::collections::BTreeMap;
use std::io::Read as _;

use flate2::Compression;
use flate2::read::GzDecoder;
use flate2::write::GzEncoder;

use crate::redact;
use crate::root::Root;
use crate::survey::survey;

/// Largest content of a capture, unpacked, that is taken in.
const LARGEST: u64 = 64 * 1024 * 1024;
/// Most files of a capture.
const MOST: usize = 20_000;

/// What tells one machine from its sisters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Identity {
    /// Left out.
    Hidden,
    /// Kept as it is.
    Kept,
}

/// A capture that cannot be read or packed.
#[derive(Debug, thiserror::Error)]
pub enum CaptureError {
    /// The archive is damaged or none.
    #[error("this is no capture: {0}")]
    Archive(std::io::Error),
    /// It is larger than any capture.
    #[error("this capture has more than {MOST} files or more than {LARGEST} bytes")]
    TooLarge,
}

/// Surveys a machine and packs every file that was read for it, compressed.
///
/// # Errors
/// Packing failed, which takes a system out of memory.
pub fn capture(root: Root, identity: Identity) -> Result<Vec<u8>, CaptureError> {
    let root = root.keeping();
    // What the survey says is not needed here: it is made again from the files.
    let _ = survey(&root);
    let mut archive = tar::Builder::new(GzEncoder::new(Vec::new(), Compression::best()));
    for (path, bytes) in root.kept() {
        let bytes = match identity {
            Identity::Kept => Some(bytes),
            Identity::Hidden => redact::file(&path, &bytes),
        };
        let Some(bytes) = bytes else { continue };
        let mut header = tar::Header::new_ustar();
        header.set_size(bytes.len() as u64);
        header.set_mode(0o644);
        header.set_mtime(0);
        header.set_cksum();
        archive.append_data(&mut header, &path, bytes.as_slice()).map_err(CaptureError::Archive)?;
    }
    archive.into_inner().and_then(GzEncoder::finish).map_err(CaptureError::Archive)
}

/// The files of a capture. Nothing is written to disk; links and folders are left out.
///
/// # Errors
/// The archive is damaged, none, or larger than any capture.
pub fn open(bytes: &[u8]) -> Result<Root, CaptureError> {
    let limited = GzDecoder::new(bytes).take(LARGEST + 1);
    let mut archive = tar::Archive::new(limited);
    let mut files = BTreeMap::new();
    let mut all = 0_u64;
    for entry in archive.entries().map_err(CaptureError::Archive)? {
        let entry = entry.map_err(CaptureError::Archive)?;
        if !entry.header().entry_type().is_file() {
            continue;
        }
        let path = entry
            .path()
            .map_err(CaptureError::Archive)?
            .to_string_lossy()
            .trim_start_matches("./")
            .to_owned();
        let mut content = Vec::new();
        entry.take(LARGEST).read_to_end(&mut content).map_err(CaptureError::Archive)?;
        all += content.len() as u64;
        files.insert(path, content);
        if all > LARGEST || files.len() > MOST {
            return Err(CaptureError::TooLarge);
        }
    }
    if files.is_empty() {
        return Err(CaptureError::Archive(std::io::Error::other("it holds no file")));
    }
    Ok(Root::files(files))
}
