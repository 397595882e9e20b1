"""Goes on fuzzing from where the last night ended: every target, without sanitizers, then with them.

usage: nightly.py [--kept FOLDER] [--fast BUILD] [--sanitized BUILD] [--seconds N] [--executions N]
                  [--share PERCENT] [TARGET …]

Each target runs for --seconds (600), or until it was executed --executions times more, from
tests/fuzz/corpus/TARGET and FOLDER/corpus/TARGET (build-fuzz-kept/). What is new goes into the
latter, which then is minimised. The build with sanitizers executes all that is kept and --share (10)
percent as many inputs besides. FOLDER/counts.json counts over all nights.

exit status: 0 nothing was found; 1 something was: the inputs are in FOLDER/found; 2 it could not run.
"""
import argparse
import fcntl
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import time

SOURCE = pathlib.Path(__file__).resolve().parent.parent.parent
# The longest input, bytes, and the dictionary.
TARGETS = {"duration": (96, "duration"), "sequence_card": (2048, "toml"), "site": (2048, "toml"),
           "study": (2048, "toml"), "setup": (2048, "toml"), "response": (4096, "toml"),
           "table": (4096, "table"), "sidecar": (2048, "sidecar"), "waveform": (4096, "waveform"), "nifti": (2048, None),
           "protector_catalogue": (3072, "toml"), "plan": (4096, "toml"),
           "recording": (16384, "recording"), "session_body": (8192, "session_body"), "joblog": (4096, None),
           "desk": (8192, None)}
# Each input, also with sanitizers; bounds.hpp is far stricter.
LIMITS = ["-timeout=60", "-malloc_limit_mb=1024", "-rss_limit_mb=2048"]
# Neither weighing rare features nor comparing numbers pays: half as many inputs go through.
QUICK = ["-entropic=0", "-reload=0", "-use_cmp=0", "-print_final_stats=1", "-verbosity=1"]


def run(words, log):
    """The exit status. What a build counts of lines reached goes beside the log."""
    log.write(f"+ {' '.join(map(str, words))}\n".encode())
    log.flush()
    return subprocess.run(words, stdout=log, stderr=subprocess.STDOUT, check=False,
                          env={**os.environ, "LLVM_PROFILE_FILE": f"{log.name}.profraw"}).returncode


def executed(log):
    """In the last run that a log has; without a last word, the last one said."""
    said = log.read_bytes().rpartition(b"\n+ ")[2]
    found = (re.findall(rb"stat::number_of_executed_units: (\d+)", said)
             or re.findall(rb"^#(\d+)\t", said, re.M))
    return int(found[-1]) if found else 0


class Night:
    def __init__(self, options):
        self.options = options
        self.kept = options.kept.resolve()
        self.counts_file = self.kept / "counts.json"
        self.found = self.kept / "found"
        self.found.mkdir(parents=True, exist_ok=True)

    def count(self, target, kind, number, seconds):
        """Two of these may run at the same time, on other targets."""
        with open(self.kept / "counts.lock", "w", encoding="utf-8") as lock:
            fcntl.flock(lock, fcntl.LOCK_EX)
            counts = json.loads(self.counts_file.read_text()) if self.counts_file.exists() else {}
            of = counts.setdefault(target, {}).setdefault(kind, {"executions": 0, "seconds": 0})
            of["executions"] += number
            of["seconds"] = round(of["seconds"] + seconds, 1)
            half = self.counts_file.with_suffix(".new")
            half.write_text(json.dumps(counts, indent=2) + "\n")
            half.rename(self.counts_file)

    def fuzz(self, target, kind, build, amount):
        """Returns how it ended. `amount` is executions or, with a point, seconds."""
        longest, dictionary = TARGETS[target]
        corpus, committed = self.kept / "corpus" / target, SOURCE / "tests/fuzz/corpus" / target
        corpus.mkdir(parents=True, exist_ok=True)
        how_long = f"-runs={amount}" if isinstance(amount, int) else f"-max_total_time={int(amount)}"
        words = [build / f"tests/fuzz/fuzz_{target}", corpus, committed, how_long, f"-max_len={longest}",
                 f"-artifact_prefix={self.found}/{target}-", *LIMITS, *QUICK]
        if dictionary:
            words.append(f"-dict={SOURCE}/tests/fuzz/{dictionary}.dict")
        log = self.kept / f"{target}-{kind}.log"
        began = time.monotonic()
        with open(log, "ab") as to:
            status = run(words, to)
        number = executed(log)
        self.count(target, kind, number, time.monotonic() - began)
        print(f"{target}, {kind}: {number} executions, status {status}", flush=True)
        return number, status

    def minimise(self, target, build):
        """What reaches something that nothing smaller does; a merge that fails leaves all."""
        corpus = self.kept / "corpus" / target
        smaller = self.kept / "corpus" / f"{target}.new"
        shutil.rmtree(smaller, ignore_errors=True)
        smaller.mkdir()
        with open(self.kept / f"{target}-merge.log", "ab") as log:
            status = run([build / f"tests/fuzz/fuzz_{target}", "-merge=1", smaller, corpus, *LIMITS],
                         log)
        if status == 0 and any(smaller.iterdir()):
            shutil.rmtree(corpus)
            smaller.rename(corpus)
        else:
            shutil.rmtree(smaller)

    def joblog(self):
        """The reader of earbudget-collect is Python: mutations of its own, in one process."""
        log = self.kept / "joblog.log"
        amount = (["--executions", str(self.options.executions)] if self.options.executions
                  else ["--seconds", str(self.options.seconds)])
        began = time.monotonic()
        with open(log, "ab") as to:
            status = run([sys.executable, "-B", SOURCE / "tests/fuzz/joblog.py", SOURCE,
                          "--found", self.found, *amount], to)
        number = executed(log)
        self.count("joblog", "python", number, time.monotonic() - began)
        print(f"joblog: {number} executions, status {status}", flush=True)
        return status

    def target(self, target):
        if target == "joblog":
            return self.joblog() == 0
        number, status = self.fuzz(target, "fast", self.options.fast.resolve(),
                                   self.options.executions or float(self.options.seconds))
        if status != 0:
            return False
        self.minimise(target, self.options.fast.resolve())
        if not self.options.share:
            return True
        share = max(1, number * self.options.share // 100)
        kept = len(list((self.kept / "corpus" / target).iterdir()))
        return self.fuzz(target, "sanitized", self.options.sanitized.resolve(), share + kept)[1] == 0


def main():
    parser = argparse.ArgumentParser(usage=__doc__.partition("usage: ")[2].partition("\n\n")[0])
    parser.add_argument("--kept", type=pathlib.Path, default=SOURCE / "build-fuzz-kept")
    parser.add_argument("--fast", type=pathlib.Path, default=SOURCE / "build-fuzz-fast")
    parser.add_argument("--sanitized", type=pathlib.Path, default=SOURCE / "build-fuzz")
    parser.add_argument("--seconds", type=int, default=600)
    parser.add_argument("--executions", type=int)
    parser.add_argument("--share", type=int, default=10)
    parser.add_argument("targets", nargs="*", choices=[[], *TARGETS], metavar="TARGET")
    options = parser.parse_args()
    night = Night(options)
    bad = [target for target in options.targets or TARGETS if not night.target(target)]
    if bad:
        sys.exit(f"found in {', '.join(bad)}: see {night.found} and the logs in {night.kept}")


if __name__ == "__main__":
    try:
        main()
    except OSError as error:
        print(f"cannot run: {error}; accepted: builds of the presets fuzz-fast and fuzz",
              file=sys.stderr)
        sys.exit(2)
