"""What every test file here begins and ends with: one browser, one program, no empty run."""
import os
import sys
import unittest

from support.browser import Browser
from support.demo import COMMANDS, Program
from support.page import Page

# The nightly preset tries every combination; the suite each part of every one.
WHOLE = "EARBUDGET_NIGHTLY" in os.environ


class PagesTest(unittest.TestCase):
    """A test with an open `page` and the `program`; a finding is a line of text."""

    browser = page = program = None

    @classmethod
    def setUpClass(cls):
        cls.program = Program(EXECUTABLE)
        cls.addClassCleanup(cls.program.close)
        cls.browser = cls.enterClassContext(Browser())
        cls.page = Page(cls.browser)

    def setUp(self):
        self.page.look(1280)

    def pages(self, names=COMMANDS):
        """Opens the demo's pages one after another; one that fails to appear fails."""
        for name in names:
            opened = False
            with self.subTest(name):
                self.page.look(1280)
                self.page.open(self.program.page(name))
                opened = True
            if opened:
                yield name

    def none_of(self, findings, where):
        """Fails, without ending the test, where there is a finding; names the first few."""
        with self.subTest(where):
            lines = list(dict.fromkeys(findings))
            more = [f"and {len(lines) - 12} more"] if len(lines) > 12 else []
            self.assertFalse(lines, "\n  ".join(["", where + ":", *lines[:12], *more]))


EXECUTABLE = None


def main():
    """Runs the tests of the file that was started with the program's path; none run is a failure."""
    global EXECUTABLE
    *options, EXECUTABLE = sys.argv[1:]
    # One copy of this module serves the test file, whatever it is started as.
    run = unittest.main(module="__main__", argv=[sys.argv[0], *options], exit=False)
    if run.result.testsRun == 0 or not run.result.wasSuccessful():
        sys.exit(1)
