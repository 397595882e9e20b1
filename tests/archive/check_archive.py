"""The commands of docs/archive.md, as they stand there, on an archive with some that fail.

usage: check_archive.py PROGRAM SOURCE_FOLDER
"""
import csv
import json
import os
import pathlib
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time

from jsonschema import Draft202012Validator, RefResolver

import recordings

ALL = len(recordings.FOLDERS) * len(recordings.NAMES) + 1
BAD = (recordings.TRUNCATED, recordings.NO_SOUND, recordings.NO_TONE)
FAILED = len(BAD)


def commands_of(page):
    """The page's commands by what only one of them has."""
    blocks = re.findall(r"^```sh\n(.*?)^```", page, re.S | re.M)
    marks = {"list": "find .", "options": "measure.options", "collect": "earbudget-collect ",
             "shared": "--workdir . ", "ready": "--nonall", "returned": "--return",
             "copied": "--workdir ... "}
    found = {}
    for name, mark in marks.items():
        of_mark = [block for block in blocks if mark in block and block not in found.values()]
        assert len(of_mark) == 1, f"{name}: {len(of_mark)} commands of the page have {mark!r}"
        found[name] = of_mark[0]
    rest = [block for block in blocks if block not in found.values()]
    assert len(rest) == 1 and "parallel --null" in rest[0], f"commands that are not tried: {rest}"
    found["measure"] = rest[0]
    return found


class Place:
    """A folder with the archive, as the page has it, and a shell in the archive."""

    def __init__(self, program, root, scratch):
        self.root, self.scratch = root, scratch
        self.archive, self.run, self.machines = (scratch / name for name in
                                                 ("archive", "run", "machines"))
        bin_folder = scratch / "bin"
        bin_folder.mkdir()
        (bin_folder / "earbudget").symlink_to(program)
        # Cited by the one who runs it, not by a test.
        (scratch / "home/.parallel").mkdir(parents=True)
        (scratch / "home/.parallel/will-cite").touch()
        self.environment = {
            **os.environ, "HOME": str(scratch / "home"), "SHELL": "/bin/sh", "LC_ALL": "C.UTF-8",
            "PATH": f"{bin_folder}:{root}/src/archive:{os.environ['PATH']}",
            "PARALLEL_SSH": str(root / "tests/archive/elsewhere"),
            "ARCHIVE_MACHINES": str(self.machines)}
        page = (root / "docs/archive.md").read_text()
        self.commands = commands_of(page)
        self.machine_list = re.search(r"^```text\n(8/.*?)^```", page, re.S | re.M)[1]
        self.archive.mkdir()

    def sh(self, command, expected):
        ended = subprocess.run(["/bin/sh", "-c", command], cwd=self.archive, env=self.environment,
                               capture_output=True, check=False)
        assert ended.returncode == expected, (
            f"{command}\nended with {ended.returncode}, not {expected}:\n"
            f"{ended.stdout[-2000:].decode(errors='replace')}"
            f"{ended.stderr[-4000:].decode(errors='replace')}")
        return ended

    def begin(self):
        shutil.rmtree(self.run, ignore_errors=True)
        (self.scratch / "archive.json").unlink(missing_ok=True)
        self.sh(self.commands["list"], 0)

    def machines_anew(self):
        (self.run / "machines").write_text(self.machine_list)
        names = [line.split("/")[1] for line in self.machine_list.split()]
        shutil.rmtree(self.machines, ignore_errors=True)
        for name in names:
            (self.machines / name).mkdir(parents=True)
        # Where files are shared it is not needed, and does no harm.
        said = self.sh(self.commands["ready"], 0).stdout.decode()
        version = self.sh("earbudget --version", 0).stdout.decode()
        assert sorted(said.splitlines()) == [f"{name}\t{version.strip()}" for name in sorted(names)]
        return set(names)

    def collect(self, expected=1):
        ended = self.sh(self.commands["collect"], expected)
        return (self.scratch / "archive.json").read_bytes(), ended.stderr.decode()

    def collected(self, command, failed=FAILED):
        """A whole run: what the JSON is and what was said."""
        self.begin()
        self.sh(self.commands[command], failed)
        return self.collect(1 if failed else 0)

    def hosts(self):
        return [line.split("\t")[1] for line
                in (self.run / "joblog").read_text(errors="replace").splitlines()[1:]]


def validator(root):
    schemas = {path.name: json.loads(path.read_text())
               for path in (root / "docs/schemas").glob("*.schema.json")}
    schema = schemas["archive.schema.json"]
    return Draft202012Validator(schema, resolver=RefResolver(schema["$id"], schema, store=schemas))


