//! Tables of every earlier step are brought up to date with what they hold, and both kinds come to the same tables.

use std::collections::BTreeSet;

use rusqlite::Connection;
use store::open::{At, Store};
use store::soak_log::Side;

use crate::fresh::{Fresh, On, on_both};

const FIRST: [&str; 2] =
    [include_str!("../../migrations/sqlite/1.sql"), include_str!("../../migrations/postgresql/1.sql")];
const MACHINE: &str = "insert into machine (id, name, revision, changed_at) values ('m', 'Studio', 1, 5);
    insert into machine_text (machine, revision, text, why, at) values ('m', 1, 'kept', 'typed', 5);
    insert into job (id, machine, revision, parts, title, begun_at) values ('m-job-1', 'm', 1, 'p', 'P', 6);";

on_both! {
    fn a_store_of_the_first_step_keeps_what_it_holds(fresh: &Fresh) {
        if fresh.on == On::File {
            let raw = Connection::open(fresh.address()).unwrap();
            raw.execute_batch(FIRST[0]).unwrap();
            raw.execute_batch(MACHINE).unwrap();
            raw.pragma_update(None, "user_version", 1).unwrap();
        } else {
            let mut raw = fresh.client();
            raw.batch_execute("create table reseat_store (step bigint not null); insert into reseat_store values (1)")
                .unwrap();
            raw.batch_execute(FIRST[1]).unwrap();
            raw.batch_execute(MACHINE).unwrap();
        }
        let mut store = fresh.store();
        assert_eq!(store.machine("m").unwrap().text, "kept");
        // What came with a later step works on it.
        store.add_soak_log("m-job-1", Side::Before, ("soak.csv", "x"), At(7)).unwrap();
        drop(store);
        assert_eq!(fresh.store().soak_logs("m-job-1").unwrap().len(), 1, "and it is not brought forward twice");
    }
}

on_both! {
    fn a_step_that_fails_changes_nothing(fresh: &Fresh) {
        // A table of the first step's name that is somebody else's.
        let foreign = "create table job (theirs text)";
        if fresh.on == On::File {
            Connection::open(fresh.address()).unwrap().execute_batch(foreign).unwrap();
        } else {
            fresh.client().batch_execute(foreign).unwrap();
        }
        let error = Store::open_at(&fresh.address().parse().unwrap()).unwrap_err();
        let source = std::error::Error::source(&error).unwrap().to_string();
        assert!(source.contains("step 1 failed; nothing was changed"), "{error}: {source}");
        assert_eq!(tables(fresh), BTreeSet::from(["job.theirs".to_owned()]));
    }
}

/// Every column of every table, as `table.column`.
fn tables(fresh: &Fresh) -> BTreeSet<String> {
    if fresh.on == On::File {
        let raw = Connection::open(fresh.address()).unwrap();
        let mut query = raw
            .prepare(
                "select m.name || '.' || c.name from sqlite_schema m join pragma_table_info(m.name) c
                 where m.type = 'table' and m.name not like 'sqlite%'",
            )
            .unwrap();
        query.query_map([], |row| row.get(0)).unwrap().map(Result::unwrap).collect()
    } else {
        fresh
            .client()
            .query(
                "select table_name || '.' || column_name from information_schema.columns
                 where table_schema = current_schema() and table_name <> 'reseat_store'",
                &[],
            )
            .unwrap()
            .iter()
            .map(|row| row.get(0))
            .collect()
    }
}

#[test]
fn both_kinds_have_the_same_tables() {
    let file = Fresh::new(On::File, "same").unwrap();
    let Some(server) = Fresh::new(On::Server, "same") else { return };
    file.store();
    server.store();
    assert_eq!(tables(&file), tables(&server));
    assert!(tables(&file).len() > 30);
}
