"""Every page of the desk that links lead to: quiet, accessible, within its window, small; with and
without scripts."""
import re

from support import layout, rules
from support.desk import WIDTHS, Desk, DeskPage, Visitor, kind_of, pages_of
from support.suite import WHOLE, PagesTest, main

MOST_BYTES = 150_000
# Whole reports, as the command line writes them, grow with the people and drawings that they have.
DOCUMENTS = ("/report", "/sheet", "/review/document", "/session/N/record")


class DeskPages(PagesTest):
    """One desk with a register in which something stands."""

    def setUp(self):
        self.desk = self.enterContext(Desk(self.program.executable))
        self.visitor = Visitor(self.desk)

    def loaded(self, content):
        """Bytes of a page and of what it loads."""
        whole = len(content)
        for path in re.findall(r'(?:href|src)="(/desk/[^"]+)"', content.decode("utf-8")):
            status, _, part = self.visitor.get(path)
            self.assertEqual(status, 200, path)
            whole += len(part)
        return whole

    def test_every_page(self):
        """What a browser says of it, at each width."""
        page = DeskPage(self.browser, self.desk)
        seen = []
        for path, status, headers, content in pages_of(self.visitor, 3 if WHOLE else 1):
            with self.subTest(path):
                self.assertEqual(status, 200, content[:2000])
            if status != 200 or headers.get_content_type() != "text/html" or "attachment" in str(
                    headers["Content-Disposition"]):
                continue
            seen.append(kind_of(path))
            if kind_of(path).split("?")[0] not in DOCUMENTS:
                with self.subTest(path):
                    self.assertLessEqual(self.loaded(content), MOST_BYTES)
            page.go(path)
            page.unfold()
            rules.prepare(page)
            for width in WIDTHS:
                page.look(width)
                found = layout.overflow(page) + rules.findings(page)
                if width < 700:
                    found += layout.window(page, width)
                self.none_of(found, f"{path} at {width} px")
            self.none_of(page.complaints(), path)
        self.assertGreater(len(seen), 12, seen)
        for first in ("/", "/session", "/try", "/sounds", "/measure", "/register"):
            self.assertTrue(any(kind.split("?")[0] == first for kind in seen), f"no link leads to {first}")

    def test_without_scripts(self):
        """The same pages say the same, and every form has a button or a key that sends it."""
        page = DeskPage(self.browser, self.desk)
        for path, _, headers, content in pages_of(self.visitor):
            if headers.get_content_type() != "text/html" or "attachment" in str(headers["Content-Disposition"]):
                continue
            page.go(path, scripts=False)
            self.none_of(page.complaints(), path)
            for form in re.findall(r"<form .*?</form>", content.decode("utf-8"), re.DOTALL):
                self.assertIn("<button", form, f"{path}: {form[:300]}")


if __name__ == "__main__":
    main()
