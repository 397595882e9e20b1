"""Costs of processes, medians, growth, and whether the machine was quiet meanwhile."""

import math
import os
import resource
import time

STATUS_OF_RESULTS = (0, 1)
SPINS = 2_000_000
# What a quiet machine keeps to; own choices.
LOAD_BEFORE = 0.5
PROCESSORS_OF_OTHERS = 0.1
SPIN_SPREAD = 1.15


def median(values):
    ordered = sorted(values)
    middle = len(ordered) // 2
    return ordered[middle] if len(ordered) % 2 else (ordered[middle - 1] + ordered[middle]) / 2


def cost_of(command, folder="/"):
    """Wall and processor seconds of a whole process, and its peak memory in MB.

    Linux counts the memory of what starts a process as the process's own at first: no peak is less
    than that of this script, which `floor_MB` tells."""
    nothing = [(os.POSIX_SPAWN_OPEN, stream, os.devnull, os.O_WRONLY, 0) for stream in (1, 2)]
    os.chdir(folder)
    start = time.perf_counter()
    process = os.posix_spawn(command[0], command, os.environ, file_actions=nothing)
    _, status, used = os.wait4(process, 0)
    wall = time.perf_counter() - start
    status = os.waitstatus_to_exitcode(status)
    if status not in STATUS_OF_RESULTS:
        raise RuntimeError(f"{' '.join(command)}: status {status}")
    return {"wall_s": wall, "CPU_s": used.ru_utime + used.ru_stime, "peak_MB": used.ru_maxrss * 1024e-6}


def floor_MB():
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024e-6


def in_turn(commands, runs):
    """The medians of each command's costs; after one run of each that does not count, all run in
    turn, each time in the other order, so that what disturbs one disturbs the others as well."""
    costs = {name: [] for name in commands}
    for run in range(-1, runs):
        for name in list(commands)[:: 1 if run % 2 == 0 else -1]:
            cost = commands[name]()
            if run >= 0:
                costs[name].append(cost)
    return {name: {key: median([cost[key] for cost in of]) for key in of[0]} for name, of in costs.items()}


def slope(sizes, seconds):
    """Of the line through both on a double-logarithmic scale, by least squares: 1 is in proportion."""
    x, y = [math.log(s) for s in sizes], [math.log(s) for s in seconds]
    mean_x, mean_y = sum(x) / len(x), sum(y) / len(y)
    return (sum((a - mean_x) * (b - mean_y) for a, b in zip(x, y)) / sum((a - mean_x) ** 2 for a in x))


class Quiet:
    """What else the machine does: a fixed loop is timed before, between and after."""

    def __init__(self):
        self.load_before = os.getloadavg()[0]
        self.spins = []
        self.start, self.others_at_start = time.perf_counter(), self.others()
        self.spin()

    @staticmethod
    def others():
        """Processor seconds of all processes but this one and its children since the machine started."""
        with open("/proc/stat") as stat:
            user, nice, system = [int(word) for word in stat.readline().split()[1:4]]
        own = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
        return (user + nice + system) / os.sysconf("SC_CLK_TCK") - sum(u.ru_utime + u.ru_stime for u in own)

    def spin(self):
        start = time.perf_counter()
        for _ in range(SPINS):
            pass
        self.spins.append(time.perf_counter() - start)

    def result(self):
        self.spin()
        others = max(0.0, (self.others() - self.others_at_start) / (time.perf_counter() - self.start))
        return judged(self.load_before, others, self.spins)


def judged(load_before, others, spins):
    """Whether figures taken meanwhile may be held against targets."""
    spread = max(spins) / min(spins)
    reasons = []
    if load_before > LOAD_BEFORE:
        reasons.append(f"load average {load_before:.2f} before the first run, more than {LOAD_BEFORE}")
    if others > PROCESSORS_OF_OTHERS:
        reasons.append(f"others kept {others:.2f} processors busy, more than {PROCESSORS_OF_OTHERS}")
    if spread > SPIN_SPREAD:
        reasons.append(f"the slowest of {len(spins)} fixed loops took {spread:.2f} times the quickest, "
                       f"more than {SPIN_SPREAD}")
    return {"quiet": not reasons, "why_not": reasons, "load_average_before": round(load_before, 2),
            "processors_of_others": round(others, 3), "spin_s": [round(s, 4) for s in spins],
            "spin_spread": round(spread, 3)}
