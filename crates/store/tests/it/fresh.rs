//! A fresh, empty store for each test, of both kinds.
//!
//! The half on PostgreSQL runs where `RESEAT_TEST_POSTGRES` holds the address of a server whose user may make schemas;
//! where it does not, each such test says that it was passed over. `.ci/run` starts a server, so there both run.

use std::path::PathBuf;
use std::sync::atomic::{AtomicU32, Ordering};

use postgres::{Client, NoTls};
use store::open::Store;
use store::place::Place;

/// Address of a server for tests.
pub(crate) const SERVER: &str = "RESEAT_TEST_POSTGRES";

/// Number of the next schema.
static NEXT: AtomicU32 = AtomicU32::new(0);

/// Kinds of store.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum On {
    File,
    Server,
}

/// A place for a store, gone with the test.
pub(crate) struct Fresh {
    pub(crate) on: On,
    pub(crate) folder: PathBuf,
    address: String,
    schema: Option<String>,
}

impl Fresh {
    /// A place of this kind; none where there is no server for tests.
    pub(crate) fn new(on: On, name: &str) -> Option<Self> {
        let folder = tempdir(&format!("{name}-{on:?}"));
        let file = folder.join("bench.sqlite").to_str().unwrap().to_owned();
        if on == On::File {
            return Some(Self { on, folder, address: file, schema: None });
        }
        let Ok(server) = std::env::var(SERVER) else {
            eprintln!("passed over on PostgreSQL: {SERVER} names no server");
            return None;
        };
        let schema = format!("t_{}_{}", std::process::id(), NEXT.fetch_add(1, Ordering::Relaxed));
        admin(&server).batch_execute(&format!("create schema {schema}")).unwrap();
        let sign = if server.contains('?') { '&' } else { '?' };
        let address = format!("{server}{sign}options=-c%20search_path%3D{schema}");
        Some(Self { on, folder, address, schema: Some(schema) })
    }

    /// The place, as it is given to the program.
    pub(crate) fn address(&self) -> &str {
        &self.address
    }

    /// One more connection to the store, as another program would have.
    pub(crate) fn store(&self) -> Store {
        Store::open_at(&self.address.parse::<Place>().unwrap()).unwrap()
    }

    /// A connection that goes around the store.
    pub(crate) fn client(&self) -> Client {
        admin(&self.address)
    }
}

fn admin(address: &str) -> Client {
    Client::connect(address, NoTls).unwrap_or_else(|error| panic!("{SERVER} is set, but: {error:?}"))
}

impl Drop for Fresh {
    fn drop(&mut self) {
        if let (Some(schema), Ok(server)) = (&self.schema, std::env::var(SERVER)) {
            let _ = admin(&server).batch_execute(&format!("drop schema {schema} cascade"));
        }
        let _ = std::fs::remove_dir_all(&self.folder);
    }
}

/// A fresh folder for one test.
pub(crate) fn tempdir(name: &str) -> PathBuf {
    let name = name.replace(':', "-");
    let folder = std::env::temp_dir().join(format!("reseat-store-{name}-{}", std::process::id()));
    if folder.exists() {
        std::fs::remove_dir_all(&folder).unwrap();
    }
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

/// One test on both kinds of store.
macro_rules! on_both {
    ($(#[$words:meta])* fn $name:ident($fresh:ident: &Fresh) $body:block) => {
        mod $name {
            use super::*;

            $(#[$words])*
            fn holds($fresh: &$crate::fresh::Fresh) $body

            #[test]
            fn in_a_file() {
                let name = concat!(module_path!(), "_f");
                if let Some(fresh) = $crate::fresh::Fresh::new($crate::fresh::On::File, name) {
                    holds(&fresh);
                }
            }

            #[test]
            fn on_a_server() {
                let name = concat!(module_path!(), "_s");
                if let Some(fresh) = $crate::fresh::Fresh::new($crate::fresh::On::Server, name) {
                    holds(&fresh);
                }
            }
        }
    };
}
pub(crate) use on_both;