def alone(place, name):
    """What `measure` says of one recording, called without a shell or GNU parallel."""
    folder = os.path.dirname(name) or b"."
    run = subprocess.run(
        [b"earbudget", b"measure", b"--calibration=" + folder + b"/calibrator.flac",
         b"--calibrator-level", b"114", b"--format", b"json", b"--", name],
        cwd=place.archive, env=place.environment, capture_output=True, check=False)
    return run.returncode, (json.loads(run.stdout) if run.stdout else None), run.stderr.decode()


def check_content(place, good, text, said):
    whole = json.loads(text)
    validator(place.root).validate(whole)
    measured = sorted([*good, recordings.NO_TONE.encode()])
    assert len(good) == ALL and len(whole["recordings"]) == ALL + 1
    for name, entry in zip(measured, whole["recordings"]):
        # The same numbers to the last digit: nothing is computed between the two.
        _, report, _ = alone(place, name)
        assert [entry] == report["recordings"], f"{name}: differs from `measure` of it alone"
    levels = [channel["LAeq_dB"] for entry in whole["recordings"] for channel in entry["channels"]]
    assert levels.count(None) == 1 and len(set(levels)) > ALL // 2

    bad = sorted([recordings.TRUNCATED, recordings.NO_SOUND, recordings.NO_TONE])
    assert [each["file"] for each in whole["failed"]] == bad
    for each in whole["failed"]:
        status, report, message = alone(place, each["file"].encode())
        if report:
            message = report["recordings"][0]["channels"][0]["quality"][0]["text"]
        assert (each["status"], each["message"]) == (status, message.strip()), each
        assert f"{each['file']}: status {status}: {message.strip()}" in said
    assert {each["file"]: each["status"] for each in whole["failed"]} == {
        recordings.TRUNCATED: 2, recordings.NO_SOUND: 2, recordings.NO_TONE: 1}
    assert f"{ALL} of {ALL + FAILED} recordings have levels" in said
    files = [each["file"] for each in whole["inputs"]]
    calibrators = len(recordings.FOLDERS) + 1
    assert len(set(files)) == len(files) == ALL + 1 + calibrators and "background.flac" not in files


def kill_session(leader):
    """GNU parallel gives each job a process group of its own; all are of one session."""
    killed = True
    while killed:  # one may have been started while the others were looked for
        killed = False
        for stat in pathlib.Path("/proc").glob("[0-9]*/stat"):
            try:
                # After the name, which may hold anything: state, parent, group, session.
                state, _, _, session = stat.read_text().rpartition(")")[2].split()[:4]
                if int(session) == leader and state not in "ZX":
                    os.kill(int(stat.parent.name), signal.SIGKILL)
                    killed = True
            except (FileNotFoundError, ProcessLookupError):
                pass  # it ended meanwhile


def check_broken_off(place, whole):
    """Killed midway, as a power cut does, with all that was running."""
    place.begin()
    with subprocess.Popen(["/bin/sh", "-c", place.commands["measure"]], cwd=place.archive,
                          env=place.environment, start_new_session=True,
                          stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as run:
        joblog = place.run / "joblog"
        until = time.monotonic() + 60
        while not joblog.exists() or joblog.read_bytes().count(b"\n") < 6:
            assert time.monotonic() < until and run.poll() is None, "no job ended before the run"
            time.sleep(0.002)
        kill_session(run.pid)
    half, said = place.collect()
    missing = [each for each in json.loads(half)["failed"] if each["status"] is None]
    assert 0 < len(missing) < ALL + FAILED, f"{len(missing)} were missing after the break"
    assert all("not measured yet" in each["message"] for each in missing) and "no status" in said
    validator(place.root).validate(json.loads(half))
    # As one that was cut off leaves it; it must be measured again.
    folder = place.run / "results" / missing[0]["file"]
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "stdout").write_text('{"program": "earb')
    place.sh(place.commands["measure"], FAILED)
    assert place.collect()[0] == whole, "the resumed run gives other bytes"


