"""Totals of a register worked out by another way: SQL on the file, arithmetic in Python.

usage: check_totals.py PROGRAM SOURCE_FOLDER

Also that what is changed in the file behind the program's back is named at its entry.
"""
import datetime
import hashlib
import json
import math
import pathlib
import shutil
import sqlite3
import subprocess
import sys
import tempfile
import zoneinfo

ZONE = "Europe/Berlin"
MS_A_DAY_OF_WORK = 8 * 3600 * 1000

TABLE = """as,when,sequence,duration,wears,person
P-0417,2026-10-24 23:50,epi-2mm,12 min,,pilot-a
P-0417,2026-10-25 00:10,diffusion,8 min 30 s,,pilot-a
P-0417,2026-10-25T02:30:00+02:00,epi-2mm,12 min,,pilot-a
P-0417,2026-10-25T02:30:00+01:00,epi-2mm,6 min,,pilot-a
P-0417,2026-10-29 09:00,epi-fast,6 min,nothing,pilot-a
P-0418,2026-10-26 09:00,epi-2mm,720 s,,pilot-b
S-0001,2026-10-26 09:00,epi-2mm,720 s,,operator
"""


def run(program, *words, status=(0, 1)):
    outcome = subprocess.run([program, "register", *words], text=True, capture_output=True, check=False)
    assert outcome.returncode in status, f"{words}: {outcome.returncode}\n{outcome.stderr}"
    return outcome


def answer(program, *words, status=(0, 1)):
    return json.loads(run(program, *words, "--format", "json", status=status).stdout)


def made(program, root, folder):
    register = folder / "unit.register"
    table = folder / "past.csv"
    table.write_text(TABLE)
    run(program, "create", register, "--time-zone", ZONE, status=(0,))
    plan = root / "sequences/saltmarsh/plan.toml"
    told = answer(program, "import", register, "--table", table, "--plan", plan, status=(0,))
    assert sum(one["runs"] for one in told["imported"]) == 7, told
    return register


def content(register):
    """Every entry that has content, as the tables hold it; no program but SQLite reads them."""
    with sqlite3.connect(f"file:{register}?mode=ro", uri=True) as base:
        return base.execute(
            "SELECT e.n, e.kind, c.session, c.from_ms, c.to_ms, c.body, k.code FROM entry e "
            "JOIN content c ON c.n = e.n LEFT JOIN code k ON k.person = c.person ORDER BY c.from_ms, e.n"
        ).fetchall()


def pieces(rows):
    """(code, from, to, record) of all that was heard: runs, and what the room is like between them."""
    rests, spans, ends = {}, {}, {}
    for n, kind, session, begin, end, body, code in rows:
        body = json.loads(body)
        if kind in ("session-start", "wear"):
            rests.setdefault((code, session), []).append((begin, body.get("rest")))
        elif kind == "run":
            spans.setdefault((code, session), []).append((begin, end, body["exposure"]))
            yield code, begin, end, body["exposure"]
        elif kind == "session-end":
            ends[code, session] = begin
    for key, changes in rests.items():
        at, runs = changes[0][0], sorted(spans.get(key, []), key=lambda one: one[:2])
        for begin, end, _ in [*runs, (ends[key], ends[key], None)]:
            for number, (since, rest) in enumerate(changes):
                until = changes[number + 1][0] if number + 1 < len(changes) else begin
                first, last = max(at, since), min(begin, until)
                if last > first and rest and rest["rows"]:
                    yield key[0], first, last, rest
            at = max(at, end)


def days_of(begin, end, zone):
    """The parts of a time by local day, whose midnights Python's own time zones tell."""
    while begin < end:
        day = datetime.datetime.fromtimestamp(begin / 1000, zone).date()
        following = datetime.datetime.combine(day + datetime.timedelta(1), datetime.time(), zone)
        until = min(end, round(following.timestamp() * 1000))
        yield day, until - begin
        begin = until


