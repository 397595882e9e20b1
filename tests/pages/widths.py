"""The demo's pages at a desk, on a tablet, on a phone and enlarged: nothing leaves its place."""
from support import layout
from support.page import WIDTHS
from support.suite import PagesTest, main


class Widths(PagesTest):
    """Geometry on screen."""

    def test_widths(self):
        """Nothing is wider than the window; only between phone and desk a table may scroll in its box."""
        for name in self.pages():
            self.page.unfold()
            for place, width in WIDTHS.items():
                self.page.look(width)
                found = layout.overflow(self.page) + layout.drawings(self.page)
                if width < 700:  # where the page is shown as on a phone
                    found += layout.window(self.page, width) + layout.cut_columns(self.page)
                self.none_of(found, f"{name}, {place}, {width} px")

    def test_drawings_can_be_read(self):
        """Words of a drawing have letters of 12 px at least, on a phone too."""
        for name in self.pages():
            self.page.unfold()
            for width in (WIDTHS["desk"], WIDTHS["larger phone"], WIDTHS["phone"]):
                self.page.look(width)
                self.none_of(layout.small_letters(self.page, 12.0), f"{name} at {width} px")


if __name__ == "__main__":
    main()
