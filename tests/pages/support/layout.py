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
    """Words of a drawing that leave it, cover each other or stand on a limit's line."""
    return page.run(_script("drawings.js"))


_SMALL = """[...document.querySelectorAll('svg text')].filter(
    text => text.checkVisibility() && text.textContent.trim() && parseFloat(
    getComputedStyle(text).fontSize) * Math.hypot(text.getScreenCTM().a, text.getScreenCTM().b) < LEAST
    ).map(text => `letters below LEAST px: ${text.textContent.slice(0, 60)}`)"""


def small_letters(page, least):
    """Words of drawings that are shown smaller than this many pixels."""
    return page.run(_SMALL.replace("LEAST", str(least)))


_CUT = """[...document.querySelectorAll('body *')].filter(e => e instanceof HTMLElement &&
    e.checkVisibility() && e.clientWidth > 1 && e.scrollWidth > e.clientWidth + 1 &&
    ['auto', 'scroll'].includes(getComputedStyle(e).overflowX)).map(
    e => `hides columns: ${(e.getAttribute('aria-label') ?? e.textContent).trim().slice(0, 60)}`)"""

# Where a table shows no heads of columns, each value has its own beside it.
_NAMELESS = """[...document.querySelectorAll('table')].filter(table => table.checkVisibility() &&
    table.tHead && !table.tHead.checkVisibility()).flatMap(table => {
      const titles = [...table.tHead.rows[0].cells].map(cell => cell.textContent);
      return [...table.tBodies].flatMap(body => [...body.rows]).flatMap(row => [...row.cells].filter(
        (cell, n) => n > 0 && getComputedStyle(cell, '::before').content !== JSON.stringify(titles[n]))
        .map(cell => `no head beside: ${cell.textContent.slice(0, 40)}`)); })"""


def cut_columns(page):
    """Tables of which a narrow screen shows a part, or values without the heads of their columns."""
    return page.run(_CUT) + page.run(_NAMELESS)


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
