"""Every check of the pages finds the defect that it is for, and nothing on a page without any."""
from support import layout, outside, paper, rules
from support.suite import PagesTest, main

GOOD = """<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>A page</title>
<meta name="viewport" content="width=device-width, initial-scale=1">
<style>@page { margin: 20mm } @media print { .person { break-inside: avoid } } svg { max-width: 100% }</style></head>
<body><main><h1>A page</h1><p>Some text.</p>
<div class="person" style="height: 500px"><p>first</p></div>
<div class="person" style="height: 500px"><p>second</p></div>
<svg role="img" aria-labelledby="t" width="300" height="100" viewBox="0 0 300 100">
<title id="t">A drawing</title><rect width="100" height="40" fill="#000"/>
<text x="10" y="80">here</text><text x="80" y="80">there</text></svg>
<!-- here --></main></body></html>"""


class Harness(PagesTest):
    """One test a kind of check."""

    def open(self, old="<!-- here -->", new=""):
        """The good page with one change."""
        self.assertIn(old, GOOD)
        file = self.program.folder / "sample.html"
        file.write_text(GOOD.replace(old, new), encoding="utf-8")
        self.page.open(file)

    def expect(self, check, defects):
        """`check` finds nothing on the good page, and on each changed one what is expected."""
        self.open()
        self.assertEqual(check(), [])
        for old, new, expected in defects:
            with self.subTest(new):
                self.open(old, new)
                self.assertTrue(any(expected in line for line in check()), check())

    def test_complaints(self):
        """Scripts that speak or fail, and whatever is asked for beyond the file."""
        here = "<!-- here -->"
        self.expect(self.page.complaints, [
            (here, "<script>console.log('heard')</script>", "console: heard"),
            (here, "<script>absent()</script>", "exception"),
            (here, "<img src=x alt=x onerror='alert(1)'>", "dialog: 1"),
            (here, "<img src=gone.png alt=x>", "request: file:"),
            (here, "<img src='http://127.0.0.1:4/x.png' alt=x>", "request: http:"),
            ("#000", "url(other.svg#x)", "request: file:"),
            ("@page", "body { background: url(x.png) } @page", "request: file:"),
            ("<!DOCTYPE html>", "", "QuirksMode")])

    def test_references(self):
        """Outside references that a browser may never follow."""
        def check():
            return outside.references((self.program.folder / "sample.html").read_text("utf-8"))
        here = "<!-- here -->"
        self.expect(check, [
            (here, "<a href='https://nowhere.invalid/'>x</a>", "<a href="),
            (here, "<link rel=preconnect href='https://nowhere.invalid'>", "<link>"),
            (here, "<script>0</script>", "<script>"),
            (here, "<p onclick='x()'>x</p>", "<p onclick>"),
            (here, "<p style='background: url(x.png)'>x</p>", "url(x.png"),
            ("@page", "@import 'x.css'; @page", "@import")])

    def test_rules(self):
        """Accessibility, by axe-core."""
        def check():
            rules.prepare(self.page)
            return rules.findings(self.page)
        here = "<!-- here -->"
        self.expect(check, [
            (here, "<input>", "label:"), (' lang="en"', "", "html-has-lang:"),
            (here, "<p style='color: #999'>faint</p>", "color-contrast:"),
            (here, "<table><tr><th></th></tr></table>", "empty-table-header:"),
            ('role="img" aria-labelledby="t"', 'role="img"><title></title><g', "svg-img-alt:"),
            (here, "<h5>deep</h5>", "heading-order:"), ("<title>A page</title>", "", "document-title:"),
            (here, "<div style='overflow: auto; width: 9em'><pre>" + "x" * 99 + "</pre></div>",
             "scrollable-region-focusable:")])

    def test_overflow(self):
        """Text that leaves the window or is cut off."""
        here, long = "<!-- here -->", "x" * 500
        self.expect(lambda: layout.overflow(self.page), [
            (here, f"<p>{long}</p>", "page "),
            (here, f"<div style='overflow: hidden; width: 9em'>{long}</div>", "DIV cuts"),
            ('width="300"', 'style="min-width: 1400px"', "svg ends at")])
        self.page.look(360)
        self.open('<meta name="viewport"', '<meta name="other"')
        self.assertNotEqual(layout.window(self.page, 360), [])
        self.open()
        self.assertEqual(layout.window(self.page, 360), [])

    def test_cut_columns(self):
        """Tables that a narrow screen shows in part, or whose heads it leaves out."""
        here, rows = "<!-- here -->", "<tbody><tr><th>row<td>a value"
        table = "<div style='overflow: auto; width: 9em'><table><thead><tr><th>row<th>HEAD</thead>" + rows
        self.page.look(360)
        self.expect(lambda: layout.cut_columns(self.page), [
            (here, table.replace("HEAD", "x" * 60), "hides columns"),
            (here, table.replace("<thead>", "<thead style='display: none'>"), "no head beside: a value")])

    def test_small_letters(self):
        """Words of drawings that are too small to be read, also where the drawing is shrunk."""
        self.expect(lambda: layout.small_letters(self.page, 12.0), [
            ('y="80">here', 'y="80" font-size="11">here', "letters below 12.0 px: here"),
            ('width="300" height="100"', 'width="200"', "letters below 12.0 px: there")])

    def test_drawings(self):
        """Words of drawings outside, on one another, on a limit, too faint."""
        self.expect(lambda: layout.drawings(self.page) + layout.contrast(self.page), [
            ('x="80"', 'x="280"', "leaves the drawing"), ('x="80"', 'x="20"', "covers"),
            ('<text x="10"', '<line class="limit" x1="20" y1="50" x2="20" y2="100"/><text x="10"',
             "stands on the limit's line"),
            ('y="80">here', 'y="30">here', "contrast of 1.0"),
            ('y="80">here', 'y="80" fill="#999">here', "contrast of 2.8")])

    def test_print_contrast(self):
        """Light text whose background paper does not get."""
        self.open("<p>Some", "<p style='background: #000; color: #fff'>Some")
        self.assertEqual(layout.contrast(self.page), [])
        self.page.look(700, media="print")
        self.assertIn("contrast of 1.0", " ".join(layout.contrast(self.page)))
        self.open()
        self.assertEqual(layout.contrast(self.page), [])

    def test_direction(self):
        """A mark that turns what follows."""
        self.expect(lambda: layout.reversed_text(self.page), [
            ("Some text", "\u202e<b>Some</b> text", "from right to left")])

    def test_paper(self):
        """Sheets are counted, and parts that are torn although they would fit."""
        self.open()
        for name in ("A4", "Letter"):
            self.assertEqual(len(paper.texts(self.page.pdf(name))), 2)
            self.assertEqual(paper.torn(self.page, name, ".person"), [])
        self.assertIn("no part", " ".join(paper.torn(self.page, "A4", ".nobody")))
        self.open("break-inside: avoid", "")
        self.assertIn("torn between sheets 1 and 2: second",
                      " ".join(paper.torn(self.page, "A4", ".person")))
        self.open("height: 500px", "height: 1500px")
        self.assertEqual(paper.torn(self.page, "A4", ".person"), [])


if __name__ == "__main__":
    main()
