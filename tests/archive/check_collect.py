"""earbudget-collect on damaged and hostile runs: what is whole is collected, the rest is listed.

usage: check_collect.py PROGRAM SOURCE_FOLDER
"""
import copy
import json
import os
import pathlib
import resource
import shutil
import subprocess
import sys
import tempfile

from jsonschema import Draft202012Validator, RefResolver

from collected_texts import check_texts
from collector import collector_of

NAMES = ("a.wav", "b/--card/c.wav", "new\nline.wav")
HEAD = b"Seq\tHost\tStarttime\tJobRuntime\tSend\tReceive\tExitval\tSignal\tCommand\n"
SECONDS = 20
MEMORY = 160 << 20  # of addresses; Python itself takes some 30 MB of them


def line_of(job, status=0, signal=0):
    return (f"{job}\t:\t1700000000.123\t     1.500\t0\t4000\t{status}\t{signal}\tearbudget measure\n"
            .encode())


class Run:
    """A run of three recordings that were measured, made anew for each case."""

    def __init__(self, program, root, folder):
        self.root, self.folder, self.program = root, folder, program
        measured = subprocess.run(
            [program, "measure", "--calibration=calibrator.flac", "--calibrator-level", "114",
             "--background", "background.flac", "--format", "json", "--", "epi-2mm.flac"],
            cwd=root / "recordings", capture_output=True, check=True)
        self.report = json.loads(measured.stdout)
        self.report["recordings"][0]["file"] = NAMES[0]
        self.make()

    def make(self):
        shutil.rmtree(self.folder, ignore_errors=True)
        for job, name in enumerate(NAMES, 1):
            results = self.folder / "results" / name
            results.mkdir(parents=True)
            report = copy.deepcopy(self.report)
            report["recordings"][0]["file"] = name
            (results / "stdout").write_text(json.dumps(report))
            (results / "stderr").write_text("")
            (results / "seq").write_text(str(job))
        (self.folder / "recordings").write_bytes(b"".join(name.encode() + b"\0" for name in NAMES))
        (self.folder / "joblog").write_bytes(HEAD + b"".join(line_of(job) for job in (1, 2, 3)))

    def shell(self, words, expected):
        """Of earbudget-collect, which never says more than it documents, nor takes for ever."""
        ended = subprocess.run(
            ["/bin/sh", "-c", f"'{self.root}/src/archive/earbudget-collect' {words}"],
            cwd=self.folder.parent, capture_output=True, check=False, timeout=SECONDS,
            preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY)))
        said = ended.stderr.decode()
        assert "Traceback" not in said and "Exception" not in said, f"{words}: {said}"
        assert ended.returncode == expected, f"{words}: {ended.returncode}, not {expected}: {said}"
        return ended.stdout, said

    def collect(self, expected=1):
        """What is in `recordings` and, by name, in `failed`; and what was said."""
        out, said = self.shell("run", expected)
        if expected == 2:
            assert out == b"", "something was written"
            return [], {}, said
        whole = json.loads(out, parse_constant=lambda name: 1 / 0)
        assert not set(out) & {*range(0x20), 0x7f} - {0x0a}, "control characters in the JSON"
        failed = {each["file"]: each for each in whole["failed"]}
        return [each["file"] for each in whole["recordings"]], failed, said


def check_whole(run):
    run.make()
    names, failed, said = run.collect(0)
    assert names == sorted(NAMES) and not failed and "3 of 3 recordings have levels" in said
    assert run.shell("-- run", 0)[0] == run.shell("run", 0)[0]


