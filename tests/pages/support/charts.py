"""Numbers read back from a drawing: what its shapes say, and what an eye reads against its axes."""
import functools
import pathlib
import re

# A drawing states coordinates to a tenth of its unit; half a unit is less than the width of a line.
NEAR = 0.5


class Chart:
    """One drawing of a page."""

    def __init__(self, drawn):
        self.name, self.section, self.title = drawn["chart"], drawn["section"], drawn["title"]
        self.words, self.shapes = drawn["words"], drawn["shapes"]

    def of(self, *names, **values):
        """The shapes that have these data and, where given, with these values."""
        return [shape for shape in self.shapes if all(name in shape["data"] for name in names)
                and all(shape["data"].get(name) == value for name, value in values.items())]

    def one(self, *names, **values):
        """The only such shape; AssertionError where there are none or more."""
        found = self.of(*names, **values)
        assert len(found) == 1, f"{self.name}: {len(found)} shapes have {names} {values}"
        return found[0]

    @functools.cached_property
    def ticks(self):
        """Places and values of the numbers along x and along y, by the words alone."""
        numbers = [(word, _number(word["text"])) for word in self.words]
        numbers = [(word, value) for word, value in numbers if value is not None]
        below = _row([n for n in numbers if n[0]["anchor"] == "middle"], "y")
        beside = _row([n for n in numbers if n[0]["anchor"] == "end"], "x")
        # Numbers beside an axis stand 4 units below their line, on the base line of their letters.
        return ([(word["x"], value) for word, value in below],
                [(word["y"] - 4.0, value) for word, value in beside])

    def place(self, axis, value):
        """Where the numbers along an axis ("x", "y") put a value."""
        ticks = self.ticks["xy".index(axis)]
        (first, low), (last, high) = ticks[0], ticks[-1]
        return first + (value - low) / (high - low) * (last - first)


def _number(text):
    found = re.fullmatch(r"([-−]?\d+(?:\.\d+)?)(k?)", text)
    return float(found[1].replace("−", "-")) * (1000.0 if found[2] else 1.0) if found else None


def _row(numbers, axis):
    """Those that share the commonest place across an axis."""
    places = [word[axis] for word, _ in numbers]
    most = max(places, key=places.count, default=None)
    return [(word, value) for word, value in numbers if word[axis] == most]


def read(page):
    """The drawings of the page that is open, by name."""
    script = (pathlib.Path(__file__).parent / "drawn.js").read_text(encoding="utf-8")
    return {drawn["chart"]: Chart(drawn) for drawn in page.run(script)}


def numbers(shape, name):
    """A list of values in an attribute."""
    return [float(word) for word in shape["data"][name].split()]
