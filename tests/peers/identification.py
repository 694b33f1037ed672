"""Structure functions of layered columns, over several draws of the noise, by PyRth and by `physics::network::path`, from the same records.

PyRth is used as it comes (Bayesian deconvolution, 1,000 steps, Sobhy's method), its rungs read as a path that is straight
over the logarithm of the capacitance. The rule of the error is that of `crates/physics/tests/it/layered_kind.rs`: the distance
along the resistance between a fifth of the first layer's capacitance and 98 % of all, a capacitance taken as met within
5 %, as a share of the whole resistance.
"""
import json
import logging
import subprocess
import sys
import time
from importlib.metadata import version

import numpy
import PyRth

PROGRAM, FOLDER = sys.argv[1:]
ROUNDS = 3
# Ours, as the tests hold it.
MOST = 0.04
POWER_W, START_C = 100.0, 25.0

logging.disable(logging.CRITICAL)


def largest_error(stack, found):
    inner = [layer for layer in stack if layer[1] > 0.0]
    resistance = numpy.cumsum([0.0] + [layer[0] for layer in inner])
    capacitance = numpy.cumsum([0.0] + [layer[1] for layer in inner])
    total = sum(layer[0] for layer in stack)
    at = numpy.geomspace(0.2 * inner[0][1], 0.98 * capacitance[-1], 400)
    truth = numpy.interp(at, capacitance, resistance)
    low, high = found(0.95 * at) - truth, found(1.05 * at) - truth
    return float(numpy.max(numpy.maximum(numpy.maximum(low, -high), 0.0)) / total)


def ours(layers):
    resistance = numpy.cumsum([0.0] + [layer[0] for layer in layers])
    capacitance = numpy.cumsum([0.0] + [layer[1] for layer in layers])
    return lambda at: numpy.interp(at, capacitance, resistance)


def peer(times, rises):
    data = numpy.column_stack([times, rises / POWER_W])
    best, module = float("inf"), None
    for _ in range(ROUNDS):
        begun = time.process_time()
        module = PyRth.Evaluation().standard_module({"data": data, "input_mode": "impedance"})
        best = min(best, time.process_time() - begun)
    resistance, capacitance = numpy.array(module.int_cau_res, float), numpy.array(module.int_cau_cap, float)
    order = numpy.argsort(capacitance)
    logarithms = numpy.log(capacitance[order])
    return best, float(resistance[-1]), lambda at: numpy.interp(numpy.log(at), logarithms, resistance[order])


stacks = json.loads(subprocess.run([PROGRAM, FOLDER], capture_output=True, text=True, check=True).stdout)
worse = []
print("column and draw       ours, time on the clock   PyRth", version("PyRth") + ", processor time")
spread = {}
for stack in stacks:
    name = stack["file"].removesuffix(".f64")
    columns = numpy.fromfile(f"{FOLDER}/{stack['file']}", "<f8").reshape(3, stack["rows"])
    our_error = largest_error(stack["truth"], ours(stack["found"]))
    try:
        seconds, total, found = peer(columns[0], columns[1] - START_C)
        peer_error = largest_error(stack["truth"], found)
        said = f"{100 * peer_error:5.1f} %  {1e3 * seconds:7.1f} ms, whole {total:.4f} K/W"
    except Exception as error:  # what the package cannot read is a result too
        peer_error, said = float("inf"), f"no answer: {error!r}"
    whole = sum(layer[0] for layer in stack["truth"])
    print(f"{name}  {100 * our_error:5.2f} %  {1e3 * stack['best_s']:7.1f} ms      {said} (true {whole:.4f})")
    if our_error >= MOST:
        worse.append(f"{name}: {100 * our_error:.1f} % of the whole, {100 * MOST:.0f} % is the most")
    if our_error >= peer_error:
        worse.append(f"{name}: the package is nearer to the truth")
    spread.setdefault(name.split("-draw")[0], []).append((our_error, peer_error))
for column, errors in spread.items():
    mine, theirs = zip(*errors)
    print(f"{column} over {len(errors)} draws: ours {100 * min(mine):.2f} to {100 * max(mine):.2f} %, "
          f"PyRth {100 * min(theirs):.1f} to {100 * max(theirs):.1f} %")
sys.exit("; ".join(worse) if worse else 0)
