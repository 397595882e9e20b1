"""Mutated logs, reports, lists of names and options through the readers of earbudget-collect.

usage: joblog.py SOURCE_FOLDER [--executions N | --seconds N] [--seed N] [--found FOLDER]

Without a count it replays its corpus and 20 000 mutations of it, the same each time. Python of its
own and no fuzzer: it is not led by what is reached, but keeps an input whose answer has a shape that
no other had. Each reader must answer whatever it is given, within a time and a memory that grow with
the input at most.
"""
import argparse
import io
import json
import math
import pathlib
import random
import re
import sys
import time
import tracemalloc

SOURCE = pathlib.Path(__file__).resolve().parent.parent.parent
sys.path.insert(0, str(SOURCE / "tests" / "archive"))
from collector import collector_of  # noqa: E402

COUNT = 50  # names of the list
LONGEST = 4096
MOST_KEPT = 3000
ALLOWED_WORD = re.compile(r"--[a-z-]+(=[A-Za-z0-9.:+-]+)?")
WORDS = [
    b"\t", b"\n", b"\r", b"\0", b"0", b"-1", b"00", b"1e999", b"-0.0", b"NaN", b"null", b"true", b"[]",
    b"{}", b"[", b"{", b"}", b"]", b",", b":", b'"', b"\\u0000", b"\\ud800", b"\\udc00", b"\xff",
    b"\xc2\x9b", b"\xe2\x80\xae", b"\x1b[2J", b"9" * 20, b" ", b"..", b"/", b"../", b"--", b"=", b"--output",
    b"*", b"$(x)", b"49\t:\t1.000\t     1.000\t0\t1\t0\t0\tx\n", b'"LAeq_dB": ', b'"channels": []',
    b"recordings", b"Seq\tHost\t"]


def finite(value):
    if isinstance(value, dict):
        return all(map(finite, value.values()))
    if isinstance(value, list):
        return all(map(finite, value))
    return not isinstance(value, float) or (math.isfinite(value) and str(value) != "-0.0")


def hold_joblog(collect, data):
    ends, bad = collect.ends_of(io.BytesIO(data), COUNT)
    assert all(1 <= job <= COUNT and -999 <= status <= 999 and 0 <= by <= 999
               for job, (status, by) in ends.items())
    lines = data.count(b"\n") + (data[-1:] not in (b"", b"\n"))
    assert len(ends) + len(bad) <= lines and all(1 <= number <= lines for number in bad)
    assert all("accepted: " in problem for problem in bad.values())
    return len(ends), len(bad), tuple(sorted(set(ends.values())))[:4]


def hold_report(collect, data):
    report = collect.report_of(data)
    if report is None:
        return "refused"
    assert finite(report) and len(report["recordings"]) == 1
    text = collect.indented(report["recordings"][0], 4)
    assert json.loads(text) == report["recordings"][0]
    assert not collect.UNSEEN.search(text.replace("\n", ""))
    text.encode()
    channels = report["recordings"][0]["channels"]
    return len(channels), tuple(sorted(channels[0])), len(report["inputs"]), len(channels[0]["tones"])


def hold_names(collect, data):
    names, problem = collect.names_of(data)
    assert problem or data == b"".join(name + b"\0" for name in names)
    assert len(set(names)) == len(names)
    for number, name in enumerate(names[:8], 1):
        recording = collect.Recording("/nowhere/run", name, number, {number: (0, 0)})
        assert recording.first_report() is None and recording.problem
        leads_out = any(part in (b"", b".", b"..") for part in name.split(b"/"))
        assert leads_out == ("its name" in recording.problem), name
        shown = collect.seen(recording.name)
        assert collect.seen(shown) == shown and not collect.UNSEEN.search(re.sub("[\u200c\u200d]", "", shown))
    return len(names), problem is None


def hold_options(collect, data):
    words, problem = collect.options_of(data)
    assert all(ALLOWED_WORD.fullmatch(word) for word in words)
    assert {word.partition("=")[0] for word in words} <= collect.OPTIONS.keys()
    assert not words or problem is None
    return tuple(word.partition("=")[0] for word in words[:3]), problem is None


HELD = {"joblog": hold_joblog, "report": hold_report, "names": hold_names, "options": hold_options}


