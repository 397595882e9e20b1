"""The commands of the pages for newcomers, run on a copy of the demo, print what the page says.

usage: check_guided.py PROGRAM SOURCE_FOLDER
"""
import contextlib
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

import page_blocks

FIRST_HOURS = ("first-hour-designer.md", "first-hour-operator.md", "first-hour-committee.md",
               "ten-minutes.md")


@contextlib.contextmanager
def demo(program, source):
    """A folder as a clone with a built program has it, and the environment to run commands in."""
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name) / "earbudget"
        for part in ("sequences", "recordings"):
            shutil.copytree(source / part, folder / part)
        (folder / "build").mkdir()
        (folder / "build" / "earbudget").symlink_to(program)
        environment = {"PATH": f"{folder / 'build'}:/usr/bin:/bin", "LC_ALL": "C.UTF-8",
                       "HOME": name, "TMPDIR": name}
        yield folder, environment


def check_page(text, folder, environment):
    """What is wrong with a page, each as a text, and its blocks with what they printed."""
    faults, ran = [], []
    for block in page_blocks.blocks_of(text):
        if block.not_run:
            continue
        actual, status = page_blocks.run(block, folder, environment)
        ran.append((block, actual))
        if status != block.status:
            faults.append(f"line {block.line}: exit status {status}, the page says "
                          f"{block.status}; printed: {actual[-3:]}")
        if block.printed is None:
            continue
        mismatch = page_blocks.first_mismatch(block.printed, actual)
        if mismatch:
            faults.append(f"line {block.line}: {mismatch}")
    compared = [block for block, _ in ran if block.printed]
    if not compared:
        faults.append("no block of commands is followed by what it prints")
    return faults, ran


def check_first_hour(page, program, source):
    with demo(program, source) as (folder, environment):
        faults, ran = check_page(page.read_text(), folder, environment)
    assert not faults, "\n".join(f"{page.name}: {fault}" for fault in faults)
    # What a first hour must have: an exercise that changes a file, a mistake, and a status of each.
    statuses = {block.status for block, _ in ran if block.states_status}
    assert {0, 1, 2} <= statuses, f"{page.name}: shows only the statuses {statuses}"
    for block, actual in ran:
        check_finds_changes(page, block, actual)
    return len(ran)


def check_finds_changes(page, block, actual):
    """Each line of the page's output counts: changed, or left out, it no longer fits."""
    for number, line in enumerate(block.printed or []):
        if line.strip() == page_blocks.ELISION:
            continue
        changed = list(block.printed)
        changed[number] = line + "0"
        assert page_blocks.first_mismatch(changed, actual), \
            f"{page.name}, line {block.line}: {line!r} may say anything"


def check_quotations(text, folder, environment, besides):
    """A page with less care for wholeness: its commands run as told, and each output that it shows
    stands somewhere in what one of them, or of those besides, prints."""
    outputs, blocks = [], []
    for line, language, held in page_blocks.fences(text):
        if language == "sh":
            blocks.append(page_blocks.Block(line, "\n".join(held) + "\n"))
    for block in blocks:
        actual, status = page_blocks.run(block, folder, environment)
        assert status in (0, 1), f"line {block.line}: exit status {status}: {actual[-3:]}"
        outputs.append(actual)
    for command in besides:
        outputs.append(page_blocks.run(page_blocks.Block(0, command), folder, environment)[0])
    shown = 0
    for line, language, held in page_blocks.fences(text):
        if language == "text":
            shown += 1
            assert any(page_blocks.holds(held, actual) for actual in outputs), \
                f"line {line}: no command prints {held}"
    return len(blocks), shown


def stand_ins(folder, environment):
    """The files that README's examples name as the reader's own."""
    for entry in (folder / "sequences" / "saltmarsh").iterdir():
        (shutil.copytree if entry.is_dir() else shutil.copy)(entry, folder / entry.name)
    shutil.copy(folder / "plan.toml", folder / "new-plan.toml")
    recordings = folder / "recordings"
    shutil.copy(recordings / "epi-2mm.flac", folder / "run.wav")
    shutil.copy(recordings / "calibrator.flac", folder / "tone.wav")
    session = ["background", "epi-2mm", "background", "diffusion", "background"] * 7
    subprocess.run(["sox", *(str(recordings / f"{name}.flac") for name in session),
                    str(folder / "session.wav")], check=True, env=environment)