def check_repaired_and_stopped(place, program):
    """Measured again with the same command: the last end counts, also one by a signal."""
    place.begin()
    killed = recordings.NOT_UTF_8.decode(errors="replace")
    earbudget = place.scratch / "bin/earbudget"
    earbudget.unlink()
    # 0: the shell of the job with it, so that GNU parallel sees the signal.
    earbudget.write_text(f"#!/bin/sh\ncase $* in *' -- latin '*) kill -9 0 ;; esac\n"
                         f"exec '{program}' \"$@\"\n")
    earbudget.chmod(0o755)
    place.sh(place.commands["measure"], FAILED + 1)
    failed = {each["file"]: each for each in json.loads(place.collect()[0])["failed"]}
    assert failed[killed] == {"file": killed, "status": None, "message": "stopped by signal 9"}
    earbudget.unlink()
    earbudget.symlink_to(program)
    damaged = (place.archive / recordings.TRUNCATED).read_bytes()
    shutil.copy(place.root / "recordings/epi-2mm.flac", place.archive / recordings.TRUNCATED)
    place.sh(place.commands["measure"], FAILED - 1)
    whole = json.loads(place.collect()[0])
    assert {each["file"] for each in whole["failed"]} == {recordings.NO_SOUND, recordings.NO_TONE}
    assert {killed, recordings.TRUNCATED} < {each["file"] for each in whole["recordings"]}
    (place.archive / recordings.TRUNCATED).write_bytes(damaged)


def check_machines(place, good, whole):
    measured = [*good, recordings.NO_TONE.encode()]
    for command in ("shared", "copied", "returned"):
        place.begin()
        names = place.machines_anew()
        place.sh(place.commands[command], FAILED)
        assert place.collect()[0] == whole, f"{command}: other bytes than on one machine"
        assert set(place.hosts()) == names, f"{command}: not every machine was used"
        left = [path for path in place.machines.rglob("*") if path.is_file()]
        assert not left, f"{command}: left behind on the machines: {left[:3]}"
        histories = {bytes(path) for path in place.archive.rglob("*.csv")}
        expected = {bytes(place.archive) + b"/" + name + b".csv" for name in measured}
        assert histories == (expected if command == "returned" else set()), f"{command}: {histories}"
    for history in histories:
        with open(history, newline="", encoding="utf-8", errors="replace") as file:
            # A head, then two seconds, ten, or none where there are no decibels.
            assert len(list(csv.reader(file))) in (3, 11, 1), history
        os.unlink(history)


def check_machine_that_is_down(place, whole):
    """With --retries others take over."""
    place.begin()
    up, down = sorted(place.machines_anew())
    shutil.rmtree(place.machines / down)
    command = place.commands["copied"].replace("--halt never", "--retries 3 --halt never")
    assert "`--retries 3`" in (place.root / "docs/archive.md").read_text()
    place.sh(command, FAILED)
    # The last try of one that always fails may have been at the machine that is down.
    bad = {recordings.TRUNCATED, recordings.NO_SOUND, recordings.NO_TONE}
    now, before = json.loads(place.collect()[0]), json.loads(whole)
    assert {each["file"] for each in now["failed"]} == bad and up in place.hosts()
    now, before = ([each for each in of["recordings"] if each["file"] not in bad]
                   for of in (now, before))
    assert now == before and len(now) == ALL


def check_folders_differ(place, whole):
    """94 dB in place of 114 lowers the levels of one folder by 20 dB; no file, or one that asks for
    what it may not, status 2."""
    for folder in recordings.FOLDERS[:-1]:
        level = 94 if folder == recordings.QUIETER else 114
        (place.archive / folder / "measure.options").write_text(f"--calibrator-level {level}\n")
    asks = place.archive / os.path.dirname(recordings.NO_TONE) / "measure.options"
    asks.write_text("--calibrator-level 114 --card epi.flac --force")
    without = len(recordings.NAMES) + 3  # the root's, the one that is not UTF-8 and NO_*
    text, said = place.collected("options", without + 1)
    before = {each["file"]: each for each in json.loads(whole)["recordings"]}
    after = json.loads(text)["recordings"]
    assert len(after) == (len(recordings.FOLDERS) - 1) * len(recordings.NAMES)
    for each in after:
        lower = 20.0 if each["file"].startswith(recordings.QUIETER) else 0.0
        new, old = (entry["channels"][0]["LAeq_dB"] for entry in (each, before[each["file"]]))
        # Both are rounded to a thousandth.
        assert abs(old - new - lower) < 0.0011, f"{each['file']}: {old} became {new}"
    assert "measure.options: No such file or directory; accepted: a readable file" in said
    refused = next(each for each in json.loads(text)["failed"] if each["file"] == recordings.NO_TONE)
    assert refused["status"] == 2 and "\"--card\" is no option that a file may give" in refused["message"]
    assert "earbudget-collect --options let nothing" in refused["message"], refused
    for path in place.archive.rglob("measure.options"):
        path.unlink()


