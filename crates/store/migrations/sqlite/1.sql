-- Machines, and every text that their records ever had.
create table machine (
  id text primary key,
  name text not null,
  revision integer not null,
  removed integer not null default 0,
  changed_at integer not null
) strict;
create table machine_text (
  machine text not null references machine (id),
  revision integer not null,
  text text not null,
  why text not null,
  at integer not null,
  primary key (machine, revision)
) strict;

-- Jobs: one route on one machine, with the record as it was found.
create table job (
  id text primary key,
  machine text not null references machine (id),
  revision integer not null,
  parts text not null,
  title text not null,
  begun_at integer not null,
  closed_at integer
) strict;

-- What happened on a job. Rows are only ever added; the key is chosen by the device that made the entry, so that
-- sending it twice adds it once.
create table entry (
  number integer primary key autoincrement,
  job text not null references job (id),
  key text not null unique,
  step text not null,
  kind text not null,
  text text not null,
  device text not null,
  at integer not null
) strict;
create index entry_of_job on entry (job, number);

create table photo (
  id integer primary key autoincrement,
  job text not null references job (id),
  step text not null,
  jpeg blob not null,
  width integer not null,
  height integer not null,
  at integer not null
) strict;

-- Own parts files, and every text that they ever had.
create table parts_text (
  name text not null,
  revision integer not null,
  text text not null,
  at integer not null,
  primary key (name, revision)
) strict;
