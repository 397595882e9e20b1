"""The desk's answers, each against one that computes nothing, of the same desk in the same run."""

import concurrent.futures
import itertools
import os
import pathlib
import sys
import time

sys.path.insert(0, str(pathlib.Path(__file__).parents[1] / "pages"))

from support.desk import Desk, Visitor, fields_of  # noqa: E402

BROWSERS = 20
NOTHING = "/desk/icon.svg"


def processor_s(pid):
    """User and system seconds of a process so far."""
    words = pathlib.Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(words[11]) + int(words[12])) / os.sysconf("SC_CLK_TCK")


def cost_of(desk, ask, times):
    """Seconds of one of so many answers; RuntimeError where one is refused."""
    before, start = processor_s(desk.pid), time.perf_counter()
    for _ in range(times):
        status = ask()
        if status != 200:
            raise RuntimeError(f"the desk answered with {status}")
    return {"wall_s": (time.perf_counter() - start) / times,
            "CPU_s": (processor_s(desk.pid) - before) / times}


def trial(visitor):
    """Asks for the answer to a plan that differs each time."""
    page = visitor.get("/try?plan=plan.toml")[2].decode("utf-8")
    fields, repeats = dict(fields_of(page, "try")), itertools.cycle("12345678")
    assert "r3.repeat" in fields, sorted(fields)

    def ask():
        return visitor.post("/try", {**fields, "r3.repeat": next(repeats)})[0]
    return ask


def at_once(visitors, path):
    """All ask at once; the worst status."""
    with concurrent.futures.ThreadPoolExecutor(len(visitors)) as threads:
        return max(threads.map(lambda visitor: visitor.get(path)[0], visitors))


def answers(place):
    """Name, what is asked, what of nothing it is held against, and the target."""
    with Desk(place.build / "earbudget") as desk:
        visitors = [Visitor(desk) for _ in range(BROWSERS)]
        first = visitors[0]

        def nothing():
            return first.get(NOTHING)[0]
        yield ("desk, the first view", desk, lambda: first.get("/")[0], nothing, ("wall_s", "at most", 0.1))
        yield ("desk, a trial's answer", desk, trial(first), nothing, ("wall_s", "at most", 0.06))
        yield (f"desk, the first view by {BROWSERS} browsers", desk, lambda: at_once(visitors, "/"),
               lambda: at_once(visitors, NOTHING), ("wall_s", "at most", 1))
