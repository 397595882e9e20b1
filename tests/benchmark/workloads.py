"""What is timed, against what, and what it should take."""

import dataclasses
import json
import pathlib
import shutil
import subprocess
from typing import Callable, Optional

import desk
import studies
import timing

PYTHON = "/usr/bin/python3"
HERE = pathlib.Path(__file__).parent
FULL_SCALE = ["--full-scale-level", "120", "--format", "json"]
KEPT = 'worn = 0.9\nfit_uncertainty = 3'


@dataclasses.dataclass
class Place:
    """Where everything is; `before` is the build folder of the commit before."""
    source: pathlib.Path
    build: pathlib.Path
    before: Optional[pathlib.Path]
    folder: pathlib.Path
    skip_long: bool

    def program(self, *words):
        return Words(self, [str(word) for word in words])

    def sound(self, name, seconds=600, channels=1, rate=48000, seed=1):
        path = self.folder / name
        size = 3 * seconds * channels * rate
        if shutil.disk_usage(self.folder).free < size + 500e6:
            raise RuntimeError(f"too little space for {size / 1e9:.1f} GB")
        if not path.exists():
            subprocess.run([self.tool("sound"), "write", path, *map(str, (seconds, channels, rate, seed))],
                           check=True)
        return str(path)

    def tool(self, name):
        return str(self.build / "tests" / "benchmark" / f"benchmark_{name}")


@dataclasses.dataclass
class Words:
    """The arguments of the program, today's and the one before."""
    place: Place
    words: list

    def now(self):
        return timing.cost_of([str(self.place.build / "earbudget"), *self.words], self.place.source)

    def before(self):
        return timing.cost_of([str(self.place.before / "earbudget"), *self.words], self.place.source)


@dataclasses.dataclass
class Workload:
    name: str
    now: Callable
    before: Optional[Callable] = None
    reference_name: str = ""
    reference: Optional[Callable] = None
    target: Optional[tuple] = None  # the figure, "at most" or "at least", the value
    done: Callable = lambda: None


def vector():
    flags = pathlib.Path("/proc/cpuinfo").read_text()
    return next((name for name, flag in (("512-bit vectors", "avx512f"), ("256-bit vectors", "avx2"))
                 if f" {flag}" in flags), "128-bit vectors")


def at_most(figure, value):
    return (figure, "at most", value)


def of_program(place, name, words, target=None, reference=None, done=lambda: None):
    told = place.program(*words)
    other = reference and (lambda: timing.cost_of(reference[1]))
    return Workload(name, told.now, told.before, reference[0] if reference else "", other, target, done)


def starts(place):
    plan = "sequences/saltmarsh/plan.toml"
    yield of_program(place, "--version", ["--version"], at_most("wall_ratio", 1.5),
                     ("empty program", [place.tool("empty_program")]))
    yield of_program(place, "assess, the demo", ["assess", plan], at_most("wall_s", 0.06))
    yield of_program(place, "choose, the demo", ["choose", plan])
    yield of_program(place, "review a card", ["review", "sequences/saltmarsh/cards/epi-2mm.toml"])


def close_plan(place):
    """One person over 50 cards, 40 protectors in the catalogue, and a verdict `close`."""
    for half in range(-20, 20):
        plan = studies.write(place.folder / "close", rows=50, cards=50, plugs=40, seconds=300, shift=half / 2)
        done = subprocess.run([place.build / "earbudget", "assess", plan, "--format", "json"],
                              capture_output=True, check=False)
        if json.loads(done.stdout)["verdict"] == "close":
            return plan
    raise RuntimeError("no level gives the verdict close")


def plans(place):
    large = {"rows": 200, "cards": 20, "people": 50, "plugs": 3}
    many = {"rows": 50, "cards": 50, "people": 50, "plugs": 40, "seconds": 60, "shift": 0}
    for name, command, study, seconds in (
            ("assess, 50 people of three kinds, 200 rows", "assess", large | {"alike": True}, 0.05),
            ("assess, 50 people none alike, 200 rows", "assess", large, 0.05),
            ("the same, worn and fit stated, as a process", "assess", large | {"person": KEPT}, 0.15),
            ("choose, 40 protectors, 50 people of three kinds", "choose", many | {"alike": True}, 1)):
        plan = studies.write(place.folder / name.replace("/", " "), **study)
        yield of_program(place, name, [command, plan], at_most("wall_s", seconds))
    yield of_program(place, "assess, close, 50 cards, 40 protectors", ["assess", close_plan(place)],
                     at_most("wall_s", 0.06))


