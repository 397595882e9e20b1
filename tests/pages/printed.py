"""The demo on A4 and Letter: few sheets, each headed, each person on one where it fits."""
from support import layout, paper
from support.demo import COMMANDS, DATE
from support.page import PAPERS
from support.suite import PagesTest, main

TITLE = "Harbour pilots"
PLANS = ("assess", "sheet", "choose")
FOLDING = ("assess", "choose", "review")
# The working takes some eighty sheets of the same parts.
NAMES = [name for name in COMMANDS if name != "assess with working"]
# Sheets that the report may take, fewest and most.
SHEETS = {"assess": (2, 5), "sheet": (1, 1)}


class Printed(PagesTest):
    """PDFs as a reader's own browser would print them."""

    def test_sheets(self):
        """As many as were promised, and none without a text."""
        for name in self.pages(NAMES):
            for size in PAPERS:
                sheets = paper.texts(self.page.pdf(size))
                fewest, most = SHEETS.get(name, (1, 12))
                with self.subTest(f"{name} on {size}"):
                    self.assertGreaterEqual(len(sheets), fewest)
                    self.assertLessEqual(len(sheets), most)
                self.none_of([f"sheet {number} of {len(sheets)} is almost empty"
                              for number, text in enumerate(sheets, 1) if len(text.split()) < 15],
                             f"{name} on {size}")

    def test_folded(self):
        """Paper has all that a page folds on a screen."""
        for name in FOLDING:
            self.page.open(self.program.folded(name))
            self.assertGreater(self.page.run(
                "document.querySelectorAll('details.more:not([open])').length"), 2, name)
            self.none_of(self.page.run("""[...document.querySelectorAll('.more table')].filter(
                e => e.checkVisibility({contentVisibilityAuto: true})).map(
                e => 'seen though folded: ' + e.textContent.trim().slice(0, 60))"""), name)
            printed = paper.texts(self.page.pdf("A4"))
            self.page.open(self.program.page(name))
            self.assertEqual(printed, paper.texts(self.page.pdf("A4")), name)

    def test_header(self):
        """Each sheet tells its plan and date, since sheets come apart."""
        for name in self.pages(PLANS):
            sheets = paper.texts(self.page.pdf("A4"))
            self.none_of([f"sheet {number} lacks {words}" for number, text in enumerate(sheets, 1)
                          for words in (TITLE, DATE) if words not in text], name)

    def test_kept_together(self):
        """A person, a drawing or a heading's first lines are not torn where one sheet holds them."""
        for name in self.pages(NAMES):
            for size in PAPERS:
                self.page.look(1280)
                self.page.open(self.program.page(name))
                if name == "assess":
                    self.none_of(paper.torn(self.page, size, ".person"), f"{name} on {size}")
                    self.page.open(self.program.page(name))
                if self.page.run("document.querySelectorAll('figure').length"):
                    self.none_of(paper.torn(self.page, size, "figure"), f"{name} on {size}")

    def test_width(self):
        """Paper cannot be scrolled: nothing is wider than it."""
        for name in self.pages(NAMES):
            for size in PAPERS:
                width, _ = paper.area(self.page, size)
                self.page.look(width, media="print")
                found = layout.overflow(self.page) + layout.drawings(self.page)
                found += self.page.run("""[...document.querySelectorAll('*')].filter(
                    e => e instanceof HTMLElement && e.scrollWidth > e.clientWidth + 1 &&
                    ['auto', 'scroll', 'hidden'].includes(getComputedStyle(e).overflowX)).map(
                    e => 'cut off by the edge: ' + e.textContent.trim().slice(0, 60))""")
                self.none_of(found, f"{name} on {size}")


if __name__ == "__main__":
    main()