def recomputed(rows):
    """Sums of energy by person and day: p² relative to 20 µPa, times milliseconds; doses in percent."""
    zone = zoneinfo.ZoneInfo(ZONE)
    sums = {}
    for code, begin, end, record in pieces(rows):
        for day, ms in days_of(begin, end, zone):
            sum_of = sums.setdefault((code, record["role"], day.isoformat()),
                                     {"outside": 0.0, "ear": 0.0, "niosh-rel": 0.0})
            for row in record["rows"]:
                if "LAeq_dB" not in row:
                    continue
                sum_of["outside"] += ms * 10 ** (outside_of(row) / 10)
                sum_of["ear"] += ms * 10 ** (row["at_ear_dB"] / 10)
                sum_of["niosh-rel"] += ms * dose_a_ms(row, record)
    return sums


def outside_of(row):
    """The sound, and what else is heard at its place whatever is worn."""
    levels = [row["LAeq_dB"], *([row["unreduced_dB"]] if "unreduced_dB" in row else [])]
    return 10 * math.log10(sum(10 ** (level / 10) for level in levels))


def dose_a_ms(row, record):
    """NIOSH 98-126, 1.1.2 and 1.1.3: 85 dB for 8 h, halved for every 3 dB; from 80 dB where so defined."""
    criterion = next((one for one in record["criteria"] if one["id"] == "niosh-rel"), None)
    if criterion is None:
        return 0.0
    worn = row["fraction_worn"] if row.get("with_protector") else 0.0
    dose = 0.0
    for part, level in ((worn, row["while_worn_dB"]), (1 - worn, outside_of(row))):
        threshold = criterion.get("threshold_dB")
        if threshold is None or level >= threshold:
            dose += part * 2 ** ((level - 85.0) / 3.0) / MS_A_DAY_OF_WORK
    return 100.0 * dose


def near(one, other):
    return math.isclose(one, other, rel_tol=0.0, abs_tol=1e-9 * max(1.0, abs(other)))


def check_totals(program, register):
    totals = answer(program, "totals", register)
    expected = recomputed(content(register))
    told = {}
    for person in totals["people"]:
        for day in person["days"]:
            told[person["as"], person["role"], day["date"]] = day
    assert told.keys() == expected.keys(), (sorted(told), sorted(expected))
    for key, day in told.items():
        sums = expected[key]
        for name, energy in (("LEX_8h_dB", sums["outside"]), ("at_ear_LEX_8h_dB", sums["ear"])):
            level = 10 * math.log10(energy / MS_A_DAY_OF_WORK)
            assert near(day[name], level), (key, name, day[name], level)
        dose = [one["value"] for one in day["criteria"] if one["id"] == "niosh-rel" and one["quantity"] == "dose"]
        assert dose and near(dose[0], sums["niosh-rel"]), (key, dose, sums["niosh-rel"])
    # The night of the change: 23:50 to 24:00 is of one day, the rest of the next.
    days = sorted(date for as_, _, date in told if as_ == "P-0417")
    assert days == ["2026-10-24", "2026-10-25", "2026-10-29"], days
    return len(told)


def check_numbers(program, register):
    """Entries behind each figure are those that SQL finds for the person."""
    rows = content(register)
    for person in answer(program, "totals", register)["people"]:
        heard = {n for n, kind, *_, code in rows if kind in ("run", "task") and code == person["as"]}
        told = {n for day in person["days"] for n in day["entries"]}
        assert told == heard, (person["as"], told, heard)
        for file in person["files"]:
            assert len(file["sha256"]) == 64, file


def tampered(register, folder, name, statements):
    """A copy in which that was done, and its triggers are as they were: what somebody with SQLite can do."""
    copy = folder / name
    shutil.copy(register, copy)
    with sqlite3.connect(copy) as base:
        base.execute("PRAGMA writable_schema = OFF")
        triggers = base.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
        assert triggers
        for trigger, _ in triggers:
            base.execute(f"DROP TRIGGER {trigger}")
        for statement in statements:
            assert base.execute(statement).rowcount > 0, statement
        for _, text in triggers:
            base.execute(text)
    return copy