def check_without_decibels(run):
    """What was measured and has no levels is in both lists, with the finding that says why."""
    reason = {"code": "drift", "text": "for drift"}
    others = [{"code": code, "text": "not the reason"} for code in ("data-beyond-the-header", "clipped")]
    for status in (0, 1):
        run.make()
        report = copy.deepcopy(run.report)
        report["recordings"][0]["channels"][0].update(
            {"LAeq_dB": None, "why_no_level": reason, "quality": [*others, reason]})
        (run.folder / "results/a.wav/stdout").write_text(json.dumps(report))
        (run.folder / "joblog").write_bytes(HEAD + line_of(1, status) + line_of(2) + line_of(3))
        names, failed, said = run.collect(1)
        assert names == sorted(NAMES)
        assert failed == {"a.wav": {"file": "a.wav", "status": status, "message": "for drift"}}, failed
        assert "2 of 3 recordings have levels" in said
    # As the program says it: every level above what a sound in air can be.
    run.make()
    shutil.copy(run.root / "tests/fuzz/corpus/recording/double.wav", run.folder / "a.wav")
    measured = subprocess.run([run.program, "measure", "--full-scale-level", "130", "--format", "json",
                               "a.wav"], cwd=run.folder, capture_output=True, check=False)
    channel = json.loads(measured.stdout)["recordings"][0]["channels"][0]
    assert measured.returncode == 1 and channel["LAeq_dB"] is None
    assert channel["why_no_level"]["code"] == "level-out-of-range"
    assert channel["why_no_level"] in channel["quality"]
    (run.folder / "results/a.wav/stdout").write_bytes(measured.stdout)
    (run.folder / "joblog").write_bytes(HEAD + line_of(1, 1) + line_of(2) + line_of(3))
    names, failed, said = run.collect(1)
    assert names == sorted(NAMES) and failed["a.wav"]["message"].startswith("Above 190 dB"), failed
    assert "2 of 3 recordings have levels" in said


def check_lines(run):
    """Each damaged line is one of `failed`, whatever stands around it."""
    good = line_of(2)
    damaged = [
        b"", b"\0", b"\t" * 9, b"2\t:\t1", good[:-24], b"nine\t" * 8 + b"x", b"\xff" * 40,
        good.replace(b"2\t", b"-2\t", 1), good.replace(b"2\t", b"0\t", 1),
        good.replace(b"2\t", "٢\t".encode(), 1), good.replace(b"2\t", b"2_2\t", 1),
        good.replace(b"2\t", b"9" * 5000 + b"\t", 1), good.replace(b"2\t", b"4\t", 1),
        good.replace(b"\t0\t0\t", b"\t0\t0x0\t"), good.replace(b"\t0\t0\t", b"\tNaN\t0\t"),
        good.replace(b"\t0\t0\t", b"\t1e999\t0\t"), good.replace(b"\t0\t0\t", b"\t0\t00\t"),
        good.replace(b"\t0\t4000", b"\t0"), b"\x1b[2J\x1b[H\xc2\x9b31m", HEAD]
    lines = [line_of(job) for job in (1, 2, 3)]
    for bad in damaged:
        bad = bad.rstrip(b"\n")
        for place in range(4):
            content = b"".join(lines[:place]) + bad + b"\n" + b"".join(lines[place:])
            (run.folder / "joblog").write_bytes(HEAD + content)
            names, failed, said = run.collect(1)
            assert names == sorted(NAMES) and list(failed) == [f"joblog:{place + 2}"], (bad, failed)
            assert f"joblog:{place + 2}: no status: " in said and "\x1b" not in said
    # The last one without its end, as a cut of power leaves it: at whatever byte, its job counts
    # where the line reaches to the command, and has to be measured again where it does not.
    last = line_of(3)
    command = last.rindex(b"\t", 0, last.rindex(b"earbudget")) + 1
    tried = range(1, len(last)) if "EARBUDGET_NIGHTLY" in os.environ else \
        sorted({*range(1, len(last), 4), command - 1, command, command + 1})
    for length in tried:
        (run.folder / "joblog").write_bytes(HEAD + lines[0] + lines[1] + last[:length])
        reaches = last[:length].count(b"\t") == 8
        failed = run.collect(0 if reaches else 1)[1]
        assert set(failed) == (set() if reaches else {NAMES[2], "joblog:4"}), last[:length]
        # And where GNU parallel went on behind it, no job is taken for another's.
        (run.folder / "joblog").write_bytes(HEAD + lines[0] + last[:length] + line_of(2, 1))
        failed = run.collect(1)[1]
        assert failed.keys() & {NAMES[1]} and (reaches or NAMES[2] in failed), last[:length]
    # The same line twice; the later of two counts.
    (run.folder / "joblog").write_bytes(HEAD + b"".join(lines) + lines[2])
    assert run.collect(0)[0] == sorted(NAMES)
    (run.folder / "joblog").write_bytes(HEAD + b"".join(lines) + line_of(1, 2) + line_of(2, -1, 15))
    (run.folder / "results/a.wav/stderr").write_bytes("\x1b[31m\u202e\x85 bad\nworse\xff".encode())
    _, failed, said = run.collect(1)
    assert failed["a.wav"]["status"] == 2 and failed[NAMES[1]]["status"] is None
    assert failed[NAMES[1]]["message"] == "stopped by signal 15"
    assert "a.wav: status 2: \\x1b[31m\\u{202e}\\u{85} bad\\x0aworse\xff" in said, said
    (run.folder / "joblog").write_bytes(b"")
    assert "no recording was measured" in run.collect(2)[2]


