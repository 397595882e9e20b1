"""The blocks of commands of a page and what the page says that they print and return.

In a page
- a block ```sh is run, unless the line before it is `<!-- not run: WHY -->`;
- the block ```text after it, before the next ```sh, is what it prints on both streams; a line that
  holds only `…` stands for any number of lines;
- a line after it that begins with `Exit status N` says how it ends; without one it ends with 0.
"""
import dataclasses
import re
import subprocess

ELISION = "…"


@dataclasses.dataclass
class Block:
    line: int  # of the page, from 1
    commands: str
    printed: list = None  # lines, or nothing said
    status: int = 0
    states_status: bool = False
    not_run: str = ""


def fences(text):
    """Line, language and lines of each fenced block, and the lines between with language None."""
    language, begun, held, indent = None, 0, [], ""
    for number, line in enumerate(text.splitlines(), 1):
        fence = re.match(r"(\s*)```(\S*)\s*$", line)
        if fence and language is None:
            indent, language, begun, held = fence[1], fence[2], number, []
        elif fence and not fence[2]:
            yield begun, language, held
            language = None
        elif language is None:
            yield number, None, [line]
        else:
            held.append(line.removeprefix(indent).rstrip())
    assert language is None, f"line {begun}: a block without an end"


def blocks_of(text):
    blocks, why = [], ""
    for line, language, held in fences(text):
        if language is None:
            told = re.match(r"\s*<!-- not run: (.+) -->$", held[0])
            why = told[1] if told else why if not held[0].strip() else ""
            status = re.match(r"\s*Exit status (\d)\b", held[0])
            if status and blocks:
                assert not blocks[-1].states_status, f"line {line}: the status is said twice"
                blocks[-1].status, blocks[-1].states_status = int(status[1]), True
        elif language == "sh":
            blocks.append(Block(line, "\n".join(held) + "\n", not_run=why))
            why = ""
        elif language == "text":
            assert blocks, f"line {line}: output before any command"
            assert blocks[-1].printed is None, f"line {line}: a second output of one block"
            blocks[-1].printed = held
    return blocks


def run(block, folder, environment):
    """Both streams as lines without blanks at their ends, and the exit status; a command that fails
    ends the block."""
    done = subprocess.run(["bash", "-e", "-c", block.commands], cwd=folder, env=environment,
                          stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
                          stderr=subprocess.STDOUT, timeout=300)
    return [line.rstrip() for line in done.stdout.decode().splitlines()], done.returncode


# A level to a thousandth, and what follows from it, may be rounded otherwise by another processor
# or compiler: a thousandth of a decibel is 0.023 % of the sound energy.
FINE_NUMBER = re.compile(r"\d+\.\d{3,}")


def same_number(shown, printed):
    apart = abs(float(shown) - float(printed))
    return (len(shown.partition(".")[2]) == len(printed.partition(".")[2])
            and apart <= max(0.00101, 0.0003 * abs(float(shown))))


def same_line(shown, printed):
    if shown == printed:
        return True
    fine = FINE_NUMBER.findall(shown), FINE_NUMBER.findall(printed)
    return (FINE_NUMBER.sub("#", shown) == FINE_NUMBER.sub("#", printed)
            and all(map(same_number, *fine)))


def same_lines(shown, printed):
    return len(shown) == len(printed) and all(map(same_line, shown, printed))


def first_mismatch(expected, actual):
    """Nothing where the lines fit, else what does not."""
    at = 0
    parts, part = [], []
    for line in expected:
        if line.strip() == ELISION:
            parts.append(part)
            part = []
        else:
            part.append(line)
    parts.append(part)
    for number, part in enumerate(parts):
        last = number == len(parts) - 1
        if number == 0:
            places = [0]
        elif last:
            places = [len(actual) - len(part)]
        else:
            places = range(at, len(actual) - len(part) + 1)
        found = next((p for p in places if p >= at and same_lines(part, actual[p:p + len(part)])), None)
        if found is None:
            return difference(part, actual, at)
        at = found + len(part)
        if last and at != len(actual):
            return f"printed besides: {actual[at]!r}"
    return None


def difference(part, actual, at):
    """The line of a part that the output does not have, as well as it can be told."""
    rest = actual[at:]
    for line in part:
        if not any(same_line(line, printed) for printed in rest):
            return f"the page has {line!r}, which is not printed (any more)"
    return f"printed, but not together or not in this place: {part[0]!r}"


def holds(expected, actual):
    """Whether the lines stand somewhere in the output, one after the other."""
    count = len(expected)
    return any(same_lines(expected, actual[p:p + count]) for p in range(len(actual) - count + 1))
