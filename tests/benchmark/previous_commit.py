"""What a change costs: the program against the same program built from an earlier commit.

previous_commit.py PROGRAM SOURCE BUILD [COMMIT] builds COMMIT (HEAD while the work tree differs from
it, else the one before) in BUILD/previous, runs commands with both programs in turn, and prints the
medians of whole processes and their ratio. Prints; a slower program is no failure.
"""

import os
import pathlib
import random
import resource
import statistics
import subprocess
import sys
import tempfile
import time
import wave

RUNS = 11
STATUS_OF_RESULTS = (0, 1)


def git(source, *words):
    done = subprocess.run(["git", "-C", source, *words], check=True, capture_output=True, text=True)
    return done.stdout.strip()


def build(source, build_folder, commit):
    """The program of that commit."""
    checkout = build_folder / "source"
    if checkout.exists():
        git(checkout, "checkout", "--quiet", "--detach", commit)
    else:
        git(source, "worktree", "add", "--quiet", "--force", "--detach", str(checkout), commit)
    out = build_folder / "build"
    subprocess.run(
        ["cmake", "-S", checkout, "-B", out, "-G", "Ninja", "-DCMAKE_BUILD_TYPE=Release",
         "-DEARBUDGET_TESTS=OFF"], check=True, stdout=subprocess.DEVNULL)
    subprocess.run(["cmake", "--build", out, "--target", "earbudget_program"], check=True,
                   stdout=subprocess.DEVNULL)
    return out / "earbudget"


def write_noise(path):
    """Three minutes, 48 kHz, 24 bits: the same noise in every run."""
    with wave.open(path, "wb") as sound:
        sound.setnchannels(1)
        sound.setsampwidth(3)
        sound.setframerate(48000)
        sound.writeframes(random.Random(1).randbytes(3 * 48000 * 180))


def cost_of(program, words, source):
    """Wall and processor seconds of one run."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    done = subprocess.run([program, *words], cwd=source, stdout=subprocess.DEVNULL, check=False)
    wall = time.perf_counter() - start
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    if done.returncode not in STATUS_OF_RESULTS:
        sys.exit(f"{program} {' '.join(words)}: status {done.returncode}")
    used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return wall, used


def compare(name, words, now, earlier, source):
    costs = {now: [], earlier: []}
    for run in range(RUNS):
        for program in (now, earlier) if run % 2 == 0 else (earlier, now):
            costs[program].append(cost_of(program, words, source))
    median = {p: [statistics.median(c) for c in zip(*of)] for p, of in costs.items()}
    (wall, used), (wall_before, used_before) = median[now], median[earlier]
    print(f"  {name:<24}{wall:9.3f}{wall_before:9.3f}{wall / wall_before:8.2f}"
          f"{used:9.3f}{used_before:9.3f}{used / used_before:8.2f}", flush=True)


def main():
    if len(sys.argv) not in (4, 5):
        sys.exit(__doc__)
    try:
        git(sys.argv[2], "rev-parse", "--verify", sys.argv[4] if len(sys.argv) == 5 else "HEAD~1")
    except (OSError, subprocess.CalledProcessError):
        sys.exit("no comparison with an earlier commit: this is no git repository that has one")
    now, source, build_folder = sys.argv[1], sys.argv[2], pathlib.Path(sys.argv[3]) / "previous"
    changed = git(source, "status", "--porcelain", "--untracked-files=no")
    commit = sys.argv[4] if len(sys.argv) == 5 else ("HEAD" if changed else "HEAD~1")
    commit = git(source, "rev-parse", "--short", commit)
    build_folder.mkdir(parents=True, exist_ok=True)
    print(f"Against commit {commit}, which is built first", flush=True)
    earlier = str(build(source, build_folder, commit))
    plan = "sequences/saltmarsh/plan.toml"
    with tempfile.TemporaryDirectory() as folder:
        noise = os.path.join(folder, "noise.wav")
        write_noise(noise)
        print(f"Whole processes, median of {RUNS}, in turn\n"
              f"  {'':<24}{'wall, s':>9}{'before':>9}{'ratio':>8}{'CPU, s':>9}{'before':>9}{'ratio':>8}")
        compare("measure 3 minutes", ["measure", noise, "--full-scale-level", "120"], now, earlier,
                source)
        compare("assess the demo", ["assess", plan], now, earlier, source)
        compare("choose, the demo", ["choose", plan], now, earlier, source)
        card = "sequences/saltmarsh/cards/epi-2mm.toml"
        compare("review a card", ["review", card], now, earlier, source)


if __name__ == "__main__":
    main()