def of_library(place):
    """Times that the library takes inside one process."""
    def one(build, name):
        done = subprocess.run([build / "tests" / "benchmark" / "benchmark_in_process", name], check=True,
                              capture_output=True, text=True)
        return {"wall_s": float(done.stdout), "CPU_s": float(done.stdout)}

    kept = place.before and (place.before / "tests" / "benchmark" / "benchmark_in_process").exists()
    for name, key, seconds in (("a million draws, two threads", "million_two_threads", 1),
                               ("a million draws, one thread", "million_one_thread", None),
                               ("choose, 40 protectors, 50 people none alike", "choose_unlike", 1),
                               ("assess, 50 unlike, worn and fit stated", "assess_unlike_worn", 0.15),
                               ("default draws, 200 rows", "default_draws", 0.001),
                               ("10,000 random plans, of 400, one core", "random_plans", 5)):
        yield Workload(name, lambda key=key: one(place.build, key),
                       (lambda key=key: one(place.before, key)) if kept else None,
                       *(("plain loop", lambda: one(place.build, "plain_loop")) if "million" in key else ()),
                       target=at_most("wall_s", seconds) if seconds else None)


def sounds(place):
    def measure(name, files, target, *reference, done=lambda: None):
        return of_program(place, name, ["measure", *files, *FULL_SCALE], target,
                          reference or None, done)

    def read(*files):
        return [place.tool("sound"), "read", *files]

    mono, other = place.sound("mono.wav"), place.sound("other.wav", seed=2)
    flac, stereo = place.sound("mono.flac"), place.sound("stereo.wav", channels=2)
    bound = {"512-bit vectors": 1.6, "256-bit vectors": 2.0}.get(vector())
    yield measure("measure, mono", [mono], bound and at_most("wall_ratio", bound), "bare read", read(mono))
    yield measure("measure, two files", [mono, other], at_most("CPU_ratio", 2.6), "bare reads",
                  read(mono, other))
    yield measure("measure, stereo", [stereo], None, "bare read", read(stereo))
    yield measure("measure, FLAC", [flac], at_most("CPU_ratio", 1.25), "decoding", read(flac))
    yield measure("measure, memory of 10 minutes", [mono], at_most("peak_MB", 32))
    now = place.program("measure", mono, *FULL_SCALE).now
    yield Workload("plain SciPy script",
                   lambda: timing.cost_of([PYTHON, str(HERE / "plain_scipy.py"), mono]),
                   None, "measure", now, ("wall_ratio", "at least", 8))
    for name, megabytes, of in (("measure, memory of 64 channels", 160, {"seconds": 60, "channels": 64}),
                                ("measure, memory of 3 hours", 32, {"seconds": 3 * 3600})):
        if place.skip_long:
            continue
        path = place.sound("long.wav", **of)
        yield measure(name, [path], at_most("peak_MB", megabytes), done=pathlib.Path(path).unlink)


def desk_answers(place):
    """Ten answers a run: one takes so little that the clock's own error would show."""
    for name, at, ask, nothing, target in desk.answers(place):
        yield Workload(name, lambda at=at, ask=ask: desk.cost_of(at, ask, 10), None, "an empty answer",
                       lambda at=at, nothing=nothing: desk.cost_of(at, nothing, 10), target)


GROUPS = {"start": starts, "plans": plans, "library": of_library, "sounds": sounds, "desk": desk_answers}


def all_of(place, only):
    """A group that cannot go on, for lack of space or of a study that it needs, says so."""
    for name, group in GROUPS.items():
        if only not in (None, name):
            continue
        try:
            yield from group(place)
        except RuntimeError as error:
            yield Workload(f"what else {name} has", lambda error=error: failed(error))


def failed(error):
    raise error