def check_size(run):
    """Little memory, whatever the log."""
    run.make()
    joblog = run.folder / "joblog"
    whole = joblog.read_bytes()
    with open(joblog, "wb") as file:
        file.write(whole + line_of(1)[:-1])
        file.truncate(400 << 20)
        file.seek(0, os.SEEK_END)
        file.write(b"\n" + b"x\n" * 300_000 + line_of(2, 2))
    (run.folder / "results" / NAMES[1] / "stderr").write_bytes(b"long " * (1 << 20))
    _, failed, _ = run.collect(1)
    assert failed[NAMES[1]]["status"] == 2 and len(failed) == 1001
    assert len(failed[NAMES[1]]["message"]) == 1 << 16 or len(failed[NAMES[1]]["message"]) == (1 << 16) - 1
    assert failed["joblog:1005"]["message"].endswith("299000 lines more are damaged")
    run.make()
    os.truncate(run.folder / "results/a.wav/stdout", 3 << 30)
    assert list(run.collect(1)[1]) == ["a.wav"]


def required_paths(schema, value, path, resolve):
    """Every key of `value` that the schema demands."""
    while "$ref" in schema:
        schema = resolve(schema["$ref"])
    for alternative in schema.get("anyOf", []):
        yield from required_paths(alternative, value, path, resolve)
    if isinstance(value, dict):
        for key in schema.get("required", []):
            if key in value:
                yield [*path, key]
        for key, each in value.items():
            yield from required_paths(schema.get("properties", {}).get(key, {}), each, [*path, key],
                                      resolve)
    if isinstance(value, list) and value:
        yield from required_paths(schema.get("items", {}), value[0], [*path, 0], resolve)


def without(report, path, instead=None):
    """A copy in which a key is left out or has another value."""
    report = copy.deepcopy(report)
    inside = report
    for part in path[:-1]:
        inside = inside[part]
    del inside[path[-1]]
    if instead is not None:
        inside[path[-1]] = instead
    return report


def schema_resolver(root):
    schemas = {path.name: json.loads(path.read_text())
               for path in (root / "docs/schemas").glob("*.schema.json")}
    measure = schemas["measure.schema.json"]
    resolver = RefResolver(measure["$id"], measure, store=schemas)
    Draft202012Validator.check_schema(measure)
    return measure, lambda reference: resolver.resolve(reference)[1] if "common" in reference \
        else resolver.resolve_fragment(measure, reference.partition("#")[2])


