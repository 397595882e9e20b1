"""The demo's pages at a desk, on a tablet, on a phone and enlarged: nothing leaves its place."""
from support import layout
from support.page import WIDTHS
from support.suite import PagesTest, main


class Widths(PagesTest):
    """Geometry on screen."""

    def test_widths(self):
        """Only a table may be wider than the window, inside a box that scrolls."""
        for name in self.pages():
            self.page.unfold()
            for place, width in WIDTHS.items():
                self.page.look(width)
                found = layout.overflow(self.page) + layout.drawings(self.page)
                if width < 700:  # where the page is shown as on a phone
                    found += layout.window(self.page, width)
                self.none_of(found, f"{name}, {place}, {width} px")

    def test_drawings_can_be_read(self):
        """Words of a drawing are not shrunk below 8 px on a phone, nor below 10 at a desk."""
        for name in self.pages():
            self.page.unfold()
            for width, least in ((1280, 10.0), (360, 8.0)):
                self.page.look(width)
                self.none_of(self.page.run("""[...document.querySelectorAll('svg text')].filter(
                    text => text.checkVisibility() && text.textContent.trim() && parseFloat(
                    getComputedStyle(text).fontSize) * Math.hypot(text.getScreenCTM().a,
                    text.getScreenCTM().b) < LEAST).map(text => text.textContent.slice(0, 60))"""
                                           .replace("LEAST", str(least))),
                             f"{name} at {width} px: letters below {least} px")


if __name__ == "__main__":
    main()
