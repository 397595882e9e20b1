#!/usr/bin/env python3
"""Changes an operator or a constant of the library at random and lists the changes that no test notices.

    python3 tests/mutation/mutate.py --count 300 --seed 18

works on a copy of the repository below build-mutants/, which it builds there the first time; --here changes the
sources of this folder one at a time and uses its build/, and puts each back. What was tried is kept in results.jsonl
beside the copy: the same command goes on where it was broken off, and --again forgets. A change that is known to
alter nothing stands in equivalent.txt with the reason. Ends with 1 where more than 5 % of the others live.

For each change: the one unit is compiled, the tests of the same room run, then all unit tests, then those of the
program. It is slow, some minutes a change, and no test of the suite.
"""
import argparse
import collections
import json
import os
import pathlib
import random
import re
import shutil
import subprocess
import sys
import time

ROOMS = ["protection", "exposure", "day", "uncertainty", "limits", "choice", "review", "measuring", "advice",
         "measurement", "study"]
STAGES = ["room", "unit", "program"]
HERE = pathlib.Path(__file__).resolve().parent
ROOT = HERE.parent.parent

OPERATORS = [(" < ", " <= "), (" <= ", " < "), (" > ", " >= "), (" >= ", " > "), (" < ", " > "), (" > ", " < "),
             (" == ", " != "), (" != ", " == "), (" && ", " || "), (" || ", " && "), (" + ", " - "), (" - ", " + "),
             (" * ", " / "), (" / ", " * "), (" += ", " -= "), (" -= ", " += "), ("std::min(", "std::max("),
             ("std::max(", "std::min("), ("(!", "("), (" !", " "), ("true", "false"), ("false", "true")]
NUMBER = re.compile(r"(?<![\w.])(\d+\.\d+|\d+)(e-?\d+)?(?![\w.'])")
# What is no rule: declarations of operators, what is printed or refused to be compiled.
NO_RULE = re.compile(r"^\s*(#|//|static_assert|using |namespace |template|enum )|operator|fmt::|nodiscard|\[\[")


def without_words(line, in_comment):
    """The line with comments and the insides of literals as blanks, so that places stay."""
    out, i = [], 0
    while i < len(line):
        if in_comment:
            end = line.find("*/", i)
            if end < 0:
                return "".join(out) + " " * (len(line) - i), True
            out.append(" " * (end + 2 - i))
            i, in_comment = end + 2, False
        elif line.startswith("//", i):
            return "".join(out) + " " * (len(line) - i), False
        elif line.startswith("/*", i):
            in_comment = True
        elif line[i] in "\"'" and not (line[i] == "'" and i and line[i - 1].isdigit()):
            end = i + 1
            while end < len(line) and line[end] != line[i]:
                end += 2 if line[end] == "\\" else 1
            out.append(" " * (min(end, len(line) - 1) + 1 - i))
            i = end + 1
        else:
            out.append(line[i])
            i += 1
    return "".join(out), in_comment


def is_whole(before, old, after):
    """No part of a longer name or operator."""
    if old in ("true", "false"):
        return not re.match(r"\w", after) and not re.search(r"\w$", before)
    return not (old.endswith("!") and after.startswith("="))


def numbers(bare):
    """A constant that is a little larger; an index or a count by one."""
    for found in NUMBER.finditer(bare):
        text = found.group(0)
        if "." in text or "e" in text:
            value = float(text)
            yield found.start(), text, repr(value * 1.03 if value else 0.03)
        else:
            yield found.start(), text, str(int(text) + 1)


def changes_of(path, text):
    """Each possible change of a source: line from 1, column from 0, old and new text."""
    in_comment, seen = False, collections.Counter()
    for number, line in enumerate(text.split("\n"), 1):
        bare, in_comment = without_words(line, in_comment)
        if NO_RULE.search(line):
            continue
        places = [(m.start(), old, new) for old, new in OPERATORS for m in re.finditer(re.escape(old), bare)]
        places = [p for p in places if is_whole(bare[:p[0]], p[1], bare[p[0] + len(p[1]):])]
        for column, old, new in places + list(numbers(bare)):
            kind = (line.strip(), old, new)
            yield {"file": path, "line": number, "column": column, "old": old, "new": new, "text": line.strip(),
                   "which": seen[kind]}
            seen[kind] += 1


def all_changes(root, rooms):
    for room in rooms:
        for source in sorted((root / "src" / room).rglob("*.cpp")):
            yield from changes_of(str(source.relative_to(root)), source.read_text())


def key_of(change):
    """What names a change though lines move: the file, its line's text, and which of the equal ones it is."""
    return " | ".join([change["file"], change["text"], f"{change['old'].strip()} -> {change['new'].strip()}",
                       str(change["which"])])


def read_equivalent():
    """Key and reason of each change that alters nothing."""
    known = {}
    lines = [line for line in (HERE / "equivalent.txt").read_text().splitlines() if line and line[0] != "#"]
    for line in lines:
        key, _, reason = line.rpartition(" | ")
        known[key] = reason
    return known


