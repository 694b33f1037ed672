"""Which processors go into each of many machines, against DuckDB (from PyPI): every count and every best processor.

usage: fleet_fits.py FITS_OF WORK [MACHINES]
FITS_OF is the built example of crate `fleet`, WORK a folder for the tables. Rules of the join, all whole numbers:
socket and memory type equal, bit `gen` in `gen_mask`, bit `series` in `series_mask`, sustained_dw <= stages_dw and <= cooler_dw;
best: greatest perf, then smallest price, then smallest id. Tables are drawn here: processors and kinds of board in the
manner of the generator of parts that the route benches use (seeded, numpy), a machine being one board of 2,000 and a cooler.
"""

import pathlib
import subprocess
import sys
import time

import duckdb
import numpy as np

ours, work = sys.argv[1], pathlib.Path(sys.argv[2])
count = int(sys.argv[3]) if len(sys.argv) > 3 else 1_000_000
work.mkdir(parents=True, exist_ok=True)


def tables():
    r = np.random.default_rng(1)
    sockets = 8
    gens = [int(r.integers(2, 5)) for _ in range(sockets)]
    series = [int(r.integers(3, 6)) for _ in range(sockets)]
    main = [i * 3 // sockets for i in range(sockets)]
    drives = []
    for s in range(sockets):
        row = []
        for _ in range(series[s]):
            low = int(r.integers(0, gens[s]))
            high = int(r.integers(low, gens[s]))
            row.append(sum(1 << g for g in range(low, high + 1)))
        row[0] = (1 << gens[s]) - 1
        drives.append(row)
    with open(work / "processors.csv", "w") as out:
        out.write("id,socket,gen,series_mask,mem_type,tdp_dw,sustained_dw,perf,price\n")
        for i in range(3000):
            s = int(r.integers(0, sockets))
            g = int(r.integers(0, gens[s]))
            cores = int(r.choice([2, 4, 6, 8, 10, 12, 14, 16, 20, 24]))
            serial = 1000 * 1.1 ** -(sockets - 1 - s + 0.5 * (gens[s] - 1 - g)) * r.uniform(0.8, 1.15)
            parallel = serial * cores**0.92 * r.uniform(0.85, 1.1)
            design = int(10 * (25 + 6.2 * cores * r.uniform(0.7, 1.3) * serial / 900))
            mask = 1 | sum(1 << q for q in range(series[s]) if drives[s][q] >> g & 1 and r.random() < 0.85)
            memory = main[s] if r.random() < 0.75 else (main[s] + 1) % 3
            perf = int(round(10000 * np.log(1 / (0.35 / serial + 0.65 / parallel))))
            price = int(100 * ((parallel / 600) ** 0.75 * (serial / 600) ** 0.8 * 55 * r.lognormal(0, 0.35))) + 1500
            out.write(f"{i},{s},{g},{mask},{memory},{design},{int(design * r.uniform(1.0, 1.6))},{perf},{price}\n")
    boards = []
    for _ in range(2000):
        s = int(r.integers(0, sockets))
        q = int(r.integers(0, series[s]))
        memory = main[s] if r.random() < 0.7 else (main[s] + 1) % 3
        stages = int(10 * r.choice([65, 95, 125, 160, 200, 260, 330]) * r.uniform(0.9, 1.1))
        mask = drives[s][q]
        top = mask.bit_length() - 1
        if r.random() < 0.25 and mask & ~(1 << top):
            mask &= ~(1 << top)
        boards.append((s, q, mask, memory, stages))
    boards = np.array(boards)
    picked = boards[r.integers(0, len(boards), count)]
    coolers = (10 * r.choice([65, 95, 130, 180, 230, 280, 350], count) * r.uniform(0.85, 1.1, count)).astype(int)
    np.savetxt(work / "machines.csv", np.column_stack([np.arange(count), picked, coolers]), fmt="%d", delimiter=",", header="id,socket,series,gen_mask,mem_type,stages_dw,cooler_dw", comments="")


READ = """
create or replace table p as select * from read_csv('{work}/processors.csv');
create or replace table m as select * from read_csv('{work}/machines.csv');
"""
DIRECT = """
create or replace table answer as
select m.id, count(p.id) as fits, arg_max(p.id, (p.perf, -p.price, -p.id)) as best
from m left join p on p.socket = m.socket and p.mem_type = m.mem_type and p.sustained_dw <= m.stages_dw and p.sustained_dw <= m.cooler_dw
  and (m.gen_mask >> p.gen) & 1 = 1 and (p.series_mask >> m.series) & 1 = 1
group by m.id;
"""
WINDOWS = """
create or replace table boards as select distinct socket, series, gen_mask, mem_type from m;
create or replace table w as
select boards.socket, boards.series, boards.gen_mask, boards.mem_type, p.sustained_dw as power,
  count(*) over prefix as fits, arg_max(p.id, (p.perf, -p.price, -p.id)) over prefix as best
from boards join p on p.socket = boards.socket and p.mem_type = boards.mem_type and (boards.gen_mask >> p.gen) & 1 = 1
  and (p.series_mask >> boards.series) & 1 = 1
window prefix as (partition by boards.socket, boards.series, boards.gen_mask, boards.mem_type order by p.sustained_dw range unbounded preceding);
create or replace table answer as
select m.id, coalesce(w.fits, 0) as fits, w.best
from m asof left join w on m.socket = w.socket and m.series = w.series and m.gen_mask = w.gen_mask and m.mem_type = w.mem_type
  and least(m.stages_dw, m.cooler_dw) >= w.power;
"""


def peer(sql, threads):
    best = float("inf")
    for _ in range(3):
        base = duckdb.connect()
        base.execute(f"set threads = {threads}")
        begun = time.perf_counter()
        base.execute(READ.format(work=work))
        base.execute(sql)
        best = min(best, time.perf_counter() - begun)
    rows = base.execute("select fits, coalesce(best, -1) + 1 as best from answer order by id").fetchnumpy()
    return best, np.asarray(rows["fits"]).astype(np.int64), np.asarray(rows["best"]).astype(np.int64)


tables()
print(f"  {count} machines, {(work / 'machines.csv').stat().st_size / 1e6:.0f} MB")
for threads in [1, 2]:
    out = work / "ours.bin"
    said = subprocess.run([ours, str(work / "processors.csv"), str(work / "machines.csv"), str(threads), str(out)], check=True, capture_output=True, text=True).stdout.split()
    answer = np.fromfile(out, dtype="<u2").reshape(-1, 2).astype(np.int64)
    print(f"  ours, {threads} threads: {float(said[2]) * 1e3:.1f} ms, {said[1]} fitting pairs")
    for name, sql in [("windows and ASOF join", WINDOWS)] + ([("direct join", DIRECT)] if count <= 100_000 or threads == 2 else []):
        took, fits, best = peer(sql, threads)
        print(f"  DuckDB, {name}, {threads} threads: {took * 1e3:.0f} ms")
        assert np.array_equal(answer[:, 0], fits), name
        assert np.array_equal(answer[:, 1], best), name
print("  every count and every best processor is equal")
