//! What all pages share: the store, the library, the secrets of this run.

use std::path::PathBuf;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError, RwLock};

use imports::mapping::Mapping;
use imports::shelf::Mark;
use intake::library::ReadLibrary;
use intake::machine::file;
use intake::problem::{Problem, Severity, SourceFile};
use store::machine::KeptMachine;
use store::open::{At, Store};
use upgrade::carry::paste_press::PasteJob;
use upgrade::carry::warming::Curve;
use upgrade::machine::present::Machine;
use upgrade::machine::proposal::Changes;
use upgrade::part::library::Library;

use crate::answer::Wrong;
use crate::door::Door;
use crate::kept::KeptFiles;
use crate::library::{Base, LibraryNow, read};
use crate::observing::Observing;
use crate::pages::fleet::planned::Planned;
use crate::pages::job::log::HowRead;
use crate::pages::job::proof::Proofs;
use crate::pages::lid::Lid;
use crate::pairing::Pairings;
use crate::soaking::Soaking;
use crate::work::Works;

/// Where a paired phone reaches this computer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PhoneAddress {
    /// Address and port, as a browser sends them.
    pub host: String,
}

/// What tells one state of the library from another: changes of own parts, and the lists taken in.
type LibraryState = (i64, Option<Mark>);

/// What all pages share.
#[derive(Debug)]
pub struct App {
    store: Arc<Mutex<Store>>,
    /// Where the library comes from.
    pub base: Base,
    library: RwLock<(LibraryState, Arc<LibraryNow>)>,
    /// Lists that were looked at and not taken yet.
    pub lists: KeptFiles<Mapping>,
    /// Lids being solved.
    pub lids: Works<Lid>,
    /// Curves of warming that are being followed.
    pub curves: Works<Curve>,
    /// Pastes being pressed.
    pub pressings: Works<PasteJob>,
    /// Plans of fleets.
    pub fleets: Works<Planned>,
    /// Proofs of jobs.
    pub proofs: Proofs,
    /// The soak of this computer.
    pub soaking: Soaking,
    /// The watch over what this computer does.
    pub observing: Observing,
    /// Phones that are paired.
    pub pairings: Pairings,
    /// Secret that every form of this run carries.
    pub token: String,
    /// Secrets without which nobody gets in.
    pub door: Door,
    /// Where the page is reached, as a browser sends it in the host header.
    pub hosts: Vec<String>,
    /// Where a phone reaches it; none where that was not asked for.
    pub phone: Option<PhoneAddress>,
    /// Where sensors are looked for: the root of this computer's files.
    pub sensors: PathBuf,
    /// Logs of soaks that were sent and whose columns are being said.
    pub logs: KeptFiles<HowRead>,
    /// Reads the clock.
    pub now: fn() -> At,
}

/// A machine of the bench, its record read.
#[derive(Debug)]
pub struct OnBench {
    /// As it is kept.
    pub kept: KeptMachine,
    /// The machine.
    pub machine: Machine,
    /// The library its parts come from.
    pub library: Arc<LibraryNow>,
}

impl OnBench {
    /// The library's parts.
    pub fn parts(&self) -> &Library {
        &self.library.read.library
    }

    /// What a computation about it is known by: its record's revision, and the reading of the library.
    pub fn state(&self) -> String {
        format!("{} {}", self.kept.revision, self.library.reading)
    }

    /// The changes that ids stand for.
    ///
    /// # Errors
    /// An id that is none, or two of one kind.
    pub fn changes(&self, ids: &[String]) -> Result<Changes<'_>, Wrong> {
        desk::check::changes(self.parts(), ids).map_err(Wrong::input)
    }
}

/// A record as a file, for messages.
pub fn record_file(id: &str, text: &str) -> SourceFile {
    SourceFile { name: format!("{id}.toml"), bytes: text.as_bytes().to_vec() }
}

/// Whether any of the problems is an error.
pub fn has_error(problems: &[Problem]) -> bool {
    problems.iter().any(|problem| problem.severity == Severity::Error)
}

/// Unguessable letters and digits: 128 bits of the system's randomness.
///
/// # Errors
/// The system has none to give.
pub fn secret() -> Result<String, getrandom::Error> {
    let mut bytes = [0_u8; 16];
    getrandom::fill(&mut bytes)?;
    Ok(bytes.iter().map(|byte| format!("{byte:02x}")).collect())
}

