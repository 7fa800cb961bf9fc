"""Outside reference for kw-holddown: networks, edge losses and twist capacities by scipy.

Run by hand, never by the tests:

    pip install -r requirements.txt
    python holddown.py            # writes holddown.json
    python holddown.py --check    # recomputes and compares

Nothing here shares code or method with the crate: networks are solved in p by a hybrid root finder
and by a trust-region least-squares solver that must agree; edge losses by 3-D finite differences on
two grids, extrapolated; twist capacities by a simplex search over twists of a fine point set.
"""

import json
import platform
import sys
from pathlib import Path

import numpy as np
import scipy
import scipy.sparse as sparse
from scipy import optimize
from scipy.sparse import linalg

SEED = 20240611
R = 287.05


# ---- networks -------------------------------------------------------------------------------

def random_network(rng):
    zones = int(rng.integers(2, 13))
    manifolds = int(rng.integers(1, 3))
    spread = lambda lo, hi: float(lo * (hi / lo) ** rng.random())
    leak = lambda: {
        "board": spread(1e-13, 3e-12),
        "slip": spread(500, 20000) if rng.random() < 0.3 else 0.0,
        "hole": spread(1e-6, 5e-5) if rng.random() < 0.4 else 0.0,
    }
    pumps = []
    for _ in range(manifolds):
        kind = "displacement" if rng.random() < 0.7 else "regenerative"
        limit = spread(1000, 10000) if kind == "displacement" else float(rng.uniform(25e3, 45e3))
        pumps.append({"kind": kind, "speed": spread(150, 800), "limit": limit})
    branches = [
        {"zone": z, "manifold": int(rng.integers(manifolds)), "a": spread(1e7, 5e8), "b": spread(2e10, 2e12)}
        for z in range(zones)
    ]
    seams = [
        {"zones": [z - 1, z], "g": spread(5e-15, 2e-13)} for z in range(1, zones) if rng.random() < 0.7
    ]
    return {
        "ambient": float(rng.uniform(85e3, 103e3)),
        "temperature": float(rng.uniform(283, 308)),
        "zones": [leak() for _ in range(zones)],
        "pumps": pumps,
        "branches": branches,
        "seams": seams,
    }


def hole_flow(area, p, ambient, rt):
    gamma = 1.4
    r = max(p / ambient, (2 / (gamma + 1)) ** (gamma / (gamma - 1)))
    psi = np.sqrt(2 * gamma / (gamma - 1) * max(r ** (2 / gamma) - r ** ((gamma + 1) / gamma), 0.0))
    return area * ambient / np.sqrt(rt) * psi


def balance(p, net):
    """Net inflow of every node, kg/s."""
    pa, rt = net["ambient"], R * net["temperature"]
    n = len(net["zones"])
    flow = np.zeros(n + len(net["pumps"]))
    for i, leak in enumerate(net["zones"]):
        flow[i] += leak["board"] * (pa**2 - p[i] ** 2 + 2 * leak["slip"] * (pa - p[i]))
        flow[i] += hole_flow(leak["hole"], p[i], pa, rt)
    for branch in net["branches"]:
        i, j = branch["zone"], n + branch["manifold"]
        d = p[i] ** 2 - p[j] ** 2
        m = 2 * d / (branch["a"] + np.sqrt(branch["a"] ** 2 + 4 * branch["b"] * abs(d)))
        flow[i] -= m
        flow[j] += m
    for seam in net["seams"]:
        i, j = seam["zones"]
        m = seam["g"] * (p[i] ** 2 - p[j] ** 2)
        flow[i] -= m
        flow[j] += m
    for j, pump in enumerate(net["pumps"]):
        q = p[n + j]
        s = pump["speed"] / 3600 / rt
        if pump["kind"] == "displacement":
            flow[n + j] -= s * (q - pump["limit"])
        else:
            flow[n + j] -= s * (1 - (pa - q) / pump["limit"]) * q
    return flow


def solve_network(net):
    """Pressures, or None unless two solvers agree to 1e-8."""
    pa = net["ambient"]
    n = len(net["zones"]) + len(net["pumps"])
    draw = sum(p["speed"] for p in net["pumps"]) / 3600 * pa / (R * net["temperature"])
    residual = lambda x: balance(x * pa, net) / draw
    start = np.full(n, 0.75)
    hybrid = optimize.root(residual, start, method="hybr", tol=1e-15)
    region = optimize.least_squares(
        residual, start, bounds=(1e-4, 1.0), xtol=3e-16, ftol=3e-16, gtol=3e-16, max_nfev=2000
    )
    worst = lambda x: float(np.max(np.abs(residual(x))))
    if worst(hybrid.x) > 1e-12 or worst(region.x) > 1e-12:
        return None
    if np.max(np.abs(hybrid.x - region.x)) > 1e-8 or hybrid.x.min() <= 0 or hybrid.x.max() > 1:
        return None
    return [float(v) for v in hybrid.x * pa]


