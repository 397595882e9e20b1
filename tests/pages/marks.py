"""The marks of verdicts tell by their ink alone how grave they are, also printed in grey."""
import re

from support import paper
from support.suite import PagesTest, main

ORDER = ("within", "close", "unknown", "over")
SIDE = 60  # CSS pixels from one mark to the next


class Marks(PagesTest):
    """Of the pages and of their drawings."""

    def ink(self, marks):
        """What part of each mark's square is black, as a cheap printer gives it."""
        markup = self.program.page("assess").read_text(encoding="utf-8")
        style = re.search(r"<style>(.*?)</style>", markup, re.DOTALL)[1]
        parts = "".join(f"<div class='{name}' style='position: absolute; top: 0; font-size: 30px; "
                        f"left: {n * SIDE}px'>{mark}</div>" for n, (name, mark) in enumerate(marks))
        file = self.program.folder / "marks.html"
        file.write_text("<!DOCTYPE html><html lang='en'><title>marks</title><style>" + style +
                        "@page { margin: 0 } .shape { top: 10px; left: 10px }</style>" + parts,
                        encoding="utf-8")
        self.page.open(file)
        return paper.ink(self.page.pdf("A4"), SIDE, len(marks))

    def test_in_order(self):
        """Each has clearly more ink than the one before."""
        ink = self.ink([(name, f"<span class='shape {name}'></span>") for name in ORDER])
        for lighter, darker in zip(ink, ink[1:]):
            self.assertGreater(darker, 1.15 * lighter, ink)
        self.assertGreater(ink[0], 0.02, ink)

    def test_explained_once(self):
        """Each page that has marks says once what they stand for, beside the same marks."""
        for name in self.pages(("assess", "choose", "review", "measure")):
            keys = self.page.run("""[...document.querySelectorAll('.key')].map(key =>
                [...key.querySelectorAll('.shape')].map(mark => mark.classList[1]))""")
            self.assertEqual(len(keys), 1, name)
            used = set(self.page.run("""[...document.querySelectorAll('.answers .shape, .answer > .shape')]
                .map(mark => mark.classList[1])"""))
            self.assertTrue(used and used <= set(keys[0]), f"{name}: {used} of {keys[0]}")
            self.assertEqual(keys[0], [mark for mark in ORDER if mark in keys[0]], name)


if __name__ == "__main__":
    main()
