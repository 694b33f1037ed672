//! `schema`: the JSON Schema of a kind of file.

use intake::schema::{cases, library, machine, workload};

use crate::args::{Schema, SchemaArg};
use crate::exit::{Exit, Failure};
use crate::verb::file::print_json;

pub(crate) fn run(wanted: &Schema) -> Result<Exit, Failure> {
    print_json(&match wanted.kind {
        SchemaArg::Library => library(),
        SchemaArg::Machine => machine(),
        SchemaArg::Workload => workload(),
        SchemaArg::Cases => cases(),
    });
    Ok(Exit::Done)
}