def mutated(draw, inputs, kept):
    data = bytearray(draw.choice(kept))
    for _ in range(1 + int(draw.random() * draw.random() * 6)):
        at = draw.randrange(len(data) + 1)
        length = 1 + int(draw.random() ** 3 * 40)
        kind = draw.randrange(7)
        if kind == 0:
            data[at:at + 1] = bytes([draw.randrange(256)])
        elif kind == 1:
            del data[at:at + length]
        elif kind == 2:
            data[at:at] = draw.choice(WORDS)
        elif kind == 3:
            data[at:at + length] = draw.choice(WORDS)
        elif kind == 4:
            data[at:at] = data[at:at + length]
        elif kind == 5:
            other = draw.choice(inputs)
            begin = draw.randrange(len(other) + 1)
            data[at:at + length] = other[begin:begin + length]
        elif at < len(data):
            data[at] ^= 1 << draw.randrange(8)
    return bytes(data[:LONGEST])


class Reader:
    """One of the readers, with what is kept for it."""

    def __init__(self, collect, kind):
        self.collect, self.kind = collect, kind
        folder = SOURCE / "tests/fuzz/corpus/joblog" / kind
        self.inputs = [path.read_bytes() for path in sorted(folder.iterdir())]
        assert self.inputs, f"no file in {folder}"
        self.kept, self.shapes = list(self.inputs), set()

    def hold(self, data):
        began = time.process_time()
        shape = HELD[self.kind](self.collect, data)
        taken = time.process_time() - began
        assert taken < 0.5 + len(data) * 2e-5, f"{taken} s for {len(data)} bytes"
        if shape not in self.shapes:
            self.shapes.add(shape)
            if len(self.kept) < MOST_KEPT:
                self.kept.append(data)


def hold_memory(collect):
    """Of long inputs, that what is held grows with them and no faster."""
    for kind, piece in (
            ("joblog", b"x\n"), ("joblog", b"1\t:\t1.0\t1.0\t0\t1\t0\t0\tx\n"), ("joblog", b"\0"),
            ("report", b"["), ("report", b'{"a":'), ("report", b"[],"), ("names", b"a/\0"),
            ("options", b"--find-runs "), ("options", b"-")):
        data = piece * ((1 << 20) // len(piece))
        tracemalloc.start()
        began = time.process_time()
        HELD[kind](collect, data)
        assert time.process_time() - began < 20, f"{kind}: {piece}"
        highest = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        assert highest < 120 << 20, f"{kind}, {piece}: {highest} bytes for a megabyte"


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("source", type=pathlib.Path)
    parser.add_argument("--executions", type=int)
    parser.add_argument("--seconds", type=float)
    parser.add_argument("--seed", type=int)
    parser.add_argument("--found", type=pathlib.Path, default=pathlib.Path("."))
    options = parser.parse_args()
    collect = collector_of(options.source.resolve())
    readers = [Reader(collect, kind) for kind in HELD]
    weights = [8, 1, 3, 4]  # a report takes longest, a log is what is asked for
    draw = random.Random(options.seed if options.seed is not None else
                         time.time_ns() if options.executions or options.seconds else 1)
    hold_memory(collect)
    for reader in readers:
        for data in reader.inputs:
            reader.hold(data)
    most = options.executions or (math.inf if options.seconds else 20_000)
    until = time.monotonic() + (options.seconds or math.inf)
    done = dict.fromkeys(HELD, 0)
    number = 0
    while number < most and (number % 1024 or time.monotonic() < until):
        reader = draw.choices(readers, weights)[0]
        data = mutated(draw, reader.inputs, reader.kept)
        try:
            reader.hold(data)
        except BaseException:
            path = options.found / f"joblog-{reader.kind}-{number}"
            path.write_bytes(data)
            print(f"stat::number_of_executed_units: {number}\nfound: {path}", flush=True)
            raise
        number += 1
        done[reader.kind] += 1
        if number % 1_000_000 == 0:
            print(f"#{number}\t{done}, kept {[len(each.kept) for each in readers]}", flush=True)
    shapes = [len(reader.shapes) for reader in readers]
    print(f"stat::number_of_executed_units: {number}\n{done}, shapes of answers: {shapes}")


if __name__ == "__main__":
    main()
