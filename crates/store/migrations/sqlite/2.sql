-- Soak logs of a job, as the files they were. Rows are only ever added; the newest of a side is the one that counts.
create table soak_log (
  number integer primary key autoincrement,
  job text not null references job (id),
  side text not null,
  name text not null,
  text text not null,
  at integer not null
) strict;
create index soak_log_of_job on soak_log (job, number);
