"""Leaves every page of the demo as pictures for a pair of eyes: look.py PROGRAM FOLDER."""
import pathlib
import subprocess
import sys

sys.path.insert(0, str(pathlib.Path(__file__).parents[1]))

from support.browser import Browser
from support.demo import COMMANDS, Program
from support.page import Page


def main(executable, folder):
    """Screens of three widths, and sheets of A4 in grey, as a cheap printer gives them."""
    folder.mkdir(parents=True, exist_ok=True)
    program = Program(executable)
    with Browser() as browser:
        page = Page(browser)
        for name in (name for name in COMMANDS if name != "assess with working"):  # too long
            stem = str(folder / name.replace(" ", "-"))
            page.open(program.page(name))
            for width in (1280, 768, 390):
                page.look(width)
                pathlib.Path(f"{stem}-{width}.png").write_bytes(page.picture())
            pathlib.Path(f"{stem}.pdf").write_bytes(page.pdf("A4"))
            subprocess.run(["pdftoppm", "-png", "-gray", "-r", "80", f"{stem}.pdf", f"{stem}-A4"],
                           check=True)
            print(stem)
    program.close()


if __name__ == "__main__":
    main(sys.argv[1], pathlib.Path(sys.argv[2]))