def networks():
    rng = np.random.default_rng(SEED)
    solved = []
    while len(solved) < 24:
        net = random_network(rng)
        # A blower past its limit needs a check valve: not part of this reference.
        pressures = solve_network(net)
        if pressures is None:
            continue
        n = len(net["zones"])
        if any(p["kind"] == "regenerative" and net["ambient"] - q >= p["limit"]
               for p, q in zip(net["pumps"], pressures[n:])):
            continue
        net["pressures"] = pressures
        solved.append(net)
    return {"relative_tolerance": 1e-7, "cases": solved}


# ---- edge losses ----------------------------------------------------------------------------

def neumann(m):
    e = np.ones(m)
    d = 2 * e
    d[[0, -1]] = 1
    return sparse.diags([-e[:-1], d, -e[:-1]], [-1, 0, 1])


def top_share(cover, h):
    """u at the top of a slab of thickness 1: 0 below, 1 on bare top, no flow under the cover."""
    ny, nx = cover.shape
    nz = round(1 / h)
    ident = sparse.eye
    matrix = (
        sparse.kron(ident(nz), sparse.kron(ident(ny), neumann(nx)))
        + sparse.kron(ident(nz), sparse.kron(neumann(ny), ident(nx)))
        + sparse.kron(neumann(nz), sparse.kron(ident(ny), ident(nx)))
    )
    index = np.arange(nx * ny * nz).reshape(nz, ny, nx)
    diagonal = np.zeros(index.size)
    right = np.zeros(index.size)
    diagonal[index[0].ravel()] += 2
    bare = index[-1][~cover]
    diagonal[bare] += 2
    right[bare] += 2
    matrix = (matrix + sparse.diags(diagonal)).tocsr()
    u, info = linalg.cg(matrix, right, rtol=1e-8, M=sparse.diags(1 / matrix.diagonal()), maxiter=20000)
    assert info == 0
    u = u.reshape(nz, ny, nx)
    return u[-1] + (u[-1] - u[-2]) / 8  # parabola with zero slope at the cover


SHAPES = {
    # name: (size, perimeter, area, inside), in board thicknesses
    "square 2": (2, 8, 4, lambda x, y: (x > 0) & (x < 2) & (y > 0) & (y < 2)),
    "square 4": (4, 16, 16, lambda x, y: (x > 0) & (x < 4) & (y > 0) & (y < 4)),
    "disc 3": (3, 3 * np.pi, 2.25 * np.pi, lambda x, y: (x - 1.5) ** 2 + (y - 1.5) ** 2 < 2.25),
    "disc 6": (6, 6 * np.pi, 9 * np.pi, lambda x, y: (x - 3) ** 2 + (y - 3) ** 2 < 9),
    "angle 6, arms 2": (
        6, 24, 20,
        lambda x, y: ((x > 0) & (x < 6) & (y > 0) & (y < 2)) | ((x > 0) & (x < 2) & (y > 0) & (y < 6)),
    ),
    "triangle 6": (6, 12 + 6 * np.sqrt(2), 18, lambda x, y: (x > 0) & (y > 0) & (x + y < 6)),
    "ring 6, hole 2": (
        6, 32, 32,
        lambda x, y: (x > 0) & (x < 6) & (y > 0) & (y < 6) & ~((x > 2) & (x < 4) & (y > 2) & (y < 4)),
    ),
    "ring 8, hole 4": (
        8, 48, 48,
        lambda x, y: (x > 0) & (x < 8) & (y > 0) & (y < 8) & ~((x > 2) & (x < 6) & (y > 2) & (y < 6)),
    ),
}


def retention():
    pad = 2.5
    cases = []
    for name, (size, perimeter, area, inside) in SHAPES.items():
        by_grid = []
        for h in (1 / 8, 1 / 16):
            at = (np.arange(round((size + 2 * pad) / h)) + 0.5) * h - pad
            cover = inside(*np.meshgrid(at, at))
            u = np.clip(top_share(cover, h)[cover], 0, 1)
            by_grid.append([
                float(np.mean((1 - np.sqrt(r * r + u * (1 - r * r))) / (1 - r))) for r in (0.2, 0.4, 0.7)
            ])
        # The error falls with h because of the root singularity at the edge.
        kept = [2 * fine - coarse for coarse, fine in zip(*by_grid)]
        cases.append({
            "name": name, "perimeter": float(perimeter), "area": float(area),
            "ratios": [0.2, 0.4, 0.7], "kept": kept,
        })
        print(name, kept, file=sys.stderr)
    return {"absolute_tolerance": 0.006, "cases": cases}


# ---- twist ----------------------------------------------------------------------------------

