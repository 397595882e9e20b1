"""Second witness for the probability of being over: SciPy's normal distribution and quadrature.

The model is that of docs/uncertainty.md, written down again: nothing is shared with the program but
the card, the catalogue and the plan that it is given. Cases, each at several limits:

- one level with one standard uncertainty: a normal probability;
- a protector with the same attenuation in every band: level and people are a normal sum;
- two rows whose errors are independent: P by quadrature over one of them (a log-normal sum);
- one row with an instrument's error that both share and its own from run to run: the same inside
  a second quadrature;
- wearing time with an uncertainty: a mixture over the fraction, by quadrature.

Usage: scipy_uncertainty.py EARBUDGET
"""

import json
import math
import subprocess
import sys
import tempfile
from pathlib import Path

from scipy.integrate import quad
from scipy.stats import norm

# 8192 draws, of which one variable alone is stratified to one draw; two and more stray by at most
# sqrt(0.25/8192) = 0.0055 (k = 1). Four of those would be too lax near 5 %, so by the probability.
ONE_DRAW = 1.0 / 8192.0


def strays(probability):
    return ONE_DRAW + 4.0 * math.sqrt(probability * (1.0 - probability) / 8192.0)


def card(name, level, uncertainty):
    return (
        f'kind = "sequence"\nformat = 1\nid = "{name}"\ntitle = "invented"\n'
        f"[levels]\nLAeq = {level}\nLCeq = {level + 1}\n{uncertainty}\n"
        # Flat bands 7 dB below, within a decibel of LAeq together; octave_A leaves weighting out.
        "[levels.octave_A]\n"
        + "".join(f'"{f}" = {level - 8.45}\n' for f in (125, 250, 500, 1000, 2000, 4000, 8000))
        + '[origin]\nhow = "measured"\nwho = "witness"\n'
    )


def plan(limit, rows, person):
    text = (
        'kind = "plan"\nformat = 1\ntitle = "witness"\nsequences = "cards"\n'
        'protectors = "protectors.toml"\n[policy]\nmethod = "octave"\ncriteria = ["own"]\n'
        f'[[criterion]]\nid = "own"\nlevel_dB = {limit}\nsource = "invented"\n'
    )
    for name, hours in rows:
        text += f'[[timeline]]\nsequence = "{name}"\nduration = "{hours} h"\n'
    return text + f'[[person]]\nid = "p"\nrole = "participant"\n{person}\n'


def protectors(mean, sd):
    bands = "[63, 125, 250, 500, 1000, 2000, 4000, 8000]"
    return (
        'kind = "protectors"\nformat = 1\n[[protector]]\nid = "plug"\ntitle = "invented"\n'
        'type = "premoulded-plug"\nfits_head_coil = true\nmetal_free = true\n'
        f"frequency = {bands}\nmean = {[mean] * 8}\nsd = {[sd] * 8}\n"
    )


def probability(program, cards, plan_text, catalogue):
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        (root / "cards").mkdir()
        for name, text in cards.items():
            (root / "cards" / f"{name}.toml").write_text(text)
        (root / "protectors.toml").write_text(catalogue)
        (root / "plan.toml").write_text(plan_text)
        done = subprocess.run(
            [program, "assess", "plan.toml", "--format", "json"],
            cwd=root, capture_output=True, text=True, check=False,
        )
        if done.returncode > 1:
            raise SystemExit(f"the program failed: {done.stderr}")
        return json.loads(done.stdout)["people"][0]["criteria"][0]["probability_over"]


def energy(level):
    return 10.0 ** (level / 10.0)


def two_rows(limit, levels, hours, run, instrument):
    """P of hours-weighted energy above 8 h at the limit, each row with its own error."""

    def given(shared):
        def inside(z):
            first = hours[0] * energy(levels[0] + shared + run[0] * z)
            rest = (8.0 * energy(limit) - first) / hours[1]
            if rest <= 0.0:
                return norm.pdf(z)
            above = (10.0 * math.log10(rest) - levels[1] - shared) / run[1]
            return norm.pdf(z) * norm.sf(above)

        return quad(inside, -8.0, 8.0, limit=200)[0]

    if instrument == 0.0:
        return given(0.0)
    return quad(lambda z: norm.pdf(z) * given(instrument * z), -6.0, 6.0, limit=60)[0]


def cases():
    for limit in (84.0, 86.0, 88.5):
        yield (
            f"one level, limit {limit}", {"a": card("a", 85.0, "uncertainty = 1.7")},
            plan(limit, [("a", 8)], "wears = []"), norm.sf((limit - 85.0) / 1.7), ONE_DRAW,
        )
    for limit in (85.0, 88.0, 92.0):
        # The attenuation that people have is normal about the mean, not about mean − sd.
        expected = norm.sf((limit - (110.0 - 24.0)) / math.hypot(1.5, 4.0))
        yield (
            f"people, limit {limit}", {"a": card("a", 110.0, "uncertainty = 1.5")},
            plan(limit, [("a", 8)], 'wears = ["plug"]'), expected, strays(expected),
        )
    for limit, instrument in ((85.0, 0.0), (87.0, 0.0), (87.0, 1.5), (90.0, 1.5)):
        parts = "[levels.uncertainty_parts]\ninstrument = {}\nposition = 0.0\nrun = {}\n"
        expected = two_rows(limit, (86.0, 84.0), (4.0, 4.0), (2.0, 3.0), instrument)
        yield (
            f"two rows, limit {limit}, shared {instrument}",
            {"a": card("a", 86.0, parts.format(instrument, 2.0)),
             "b": card("b", 84.0, parts.format(instrument, 3.0))},
            plan(limit, [("a", 4), ("b", 4)], "wears = []"), expected, strays(expected),
        )
    for limit in (84.0, 88.0):
        def worn(z, limit=limit):
            w = min(max(0.9 + 0.05 * z, 0.0), 1.0)
            # Level and people: people only through the protector, so by quadrature again.
            def people(x):
                level = 110.0 + 10.0 * math.log10(w * energy(-max(24.0 + 4.0 * x, 0.0)) + 1.0 - w)
                return norm.pdf(x) * norm.sf((limit + 12.0 - level) / 1.5)
            return norm.pdf(z) * quad(people, -8.0, 8.0, limit=100)[0]

        edge = (1.0 - 0.9) / 0.05  # from there on it is worn all the time
        expected = quad(worn, -8.0, edge, limit=100)[0] + quad(worn, edge, 8.0, limit=100)[0]
        yield (
            f"wearing time, limit {limit + 12.0}", {"a": card("a", 110.0, "uncertainty = 1.5")},
            plan(limit + 12.0, [("a", 8)], 'wears = ["plug"]\nworn = 0.9\nworn_uncertainty = 0.05'),
            expected, strays(expected),
        )


def main():
    program = str(Path(sys.argv[1]).resolve())
    failed = 0
    seen = []
    for name, cards, text, expected, tolerance in cases():
        found = probability(program, cards, text, protectors(24.0, 4.0))
        seen.append(found)
        wrong = abs(found - expected) > tolerance
        failed += wrong
        print(f"{name}: {found:.5f}, SciPy {expected:.5f}{'  WRONG' if wrong else ''}")
    # Cases that all say 0 or 1 would show nothing.
    telling = sum(0.01 < p < 0.99 for p in seen)
    print(f"{len(seen)} cases, {telling} of them between 1 and 99 %, {failed} wrong")
    return 1 if failed or telling < 9 else 0


if __name__ == "__main__":
    sys.exit(main())
