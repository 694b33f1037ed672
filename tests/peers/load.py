"""The matrix and the register load of `reseat soak` beside numpy's matrix product, on one core, in turn."""
import json
import os
import subprocess
import sys
import time

import numpy

PROGRAM = sys.argv[1]
CORE = max(os.sched_getaffinity(0))
SIDE = 3072
ROUNDS = 5
# The load must reach this share of the library's rate; a shared machine spoils single runs by more.
LEAST = 0.9

os.sched_setaffinity(0, {CORE})
numbers = numpy.random.default_rng(1)
A, B = numbers.standard_normal((SIDE, SIDE)), numbers.standard_normal((SIDE, SIDE))


def library():
    begun = time.thread_time()
    A @ B
    return 2 * SIDE**3 / (time.thread_time() - begun)


def load(kind):
    words = [PROGRAM, "soak", "--blind", "--load", kind, "--cores", str(CORE)]
    words += ["--time", "0.6 s", "--rest", "0 s", "--json"]
    out = subprocess.run(words, capture_output=True, text=True, check=True).stdout
    report = json.loads(out.splitlines()[-1])
    assert report["ended"] == "done", report
    (work,) = report["work"]
    return work["units"] / work["core_seconds"]


library()
best = {"OpenBLAS": 0.0, "matrix": 0.0, "vector": 0.0}
for _ in range(ROUNDS):
    best["OpenBLAS"] = max(best["OpenBLAS"], library())
    best["matrix"] = max(best["matrix"], load("matrix"))
    best["vector"] = max(best["vector"], load("vector"))
for name, rate in best.items():
    print(f"{name}: {rate / 1e9:.1f} Gflop/s, {100 * rate / best['vector']:.1f} % of the register load")
if best["matrix"] < LEAST * best["OpenBLAS"]:
    sys.exit("the matrix load falls behind the library by more than a tenth")
