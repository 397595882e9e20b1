#!/usr/bin/env python3
"""Changes an operator or a constant of the library at random and lists the changes that no test notices.

    python3 tests/mutation/mutate.py --count 300 --seed 18

needs a whole build in build/, which it leaves as it is, as it does all sources: for each change one object is compiled
below build/mutants/ and linked before the library into unit tests of its own. The changed source by itself comes first,
which is quick; where its tests pass, all that the build compiles together with it is compiled anew, since there the
compiler may have put copies of the old code. Tests of the same room run first, then all unit tests. What was tried is
kept in results.jsonl there: the same command goes on where it was broken off, and --again forgets. A change that is
known to alter nothing stands in equivalent.txt with the reason. Ends with 1 where more than 5 % of the others live.
"""
import argparse
import collections
import json
import os
import pathlib
import random
import re
import shlex
import subprocess
import sys
import time

ROOMS = ["protection", "exposure", "day", "uncertainty", "limits", "choice", "review", "measuring", "advice",
         "measurement", "study"]
HERE = pathlib.Path(__file__).resolve().parent
ROOT = HERE.parent.parent

OPERATORS = [(" < ", " <= "), (" <= ", " < "), (" > ", " >= "), (" >= ", " > "), (" < ", " > "), (" > ", " < "),
             (" == ", " != "), (" != ", " == "), (" && ", " || "), (" || ", " && "), (" + ", " - "), (" - ", " + "),
             (" * ", " / "), (" / ", " * "), (" += ", " -= "), (" -= ", " += "), ("std::min(", "std::max("),
             ("std::max(", "std::min("), ("(!", "("), (" !", " "), ("true", "false"), ("false", "true")]
NUMBER = re.compile(r"(?<![\w.])(\d+\.\d+|\d+)(e-?\d+)?(?![\w.'])")
# Of an order that only says how soon a question may end.
NO_ANSWER = {"draw_order.cpp"}
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
            if source.name in NO_ANSWER:
                continue
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
    """Where changes are compiled, linked and tested."""

    def __init__(self, build, work):
        self.build, self.work, self.limits = build, work, {}
        self.tests = work / "unit_tests"
        compiled = json.loads((build / "compile_commands.json").read_text())
        self.units = [(entry["file"], shlex.split(entry["command"])) for entry in compiled
                      if "/earbudget.dir/" in entry["command"] and entry["file"].startswith(str(build))]
        told = subprocess.run(["ninja", "-C", build, "-t", "commands", "tests/unit_tests"], capture_output=True,
                              text=True, check=True).stdout.splitlines()[-1]
        self.link = shlex.split(told.split("&&")[1])

    def prepare(self):
        for name, command in self.stages("protection", self.build / "tests/unit_tests"):
            begun = time.monotonic()
            if run(command).returncode != 0:
                sys.exit(f"before any change, this fails: {' '.join(map(str, command))}")
            self.limits[name] = 60 + 5 * (time.monotonic() - begun)

    def stages(self, room, tests):
        """What is quick comes first, and each ends at its first failure."""
        return [("room", [tests, "-aa=1", f"-sf=*/tests/{room}/*"]), ("unit", [tests, "-aa=1", f"-sfe=*/tests/{room}/*"])]

    def compiles(self, source, together):
        """Compiles and links the changed source, by itself or with all that are compiled with it."""
        original = str(ROOT / source["file"])
        unit, command = next((u for u in self.units if f'"{original}"' in pathlib.Path(u[0]).read_text()), (None, None))
        if unit is None:  # compiled by itself
            sys.exit(f"no unit of the build has {source['file']}")
        text = pathlib.Path(unit).read_text() if together else f'#include "{original}"\n'
        changed = self.work / "unit.cxx"
        changed.write_text(text.replace(original, str(self.work / "changed.cpp")))
        at = command.index("-o")
        command = [*command[:at], "-o", self.work / "unit.o", "-c", changed, "-w"]
        command = [word for word in command if word not in ("-MD", "ccache")]
        while "-MT" in command:
            del command[command.index("-MT"):command.index("-MT") + 2]
        while "-MF" in command:
            del command[command.index("-MF"):command.index("-MF") + 2]
        if run(command, cwd=self.build).returncode != 0:
            return False
        first = next(i for i, word in enumerate(self.link) if word.endswith(".o"))
        link = [*self.link[:first], self.work / "unit.o", *self.link[first:], "-Wl,-z,muldefs"]
        link[link.index("-o") + 1] = self.tests
        return run(link, cwd=self.build).returncode == 0

    def who_notices(self, change):
        """The stage whose tests fail; "compiler" where it refuses the change; None where it lives."""
        lines = (ROOT / change["file"]).read_text().split("\n")
        at, old, column = change["line"] - 1, change["old"], change["column"]
        lines[at] = lines[at][:column] + change["new"] + lines[at][column + len(old):]
        (self.work / "changed.cpp").write_text("\n".join(lines))
        for together in (False, True):
            if not self.compiles(change, together):
                return "compiler"
            for name, command in self.stages(change["file"].split("/")[1], self.tests):
                try:
                    if run(command, timeout=self.limits.get(name, 900)).returncode != 0:
                        return name
                except subprocess.TimeoutExpired:
                    return name + ", without end"
        return None


def run(command, **more):
    return subprocess.run([str(word) for word in command], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, **more)


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
    parser.add_argument("--rooms", nargs="+", default=ROOMS, choices=ROOMS)
    parser.add_argument("--minutes", type=float, help="begin no change after so many")
    parser.add_argument("--build", type=pathlib.Path, default=ROOT / "build")
    parser.add_argument("--again", action="store_true", help="forget what was tried")
    parser.add_argument("--list", action="store_true", help="print the changes and try none")
    options = parser.parse_args()

    work = options.build / "mutants"
    work.mkdir(parents=True, exist_ok=True)
    changes = list(all_changes(ROOT, options.rooms))
    chosen = random.Random(options.seed).sample(changes, min(options.count, len(changes)))
    if options.list:
        for change in chosen:
            print(key_of(change))
        print(f"{len(chosen)} of {len(changes)}")
        return 0
    kept = work / "results.jsonl"
    if options.again:
        kept.unlink(missing_ok=True)
    tried = {key_of(r): r for r in map(json.loads, kept.read_text().splitlines())} if kept.exists() else {}
    bench = Bench(options.build, work)
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
