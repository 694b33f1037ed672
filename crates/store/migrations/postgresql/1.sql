-- The same tables as for SQLite. Texts sort by their bytes, as they do there, whatever the server's language is.

-- Machines, and every text that their records ever had.
create table machine (
  id text collate "C" primary key,
  name text not null,
  revision bigint not null,
  removed bigint not null default 0,
  changed_at bigint not null
);
create table machine_text (
  machine text collate "C" not null references machine (id),
  revision bigint not null,
  text text not null,
  why text not null,
  at bigint not null,
  primary key (machine, revision)
);

-- Jobs: one route on one machine, with the record as it was found.
create table job (
  id text collate "C" primary key,
  machine text collate "C" not null references machine (id),
  revision bigint not null,
  parts text not null,
  title text not null,
  begun_at bigint not null,
  closed_at bigint
);

-- What happened on a job. Rows are only ever added; the key is chosen by the device that made the entry, so that
-- sending it twice adds it once.
create table entry (
  number bigint primary key,
  job text collate "C" not null references job (id),
  key text collate "C" not null unique,
  step text not null,
  kind text not null,
  text text not null,
  device text not null,
  at bigint not null
);
create index entry_of_job on entry (job, number);

create table photo (
  id bigint primary key,
  job text collate "C" not null references job (id),
  step text not null,
  jpeg bytea not null,
  width bigint not null,
  height bigint not null,
  at bigint not null
);

-- Own parts files, and every text that they ever had.
create table parts_text (
  name text collate "C" not null,
  revision bigint not null,
  text text not null,
  at bigint not null,
  primary key (name, revision)
);