def check_refusals(place):
    """What must not be collected: nothing is written, or one recording is left out and listed."""
    place.begin()
    place.sh(place.commands["measure"], FAILED)
    names = (place.run / "recordings").read_bytes()
    joblog = (place.run / "joblog").read_bytes()
    first = names.split(b"\0")[0]
    stdout = pathlib.Path(os.fsdecode(bytes(place.run) + b"/results/" + first + b"/stdout"))
    measured = stdout.read_bytes()

    def refused(path, content, message):
        before = path.read_bytes()
        path.write_bytes(content)
        text, said = place.collect(2)
        assert text == b"" and message in said, f"{message}: {said}"
        path.write_bytes(before)

    def listed(path, content, file, message, failed=FAILED + 1):
        before = path.read_bytes()
        path.write_bytes(content)
        whole = json.loads(place.collect(1)[0])
        assert {each["file"]: each["message"] for each in whole["failed"]}[file].startswith(message)
        assert len(whole["failed"]) == failed and len(whole["recordings"]) >= ALL - 1
        path.write_bytes(before)

    refused(place.run / "recordings", names[len(first) + 1:], "is no longer job")
    refused(place.run / "recordings", b"a.wav\0" + names, "is no longer job")
    last = names.rstrip(b"\0").rindex(b"\0") + 1
    ends = joblog.split(b"\n")
    beyond = next(n for n, line in enumerate(ends, 1) if line.startswith(b"%d\t" % (ALL + FAILED)))
    listed(place.run / "recordings", names[:last], f"joblog:{beyond}",
           f"job {ALL + FAILED}, and the list has {ALL + FAILED - 1} names",
           FAILED + 1 - (names[last:-1].decode(errors="replace") in BAD))
    refused(place.run / "recordings", names + first + b"\0", "is listed twice")
    refused(place.run / "recordings", names[:-1], "no zero byte after it")
    half = joblog[:joblog.rindex(b"\t")]
    in_half = names.split(b"\0")[int(half[half.rindex(b"\n"):].split()[0]) - 1].decode(errors="replace")
    listed(place.run / "joblog", half, f"joblog:{half.count(bytes([10])) + 1}", "half a line",
           FAILED + 2 - (in_half in BAD))
    listed(stdout, measured[:1000], first.decode(), "no whole JSON of this recording")
    refused(stdout, re.sub(rb'"version": "[^"]*"', b'"version": "99.0.0"', measured), "99.0.0")
    (place.run / "joblog").unlink()
    assert "joblog: No such file" in place.collect(2)[1]
    full = subprocess.run([place.root / "src/archive/earbudget-collect", place.run],
                          capture_output=True, check=False)
    assert full.returncode == 2


def check_all_good_and_all_bad(place):
    """Status 0 where nothing failed; 2 where nothing was measured; 3 on a full disk."""
    for path in (recordings.TRUNCATED, recordings.NO_SOUND, recordings.NO_TONE):
        (place.archive / path).unlink()
    text, _ = place.collected("measure", 0)
    assert json.loads(text)["failed"] == [] and len(json.loads(text)["recordings"]) == ALL
    place.sh("earbudget-collect ../run > /dev/full", 3)
    for folder in recordings.FOLDERS:
        (place.archive / folder / "calibrator.flac").unlink()
    place.begin()
    place.sh(place.commands["measure"], ALL)
    text, said = place.collect(2)
    assert text == b"" and "no recording was measured" in said and "no such file" in said


def main(program, root):
    with tempfile.TemporaryDirectory() as scratch:
        place = Place(pathlib.Path(program).resolve(), pathlib.Path(root).resolve(),
                      pathlib.Path(scratch).resolve())
        good = recordings.build(place.root / "recordings", place.archive)
        whole, said = place.collected("measure")
        check_content(place, good, whole, said)
        place.environment["LC_ALL"] = "C"
        assert place.collected("measure")[0] == whole, "run again, in another locale: other bytes"
        check_broken_off(place, whole)
        check_repaired_and_stopped(place, pathlib.Path(program).resolve())
        check_machines(place, good, whole)
        check_machine_that_is_down(place, whole)
        check_folders_differ(place, whole)
        check_refusals(place)
        check_all_good_and_all_bad(place)
    print(f"{ALL + FAILED} recordings, {FAILED} of them failed, the same {len(whole)} bytes on one "
          "machine, after a break and on two machines")


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2])