def check_reports(run, collector):
    """A report that lacks anything that the schema demands is none; nor is other JSON."""
    measure, resolve = schema_resolver(run.root)
    paths = list(required_paths(measure, run.report, [], resolve))
    assert len(paths) > 60 and ["recordings", 0, "channels", 0, "background", "corrected"] in paths
    assert collector.report_of(json.dumps(run.report).encode()) == run.report
    for path in paths:
        for other in (None, [[]], {"x": []}, 0.5 if path[-1] == "corrected" else True):
            damaged = json.dumps(without(run.report, path, other)).encode()
            assert collector.report_of(damaged) is None, f"{path}: {other}"
    text = json.dumps(run.report)
    for length in range(0, len(text), 7):
        assert collector.report_of(text[:length].encode()) is None
    levels = f"\"LAeq_dB\": {run.report['recordings'][0]['channels'][0]['LAeq_dB']}"
    assert levels in text
    for number in ("NaN", "Infinity", "-Infinity", "1e999", "-1e999", "9" * 5000, "1" * 400 + ".0"):
        assert collector.report_of(text.replace(levels, f"\"LAeq_dB\": {number}").encode()) is None
    for bad in (text.replace(levels, levels + ", " + levels), "\ufeff" + text, text + text,
                text.replace("a.wav", "\\ud800.wav"), "[" * 100_000, text[:-1] + ', "x": ' + "[" * 40
                + "]" * 40 + "}", text[:-1] + ', "x": ' + '{"x":' * 90_000 + "1" + "}" * 90_001, "null"):
        assert collector.report_of(bad.encode()) is None, bad[:80]
    assert collector.report_of(text.encode("utf-16")) is None
    assert collector.report_of(text.replace("a.wav", "a\xff.wav").encode("latin-1")) is None
    # One of another recording, or with an ending that the program cannot have had.
    run.make()
    whole = text.encode()
    for damaged in (whole[:4000], b"", b"\0" * 4000, b"[]", b"{}", b"[" * 100_000,
                    whole.replace(b"a.wav", b"z.wav"), whole.replace(b"LAeq_dB", b"LAeq")):
        (run.folder / "results/a.wav/stdout").write_bytes(damaged)
        names, failed, said = run.collect(1)
        assert names == sorted(NAMES)[1:] and list(failed) == ["a.wav"], damaged[:80]
        assert failed["a.wav"]["status"] == 0 and "no whole JSON of this" in said
    (run.folder / "results/a.wav/seq").write_bytes(b"")
    assert list(run.collect(1)[1]) == ["a.wav"]
    (run.folder / "results/a.wav/seq").write_bytes(b"2")
    assert "is no longer job 1" in run.collect(2)[2]