impl App {
    /// The state of a run: a store, a library's files, and where the page will be reached.
    ///
    /// # Errors
    /// Own parts cannot be read from the store, or the library from its folder.
    pub fn new(
        mut store: Store,
        base: Base,
        (token, door): (String, Door),
        hosts: Vec<String>,
        now: fn() -> At,
    ) -> Result<Self, Wrong> {
        let state = (store.own_parts_changes()?, base.mark().map_err(Wrong::folder)?);
        let files = base.files().map_err(Wrong::folder)?;
        let library = RwLock::new((state, Arc::new(read(files, &store.own_parts()?))));
        Ok(Self {
            store: Arc::new(Mutex::new(store)),
            base,
            library,
            lists: KeptFiles::default(),
            lids: Works::default(),
            curves: Works::default(),
            pressings: Works::default(),
            fleets: Works::default(),
            proofs: Proofs::default(),
            soaking: Soaking::default(),
            observing: Observing::default(),
            pairings: Pairings::default(),
            token,
            door,
            hosts,
            phone: None,
            sensors: PathBuf::from("/"),
            logs: KeptFiles::default(),
            now,
        })
    }

    /// The store, for what goes on when its handler has answered.
    pub fn store_for_later(&self) -> Arc<Mutex<Store>> {
        Arc::clone(&self.store)
    }

    /// The store, for one handler at a time.
    pub fn store(&self) -> MutexGuard<'_, Store> {
        // A handler that panicked left no half-written transaction: the database took it back.
        self.store.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The library as it is now. It is read anew where own parts were changed, by another bench that shares the store
    /// too, and where a list was taken into its folder or back, by another program too.
    ///
    /// # Errors
    /// Own parts cannot be read from the store, or the library from its folder.
    pub fn library(&self) -> Result<Arc<LibraryNow>, Wrong> {
        let changes = self.store().own_parts_changes()?;
        // Taken before the files are read: a list that comes between the two is seen the next time.
        let mark = self.base.mark();
        let known = {
            let library = self.library.read().unwrap_or_else(PoisonError::into_inner);
            // A folder that went away leaves the work at the bench what was read of it.
            let is_same = mark.as_ref().map_or(true, |mark| *mark == library.0.1);
            (library.0.0 == changes && is_same).then(|| Arc::clone(&library.1))
        };
        match known {
            Some(library) => Ok(library),
            None => self.read_library((changes, mark.map_err(Wrong::folder)?)),
        }
    }

    fn read_library(&self, state: LibraryState) -> Result<Arc<LibraryNow>, Wrong> {
        let mut now = self.library_on_disk()?;
        let mut library = self.library.write().unwrap_or_else(PoisonError::into_inner);
        now.reading = library.1.reading + 1;
        let now = Arc::new(now);
        *library = (state, Arc::clone(&now));
        Ok(now)
    }

    /// The library as its files and own parts say at this moment, a person's changes by hand among them.
    ///
    /// # Errors
    /// As [`App::library`].
    pub fn library_on_disk(&self) -> Result<LibraryNow, Wrong> {
        let own = self.store().own_parts()?;
        Ok(read(self.base.files().map_err(Wrong::folder)?, &own))
    }

    /// The library that own parts of this text would make.
    ///
    /// # Errors
    /// The library's folder cannot be read.
    pub fn library_with(&self, name: &str, text: &str) -> Result<LibraryNow, Wrong> {
        let files = self.base.files().map_err(Wrong::folder)?;
        Ok(read(files, &[(name.to_owned(), text.to_owned())]))
    }

    /// A machine of the bench.
    ///
    /// # Errors
    /// It is not there, or its record cannot be read with today's library.
    pub fn machine(&self, id: &str) -> Result<OnBench, Wrong> {
        let kept = self.store().machine(id)?;
        self.with_text(kept)
    }

    /// A machine as an old text of its record says.
    ///
    /// # Errors
    /// As [`App::machine`].
    pub fn machine_at(&self, id: &str, revision: i64) -> Result<OnBench, Wrong> {
        let mut store = self.store();
        let mut kept = store.machine(id)?;
        kept.text = store.revision(id, revision)?;
        kept.revision = revision;
        drop(store);
        self.with_text(kept)
    }

    fn with_text(&self, kept: KeptMachine) -> Result<OnBench, Wrong> {
        let library = self.library()?;
        let source = record_file(&kept.id, &kept.text);
        let (machine, problems) = read_record(&source, &library.read);
        match machine {
            Some(mut machine) => {
                machine.id.clone_from(&kept.id);
                Ok(OnBench { kept, machine, library })
            }
            None => Err(Wrong::problems(&problems, source, "")),
        }
    }
}

/// A machine out of its record; none where the record has errors.
pub fn read_record(source: &SourceFile, library: &ReadLibrary) -> (Option<Machine>, Vec<Problem>) {
    let (machine, problems) = file::read(source, library);
    (machine.filter(|_| !has_error(&problems)), problems)
}
