"""Columns files against two other programs that read and write Parquet, both ways.

usage: columns.py COLUMNS_TEXT WORK
COLUMNS_TEXT is the built example of crate `columns`, WORK an empty folder. Both libraries have readers and writers of
their own (C++), so neither shares code with ours. Everything is compared cell by cell and must be equal.
"""

import datetime
import decimal
import pathlib
import random
import subprocess
import sys

import duckdb
import pyarrow
import pyarrow.parquet

ours, work = sys.argv[1], pathlib.Path(sys.argv[2])
random.seed(8)


def maybe(value):
    return None if random.random() < 0.2 else value


def words():
    return "".join(random.choice("abc äß€😀 ,;\"") for _ in range(random.randrange(0, 12)))


ROWS = 5_000
START = datetime.datetime(2026, 1, 1, tzinfo=datetime.timezone.utc)
data = {
    "number": pyarrow.array([maybe(random.gauss(0, 1e3)) for _ in range(ROWS)], pyarrow.float64()),
    "short": pyarrow.array([maybe(random.randrange(1000) / 8) for _ in range(ROWS)], pyarrow.float32()),
    "whole": pyarrow.array([maybe(random.randrange(-(2**63), 2**63)) for _ in range(ROWS)], pyarrow.int64()),
    "byte": pyarrow.array([maybe(random.randrange(-128, 128)) for _ in range(ROWS)], pyarrow.int8()),
    "u32": pyarrow.array([maybe(random.randrange(0, 2**32)) for _ in range(ROWS)], pyarrow.uint32()),
    "words": pyarrow.array([maybe(words()) for _ in range(ROWS)], pyarrow.string()),
    "few words": pyarrow.array([maybe(random.choice(["red", "green"])) for _ in range(ROWS)], pyarrow.string()),
    "yes": pyarrow.array([maybe(random.random() < 0.5) for _ in range(ROWS)], pyarrow.bool_()),
    "day": pyarrow.array([maybe((START + datetime.timedelta(days=random.randrange(-40000, 40000))).date()) for _ in range(ROWS)], pyarrow.date32()),
    "at": pyarrow.array([maybe(START + datetime.timedelta(seconds=random.randrange(10**9))) for _ in range(ROWS)], pyarrow.timestamp("us", tz="UTC")),
    "price": pyarrow.array([maybe(decimal.Decimal(random.randrange(-10**7, 10**7)) / 100) for _ in range(ROWS)], pyarrow.decimal128(12, 2)),
    "empty": pyarrow.array([None] * ROWS, pyarrow.string()),
}
source = pyarrow.table(data).replace_schema_metadata({"machine": "Bench 3", "room": "21..22 °C"})


def expected(name, value):
    """A cell as our reader should have it."""
    if value is None:
        return None
    if name == "day":
        return value.isoformat()
    if name == "at":
        return value.strftime("%Y-%m-%dT%H:%M:%SZ")
    if name == "price":
        return float(value)
    return value


want = {name: [expected(name, cell.as_py()) for cell in source[name]] for name in source.column_names}


def compare(what, got):
    for name in want:
        assert list(got[name]) == want[name], (what, name, next((a, b) for a, b in zip(got[name], want[name]) if a != b))
    print(f"  {what}: {ROWS} rows of {len(want)} columns are equal")


def through_ours(path):
    """Our writer's file of what our reader read, as pyarrow and DuckDB read it."""
    back = work / "back.parquet"
    subprocess.run([ours, str(path), str(back)], check=True)
    table = pyarrow.parquet.read_table(back)
    metadata = {key.decode(): text.decode() for key, text in (table.schema.metadata or {}).items()}
    if path.name.startswith("pyarrow"):  # the other one keeps no notes
        assert metadata["machine"] == "Bench 3" and metadata["room"] == "21..22 °C", metadata
    compare(f"{path.name} -> ours -> pyarrow", {name: table[name].to_pylist() for name in want})
    rows = duckdb.sql(f"select * from '{back}'")
    cells = dict(zip(rows.columns, zip(*rows.fetchall())))
    compare(f"{path.name} -> ours -> duckdb", cells)


for compression in ["snappy", "gzip", "none"]:
    for version in ["1.0", "2.0"]:
        for dictionary in [True, False]:
            path = work / f"pyarrow-{compression}-pages-{version}-{'dictionary' if dictionary else 'plain'}.parquet"
            pyarrow.parquet.write_table(source, path, compression=compression, data_page_version=version,
                                        use_dictionary=dictionary, row_group_size=1_700, data_page_size=4_096)
            through_ours(path)
for compression in ["snappy", "gzip"]:
    path = work / f"duckdb-{compression}.parquet"
    duckdb.sql("select * from source").write_parquet(str(path), compression=compression, row_group_size=2_048)
    through_ours(path)

# Packing that is not taken is told by its name, and no table comes out.
path = work / "zstd.parquet"
pyarrow.parquet.write_table(source, path, compression="zstd")
refused = subprocess.run([ours, str(path), str(work / "none.parquet")], capture_output=True, text=True)
assert refused.returncode != 0 and not (work / "none.parquet").exists()
assert "ZSTD" in refused.stderr.upper(), refused.stderr
print("  zstd: refused by name")
