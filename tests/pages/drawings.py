"""The drawings show the numbers of the JSON, in their data and where an eye reads them."""
import math

from support import charts
from support.charts import NEAR, numbers
from support.suite import PagesTest, main


class Read(PagesTest):
    """What is said of every drawing that is read."""

    def near(self, seen, expected, what):
        """Two places of one drawing."""
        self.assertLess(abs(seen - expected), NEAR, f"{what}: {seen} is not {expected}")


class OtherDrawings(Read):
    """Protectors and recordings."""

    def test_spread(self):
        """Each method's level of everything that can be worn, and how far they lie apart."""
        people = self.program.json("choose")["people"]
        self.page.open(self.program.page("choose"))
        read = charts.read(self.page)
        self.assertEqual(len(read), len(people))
        for person, chart in zip(people, read.values(), strict=True):
            self.assertIn(person["id"], chart.title)
            marks = 0
            for choice in person["ranking"]:
                series, methods = " under ".join(choice["wears"]), choice["methods"]
                known = [method for method in methods["each"]
                         if method["at_ear_LEX_8h_dB"] is not None]
                for method in known:
                    mark = chart.one("value", series=series, method=method["method"])
                    level = method["at_ear_LEX_8h_dB"]
                    self.assertEqual(numbers(mark, "value"), [level])
                    self.near(mark["points"][0][0], chart.place("x", level), series)
                    marks += 1
                for bar in chart.of("low", series=series) if known else ():
                    ends = [methods[f"{end}_at_ear_LEX_8h_dB"] for end in ("lowest", "highest")]
                    self.assertEqual(numbers(bar, "low") + numbers(bar, "high"), ends)
                    for end, level in zip(bar["points"], ends, strict=True):
                        self.near(end[0], chart.place("x", level), series)
            self.assertEqual(len(chart.of("method")), marks)
            self.assertGreater(marks, 4)

    def test_history(self):
        """The level of each second, and of the whole."""
        channel = self.program.json("measure")["recordings"][0]["channels"][0]
        self.page.open(self.program.page("measure"))
        (chart,) = charts.read(self.page).values()
        line, levels = chart.one("x", "y"), channel["history"]["LAeq_dB"]
        self.assertGreater(len(levels), 5)
        self.assertEqual(numbers(line, "y"), levels)
        for number, (point, level) in enumerate(zip(line["points"], levels, strict=True)):
            self.near(point[0], chart.place("x", number), level)
            self.near(point[1], chart.place("y", level), level)
        average = chart.one("value")
        self.assertEqual(numbers(average, "value"), [channel["LAeq_dB"]])
        for end in average["points"]:
            self.near(end[1], chart.place("y", channel["LAeq_dB"]), "LAeq")


def has_range(criterion):
    """Not for peaks, nor for a dose whose margin a threshold decides."""
    if criterion["quantity"] == "peak":
        return False
    if criterion["unit"] != "percent":
        return True
    # dB: NIOSH's, and that of the doses that count energy.
    exchange = 10.0 * math.log10(2.0) if criterion["id"].startswith("who-") else 3.0
    return criterion["value"] > 0.0 and math.isclose(
        criterion["margin_dB"], exchange * math.log2(criterion["limit"] / criterion["value"]),
        abs_tol=1e-6)


