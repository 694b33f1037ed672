//! A library in a folder of its own, and lists for it.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};

use imports::mapping::Mapping;
use imports::preview::{Preview, PreviewError, preview};
use imports::{shelf, tables};
use intake::library::{ReadLibrary, read};
use intake::problem::{Problem, Severity};
use intake::{demo, folder};
use quantity::day::Day;
use upgrade::part::id::{Kind, PartId};

static NEXT: AtomicUsize = AtomicUsize::new(0);

/// A folder that goes when the test does.
pub(crate) struct World {
    pub(crate) dir: PathBuf,
}

impl Drop for World {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.dir);
    }
}

pub(crate) fn today() -> Day {
    "2026-11-26".parse().unwrap()
}

impl World {
    /// With the demo's library in it.
    pub(crate) fn new() -> Self {
        let number = NEXT.fetch_add(1, Ordering::Relaxed);
        let dir = std::env::temp_dir().join(format!("reseat-imports-{}-{number}", std::process::id()));
        let _ = fs::remove_dir_all(&dir);
        fs::create_dir_all(&dir).unwrap();
        for file in demo::files() {
            let name = Path::new(&file.name).file_name().unwrap().to_owned();
            fs::write(dir.join(name), file.bytes).unwrap();
        }
        Self { dir }
    }

    /// What the library holds now; it must have no errors.
    pub(crate) fn read(&self) -> ReadLibrary {
        let (read, problems) = self.read_with_problems();
        let errors: Vec<&Problem> = problems.iter().filter(|one| one.severity == Severity::Error).collect();
        assert!(errors.is_empty(), "{errors:#?}");
        read
    }

    pub(crate) fn read_with_problems(&self) -> (ReadLibrary, Vec<Problem>) {
        read(&folder::files(&self.dir).unwrap())
    }

    pub(crate) fn try_preview(&self, list: &[u8], mapping: &Mapping) -> Result<Preview, PreviewError> {
        preview("list.csv", list.to_vec(), mapping, &self.read(), today())
    }

    pub(crate) fn preview(&self, list: &[u8], mapping: &Mapping) -> Preview {
        self.try_preview(list, mapping).unwrap()
    }

    /// Looks and takes; the number of the import.
    pub(crate) fn take(&self, list: &[u8], mapping: &Mapping) -> u32 {
        let mark = shelf::mark(&self.dir).unwrap();
        let found = self.preview(list, mapping);
        assert!(found.changes_anything(), "{found:#?}");
        shelf::take(&self.dir, &tables::files(&found, today()), &mark).unwrap()
    }

    /// The value of a figure, as the library reads it.
    pub(crate) fn figure(&self, kind: Kind, id: &str, path: &str) -> Option<String> {
        let read = self.read();
        let table = read.tables.get(&(kind, PartId::new(id)))?;
        intake::csv_tree::value_at(table, path).map(|node| node.value.scalar())
    }

    /// Every file of the library with its content, the lock and what was taken back left out.
    pub(crate) fn content(&self) -> Vec<(String, Vec<u8>)> {
        folder::files(&self.dir).unwrap().into_iter().map(|file| (file.name, file.bytes)).collect()
    }
}

/// A mapping for lists of processors.
pub(crate) fn processors() -> Mapping {
    Mapping { kind: Some(Kind::Processor), ..Mapping::default() }
}
