"""Solves stacks by finite elements and compares with what the conduction solver says of them.

Reads the stacks, the places and our rises as JSON from standard input (the example two_stacks of the crate physics).
Quadratic elements on a mesh of hexahedra that follows every edge, by scikit-fem (T. Gustafsson, G. D. McBain, Journal of
Open Source Software 5 (2020), 2369); its matrix, its quadrature and its mesh share nothing with the finite volumes they
are compared with. A thin resistance is a layer of its own here, of real thickness, conducting through only.
"""
import json
import sys

import numpy as np
from scipy.sparse.linalg import LinearOperator, cg
from skfem import Basis, BilinearForm, ElementHex2, FacetBasis, LinearForm, MeshHex

# Largest difference against the larger rise of the stack. Both discretisations err at the edges of the sources and of the
# die, where the flux has a singularity: ours by what its two grids differ by (printed), this one likewise.
TOLERANCE = 5e-3
# A thin resistance is drawn this thick.
JOINT_M = 20e-6


def graded(edges, finest, coarsest):
    """Lines through all edges; cells grow from each edge inwards by 1.6."""
    edges = sorted(set(np.round(edges, 12)))
    lines = [edges[0]]
    for a, b in zip(edges, edges[1:]):
        half, step, cells = (b - a) / 2, finest, []
        while sum(cells) < half:
            cells.append(min(step, coarsest))
            step *= 1.6
        cells = np.array(cells) * half / sum(cells)
        lines += list(a + np.cumsum(np.concatenate([cells, cells[::-1]])))
    return np.array(lines)


class Layers:
    """Layers from the die upwards, thin resistances among them, with their places along z."""

    def __init__(self, stack):
        self.rows, z = [], 0.0
        for layer in stack["layers"]:
            self.rows.append(dict(layer, z_m=(z, z + layer["thickness_m"]), joint=None, below=0.0))
            z += layer["thickness_m"]
            if max(layer["above_m2k_w"]) > 0:
                columns = layer["columns"]
                values = np.array(layer["above_m2k_w"]).reshape(-1, columns)
                self.rows.append(dict(layer, z_m=(z, z + JOINT_M), joint=values))
                z += JOINT_M
        self.top = z

    def height(self, height_m):
        """A height in the stack without thin layers, here."""
        z = 0.0
        for row in self.rows:
            if row["joint"] is not None:
                continue
            if height_m <= z + row["thickness_m"]:
                return row["z_m"][0] + height_m - z
            z += row["thickness_m"]
        raise ValueError(height_m)

    def conductivity(self, x):
        k = np.zeros((3,) + x.shape[1:])
        for row in self.rows:
            here = (x[2] > row["z_m"][0]) & (x[2] < row["z_m"][1])
            if row["joint"] is None:
                for axis in range(3):
                    k[axis][here] = row["conductivity_w_mk"][axis]
                continue
            u = np.clip((x[0] - row["x_m"][0]) / (row["x_m"][1] - row["x_m"][0]), 0, 1)
            v = np.clip((x[1] - row["y_m"][0]) / (row["y_m"][1] - row["y_m"][0]), 0, 1)
            r = row["joint"]
            if r.size == 1:
                resistance = np.full_like(u, r[0, 0])
            else:
                assert r.shape == (2, 2)
                resistance = (r[0, 0] * (1 - u) + r[0, 1] * u) * (1 - v) + (r[1, 0] * (1 - u) + r[1, 1] * u) * v
            k[2][here] = (JOINT_M / resistance)[here]
            k[0][here] = k[1][here] = 1e-3 * k[2][here]
        return k

    def holds(self, x):
        inside = np.zeros(x.shape[1], bool)
        for row in self.rows:
            inside |= (
                (x[2] > row["z_m"][0]) & (x[2] < row["z_m"][1])
                & (x[0] > row["x_m"][0]) & (x[0] < row["x_m"][1])
                & (x[1] > row["y_m"][0]) & (x[1] < row["y_m"][1])
            )
        return inside