def check_names(run, outside):
    """Nothing outside of the run is read, and nothing that is no regular file."""
    secret = outside / "stdout"
    outside.mkdir()
    for kind in ("stdout", "seq", "stderr"):
        shutil.copy(run.folder / "results/a.wav" / kind, outside / kind)
    (outside / "seq").write_text("1")
    secret.write_text(json.dumps(run.report).replace("a.wav", "outside"))
    for name in (str(outside), f"../../{outside.name}", f"x/../../../{outside.name}", ".", "./a.wav",
                 "b//c", "a.wav/", "x" * 300, "x/" * 3000 + "x"):
        run.make()
        (run.folder / "recordings").write_bytes(
            b"".join(each.encode() + b"\0" for each in (name, *NAMES[1:])))
        names, failed, _ = run.collect(1)
        assert names == sorted(NAMES)[:0] + sorted(NAMES[1:]) and list(failed) == [name], name
    for replaced in ("results/a.wav", "results/a.wav/stdout", "results/a.wav/seq"):
        run.make()
        path = run.folder / replaced
        shutil.rmtree(path) if path.is_dir() else path.unlink()
        path.symlink_to(outside if replaced.endswith("wav") else outside / path.name)
        assert list(run.collect(1)[1]) == ["a.wav"], replaced
    run.make()
    (run.folder / "results").rename(outside / "results")
    (run.folder / "results").symlink_to(outside / "results")
    assert "no recording was measured" in run.collect(2)[2]
    for irregular in (os.mkfifo, lambda path: os.symlink("/dev/zero", path), os.mkdir):
        for file in ("recordings", "joblog", "results/a.wav/stdout", "results/a.wav/seq"):
            run.make()
            (run.folder / file).unlink()
            irregular(run.folder / file)
            failed = run.collect(1 if file.startswith("results") else 2)[1]
            assert list(failed) == ["a.wav"] * file.startswith("results"), file
    run.make()
    (run.folder / "recordings").write_bytes("\x1b[2J\u202e.wav\0".encode()
                                            + b"".join(name.encode() + b"\0" for name in NAMES[1:]))
    said = run.collect(1)[2]
    assert "\\x1b[2J\\u{202e}.wav: status 0" in said and "\x1b" not in said and "\u202e" not in said
    # A name of any bytes: as they are in a message, and as JSON can hold it.
    run.make()
    name = b"bad\xe2\x80\xae\xe3\x85\xa4\x9b\xef\xb8\x80.wav"
    (run.folder / "recordings").write_bytes(
        name + b"\0" + b"".join(each.encode() + b"\0" for each in NAMES[1:]))
    failed, said = run.collect(1)[1:]
    assert "bad\\u{202e}\\u{3164}\\x9b\\u{fe00}.wav: status 0: " in said, said
    assert list(failed) == ["bad\u202e\u3164\ufffd\ufe00.wav"]


