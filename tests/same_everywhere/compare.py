"""The same numbers from several builds of the program, on one processor and on all.

compare.py PROGRAM... runs every command on the demo with each program, and with the first one bound
to a single processor, and compares what they print with what the first one prints. Text, pages and
JSON must be the same bytes, but for measuring: there sums of millions of single-precision numbers
may be rounded in another order, and a level that is printed to a thousandth of a decibel may differ
by one.
"""

import json
import math
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]
PLAN = "sequences/saltmarsh/plan.toml"
CATALOGUE = "sequences/saltmarsh/protectors.toml"
CARDS = ["sequences/saltmarsh/cards/epi-2mm.toml", "sequences/saltmarsh/cards/gre-3d.toml"]
DATE = ["--date", "2026-01-31"]

# Printed to a thousandth of a decibel, or of a second.
LAST_DIGIT = 0.001
ALLOWED_IN_MEASURING = 1.01 * LAST_DIGIT


def commands():
    """Name, words and whether its numbers come from sums over samples."""
    for form in ("text", "json", "html"):
        out = ["--format", form] + DATE
        yield f"assess {form}", ["assess", PLAN, "--working"] + out, False
        yield f"choose {form}", ["choose", PLAN] + out, False
        yield f"review {form}", ["review", *CARDS, "--protectors", CATALOGUE] + out, False
    yield "sheet", ["assess", PLAN, "--sheet", "--format", "html"] + DATE, False
    yield "seed", ["assess", PLAN, "--seed", "20", "--format", "json"] + DATE, False
    yield "ratings", ["ratings", CATALOGUE, "--format", "json"] + DATE, False
    yield "predict", ["predict", "sequences/saltmarsh/waveforms/epi-2mm.seq", "--format", "json"] + DATE, False
    recordings = sorted(str(path.relative_to(ROOT)) for path in ROOT.glob("recordings/*.flac"))
    yield (
        "measure",
        ["measure", *recordings, "--calibration", "recordings/calibrator.flac",
         "--calibrator-level", "114", "--background", "recordings/background.flac",
         "--format", "json"] + DATE,
        True,
    )


def output_of(program, words, one_processor):
    command = [program, *words]
    if one_processor:
        command = ["taskset", "--cpu-list", str(min(os.sched_getaffinity(0)))] + command
    done = subprocess.run(command, cwd=ROOT, capture_output=True, check=False)
    if done.returncode not in (0, 1) or not done.stdout:
        sys.exit(f"{' '.join(command)}: status {done.returncode}: {done.stderr.decode()}")
    return done.stdout


def differences(first, second, where=""):
    """Differences of two JSON values: numbers by how much, anything else by infinity."""
    if isinstance(first, dict) and isinstance(second, dict) and first.keys() == second.keys():
        for key in first:
            yield from differences(first[key], second[key], f"{where}/{key}")
    elif isinstance(first, list) and isinstance(second, list) and len(first) == len(second):
        for index, (a, b) in enumerate(zip(first, second)):
            yield from differences(a, b, f"{where}/{index}")
    elif isinstance(first, float) and isinstance(second, float):
        if first != second:
            yield where, abs(first - second)
    elif first != second or type(first) is not type(second):
        yield where, math.inf


def is_same(name, measured, first, second):
    if first == second:
        return True
    if not measured:
        lines = zip(first.splitlines(), second.splitlines())
        for number, (a, b) in enumerate(lines, 1):
            if a != b:
                print(f"{name}: line {number}\n  {a[:300]!r}\n  {b[:300]!r}")
                break
        return False
    found = list(differences(json.loads(first), json.loads(second)))
    beyond = [place for place in found if place[1] > ALLOWED_IN_MEASURING]
    most = max((by for _, by in found), default=0.0)
    print(f"{name}: the bytes differ, {len(found)} values too, the most by {most:.3g}")
    for place, by in beyond[:5]:
        print(f"  {place}: by {by}")
    return not beyond


def harness_finds_a_difference():
    a = b'{"LAeq_dB": 80.001, "code": "x"}'
    return (
        is_same("", True, a, a.replace(b"80.001", b"80.002"))
        and not is_same("", True, a, a.replace(b"80.001", b"80.003"))
        and not is_same("", True, a, a.replace(b"x", b"y"))
        and not is_same("", False, a, a.replace(b"80.001", b"80.002"))
    )


def main():
    programs = sys.argv[1:]
    if not programs or not shutil.which("taskset"):
        sys.exit(f"{__doc__}\ntaskset is Debian's util-linux")
    with tempfile.TemporaryFile("w") as unseen:
        seen, sys.stdout = sys.stdout, unseen
        found = harness_finds_a_difference()
        sys.stdout = seen
    if not found:
        sys.exit("the comparison itself does not find differences")
    runs = [(programs[0], True)] + [(program, False) for program in programs[1:]]
    good = True
    for name, words, measured in commands():
        first = output_of(programs[0], words, False)
        for program, one_processor in runs:
            second = output_of(program, words, one_processor)
            label = f"{name}, {program}{', one processor' if one_processor else ''}"
            good = is_same(label, measured, first, second) and good
    print("the same everywhere" if good else "not the same")
    sys.exit(0 if good else 1)


if __name__ == "__main__":
    main()
