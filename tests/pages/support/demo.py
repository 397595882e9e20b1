"""The program's own pages and JSON of the demo, each made once a run."""
import json
import pathlib
import subprocess
import tempfile

ROOT = pathlib.Path(__file__).parents[3]
STUDY = "sequences/saltmarsh"
DATE = "2026-02-28"

_CARD = f"{STUDY}/cards/epi-2mm.toml"
_ASSESS = ["assess", f"{STUDY}/plan.toml", "--date", DATE]
_CHOOSE = ["choose", f"{STUDY}/plan.toml", "--date", DATE]
_REVIEW = ["review", _CARD, "--protectors", f"{STUDY}/protectors.toml", "--date", DATE]
_MEASURE = ["measure", "recordings/epi-2mm.flac", "--calibration", "recordings/calibrator.flac",
            "--calibrator-level", "114", "--background", "recordings/background.flac",
            "--date", DATE]

COMMANDS = {
    "assess": _ASSESS,
    "assess with working": [*_ASSESS, "--working"],
    "sheet": [*_ASSESS, "--sheet"],
    "choose": _CHOOSE,
    "review": _REVIEW,
    "review of a change": [*_REVIEW, "--against", f"{STUDY}/cards/epi-fast.toml"],
    "measure": _MEASURE,
}


class Program:
    """Runs the program as built; its output goes to a folder that ends with it."""

    def __init__(self, executable):
        self.executable = str(pathlib.Path(executable).resolve())
        self._folder = tempfile.TemporaryDirectory(prefix="pages-")
        self.folder = pathlib.Path(self._folder.name)

    def output(self, arguments, output_format, unfolded=True):
        """What the program prints; AssertionError where it refuses."""
        folds = arguments[0] in ("assess", "choose", "review")
        whole = ["--detail"] if folds and unfolded else []
        command = [self.executable, *map(str, arguments), *whole, "--format", output_format]
        done = subprocess.run(command, cwd=ROOT, capture_output=True, check=False)
        # 1 says that somebody is over a limit: computed all the same.
        assert done.returncode in (0, 1), f"{command} ended with {done.returncode}: {done.stderr!r}"
        return done.stdout.decode("utf-8")

    def page(self, name, arguments=None):
        """The file of a page: of the demo by its name in COMMANDS, or of other arguments."""
        file = self.folder / (name.replace(" ", "-") + ".html")
        if not file.exists():
            file.write_text(self.output(arguments or COMMANDS[name], "html"), encoding="utf-8")
        return file

    def folded(self, name):
        """The file of a page of the demo as it comes, its sections folded."""
        file = self.folder / (name.replace(" ", "-") + "-folded.html")
        file.write_text(self.output(COMMANDS[name], "html", unfolded=False), encoding="utf-8")
        return file

    def json(self, name):
        """The JSON of the same command."""
        arguments = [argument for argument in COMMANDS[name] if argument != "--sheet"]
        return json.loads(self.output(arguments, "json"))

    def close(self):
        """Removes the folder."""
        self._folder.cleanup()
