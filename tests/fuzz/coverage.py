"""How many lines of the readers the committed corpora reach, and which they do not.

usage: coverage.py [--fast BUILD] [--kept FOLDER] [--lines]

BUILD is of the preset fuzz-fast; with --kept what nights of fuzzing kept is executed too. Lines that
nothing there can reach stand in not_reached.txt with the reason; --lines prints the others.

exit status: 0 at least 95 % of the lines of the readers are reached; 1 fewer are.
"""
import argparse
import os
import pathlib
import subprocess
import sys
import tempfile

from nightly import SOURCE, TARGETS

# Of src/files what writes, hashes or describes names instead of reading what is in a file.
NO_READERS = {"draft_file.cpp", "output.cpp", "output_place.cpp", "replaced_file.cpp"}
LEAST_PERCENT = 95.0


def executed(build, kept, scratch):
    """The profile of every target on its corpus, merged."""
    programs = []
    for target in TARGETS:
        program = build / f"tests/fuzz/fuzz_{target}"
        if target == "joblog":  # Python
            continue
        programs.append(program)
        folders = [SOURCE / "tests/fuzz/corpus" / target]
        if kept and (kept / "corpus" / target).is_dir():
            folders.append(kept / "corpus" / target)
        subprocess.run([program, "-runs=0", "-verbosity=0", *folders], check=True,
                       env={**os.environ, "LLVM_PROFILE_FILE": f"{scratch}/{target}.profraw"})
    merged = f"{scratch}/all.profdata"
    subprocess.run(["llvm-profdata", "merge", "-sparse", "-o", merged,
                    *map(str, pathlib.Path(scratch).glob("*.profraw"))], check=True)
    others = [word for program in programs[1:] for word in ("-object", program)]
    return subprocess.run(["llvm-cov", "export", "-format=lcov", f"-instr-profile={merged}", programs[0],
                           *others, SOURCE / "src/files"], check=True, capture_output=True, text=True).stdout


def lines_of(lcov):
    """Of each file the lines that hold code, and how often each was executed."""
    files, name = {}, None
    for line in lcov.splitlines():
        key, _, value = line.partition(":")
        if key == "SF":
            name = pathlib.Path(value).name
        elif key == "DA":
            number, count = map(int, value.split(",")[:2])
            lines = files.setdefault(name, {})
            lines[number] = max(count, lines.get(number, 0))
    return files


def reasons():
    """By file the first and the last line of what nothing there reaches."""
    known = {}
    for line in (SOURCE / "tests/fuzz/not_reached.txt").read_text().splitlines():
        if line and not line.startswith("#"):
            file, first, last, _ = line.split(" | ", 3)
            known.setdefault(file, []).append((first, last))
    return known


def explained(code, regions):
    """The numbers of the lines of a file that stand in not_reached.txt."""
    def ends(line, last):
        return line.strip() == last or (last != "}" and last in line)
    numbers = set()
    for first, last in regions:
        begins = [number for number, line in enumerate(code, 1) if first in line]
        assert begins, f"not_reached.txt: no line holds {first!r} any more"
        for begin in begins:
            end = next(n for n in range(begin, len(code) + 1) if ends(code[n - 1], last))
            # The statement may begin in the line before.
            numbers.update(range(begin - code[begin - 2].rstrip().endswith(("(", "position,")), end + 1))
    return numbers


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--fast", type=pathlib.Path, default=SOURCE / "build-fuzz-fast")
    parser.add_argument("--kept", type=pathlib.Path)
    parser.add_argument("--lines", action="store_true")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as scratch:
        files = lines_of(executed(options.fast.resolve(), options.kept, scratch))
    known, reached, whole, unexplained = reasons(), 0, 0, []
    for name, lines in sorted(files.items()):
        if name in NO_READERS or not name.endswith(".cpp"):
            continue
        code = (SOURCE / "src/files" / name).read_text().splitlines()
        missed = [number for number, count in sorted(lines.items()) if count == 0]
        known_here = explained(code, known.get(name, []))
        unexplained += [f"{name}:{number}: {code[number - 1].strip()}" for number in missed
                        if number not in known_here]
        reached += len(lines) - len(missed)
        whole += len(lines)
        print(f"{name:28} {len(lines) - len(missed):5} of {len(lines):5} lines, "
              f"{100 * (len(lines) - len(missed)) / len(lines):6.1f} %")
    percent = 100 * reached / max(whole, 1)
    print(f"{'readers':28} {reached:5} of {whole:5} lines, {percent:6.1f} %")
    if options.lines:
        print("\n".join(unexplained))
    print(f"{len(unexplained)} lines are not reached and have no reason in not_reached.txt")
    return 0 if percent >= LEAST_PERCENT else 1


if __name__ == "__main__":
    sys.exit(main())
