"""How times grow from 1 to 1,000 of everything that a study has many of."""

import dataclasses
from typing import Callable

import studies
import timing
import workloads

SIZES = (1, 10, 100, 1000)
MOST_PROTECTORS = 200  # a catalogue holds no more: single protectors grow to there, pairs further
SLOPE = 1.1
LEAST_S = 1e-4  # less than a process can be timed to
LONG_S = 3.0  # of so long a process three runs are enough


@dataclasses.dataclass
class Kind:
    name: str
    command: str
    study: Callable  # keys of studies.write for a size
    count: Callable = lambda size: size


PAIRS = {1: (1, 1), 10: (5, 2), 100: (10, 10), 1000: (40, 25)}
KINDS = (
    Kind("rows", "assess", lambda n: {"rows": n, "cards": n, "seconds": 20000 / n}),
    Kind("people", "assess", lambda n: {"rows": 5, "cards": 5, "people": n, "plugs": 3}),
    Kind("minutes of a day", "assess", lambda n: {"rows": 5, "cards": 5, "seconds": 12 * n}),
    Kind("candidates, single protectors", "choose", lambda n: {"rows": 10, "cards": 10, "plugs": min(n, MOST_PROTECTORS)},
         lambda n: min(n, MOST_PROTECTORS)),
    Kind("candidates with pairs", "choose",
         lambda n: {"rows": 10, "cards": 10, "plugs": PAIRS[n][0], "muffs": PAIRS[n][1]},
         lambda n: sum(PAIRS[n]) + n),
    Kind("minutes of a recording", "measure", lambda n: {"seconds": 60 * n, "rate": 16000}),
)


def words_of(kind, place, size):
    study = kind.study(size)
    if kind.command == "measure":
        return ["measure", place.sound(f"growing-{size}.wav", **study), *workloads.FULL_SCALE]
    return [kind.command, studies.write(place.folder / f"{kind.name} {size}", shift=-10, **study)]


def seconds_of(words, place, runs):
    program = place.program(*words)
    first = program.now()
    if first["wall_s"] > LONG_S:
        runs = min(runs, 3)
    return timing.in_turn({"now": program.now}, runs)["now"]["CPU_s"]


def grown(kind, place, runs):
    """Processor seconds, since several threads would hide growth, without those of the start."""
    try:
        return times_and_slope(kind, place, runs)
    except RuntimeError as error:
        return {"name": kind.name, "left_out": str(error)}


def times_and_slope(kind, place, runs):
    sizes = [size for size in SIZES if size < 1000 or not place.skip_long]
    start = seconds_of(["--version"], place, 5 * runs)
    seconds = [max(seconds_of(words_of(kind, place, size), place, runs) - start, LEAST_S) for size in sizes]
    counts = [kind.count(size) for size in sizes]
    pieces = list(zip(counts, seconds))
    return {"name": kind.name, "command": kind.command, "sizes": counts,
            "CPU_s": [round(s, 5) for s in seconds], "slope": round(timing.slope(counts, seconds), 3),
            "steepest": round(max(timing.slope(*zip(a, b)) for a, b in zip(pieces, pieces[1:])), 3),
            "target": {"figure": "slope", "is": "at most", "value": SLOPE}}
