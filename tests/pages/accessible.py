"""The demo's pages keep every rule of axe-core, at each width, on screen and on paper."""
from support import layout, paper, rules
from support.page import WIDTHS
from support.suite import WHOLE, PagesTest, main


class Accessible(PagesTest):
    """Rules, contrast and what they need of the structure."""

    def findings(self):
        """Of the page as it stands."""
        return rules.findings(self.page) + layout.contrast(self.page)

    def test_rules(self):
        """No rule is broken: wide, narrow, dark, printed."""
        for name in self.pages():
            self.page.unfold()
            rules.prepare(self.page)
            self.none_of(self.findings(), name)
            if name == "assess with working":
                continue  # the longest by far, and of the same parts
            for width in (WIDTHS["phone"], *([WIDTHS["tablet"]] if WHOLE else [])):
                self.page.look(width)
                self.none_of(self.findings(), f"{name} at {width} px")
            self.page.look(1280, scheme="dark")
            if self.page.run("matchMedia('(prefers-color-scheme: dark)').matches") and \
                    "prefers-color-scheme" in self.program.page(name).read_text(encoding="utf-8"):
                self.none_of(self.findings(), f"{name}, dark")
            self.page.look(paper.area(self.page, "A4")[0], media="print")
            self.none_of(self.findings(), f"{name}, printed")

    def test_structure(self):
        """One main part, one first heading, a language, a name for each drawing and table."""
        for name in self.pages():
            counts = self.page.run("""['main', 'h1', 'html[lang="en"]'].map(
                selector => document.querySelectorAll(selector).length)""")
            self.assertEqual(counts, [1, 1, 1], name)
            nameless = self.page.run("""[...document.querySelectorAll('table')].filter(
                table => !table.caption?.textContent.trim() && !table.hasAttribute('aria-label') &&
                !table.hasAttribute('aria-labelledby')).map(table => table.innerText.slice(0, 60))""")
            self.none_of(nameless, f"{name}: tables without a name")


if __name__ == "__main__":
    main()