class AssessDrawings(Read):
    """Charts of the demo's day."""

    def setUp(self):
        super().setUp()
        self.people = self.program.json("assess")["people"]
        self.page.open(self.program.page("assess"))
        self.charts = charts.read(self.page)

    def person_charts(self, kind):
        """Each person of the JSON with their drawing of a kind."""
        found = [(person, self.charts[f"person-{number}-{kind}"])
                 for number, person in enumerate(self.people, 1)
                 if f"person-{number}-{kind}" in self.charts]
        self.assertEqual(len(found), len(self.people), kind)
        for person, chart in found:
            self.assertIn(person["id"], chart.title)
        return found

    def test_allowance(self):
        """The day against each limit, point by point, and when one is reached."""
        for person, chart in self.person_charts("course"):
            minutes = any(word["text"].endswith(", min") for word in chart.words)
            unit = 60.0 if minutes else 3600.0
            courses = person["course"]["criteria"]
            self.assertEqual(sorted(shape["data"]["series"] for shape in chart.of("x", "y")),
                             sorted(course["id"] for course in courses))
            for course in courses:
                line = chart.one("x", "y", series=course["id"])
                self.assertEqual(numbers(line, "x"), course["seconds"])
                self.assertEqual(numbers(line, "y"), course["percent"])
                for point, seconds, percent in zip(line["points"], course["seconds"],
                                                   course["percent"], strict=True):
                    self.near(point[0], chart.place("x", seconds / unit), course["id"])
                    self.near(point[1], chart.place("y", percent), course["id"])
                marks = chart.of("reached", series=course["id"])
                self.assertEqual([numbers(mark, "reached")[0] for mark in marks],
                                 [] if course["reached_seconds"] is None
                                 else [course["reached_seconds"]])
                for mark in marks:
                    seconds = course["reached_seconds"]
                    self.near(mark["points"][0][0], chart.place("x", seconds / unit), "reached")
                    self.near(mark["points"][0][1], chart.place("y", 100.0), "reached")
            for end in chart.one("limit")["points"]:
                self.near(end[1], chart.place("y", 100.0), "limit")

    def test_spectrum(self):
        """Bands outside and at the ear, and the attenuation as what lies between."""
        for person, chart in self.person_charts("spectrum"):
            spectrum = person["spectrum"]
            self.assertIn(spectrum["sequence"], chart.title)
            bands = dict((value, place) for place, value in chart.ticks[0])
            for series, key in (("outside", "LAeq_dB"), ("at the ear", "at_ear_LAeq_dB")):
                known = [band for band in spectrum["bands"] if band[key] is not None]
                if not known:
                    self.assertEqual(chart.of("x", series=series), [])
                    continue
                line = chart.one("x", "y", series=series)
                self.assertEqual(numbers(line, "x"), [band["Hz"] for band in known])
                self.assertEqual(numbers(line, "y"), [band[key] for band in known])
                for point, band in zip(line["points"], known, strict=True):
                    self.near(point[0], bands[band["Hz"]], series)
                    self.near(point[1], chart.place("y", band[key]), series)
            through = {band["Hz"]: band["attenuation_dB"] for band in spectrum["bands"]
                       if band["at_ear_LAeq_dB"] is not None}
            self.assertEqual({float(shape["data"]["band"]): float(shape["data"]["attenuation"])
                              for shape in chart.of("attenuation")}, through)

    def test_shares(self):
        """A bar as long as each sequence's share."""
        for person, chart in self.person_charts("shares"):
            shares = person["drivers"]["sequences"]
            bars = chart.of("value", "series")
            self.assertEqual([bar["data"]["series"] for bar in bars],
                             [share["sequence"] or "no sequence" for share in shares])
            for bar, share in zip(bars, shares, strict=True):
                percent = share["share_percent"]
                self.assertEqual(float(bar["data"]["value"]), percent)
                self.near(bar["points"][0][0], chart.place("x", 0.0), share["sequence"])
                self.near(bar["points"][1][0], chart.place("x", percent), share["sequence"])

    def test_margins(self):
        """Everyone's margin with its uncertainty, and that both sides tell the same of a limit."""
        chart = self.charts["margins-0"]
        drawn = 0
        for person in self.people:
            for criterion in person["criteria"]:
                if not criterion["decides"]:  # an action value, no limit
                    continue
                which = {"person": person["id"], "series": criterion["id"],
                         "quantity": criterion["quantity"]}
                mark = chart.one("value", **which)
                margin = criterion["margin_dB"]
                self.assertEqual(float(mark["data"]["value"]), margin)
                self.near(mark["points"][0][0], chart.place("x", margin), which)
                drawn += 1
                bars = chart.of("low", **which)
                self.assertEqual(len(bars), 1 if has_range(criterion) else 0, which)
                for bar in bars:
                    low, high = numbers(bar, "low")[0], numbers(bar, "high")[0]
                    self.assertLess(low, margin)
                    self.assertGreater(high, margin)
                    self.assertEqual(low < 0.0, criterion["probability_over"] > 0.05, which)
                    for end, value in zip(bar["points"], (low, high), strict=True):
                        self.near(end[0], chart.place("x", value), which)
        self.assertEqual(len(chart.of("value")), drawn)


if __name__ == "__main__":
    main()
