"""What people write is text: it neither runs nor becomes markup, and the page stays readable."""
import re
import shutil

from support import hostile, layout, outside, paper, rules
from support.demo import ROOT
from support.suite import WHOLE, PagesTest, main

UNSEEN = re.compile("[\u200b\u200e\u200f\u202a-\u202e\u2066-\u2069]")
COUNT_TAGS = """[...document.querySelectorAll('*')].reduce(
    (counts, e) => ({...counts, [e.tagName]: (counts[e.tagName] ?? 0) + 1}), {})"""


class Hostile(PagesTest):
    """Every free text of plan, catalogue, site and cards replaced, one kind of text after another."""

    def check(self, file, text, where):
        """The findings that do not depend on the kind of page; leaves the page open and unfolded."""
        self.page.look(1280)
        self.page.open(file)
        self.none_of(self.page.complaints(), where)
        self.assertIsNone(self.page.run("window.ran"), where)
        self.none_of(outside.references(file.read_text(encoding="utf-8")), where)
        # What is not seen is shown; the sheet, which must stay one, may shorten what is long.
        seen = UNSEEN.sub(lambda found: f"\\u{{{ord(found[0]):x}}}", text)
        seen = seen[:12] if where.startswith("sheet") else seen
        words = self.page.run("document.body.textContent")
        self.assertIn(seen, words, where)
        self.assertIsNone(UNSEEN.search(words), where)
        self.page.unfold()
        for width in (1280, 360):
            self.page.look(width)
            self.none_of(layout.overflow(self.page) + layout.drawings(self.page) +
                         layout.reversed_text(self.page), f"{where} at {width} px")
        self.page.look(paper.area(self.page, "A4")[0], media="print")
        self.none_of(layout.overflow(self.page), f"{where}, printed")
        self.page.look(1280)

    def test_studies(self):
        """Each text in each place, in every page of a study; in the suite in every other page."""
        tags, items = {}, {}
        for number, (kind, text) in enumerate(hostile.TEXTS.items()):
            study = hostile.make_study(self.program.folder, text)
            for place, (name, arguments) in enumerate(hostile.commands(study).items()):
                if not WHOLE and (number + place) % 2 != 0:
                    continue
                where = f"{name}, {kind}"
                with self.subTest(where):
                    self.check(self.program.page(where, arguments), text, where)
                    counts = self.page.run(COUNT_TAGS)
                    # A first answer has as many lines as there is room for beside long names.
                    for tag in ("LI", "BDI"):
                        number = counts.pop(tag, 0)
                        self.assertLessEqual(
                            abs(number - items.setdefault((name, tag), number)), 12)
                    self.assertEqual(counts, tags.setdefault(name, counts))

    def test_rules(self):
        """Accessibility does not hang on tidy names."""
        for kind in ("markup", "quotes"):
            study = hostile.make_study(self.program.folder, hostile.TEXTS[kind])
            for name, arguments in hostile.commands(study).items():
                self.page.open(self.program.page(f"{name}, {kind}", arguments))
                self.page.unfold()
                rules.prepare(self.page)
                self.none_of(rules.findings(self.page), f"{name}, {kind}")

    def test_printed_head(self):
        """The line above each sheet is text too, and stays one line."""
        for kind in ("markup", "one word", "many words"):
            study = hostile.make_study(self.program.folder, hostile.TEXTS[kind])
            self.page.open(self.program.page(f"sheet, {kind}", hostile.commands(study)["sheet"]))
            for number, sheet in enumerate(paper.texts(self.page.pdf("A4")), 1):
                head = "\n".join(sheet.strip().split("\n")[:2])
                with self.subTest(f"{kind}, sheet {number}"):
                    self.assertIn(hostile.TEXTS[kind][:12], head)
                    self.assertIn("2026-02-28", head)

    def test_recordings(self):
        """A recording's name can hold nearly anything."""
        for name in ("<img src=x onerror='ran = 1'>\"&lt;", "\u202e\u05d0\u05d1", "W" * 200):
            recording = self.program.folder / (name + ".flac")
            shutil.copy(ROOT / "recordings/localiser.flac", recording)
            page = self.program.page(f"measure {len(name)}", [
                "measure", recording, "--full-scale-level", "136", "--date", "2026-02-28"])
            self.check(page, name, f"measure {name[:20]}")


if __name__ == "__main__":
    main()
