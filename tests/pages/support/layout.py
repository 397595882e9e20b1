"""Checks of geometry and contrast on the page as it stands in its window; each gives a list of lines."""
import functools
import pathlib


@functools.cache
def _script(name):
    return (pathlib.Path(__file__).parent / name).read_text(encoding="utf-8")


def overflow(page):
    """Elements that make the page wider than its window or are cut off."""
    return page.run(_script("overflow.js"))


def drawings(page):
    """Words of a drawing that leave it or cover each other."""
    return page.run(_script("drawings.js"))


def reversed_text(page):
    """Text turned by marks that belong to other text."""
    return page.run(_script("direction.js"))


def contrast(page):
    """Text on drawings, and on paper all text, that is too faint."""
    return page.run(_script("contrast.js"))


def window(page, width):
    """Where a phone would not use its own width: the page lacks its viewport."""
    seen = page.run("document.documentElement.clientWidth")
    return [] if seen == width else [f"laid out for {seen} px in a window of {width}"]
