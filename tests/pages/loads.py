"""Every page of the demo loads in silence, from one file, and reads without a script."""
from support import layout, outside
from support.suite import PagesTest, main


class Loads(PagesTest):
    """The demo's pages in a browser."""

    def test_silence(self):
        """No message, no error, no request, on screen and as printed."""
        for name in self.pages():
            self.page.look(700, media="print")
            self.page.pdf("A4")
            self.none_of(self.page.complaints(), name)

    def test_one_file(self):
        """Nothing refers outside the file, and there is no script."""
        for name in self.pages():
            markup = self.program.page(name).read_text(encoding="utf-8")
            self.none_of(outside.references(markup), name)

    def test_without_script(self):
        """A reader who forbids scripts sees the same text."""
        for name in self.pages():
            text = self.page.run("document.body.innerText")
            self.assertGreater(len(text), 200, name)
            self.page.open(self.program.page(name), scripts=False)
            self.assertEqual(self.page.run("document.body.innerText"), text, name)

    def test_direction(self):
        """The demo has nothing that turns the direction of writing."""
        for name in self.pages():
            self.none_of(layout.reversed_text(self.page), name)


if __name__ == "__main__":
    main()
