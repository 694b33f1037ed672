"""Fleet choices against the integer programming library HiGHS (highspy from PyPI): the best objective must be the same.

usage: fleet_choice.py CHOICE_OF
CHOICE_OF is the built example of crate `fleet`. HiGHS is a branch-and-cut code of its own (C++); nothing is shared but the
figures of the drawn fleets.
"""

import subprocess
import sys

import highspy

ours = sys.argv[1]


def highs(lines):
    model = highspy.Highs()
    model.setOptionValue("output_flag", False)
    model.setOptionValue("mip_rel_gap", 0.0)
    model.setOptionValue("mip_abs_gap", 0.5)
    model.setOptionValue("time_limit", 120.0)
    limits, resale, stock, groups = None, None, None, []
    for line in lines:
        word, *cells = line.split()
        cells = [int(cell) for cell in cells] if word != "chosen" else cells
        if word == "limits":
            limits = cells
        elif word == "resale":
            resale = cells
        elif word == "stock":
            stock = cells
        elif word == "group":
            groups.append((cells[0], []))
        elif word == "way":
            groups[-1][1].append(cells)
    money, minutes, parts, moved = [], [], [[] for _ in stock], [[] for _ in resale]
    place = 0
    for count, ways in groups:
        machines = []
        for value, cost, bench, takes, gives, part in ways:
            spent = cost - (resale[gives] if gives >= 0 else 0) + (resale[takes] if takes >= 0 else 0)
            model.addVar(0, count)
            model.changeColCost(place, -(value - spent))
            model.changeColIntegrality(place, highspy.HighsVarType.kInteger)
            machines.append((place, 1))
            money.append((place, spent))
            minutes.append((place, bench))
            if part >= 0:
                parts[part].append((place, 1))
            if takes >= 0:
                moved[takes].append((place, 1))
            if gives >= 0:
                moved[gives].append((place, -1))
            place += 1
        at_most(model, machines, count)
    at_most(model, money, limits[0])
    at_most(model, minutes, limits[1])
    for terms, most in zip(parts, stock):
        at_most(model, terms, most)
    for terms in moved:
        at_most(model, terms, 0)
    model.run()
    info = model.getInfo()
    proved = model.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return -round(info.objective_function_value), proved, -info.mip_dual_bound


def at_most(model, terms, most):
    if terms:
        model.addRow(-highspy.kHighsInf, most, len(terms), [place for place, _ in terms], [float(factor) for _, factor in terms])


def main():
    for seed, groups, ways, seconds in [(1, 5, 4, 30), (2, 12, 6, 30), (3, 25, 8, 30), (4, 40, 10, 30), (5, 80, 12, 30), (6, 120, 15, 30), (7, 30, 20, 30), (8, 200, 8, 30)]:
        lines = subprocess.run([ours, str(seed), str(groups), str(ways), str(seconds)], check=True, capture_output=True, text=True).stdout.splitlines()
        objective, proved, gap, took = (float(cell) for cell in lines[-1].split()[1:])
        best, best_proved, bound = highs(lines[:-1])
        said = "proved" if proved else f"within {gap:.0f}"
        print(f"  {groups} groups of {ways} ways: {objective:.0f} ({said}, {took:.2f} s), peer {best} ({'proved' if best_proved else 'not proved'})")
        if proved and best_proved:
            assert objective == best, "the best objectives differ"
        # What is not proved must lie where its own gap says, and never above the peer's bound.
        assert objective <= bound + 1 and best <= objective + gap + 1, (objective, gap, best, bound)


main()
