"""The page as printed: how many sheets, what stands on each, what was torn apart."""
import pathlib
import re
import subprocess
import tempfile

from support.page import MILLIMETRE, PAPERS

_MARGINS = """(() => {
  const rules = [...document.styleSheets].flatMap(sheet => [...sheet.cssRules]);
  const all = rules.flatMap(rule => rule instanceof CSSMediaRule ? [...rule.cssRules] : [rule]);
  const page = all.filter(rule => rule instanceof CSSPageRule && !rule.selectorText).at(-1);
  return ['Top', 'Right', 'Bottom', 'Left'].map(side => page?.style['margin' + side] ?? '');
})()"""

# Small words at both ends of each part, which move nothing and are found again in the printed text.
_MARK = """document.querySelectorAll(SELECTOR).forEach((part, number) => {
  if (getComputedStyle(part).position === 'static') part.style.position = 'relative';
  for (const [letter, edge] of [['A', 'top'], ['Z', 'bottom']]) {
    const mark = document.createElement('span');
    mark.textContent = ` QX${number}${letter} `;
    mark.style.cssText = `position:absolute;left:0;${edge}:0;font:1px/1 monospace`;
    part.append(mark);
  }
})"""

_HEIGHTS = """[...document.querySelectorAll(SELECTOR)].map(part => ({
  height: part.getBoundingClientRect().height,
  words: part.textContent.trim().replace(/\\s+/g, ' ').slice(0, 50)}))"""


def texts(pdf):
    """The text of each sheet of a PDF."""
    with tempfile.TemporaryDirectory() as folder:
        file = pathlib.Path(folder) / "page.pdf"
        file.write_bytes(pdf)
        printed = subprocess.run(["pdftotext", "-layout", file, "-"], check=True,
                                 capture_output=True, text=True).stdout
    return printed.split("\f")[:-1]  # a form feed ends each sheet


def ink(pdf, side, count):
    """What part is black of each of `count` squares of `side` CSS pixels along the upper edge."""
    with tempfile.TemporaryDirectory() as folder:
        file = pathlib.Path(folder) / "page.pdf"
        file.write_bytes(pdf)
        grey = subprocess.run(["pdftoppm", "-gray", "-r", "96", "-l", "1", file], check=True,
                              capture_output=True).stdout
    size = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", grey)
    width, pixels = int(size[1]), grey[size.end():]
    return [sum(255 - pixels[y * width + n * side + x] for y in range(side) for x in range(side)) /
            (255 * side * side) for n in range(count)]


def _millimetres(length):
    if not length:
        return 10.0  # what Chromium leaves where a page does not say
    number = float(re.fullmatch(r"([\d.]+)(mm|cm|in|px)", length)[1])
    return number * {"m": 1.0, "c": 10.0, "i": 25.4, "p": 1.0 / MILLIMETRE}[length.strip("0123456789.")[0]]


def area(page, paper):
    """Width and height that the page's own margins leave of this paper, CSS pixels."""
    top, right, bottom, left = map(_millimetres, page.run(_MARGINS))
    width, height = PAPERS[paper]
    return (width - left - right) * MILLIMETRE, (height - top - bottom) * MILLIMETRE


def torn(page, paper, selector):
    """Parts that stand on more than one sheet though one could hold them."""
    width, height = area(page, paper)
    page.look(width, media="print")
    parts = page.run(_HEIGHTS.replace("SELECTOR", repr(selector)))
    page.run(_MARK.replace("SELECTOR", repr(selector)))
    sheets = texts(page.pdf(paper))

    def sheet_of(mark):
        return [number for number, text in enumerate(sheets, 1) if f"QX{mark}" in text]

    found = []
    for number, part in enumerate(parts):
        first, last = sheet_of(f"{number}A"), sheet_of(f"{number}Z")
        if not first or not last:
            found.append(f"not printed: {part['words']}")
        elif first != last and part["height"] < 0.98 * height:
            found.append(f"torn between sheets {first[0]} and {last[0]}: {part['words']}")
    if not parts:
        found.append(f"no part is {selector}")
    return found