def section(text, heading):
    """From a heading to the next of the same depth."""
    found = re.search(rf"^## {re.escape(heading)}$(.*?)(?=^## |\Z)", text, re.M | re.S)
    assert found, f"no section {heading!r}"
    return found[1]


def check_readme(program, source):
    with demo(program, source) as (folder, environment):
        stand_ins(folder, environment)
        text = section((source / "README.md").read_text(), "A first answer")
        # The same name is written twice, by a recording and by a part of a session.
        text = text.replace("--to 245 --card my-sequence.toml",
                            "--to 245 --card another-sequence.toml")
        ran, shown = check_quotations(
            text, folder, environment,
            ["build/earbudget assess sequences/saltmarsh/plan.toml --working"])
    assert ran >= 8 and shown >= 3, f"README.md: {ran} blocks ran, {shown} outputs were shown"


def check_measuring(program, source):
    with demo(program, source) as (folder, environment):
        ran, _ = check_quotations((source / "docs" / "measuring.md").read_text(), folder,
                                  environment, [])
        assert ran >= 1, "measuring.md: nothing ran"
        assert (folder / "epi-2mm.toml").exists(), "measuring.md: no card was written"


DOCTORED = {
    "as it is": ("""
```sh
printf 'one\\ntwo\\nthree\\n'; exit 1
```
```text
one
…
three
```
Exit status 1: so.
""", None),
    "no block": ("Words.\n", "no block"),
    "no output": ("```sh\ntrue\n```\n", "no block"),
    "not run alone": ("<!-- not run: a reason -->\n```sh\ntrue\n```\n```text\nx\n```\n",
                      "no block"),
    "another line": ("```sh\necho 4\n```\n```text\n5\n```\n", "'5'"),
    "a line too few": ("```sh\nprintf '4\\n5\\n'\n```\n```text\n4\n```\n", "printed besides: '5'"),
    "wrong order": ("```sh\nprintf '4\\n5\\n'\n```\n```text\n5\n…\n4\n```\n", "place"),
    "a line twice": ("```sh\nprintf '4\\n5\\n'\n```\n```text\n4\n…\n4\n…\n```\n", "'4'"),
    "a status not said": ("```sh\necho 4; exit 2\n```\n```text\n4\n```\n", "exit status 2"),
    "a wrong status": ("```sh\necho 4\n```\n```text\n4\n```\nExit status 1: so.\n",
                       "exit status 0"),
    "a step that fails": ("```sh\nfalse\necho 4\n```\n```text\n4\n```\n", "exit status 1"),
    "standard error": ("```sh\necho no >&2\n```\n```text\n…\nyes\n```\n", "'yes'"),
}


def check_finds_defects(program, source):
    with demo(program, source) as (folder, environment):
        for name, (text, expected) in DOCTORED.items():
            faults, _ = check_page(text, folder, environment)
            if expected is None:
                assert not faults, f"{name}: {faults}"
            else:
                assert any(expected in fault for fault in faults), f"{name}: found {faults}"
    # A real page with one figure changed, and with an edit of its exercise left out.
    page = (source / "docs" / FIRST_HOURS[0]).read_text()
    changed = page.replace("OVER A LIMIT: pilot-b", "OVER A LIMIT: pilot-a", 1)
    without_edit = re.sub(r"^sed -i .*$", "true", page, flags=re.M)
    for name, doctored in (("a verdict changed", changed), ("no edit", without_edit)):
        assert doctored != page, f"{name}: nothing to doctor"
        with demo(program, source) as (folder, environment):
            faults, _ = check_page(doctored, folder, environment)
        assert faults, f"{name}: not found"


def main():
    program, source = (pathlib.Path(argument).resolve() for argument in sys.argv[1:3])
    os.umask(0o022)
    check_finds_defects(program, source)
    ran = sum(check_first_hour(source / "docs" / name, program, source) for name in FIRST_HOURS)
    check_readme(program, source)
    check_measuring(program, source)
    print(f"{ran} blocks of {len(FIRST_HOURS)} pages print what they show")


if __name__ == "__main__":
    main()