OUTLINES = {
    "rectangle 120 x 80": ([[0, 0], [120, 0], [120, 80], [0, 80]], []),
    "angle 100, arms 30": ([[0, 0], [100, 0], [100, 30], [30, 30], [30, 100], [0, 100]], []),
    "frame 200 x 120": (
        [[0, 0], [200, 0], [200, 120], [0, 120]], [[[40, 40], [160, 40], [160, 80], [40, 80]]],
    ),
    "triangle 90 x 60": ([[0, 0], [90, 0], [0, 60]], []),
}


def inside(ring, points):
    hit = np.zeros(len(points), bool)
    for (x0, y0), (x1, y1) in zip(ring, ring[1:] + ring[:1]):
        if y0 == y1:
            continue
        spans = (y0 > points[:, 1]) != (y1 > points[:, 1])
        hit ^= spans & (points[:, 0] < x0 + (points[:, 1] - y0) / (y1 - y0) * (x1 - x0))
    return hit


def capacity(points, weights, at, direction):
    """Least Σ w |v + ω × r| over twists with unit power of the load."""
    d = np.array(direction) / np.linalg.norm(direction)
    n = np.array([-d[1], d[0]])
    centre = weights @ points / weights.sum()
    size = np.sqrt(weights @ ((points - centre) ** 2).sum(1) / weights.sum())
    arm = np.array(at, float) - centre
    rel = points - centre

    def power_free(z):
        omega, across = z[0] / size, z[1]
        # d·v + ω (arm × d) = 1 with arm × d the moment of a unit force
        along = 1 - omega * (arm[0] * d[1] - arm[1] * d[0])
        vx = along * d[0] + across * n[0] - omega * rel[:, 1]
        vy = along * d[1] + across * n[1] + omega * rel[:, 0]
        return weights @ np.hypot(vx, vy)

    best = np.inf
    for start in ([0, 0], [0.5, 0], [-0.5, 0], [0.5, 0.5], [-0.5, -0.5]):
        found = optimize.minimize(
            power_free, start, method="Nelder-Mead",
            options={"xatol": 1e-9, "fatol": 1e-10 * weights.sum(), "maxiter": 5000},
        )
        best = min(best, found.fun)
    return float(best / weights.sum())


def twist():
    rng = np.random.default_rng(SEED + 1)
    cases = []
    for name, (outline, holes) in OUTLINES.items():
        size = np.max(outline, axis=0)
        step = float(np.sqrt(size[0] * size[1] / 40000))
        x, y = np.meshgrid(np.arange(step / 2, size[0], step), np.arange(step / 2, size[1], step))
        points = np.column_stack([x.ravel(), y.ravel()])
        keep = inside(outline, points)
        for hole in holes:
            keep &= ~inside(hole, points)
        points = points[keep]
        for seam in (None, float(round(size[0] * 0.4, 3))):
            # Two zones that pull with 1 and 0.3 on either side of x = seam.
            weights = np.ones(len(points)) if seam is None else np.where(points[:, 0] < seam, 1.0, 0.3)
            for _ in range(4):
                angle = float(rng.uniform(0, 2 * np.pi))
                at = [float(v) for v in rng.uniform([0, 0], size)]
                direction = [float(np.cos(angle)), float(np.sin(angle))]
                cases.append({
                    "name": name, "outline": outline, "holes": holes, "seam": seam,
                    "at": at, "direction": direction,
                    "factor": capacity(points, weights, at, direction),
                })
    return {"relative_tolerance": 0.003, "cases": cases}


# ---- record ---------------------------------------------------------------------------------

def rounded(value):
    if isinstance(value, float):
        return float(f"{value:.12g}")
    if isinstance(value, dict):
        return {key: rounded(item) for key, item in value.items()}
    if isinstance(value, list):
        return [rounded(item) for item in value]
    return value


def close(a, b):
    if isinstance(a, dict):
        return a.keys() == b.keys() and all(close(a[k], b[k]) for k in a)
    if isinstance(a, list):
        return len(a) == len(b) and all(close(x, y) for x, y in zip(a, b))
    if isinstance(a, float):
        return abs(a - b) <= 1e-6 * max(1.0, abs(a))
    return a == b


def main():
    record = rounded({
        "library": "scipy", "version": scipy.__version__, "numpy": np.__version__,
        "python": platform.python_version(), "seed": SEED,
        "networks": networks(), "retention": retention(), "twist": twist(),
    })
    target = Path(__file__).with_name("holddown.json")
    if "--check" in sys.argv:
        known = json.loads(target.read_text())
        same = all(close(record[key], known[key]) for key in ("networks", "retention", "twist"))
        print("same" if same else "DIFFERENT")
        sys.exit(0 if same else 1)
    target.write_text(json.dumps(record, indent=1) + "\n")


if __name__ == "__main__":
    main()