def check_tampering(program, register, folder):
    """Whatever is changed, verify names its entry and ends with status 1."""
    n = next(row[0] for row in content(register) if row[1] == "run")
    for name, statements in (
            ("body", [f"UPDATE content SET body = replace(body, '\"at_ear_dB\":', '\"at_ear_dB\": ') WHERE n = {n}"]),
            ("time", [f"UPDATE content SET to_ms = to_ms - 60000 WHERE n = {n}"]),
            ("header", [f"UPDATE entry SET recorded_ms = recorded_ms + 1 WHERE n = {n}"]),
            ("removed", [f"DELETE FROM content WHERE n = {n}"])):
        outcome = run(program, "verify", tampered(register, folder, name, statements), "--format", "json",
                      status=(1,))
        findings = json.loads(outcome.stdout)["verification"]["findings"]
        assert findings[0]["entry"] == n, (name, n, findings)
        text = run(program, "verify", folder / name, status=(1,)).stdout
        assert text.startswith("NOT AS IT WAS RECORDED") and f"entry {n}: " in text, text
    # What is whole stays so by the same means.
    same = tampered(register, folder, "same", ["UPDATE setting SET value = value"])
    assert answer(program, "verify", same, status=(0,))["verification"]["intact"]
    return n


def check_csv(program, register):
    """No cell of the table begins a formula; every row has as many cells as there are headings."""
    import csv
    import io
    text = run(program, "totals", register, "--format", "csv").stdout
    rows = list(csv.reader(io.StringIO(text)))
    assert len(rows) > 5
    for row in rows:
        assert len(row) == len(rows[0]), row
        for cell in row:
            number = cell.lstrip("-").replace(".", "").replace("e", "").replace("-", "").isdigit()
            assert number or not cell.startswith(("=", "+", "-", "@", "\t")), cell


def check_bad_table(program, root, register, folder):
    """All mistakes of a table in one list, by row and column, and nothing recorded."""
    head = answer(program, "verify", register, status=(0,))["register"]["head"]
    bad = folder / "bad.csv"
    bad.write_text("as,when,sequence,duration,wears,person\n"
                   "P-1,2026-03-29 02:30,epi-2mm,12 min,,pilot-a\n"   # summer time leaves it out
                   "P-1,2026-10-25 02:30,epi-2mm,12 min,,pilot-a\n"   # comes twice
                   "P-1,2026-11-01 10:00,epi-2nm,12 min,,pilot-a\n"
                   "P-1,2026-11-01 11:00,epi-2mm,12,,pilot-a\n"
                   "P-1,2026-11-01 12:00,epi-2mm,12 min,no-such,pilot-a\n"
                   "P-1,2026-11-01 13:00,epi-2mm,12 min,,nobody\n"
                   "P-1,yesterday,epi-2mm,12 min,,pilot-a\n")
    outcome = run(program, "import", register, "--table", bad, "--plan",
                  root / "sequences/saltmarsh/plan.toml", status=(2,))
    lines = outcome.stderr.strip().splitlines()
    places = [":".join(line[len(str(bad)) + 1:].split(":")[:2]) for line in lines]
    assert places == ["2:2", "3:2", "4:3", "5:4", "6:5", "7:6", "8:2"], outcome.stderr
    assert not outcome.stdout
    twice = folder / "past.csv"
    outcome = run(program, "import", register, "--table", twice, "--plan",
                  root / "sequences/saltmarsh/plan.toml", status=(2,))
    assert "tells already" in outcome.stderr
    assert answer(program, "verify", register, status=(0,))["register"]["head"] == head


def main(program, root):
    program, root = pathlib.Path(program).resolve(), pathlib.Path(root).resolve()
    with tempfile.TemporaryDirectory() as scratch:
        folder = pathlib.Path(scratch)
        register = made(program, root, folder)
        before = hashlib.sha256(register.read_bytes()).hexdigest()
        days = check_totals(program, register)
        check_numbers(program, register)
        check_csv(program, register)
        check_bad_table(program, root, register, folder)
        n = check_tampering(program, register, folder)
        assert hashlib.sha256(register.read_bytes()).hexdigest() == before, "reading changed the file"
        print(f"{days} days recomputed; tampering found at entry {n}")


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2])