class Bench:
    """Where changes are built and tested."""

    def __init__(self, tree, build, jobs, until):
        self.tree, self.build, self.jobs, self.until = tree, build, jobs, until
        self.limits = {}

    def prepare(self):
        if not (self.build / "build.ninja").exists():
            run(["cmake", "-S", self.tree, "-B", self.build, "-G", "Ninja", "-DCMAKE_BUILD_TYPE=Release",
                 "-DEARBUDGET_TOGETHER=OFF",
                 *linker()], check=True)
        if not self.compiles():
            sys.exit("what is to be changed does not compile")
        for name, command in self.stages("protection"):
            begun = time.monotonic()
            if run(command, cwd=self.tree).returncode != 0:
                sys.exit(f"before any change, this fails: {' '.join(map(str, command))}")
            self.limits[name] = 60 + 5 * (time.monotonic() - begun)

    def compiles(self):
        program = ["earbudget_program", "end_to_end_tests"] if self.until == "program" else []
        return run(["cmake", "--build", self.build, "-j", str(self.jobs), "--target", "unit_tests",
                    *program]).returncode == 0

    def stages(self, room):
        """What is quick comes first, and each ends at its first failure."""
        unit, program = self.build / "tests/unit_tests", self.build / "tests/end_to_end_tests"
        return [("room", [unit, "-aa=1", f"-sf=*/tests/{room}/*"]),
                ("unit", [unit, "-aa=1", f"-sfe=*/tests/{room}/*"]),
                ("program", [program, "-aa=1"])][:STAGES.index(self.until) + 1]

    def who_notices(self, change):
        """The stage whose tests fail; "compiler" where it refuses the change; None where it lives."""
        path = self.tree / change["file"]
        before = path.read_text()
        lines = before.split("\n")
        at, old, column = change["line"] - 1, change["old"], change["column"]
        lines[at] = lines[at][:column] + change["new"] + lines[at][column + len(old):]
        path.write_text("\n".join(lines))
        try:
            if not self.compiles():
                return "compiler"
            for name, command in self.stages(change["file"].split("/")[1]):
                try:
                    if run(command, cwd=self.tree, timeout=self.limits.get(name, 900)).returncode != 0:
                        return name
                except subprocess.TimeoutExpired:
                    return name + ", without end"
            return None
        finally:
            path.write_text(before)


def run(command, **more):
    return subprocess.run([str(word) for word in command], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, **more)


def linker():
    return ["-DCMAKE_EXE_LINKER_FLAGS=-fuse-ld=mold"] if shutil.which("mold") else []


def copy_tree(tree):
    """The committed files alone; those that did not change keep their time, so that little is built anew."""
    names = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, check=True).stdout.split(b"\0")
    wanted = {os.fsdecode(name) for name in names if name}
    for name in wanted:
        source, copy = ROOT / name, tree / name
        if not source.exists():
            continue
        if not copy.exists() or copy.read_bytes() != source.read_bytes():
            copy.parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(source, copy)
            shutil.copymode(source, copy)
    for copy in [c for c in tree.rglob("*") if c.is_file()]:
        if str(copy.relative_to(tree)) not in wanted:
            copy.unlink()


def report(results, equivalent):
    """Prints who lived and returns whether enough were noticed."""
    tried = [r for r in results if r["by"] != "compiler"]
    lived = [r for r in tried if r["by"] is None]
    alike = [r for r in lived if key_of(r) in equivalent]
    rest = [r for r in lived if key_of(r) not in equivalent]
    for r in rest:
        print(f"LIVED {r['file']}:{r['line']}:{r['column'] + 1}: `{r['old'].strip()}` to `{r['new'].strip()}` in: {r['text']}")
    stages = {}
    for r in tried:
        stages[r["by"] or "nobody"] = stages.get(r["by"] or "nobody", 0) + 1
    real = len(tried) - len(alike)
    share = 100.0 * (real - len(rest)) / real if real else 100.0
    print(f"{len(results)} changes, {len(results) - len(tried)} do not compile, {len(alike)} known as equivalent; "
          f"of {real} others {real - len(rest)} noticed ({share:.1f} %)")
    print("noticed by " + ", ".join(f"{name}: {count}" for name, count in sorted(stages.items())))
    return share >= 95.0


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--count", type=int, default=300)
    parser.add_argument("--seed", type=int, default=18)
    parser.add_argument("--jobs", type=int, default=os.cpu_count())
    parser.add_argument("--rooms", nargs="+", default=ROOMS, choices=ROOMS)
    parser.add_argument("--until", default="program", choices=STAGES, help="run no tests beyond these")
    parser.add_argument("--minutes", type=float, help="begin no change after so many")
    parser.add_argument("--work", type=pathlib.Path, default=ROOT / "build-mutants")
    parser.add_argument("--here", action="store_true", help="change this folder's sources, and use its build/")
    parser.add_argument("--again", action="store_true", help="forget what was tried")
    parser.add_argument("--list", action="store_true", help="print the changes and try none")
    options = parser.parse_args()

    options.work.mkdir(parents=True, exist_ok=True)
    tree = ROOT if options.here else options.work / "tree"
    if not options.here:
        copy_tree(tree)
    changes = list(all_changes(tree, options.rooms))
    chosen = random.Random(options.seed).sample(changes, min(options.count, len(changes)))
    if options.list:
        for change in chosen:
            print(key_of(change))
        print(f"{len(chosen)} of {len(changes)}")
        return 0
    kept = options.work / "results.jsonl"
    if options.again:
        kept.unlink(missing_ok=True)
    tried = {key_of(r): r for r in map(json.loads, kept.read_text().splitlines())} if kept.exists() else {}
    bench = Bench(tree, ROOT / "build" if options.here else options.work / "build", options.jobs, options.until)
    bench.prepare()
    end = time.monotonic() + 60 * options.minutes if options.minutes else None
    for change in chosen:
        if end and time.monotonic() > end:
            break
        if key_of(change) in tried:
            continue
        change["by"] = bench.who_notices(change)
        tried[key_of(change)] = change
        with kept.open("a") as file:
            file.write(json.dumps(change, ensure_ascii=False) + "\n")
        print(f"{change['file']}:{change['line']} {change['old'].strip()} -> {change['new'].strip()}: "
              f"{change['by'] or 'LIVED'}", flush=True)
    enough = report([tried[key_of(c)] for c in chosen if key_of(c) in tried], read_equivalent())
    return 0 if enough else 1


if __name__ == "__main__":
    sys.exit(main())