def solve(stack, layers, coarsening, halves):
    rows = layers.rows
    both = rows + stack["sources"]
    lines = [graded([e for row in both for e in row[side]], 0.35e-3 * coarsening, 3e-3 * coarsening) for side in ("x_m", "y_m")]
    z = [0.0]
    for row in rows:
        low, high = row["z_m"]
        thick = high - low
        # Finer towards both faces, where the flux bends.
        cells = 1 if thick < 0.1e-3 else 2 * halves
        share = 0.5 * (1 - np.cos(np.pi * np.arange(1, cells + 1) / cells))
        z += list(low + thick * share)
    mesh = MeshHex.init_tensor(lines[0], lines[1], np.array(z))
    middles = mesh.p[:, mesh.t].mean(axis=1)
    mesh = mesh.restrict(np.nonzero(layers.holds(middles))[0])
    element = ElementHex2()
    basis = Basis(mesh, element, intorder=4)

    @BilinearForm
    def conducts(u, v, w):
        return w.kx * u.grad[0] * v.grad[0] + w.ky * u.grad[1] * v.grad[1] + w.kz * u.grad[2] * v.grad[2]

    @BilinearForm
    def gives_off(u, v, w):
        return u * v

    @LinearForm
    def takes(v, w):
        return v

    kx, ky, kz = layers.conductivity(np.asarray(basis.global_coordinates()))
    matrix = conducts.assemble(basis, kx=kx, ky=ky, kz=kz)
    faces = lambda where: FacetBasis(mesh, element, facets=mesh.facets_satisfying(where, boundaries_only=True), intorder=4)
    eps = 1e-9
    for film, height in ((stack["top_film_w_m2k"], layers.top), (stack["bottom_film_w_m2k"], 0.0)):
        if film > 0:
            matrix = matrix + film * gives_off.assemble(faces(lambda x: abs(x[2] - height) < eps))
    rhs = np.zeros(matrix.shape[0])
    for source in stack["sources"]:
        assert source["layer"] == 0
        (x0, x1), (y0, y1) = source["x_m"], source["y_m"]
        where = lambda x: (abs(x[2]) < eps) & (x[0] > x0 - eps) & (x[0] < x1 + eps) & (x[1] > y0 - eps) & (x[1] < y1 + eps)
        rhs += source["power_w"] / ((x1 - x0) * (y1 - y0)) * takes.assemble(faces(where))
    matrix = matrix.tocsr()
    diagonal = matrix.diagonal()
    steps = [0]
    counted = lambda _: steps.__setitem__(0, steps[0] + 1)
    rise, info = cg(matrix, rhs, rtol=1e-8, maxiter=20000, M=LinearOperator(matrix.shape, lambda r: r / diagonal), callback=counted)
    assert info == 0, "conjugate gradients did not end"
    return basis, rise, steps[0]


def means(solved, probes, heights, count=16):
    """Mean rise over each probe's rectangle at a height."""
    basis, rise, _ = solved
    at = (np.arange(count) + 0.5) / count
    points = []
    for probe, height in zip(probes, heights):
        (x0, x1), (y0, y1) = probe["x_m"], probe["y_m"]
        x, y = np.meshgrid(x0 + (x1 - x0) * at, y0 + (y1 - y0) * at)
        points.append(np.array([x.ravel(), y.ravel(), np.full(x.size, height)]))
    values = basis.probes(np.concatenate(points, axis=1)) @ rise
    return values.reshape(len(probes), -1).mean(axis=1)


def main():
    worst = 0.0
    for stack in json.load(sys.stdin):
        layers = Layers(stack)
        rough, good = solve(stack, layers, 4.2, 2), solve(stack, layers, 2.6, 3)
        print(f"{stack['name']}: {len(good[1])} unknowns in {good[2]} steps, {len(rough[1])} on the coarse mesh")
        # "coarser" is what the coarse mesh adds, and how far the coarse grid is from the elements at its own height.
        print(f"  {'place':34} {'elements':>9} {'coarser':>8} {'volumes':>9} {'coarser':>8}    apart")
        probes = stack["probes"]
        largest = max(probe["fine"]["rise_k"] for probe in probes)
        heights, low = ([layers.height(probe[grid]["height_m"]) for probe in probes] for grid in ("fine", "coarse"))
        theirs = means(good, probes + probes, heights + low)
        theirs, theirs_low, theirs_rough = theirs[: len(probes)], theirs[len(probes) :], means(rough, probes, heights)
        for probe, elements, elements_low, elements_rough in zip(probes, theirs, theirs_low, theirs_rough):
            ours, coarse = probe["fine"]["rise_k"], probe["coarse"]["rise_k"]
            apart = (ours - elements) / largest
            worst = max(worst, abs(apart))
            changes = f"{elements_rough - elements:+8.4f} {ours:9.4f} {coarse - elements_low:+8.4f}"
            print(f"  {probe['name']:34} {elements:9.4f} {changes} {apart:+8.3%}")
    print(f"farthest apart {worst:.3%} of the largest rise, allowed {TOLERANCE:.1%}")
    sys.exit(1 if worst > TOLERANCE else 0)


main()
