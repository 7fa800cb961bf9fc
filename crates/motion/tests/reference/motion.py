"""Outside reference for kw-motion: times of jerk-limited moves by a general-purpose library.

Run by hand, never by the tests:

    pip install -r requirements.txt
    python motion.py            # writes motion.json
    python motion.py --check    # recomputes and compares

Each case is one length along a path with limits on speed, acceleration and jerk, from one speed to
another with no acceleration at either end; the value is the least time in s. The straight moves in
space are solved with all three axes at once, kept on the straight line by the library.
"""

import json
import math
import platform
import random
import sys
from pathlib import Path

import ruckig

SEED = 20250310


def least_time(axes):
    """axes: list of (length, speed limit, acceleration, jerk, entry, exit)."""
    solver = ruckig.Ruckig(len(axes))
    given = ruckig.InputParameter(len(axes))
    columns = list(zip(*axes))
    given.current_position = [0.0] * len(axes)
    given.target_position = list(columns[0])
    given.max_velocity = list(columns[1])
    given.max_acceleration = list(columns[2])
    given.max_jerk = list(columns[3])
    given.current_velocity = list(columns[4])
    given.target_velocity = list(columns[5])
    given.synchronization = ruckig.Synchronization.Phase
    trajectory = ruckig.Trajectory(len(axes))
    result = solver.calculate(given, trajectory)
    assert result in (ruckig.Result.Working, ruckig.Result.Finished), result
    return trajectory.duration


def spread(rng, low, high):
    return low * (high / low) ** rng.random()


def limits(rng):
    acceleration = spread(rng, 200, 8000)
    return spread(rng, 5, 1500), acceleration, acceleration * spread(rng, 3, 300)


def single(rng):
    speed, acceleration, jerk = limits(rng)
    return {
        "length": spread(rng, 0.01, 3000),
        "speed": speed,
        "acceleration": acceleration,
        "jerk": jerk,
    }


def ramp_length(low, high, acceleration, jerk):
    change = high - low
    full = change * jerk >= acceleration**2
    time = change / acceleration + acceleration / jerk if full else 2 * math.sqrt(change / jerk)
    return 0.5 * (low + high) * time


def between(rng):
    case = single(rng)
    entry, leave = (case["speed"] * rng.random() for _ in range(2))
    need = ramp_length(min(entry, leave), max(entry, leave), case["acceleration"], case["jerk"])
    case["length"] = need * spread(rng, 1.01, 30)
    return case | {"entry": entry, "exit": leave}


def straight(rng):
    """A move in space; one axis has the least limits, so that it alone decides."""
    speed, acceleration, jerk = limits(rng)
    way = [rng.uniform(-400, 400) for _ in range(3)]
    leading = max(range(3), key=lambda k: abs(way[k]))
    more = [1.0 if k == leading else rng.uniform(1, 3) for k in range(3)]
    return {
        "way": way,
        "speed": [speed * m for m in more],
        "acceleration": [acceleration * m for m in more],
        "jerk": [jerk * m for m in more],
    }


def value(case):
    if "way" in case:
        columns = (case["way"], case["speed"], case["acceleration"], case["jerk"])
        return least_time([(*axis, 0.0, 0.0) for axis in zip(*columns)])
    ends = (case.get("entry", 0.0), case.get("exit", 0.0))
    keys = ("length", "speed", "acceleration", "jerk")
    return least_time([tuple(case[k] for k in keys) + ends])


def compute():
    rng = random.Random(SEED)
    makers = {"rest_to_rest": (single, 60), "speed_to_speed": (between, 60), "straight": (straight, 30)}
    topics = {}
    for name, (make, count) in makers.items():
        cases = [make(rng) for _ in range(count)]
        topics[name] = [case | {"time": value(case)} for case in cases]
    return {
        "library": "ruckig",
        "version": ruckig.__version__,
        "python": platform.python_version(),
        "seed": SEED,
        "units": "mm, s",
        "relative_tolerance": 1e-6,
        **topics,
    }


def main():
    target = Path(__file__).with_suffix(".json")
    found = compute()
    if "--check" in sys.argv:
        stored = json.loads(target.read_text())
        for topic in ("rest_to_rest", "speed_to_speed", "straight"):
            for old, new in zip(stored[topic], found[topic], strict=True):
                assert math.isclose(old["time"], new["time"], rel_tol=1e-9), (old, new)
        print("the stored values agree")
    else:
        target.write_text(json.dumps(found, indent=1) + "\n")


main()
