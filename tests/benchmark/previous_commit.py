"""The program as it was at an earlier commit, built to be timed beside today's."""

import pathlib
import subprocess


def git(source, *words):
    done = subprocess.run(["git", "-C", source, *words], check=True, capture_output=True, text=True)
    return done.stdout.strip()


def commit_before(source):
    """HEAD while the work tree differs from it, else the one before; nothing where there is none."""
    try:
        changed = git(source, "status", "--porcelain", "--untracked-files=no")
        return git(source, "rev-parse", "--short", "HEAD" if changed else "HEAD~1")
    except (OSError, subprocess.CalledProcessError):
        return None


def built(source, folder, commit):
    """The build folder of that commit: the program, and the library's times where it had them."""
    checkout, out = folder / "source", folder / "build"
    folder.mkdir(parents=True, exist_ok=True)
    if checkout.exists():
        git(checkout, "checkout", "--quiet", "--detach", commit)
    else:
        git(source, "worktree", "add", "--quiet", "--force", "--detach", str(checkout), commit)
    subprocess.run(["cmake", "-S", checkout, "-B", out, "-G", "Ninja", "-DCMAKE_BUILD_TYPE=Release"],
                   check=True, stdout=subprocess.DEVNULL)
    for target in ("earbudget_program", "benchmark_in_process"):
        subprocess.run(["cmake", "--build", out, "--target", target], check=target == "earbudget_program",
                       stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    return pathlib.Path(out)
