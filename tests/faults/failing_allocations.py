"""Allocations that fail, one after the other, in every command.

failing_allocations.py PROGRAM LIBRARY ROOT [TRIES [COMMAND]] runs commands with the library fail_calls loaded
before all others, and lets the N-th allocation fail, of C++ and of C, alone or with all that follow.
Whatever fails, the program prints what it prints otherwise, or ends with status 3, one line on
standard error and every file as it was. TRIES (4 in the suite) is how many N are tried of each kind
in each command, or those of COMMAND alone, spread over all there are; 5000 try nearly all, in some
hours.

What may end otherwise, by SIGSEGV, is only what libraries in C do when they read recordings, see
docs/security.md: such ends are counted and printed. `measure` therefore tries each C allocation.
"""

import collections
import concurrent.futures
import os
import pathlib
import re
import shutil
import signal
import subprocess
import sys
import tempfile

DATE = ["--date", "2026-01-31"]
LEVEL = ["--full-scale-level", "130"] + DATE
PLAN = "plan.toml"
OUTPUTS = ["card.toml", "history.csv", "report.json", "report.txt", "report.html"]
SOUNDS = ["pcm-24.flac", "rf64.wav", "alaw.wav", "s8.aiff", "alac-16.caf", "opus.ogg", "tone.mp3"]
FAULT = 3
CRASH = f"signal {int(signal.SIGSEGV)}"


def commands():
    yield ["--version"]
    yield ["--help"]
    yield ["measure", "--help"]
    yield ["asess", PLAN]
    yield ["assess", "protectors.toml"]
    yield ["assess", "mistakes.toml"]
    yield ["assess", PLAN] + DATE
    yield ["assess", PLAN, "--format", "json", "--working"] + DATE
    yield ["assess", PLAN, "--output", "report.html", "--force"] + DATE
    yield ["choose", PLAN, "--output", "report.txt", "--force"] + DATE
    yield ["ratings", "protectors.toml"] + DATE
    yield ["review", "cards/epi-2mm.toml", "--protectors", "protectors.toml"] + DATE
    yield ["predict", "waveforms/epi-2mm.seq", "--format", "json", "--rotate", "z:30"] + DATE
    for sound in SOUNDS:
        yield ["measure", sound, "--format", "json"] + LEVEL
    yield ["measure", "localiser.flac", "--card", "card.toml", "--history", "history.csv",
           "--output", "report.json", "--force"] + LEVEL
    yield ["measure", "localiser.flac", "--card", "card.toml", "--history", "history.csv",
           "--force"] + LEVEL


class Trial:
    """A copy of the demo, in which one command is run again and again."""

    def __init__(self, program, library, source, words):
        self.program, self.library, self.words = program, library, words
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="earbudget-"))
        shutil.copytree(source, self.folder / "study")
        self.count = self.folder / "count"
        self.expected = None

    def close(self):
        shutil.rmtree(self.folder)

    def reset(self):
        for name in OUTPUTS:
            (self.folder / "study" / name).write_text("the old one")

    def run(self, which):
        self.reset()
        environment = dict(os.environ, LD_PRELOAD=self.library, EARBUDGET_FAIL=which,
                           EARBUDGET_FAIL_COUNT=str(self.count))
        done = subprocess.run([self.program, *self.words], cwd=self.folder / "study",
                              env=environment, capture_output=True, check=False)
        files = {path.name: path.read_bytes() for path in (self.folder / "study").iterdir()
                 if path.is_file()}
        return done.returncode, done.stdout, done.stderr, files

    def number_of(self, kind):
        self.expected = self.run(f"{kind}:0")
        return int(self.count.read_text())

    def what_is_wrong(self, which, before):
        """None where all is as it should be, else what is not."""
        status, output, errors, files = self.run(which)
        if (status, output, errors, files) == self.expected:
            return None
        if status < 0:
            return f"signal {-status}"
        if status != FAULT:
            return f"status {status}: {errors[-200:]!r}"
        if output not in (b"", self.expected[1]):
            return "half of a report on standard output"
        if files not in (before, self.expected[3]):
            return "files are neither as before nor as they should be"
        lines = errors.decode().splitlines()
        notes = self.expected[2].decode().splitlines()
        if not lines or not lines[-1].startswith("earbudget: ") or any(
                line not in notes for line in lines[:-1]):
            return f"says {errors[-200:]!r}"
        return None


def spread(number, tries):
    """So many of 1 to `number`, the first and the last among them."""
    if number <= tries:
        return list(range(1, number + 1))
    return sorted({1 + round(n * (number - 1) / (tries - 1)) for n in range(tries)})


def try_all(trial, tries):
    """What went wrong, by what it was; and how many were tried."""
    wrong = collections.defaultdict(list)
    tried = 0
    reads_sound = trial.words[0] == "measure" and "--help" not in trial.words
    for kind in ("new", "c-allocation"):
        number = trial.number_of(kind)
        trial.reset()
        before = {path.name: path.read_bytes() for path in (trial.folder / "study").iterdir()
                  if path.is_file()}
        for end in ("", "+"):
            of_library = reads_sound and kind == "c-allocation"
            for n in spread(number, 100 * tries if of_library and not end else tries):
                tried += 1
                what = trial.what_is_wrong(f"{kind}:{n}{end}", before)
                if what:
                    whose = "library" if of_library and what == CRASH else "own"
                    wrong[(whose, what)].append(f"{kind}:{n}{end}")
    return tried, wrong


def prepare(root, folder):
    shutil.copytree(root / "sequences/saltmarsh", folder)
    shutil.copy(root / "recordings/localiser.flac", folder)
    for sound in SOUNDS:
        shutil.copy(root / "tests/fuzz/corpus/recording" / sound, folder)
    plan = (folder / PLAN).read_text()
    mistakes = re.sub(r"^wears = .*$", 'wears = ["nobodys"]', plan, flags=re.M)
    (folder / "mistakes.toml").write_text(mistakes.replace("title", "titel", 1))


def main():
    program, library = (os.path.abspath(path) for path in sys.argv[1:3])
    root = pathlib.Path(sys.argv[3])
    tries = int(sys.argv[4]) if len(sys.argv) > 4 else 4
    with tempfile.TemporaryDirectory() as scratch:
        source = pathlib.Path(scratch) / "study"
        prepare(root, source)
        trials = [Trial(program, library, source, words) for words in commands()
                  if len(sys.argv) < 6 or words[0] == sys.argv[5]]
        with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
            results = list(pool.map(lambda trial: try_all(trial, tries), trials))
    own = 0
    ends_of_libraries = 0
    for trial, (_, wrong) in zip(trials, results):
        trial.close()
        for (whose, what), where in wrong.items():
            print(f"{whose}: {' '.join(trial.words)}: {what}: {', '.join(where[:20])}")
            own += len(where) if whose == "own" else 0
            ends_of_libraries += len(where) if whose == "library" else 0
    tried = sum(number for number, _ in results)
    print(f"{tried} allocations failed, {own} not borne, {ends_of_libraries} not by libraries")
    # Fewer would mean that the library was not loaded.
    sys.exit(1 if own > 0 or tried < 100 else 0)


if __name__ == "__main__":
    main()
