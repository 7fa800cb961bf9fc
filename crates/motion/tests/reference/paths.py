"""Outside reference for kw-motion: least times of jerk-limited runs along polylines.

Run by hand, never by the tests:

    pip install -r requirements.txt
    python paths.py            # writes paths.json
    python paths.py --check    # recomputes and compares

A general nonlinear optimiser (IPOPT by casadi) finds the least time over a fixed path with limits on
speed, acceleration and jerk along it and a limit on the speed at each corner. Each leg is cut into
pieces of constant jerk, so the value lies a little above the true least time. The corner speeds follow
from the tolerance by the geometry stated in src/corner.rs, written down again here.
"""

import json
import math
import platform
import random
import sys
from pathlib import Path

import casadi

SEED = 20250311
PIECES = 400


def random_polyline(rng):
    x = y = 0.0
    points = []
    for _ in range(12):
        x, y = x + rng.uniform(-40, 40), y + rng.uniform(-40, 40)
        points.append((x, y, rng.uniform(3000, 15000)))
    return points


def wave(rng):
    height, length, step = rng.uniform(3, 20), rng.uniform(15, 60), rng.uniform(0.5, 2)
    feed = rng.uniform(4000, 15000)
    return [(i * step, height * math.sin(2 * math.pi * i * step / length), feed) for i in range(1, 61)]


def walk(rng):
    x = y = heading = 0.0
    feed = rng.uniform(3000, 12000)
    points = []
    for _ in range(50):
        heading += rng.uniform(-0.5, 0.5)
        way = rng.uniform(0.3, 4)
        x, y = x + way * math.cos(heading), y + way * math.sin(heading)
        points.append((x, y, feed))
    return points


def legs_of(case):
    """Length, direction and limits of each leg, all axes alike."""
    legs, before = [], (0.0, 0.0)
    for x, y, feed in case["points"]:
        way = (x - before[0], y - before[1])
        length = math.hypot(*way)
        unit = (way[0] / length, way[1] / length)
        largest = max(abs(unit[0]), abs(unit[1]))
        legs.append(
            {
                "length": length,
                "unit": unit,
                "speed": min(feed / 60, case["speed"] / largest),
                "acceleration": case["acceleration"] / largest,
                "jerk": case["jerk"] / largest,
            }
        )
        before = (x, y)
    return legs


def corner_speed(before, after, case):
    cos = before["unit"][0] * after["unit"][0] + before["unit"][1] * after["unit"][1]
    turn = math.acos(max(-1.0, min(1.0, cos)))
    if turn < 1e-9:
        return math.inf
    half = turn / 2
    by_tolerance = case["tolerance"] * math.cos(half) / (1 - math.cos(half))
    by_leg = 0.5 * min(before["length"], after["length"]) / math.tan(half)
    normals = [
        tuple((after["unit"][k] - before["unit"][k] * cos) / math.sin(turn) for k in range(2)),
        tuple((after["unit"][k] * cos - before["unit"][k]) / math.sin(turn) for k in range(2)),
        tuple((after["unit"][k] - before["unit"][k]) / (2 * math.sin(half)) for k in range(2)),
    ]
    largest = max(abs(part) for normal in normals for part in normal)
    return math.sqrt(case["acceleration"] / largest * min(by_tolerance, by_leg))


def least_time(case):
    legs = legs_of(case)
    whole = sum(leg["length"] for leg in legs)
    pieces, caps = [], [0.0]
    for index, leg in enumerate(legs):
        count = max(2, round(leg["length"] / whole * PIECES))
        marks = [(1 - math.cos(math.pi * k / count)) / 2 * leg["length"] for k in range(count + 1)]
        for k in range(count):
            pieces.append((marks[k + 1] - marks[k], leg))
            caps.append(leg["speed"])
        if index + 1 < len(legs):
            following = legs[index + 1]
            caps[-1] = min(caps[-1], following["speed"], corner_speed(leg, following, case))
    caps[-1] = 0.0
    # Start values: the plan limited by acceleration only, slowed down.
    start = list(caps)
    for order in (range(len(pieces)), reversed(range(len(pieces)))):
        for k in order:
            length, leg = pieces[k]
            ends = (k, k + 1) if isinstance(order, range) else (k + 1, k)
            reach = math.sqrt(start[ends[0]] ** 2 + leg["acceleration"] * length)
            start[ends[1]] = min(start[ends[1]], reach)
    problem = casadi.Opti()
    speed = problem.variable(len(caps))
    acceleration = problem.variable(len(caps))
    time = problem.variable(len(pieces))
    problem.minimize(casadi.sum1(time))
    for k, (length, leg) in enumerate(pieces):
        a, b, t = acceleration[k], acceleration[k + 1], time[k]
        problem.subject_to(speed[k + 1] == speed[k] + 0.5 * (a + b) * t)
        problem.subject_to(length == speed[k] * t + (a / 3 + b / 6) * t**2)
        problem.subject_to(problem.bounded(-leg["jerk"] * t, b - a, leg["jerk"] * t))
        for end in (a, b):
            problem.subject_to(problem.bounded(-leg["acceleration"], end, leg["acceleration"]))
        problem.subject_to(t >= 0.999 * length / leg["speed"])
        problem.set_initial(t, length / max(0.4 * (start[k] + start[k + 1]), 1.0))
    problem.subject_to(problem.bounded(0, speed, caps))
    problem.subject_to(acceleration[0] == 0)
    problem.subject_to(acceleration[len(caps) - 1] == 0)
    problem.set_initial(speed, [0.8 * s for s in start])
    quiet = {"print_level": 0, "sb": "yes", "max_iter": 3000, "tol": 1e-8}
    problem.solver("ipopt", {"print_time": False}, quiet)
    return float(problem.solve().value(casadi.sum1(time)))


def compute():
    rng = random.Random(SEED)
    cases = []
    for index in range(27):
        acceleration = rng.uniform(500, 3000)
        make = (random_polyline, wave, walk)[index % 3]
        case = {
            "kind": make.__name__,
            "points": make(rng),
            "speed": rng.uniform(200, 1000),
            "acceleration": acceleration,
            "jerk": acceleration * (12, 30, 80)[index // 3 % 3],
            "tolerance": 0.05,
        }
        cases.append(case | {"time": least_time(case)})
        print(index, case["kind"], cases[-1]["time"], flush=True)
    return {
        "library": "casadi (IPOPT)",
        "version": casadi.__version__,
        "python": platform.python_version(),
        "seed": SEED,
        "units": "mm, s; feed mm/min",
        "pieces": PIECES,
        "cases": cases,
    }


def main():
    target = Path(__file__).with_suffix(".json")
    found = compute()
    if "--check" in sys.argv:
        stored = json.loads(target.read_text())
        for old, new in zip(stored["cases"], found["cases"], strict=True):
            assert math.isclose(old["time"], new["time"], rel_tol=1e-5), (old["time"], new["time"])
        print("the stored values agree")
    else:
        target.write_text(json.dumps(found) + "\n")


main()
