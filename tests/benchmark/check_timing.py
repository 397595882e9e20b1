"""What the benchmark concludes from given times; its runs themselves are no test."""

import pathlib
import tempfile
import unittest

import studies
import timing


class Timing(unittest.TestCase):
    def test_slope_of_powers(self):
        sizes = [1, 10, 100, 1000]
        for power in (0.5, 1.0, 2.0):
            self.assertAlmostEqual(timing.slope(sizes, [3e-3 * s**power for s in sizes]), power)

    def test_median_is_not_the_mean(self):
        self.assertEqual(timing.median([9.0, 1.0, 2.0]), 2.0)
        self.assertEqual(timing.median([1.0, 2.0, 3.0, 100.0]), 2.5)

    def test_a_busy_machine_is_named(self):
        self.assertTrue(timing.judged(0.1, 0.02, [1.0, 1.1])["quiet"])
        for busy in ((3.0, 0.02, [1.0, 1.1]), (0.1, 0.9, [1.0, 1.1]), (0.1, 0.02, [1.0, 1.1, 1.4])):
            result = timing.judged(*busy)
            self.assertFalse(result["quiet"])
            self.assertEqual(len(result["why_not"]), 1)

    def test_commands_run_in_turn_after_one_that_does_not_count(self):
        order = []
        costs = {"a": iter([50.0, 1.0, 2.0, 6.0]), "b": iter([50.0, 4.0, 4.0, 4.0])}

        def run(name):
            order.append(name)
            return {"wall_s": next(costs[name])}

        medians = timing.in_turn({name: lambda name=name: run(name) for name in costs}, 3)
        self.assertEqual("".join(order), "baabbaab")
        self.assertEqual(medians, {"a": {"wall_s": 2.0}, "b": {"wall_s": 4.0}})

    def test_failing_programs_give_no_time(self):
        self.assertGreaterEqual(timing.cost_of(["/bin/sh", "-c", "exit 1"])["wall_s"], 0.0)
        with self.assertRaises(RuntimeError):
            timing.cost_of(["/bin/sh", "-c", "exit 2"])

    def test_studies_are_the_same_each_time(self):
        with tempfile.TemporaryDirectory() as folder:
            texts = [pathlib.Path(studies.write(pathlib.Path(folder, name), rows=3, cards=2)).read_text()
                     for name in ("a", "b")]
        self.assertEqual(texts[0], texts[1])


if __name__ == "__main__":
    unittest.main()
