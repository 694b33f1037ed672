//! `page`: the local page for the bench.

use std::io::Write as _;
use std::path::PathBuf;

use intake::{demo, folder};
use page::library::Base;
use page::serve::{Run, own_address, serve};

use crate::args::bench::Page;
use crate::exit::{Exit, Failure};
use crate::verb::store::open;

pub(crate) fn run(wanted: &Page) -> Result<Exit, Failure> {
    let library = match &wanted.library.library {
        Some(dir) => {
            // What is wrong with the folder is said before anything is served.
            folder::files(dir)?;
            Base::Folder(dir.clone())
        }
        None => Base::Demo(demo::files()),
    };
    let phone = match wanted.phone {
        None => None,
        Some(Some(address)) => Some(address),
        Some(None) => Some(own_address().map_err(|error| Failure::Report(format!(
            "error: this computer's address on its network cannot be found\n  because {error}\n  do: name it, as in  reseat page --phone 192.0.2.10\n"
        )))?),
    };
    let sensors = wanted.sensors.clone().unwrap_or_else(|| PathBuf::from("/"));
    let store = open(&wanted.store)?;
    serve(Run { store, library, port: wanted.port, sensors, phone }, |address, phones| {
        let mut out = std::io::stdout().lock();
        if wanted.json {
            let _ = writeln!(out, "{}", serde_json::json!({ "address": address, "phones": phones }));
            let _ = out.flush();
            return;
        }
        let far = phones.map_or_else(String::new, |host| format!("Paired phones reach it at {host}.\n"));
        // A reader that went away does not end the page.
        let _ = writeln!(
            out,
            "The page is at {address}\n(its end is a secret of this run: who does not have it does not get in)\n{far}End it with Ctrl-C; everything is kept."
        );
        let _ = out.flush();
    })?;
    Ok(Exit::Done)
}
