"""Times and memory of the program, each against something else in the same run.

benchmark.py SOURCE BUILD [--runs N] [--only GROUP] [--skip-previous] [--skip-long] prints a short
table and writes BUILD/benchmark.json, whose keys DEVELOPERS.md explains. A missed target is no
failure; on a busy machine none is judged.
"""

import argparse
import json
import os
import pathlib
import subprocess
import sys
import tempfile

import growth
import previous_commit
import timing
import workloads

QUICK_S = 0.06  # so short a process is run five times as often


def side_of(cost, other):
    return {f"{key}_ratio": round(cost[f"{key}_s"] / max(other[f"{key}_s"], 1e-6), 4)
            for key in ("wall", "CPU")}


def timed(workload, place, runs):
    """A workload's figures: today's, those of what it is held against, and those of the commit before."""
    commands = {"now": workload.now}
    if workload.reference:
        commands["reference"] = workload.reference
    if place.before and workload.before:
        commands["before"] = workload.before
    try:
        quick = commands["now"]()["wall_s"] < QUICK_S
        medians = timing.in_turn(commands, runs * 5 if quick else runs)
    except (RuntimeError, OSError) as error:
        return {"name": workload.name, "left_out": str(error)}
    now = medians["now"]
    figures = {"name": workload.name, "runs": runs * 5 if quick else runs,
               **{key: round(value, 6) for key, value in now.items()}}
    if "reference" in medians:
        figures |= {"reference": workload.reference_name, **side_of(now, medians["reference"])}
    if "before" in medians:
        figures["before"] = side_of(now, medians["before"])
    if workload.target:
        figures["target"] = dict(zip(("figure", "is", "value"), workload.target))
    return figures


def add_flac(measures):
    """FLAC against its decoding plus the work that WAV takes: of four medians of the same run."""
    cost = {m["name"]: m for m in measures if "wall_s" in m}
    names = ("measure, FLAC", "measure, mono")
    if not all(name in cost for name in names):
        return
    flac, wav = (cost[name] for name in names)
    for key in ("wall", "CPU"):
        read = [c[f"{key}_s"] / c[f"{key}_ratio"] for c in (flac, wav)]
        flac[f"{key}_ratio"] = round(flac[f"{key}_s"] / (read[0] + wav[f"{key}_s"] - read[1]), 4)
    flac["reference"] = "decoding it plus the work for WAV"


def judge(result):
    """Says of each target whether it is met, or nothing on a busy machine."""
    for m in result["measures"] + result["growth"]:
        target = m.get("target")
        if not target or target["figure"] not in m:
            continue
        value = m[target["figure"]]
        met = value <= target["value"] if target["is"] == "at most" else value >= target["value"]
        m["met"] = met if result["machine"]["quiet"] else None


def target_text(m):
    target = m.get("target")
    if not target:
        return ""
    shown = {"wall_s": "s", "peak_MB": "MB", "slope": ""}.get(target["figure"], "times")
    verdict = {True: "met", False: "NOT MET", None: "not judged"}[m.get("met")]
    value = m.get(target["figure"])
    return f"{value:8.3f} {shown:5} {target['is']:>8} {target['value']:<6g} {verdict}"


def print_table(result):
    machine = result["machine"]
    print("Quiet machine." if machine["quiet"] else
          "BUSY MACHINE, no target is judged: " + "; ".join(machine["why_not"]))
    print(f"{machine['processors']} processors, {machine['vector']}; medians, run in turn; before: "
          f"{result['previous_commit'] or 'left out'}; all figures in {result['written']}\n")
    print(f"{'':<50}{'wall A/B':>9}{'CPU A/B':>9}{'/ before':>9}{'CPU':>7}   target")
    number = lambda m, key, width: f"{m[key]:{width}.2f}" if key in m else " " * width
    for m in result["measures"]:
        if "left_out" in m:
            print(f"{m['name']:<50} left out: {m['left_out']}")
            continue
        before = m.get("before", {})
        name = m["name"] + (f" / {m['reference']}" if "reference" in m else "")
        print(f"{name:<50}{number(m, 'wall_ratio', 9)}{number(m, 'CPU_ratio', 9)}"
              f"{number(before, 'wall_ratio', 9)}{number(before, 'CPU_ratio', 7)}   {target_text(m)}".rstrip())
    if result["growth"]:
        print("\nGrowth of CPU time without the start, slope on a double-logarithmic scale")
    for g in result["growth"]:
        if "left_out" in g:
            print(f"{g['name']:<34} left out: {g['left_out']}")
            continue
        times = " ".join(f"{size}: {s:.4f}" for size, s in zip(g["sizes"], g["CPU_s"]))
        print(f"{g['name']:<34}{g['slope']:6.2f}, steepest {g['steepest']:5.2f}  {target_text(g)}\n    {times} s")


def options():
    parser = argparse.ArgumentParser()
    parser.add_argument("source", type=pathlib.Path)
    parser.add_argument("build", type=pathlib.Path)
    parser.add_argument("--runs", type=int, default=7)
    parser.add_argument("--only", choices=[*workloads.GROUPS, "growth"])
    parser.add_argument("--skip-previous", action="store_true")
    parser.add_argument("--skip-long", action="store_true", help="no hours of sound, no thousands")
    return parser.parse_args()


def main():
    told = options()
    commit = None if told.skip_previous else previous_commit.commit_before(told.source)
    before = previous_commit.built(told.source, told.build / "previous", commit) if commit else None
    # What was just built still weighs on the load average: that is said, not waited for.
    quiet = timing.Quiet()
    measures, grown = [], []
    with tempfile.TemporaryDirectory() as folder:
        place = workloads.Place(told.source, told.build, before, pathlib.Path(folder), told.skip_long)
        for workload in workloads.all_of(place, told.only):
            print(f"  {workload.name} ...", file=sys.stderr, flush=True)
            measures.append(timed(workload, place, told.runs))
            workload.done()
            quiet.spin()
        for kind in growth.KINDS if told.only in (None, "growth") else ():
            print(f"  growth: {kind.name} ...", file=sys.stderr, flush=True)
            grown.append(growth.grown(kind, place, told.runs))
            quiet.spin()
    add_flac(measures)
    written = told.build / "benchmark.json"
    result = {"kind": "benchmark", "format": 1, "previous_commit": commit, "written": str(written),
              "machine": {"processors": os.cpu_count(), "vector": workloads.vector(),
                          "floor_MB": round(timing.floor_MB(), 1), **quiet.result()},
              "measures": measures, "growth": grown}
    judge(result)
    written.write_text(json.dumps(result, indent=1) + "\n")
    print_table(result)


if __name__ == "__main__":
    try:
        main()
    except (RuntimeError, OSError, subprocess.CalledProcessError) as error:
        sys.exit(f"benchmark: {error}")