def check_outputs(run):
    """Closed, full and broken off: the documented status and no traceback."""
    run.make()
    for words, expected in (
            ("run >&-", 3), ("run > /dev/full", 3), ("run 2>&-", 0), ("run 2> /dev/full", 0),
            ("run >&- 2>&-", 3), ("run <&- >&- 2>&-", 3), ("run > /dev/full 2> /dev/full", 3),
            ("--help > /dev/full", 3), ("--help >&-", 3), ("--help", 0), ("nowhere 2>&-", 2),
            ("'' 2> /dev/full", 2), ("--options run/joblog > /dev/full", 3), ("--options", 2),
            ("", 2), ("run run", 2), ("--x", 2), ("-- --x", 2)):
        run.shell(words, expected)
    # A reader that ends early.
    broken = subprocess.run(
        ["/bin/bash", "-c", f"'{run.root}/src/archive/earbudget-collect' run | true; "
         "echo ${PIPESTATUS[0]}"], cwd=run.folder.parent, capture_output=True, check=True)
    assert broken.stdout in (b"3\n", b"0\n") and b"Traceback" not in broken.stderr
    slow = subprocess.Popen([run.root / "src/archive/earbudget-collect", "run"], cwd=run.folder.parent,
                            stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    slow.stdout.close()
    said = slow.stderr.read().decode()
    assert slow.wait(SECONDS) == 3 and "cannot write: Broken pipe" in said, said


def check_changed(run, collector):
    run.make()
    recordings, bad = collector.recordings_of(os.fspath(run.folder))
    assert collector.summary(recordings, bad)[1] == []
    with open(run.folder / "results/a.wav/stdout", "a", encoding="utf-8") as file:
        file.write(" ")
    try:
        recordings[0].same_report()
        raise AssertionError("a report that changed was taken")
    except collector.Changed:
        pass


def check_options(run, collector):
    """Of a file that came with the recordings only what is allowed reaches the command line."""
    file = run.folder.parent / "-x $(touch y)\n" / "measure.options"
    file.parent.mkdir()
    quoted = "'-x $(touch y)\n/measure.options'"

    def printed(content, expected):
        file.write_bytes(content)
        out, said = run.shell(f"--options {quoted}", expected)
        return out.decode(), said

    for content, words in (
            (b"", ""), (b"--calibrator-level 94 --instrument-class 1\n",
                        "--calibrator-level=94 --instrument-class=1"),
            (b"--sensitivity=12.5\r\n--full-scale-volts 1\n--channel 2 --find-runs",
             "--sensitivity=12.5 --full-scale-volts=1 --channel=2 --find-runs"),
            (b"--from 1min20s --to 00:02:00 --accept-drift --accept-length",
             "--from=1min20s --to=00:02:00 --accept-drift --accept-length"),
            (b"--full-scale-level -3.5", "--full-scale-level=-3.5")):
        assert printed(content, 0) == (words + "\n", ""), content
    for content in (b"--output x", b"--card=x", b"--history x", b"--force", b"--background x", b"x.wav",
                    b"--calibration x", b"--", b"-", b"--calibrator-level", b"--calibrator-level 9*",
                    b"--calibrator-level $(id)", b"--calibrator-level 94;id", b"--calibrator-level nan",
                    b"--calibrator-level 1e999", b"--find-runs=1", b"--calibrator-level 94 --output x",
                    b"--from --output", b"--instrument-class 3", b"--channel 0", b"--from 1\\n",
                    "--calibrator-level ٩٤".encode(), b"\xff", b"\0", b"--calibrator-level=94\0",
                    b"\x1b[2J", b" " * 5000, b"--find-runs " * 400):
        out, said = printed(content, 2)
        assert out == "--options-refused\n" and "; accepted: " in said, content
        assert said.count("\n") == 1 and "\x1b" not in said
    for content, why in (
            (b"--card=x", "\"--card=x\" is no option that a file may give; accepted: --calibrator-level, "),
            (b"--calibrator-level 114,0", "--calibrator-level is \"114,0\"; accepted: a decimal number, such "
                                          "as 94 or -3.5"),
            (b"--calibrator-level", "--calibrator-level has no value; accepted: a decimal number, "),
            (b"--instrument-class 3", "--instrument-class is \"3\"; accepted: 1 or 2"),
            (b"--channel 0", "--channel is \"0\"; accepted: a whole number from 1 to 99"),
            (b"--from soon", "--from is \"soon\"; accepted: a time without spaces, such as 12.5, "),
            (b"--find-runs=1", "--find-runs is given the value \"1\"; accepted: --find-runs alone"),
            (b" " * 5000, "more than 4096 bytes; accepted: at most 4096")):
        said = printed(content, 2)[1]
        assert f"/measure.options: {why}" in said, said
    refused = subprocess.run([collector.program, "measure", "--options-refused"], capture_output=True,
                             check=False)
    assert refused.returncode == 2 and len(refused.stderr) < 150
    file.unlink()
    for make in (os.mkfifo, os.mkdir, lambda path: os.symlink("/etc/passwd", path)):
        make(file)
        assert run.shell(f"--options {quoted}", 2)[0] == b"--options-refused\n"
        file.rmdir() if file.is_dir() and not file.is_symlink() else file.unlink()
    assert run.shell(f"--options {quoted}", 2)[0] == b"--options-refused\n"


def main(program, root):
    root = pathlib.Path(root).resolve()
    collector = collector_of(root)
    collector.program = pathlib.Path(program).resolve()
    with tempfile.TemporaryDirectory() as scratch:
        scratch = pathlib.Path(scratch).resolve()
        run = Run(collector.program, root, scratch / "run")
        check_whole(run)
        check_without_decibels(run)
        run.make()
        check_lines(run)
        check_size(run)
        check_reports(run, collector)
        check_names(run, scratch / "outside")
        check_outputs(run)
        check_changed(run, collector)
        check_options(run, collector)
        check_texts(collector.program, collector, root / "tests/fuzz/corpus/recording/plain.wav",
                    scratch / "texts")
    print("damaged and hostile runs are collected as far as they are whole")


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2])
