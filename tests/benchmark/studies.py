"""Invented studies of any size; the same arguments write the same files."""

import random
from math import log10

BANDS = (63, 125, 250, 500, 1000, 2000, 4000, 8000)
# IEC 61672-1:2013, table 3, in octaves.
A_WEIGHTS = (-26.2, -16.1, -8.6, -3.2, 0.0, 1.2, 1.0, -1.1)


def sum_of(levels):
    return 10 * log10(sum(10 ** (level / 10) for level in levels))


def bands_of(levels):
    return "\n".join(f'"{band}" = {level:.2f}' for band, level in zip(BANDS, levels))


def card(rng, name, shift):
    octave = [rng.uniform(78, 113) + shift for _ in BANDS]
    return (f'kind = "sequence"\nformat = 1\nid = "{name}"\n[levels]\n'
            f"LAeq = {sum_of(l + w for l, w in zip(octave, A_WEIGHTS)):.2f}\n"
            f"LCpeak = {sum_of(octave) + 12:.2f}\nuncertainty = {rng.uniform(0.5, 2.5):.2f}\n"
            f"[levels.octave]\n{bands_of(octave)}\n")


def protector(rng, name, kind):
    mean = [rng.uniform(8, 25)]
    while len(mean) < len(BANDS):
        mean.append(mean[-1] + rng.uniform(0, 4))
    return (f'[[protector]]\nid = "{name}"\ntitle = "invented"\ntype = "{kind}"\nfits_head_coil = true\n'
            f"metal_free = true\nfrequency = {list(BANDS)}\nmean = {[round(m, 1) for m in mean]}\n"
            f"sd = {[round(rng.uniform(2, 7), 1) for _ in BANDS]}\n")


def write(folder, rows=1, cards=1, people=1, plugs=1, muffs=0, seconds=30, shift=-20.0, person="",
          alike=False, seed=6):
    """A plan of `rows` rows that take `cards` sequences in turn, `shift` dB from loud ones; nobody is
    like another unless `alike`, where what is worn differs alone. `person` is added to each one's keys."""
    rng = random.Random(seed)
    folder.joinpath("cards").mkdir(parents=True, exist_ok=True)
    for n in range(cards):
        folder.joinpath("cards", f"s{n}.toml").write_text(card(rng, f"s{n}", shift))
    kinds = ["premoulded-plug"] * plugs + ["earmuff"] * muffs
    folder.joinpath("protectors.toml").write_text('kind = "protectors"\nformat = 1\n' + "".join(
        protector(rng, f"p{n}", kind) for n, kind in enumerate(kinds)))
    text = ('kind = "plan"\nformat = 1\nsequences = "cards"\nprotectors = "protectors.toml"\n'
            '[policy]\nmethod = "octave"\n[background]\nLAeq = 60\nuncertainty = 1.0\n')
    for n in range(rows):
        text += f'[[timeline]]\nsequence = "s{n % cards}"\nduration = "{seconds:g} s"\n'
    for n in range(people):
        text += (f'[[person]]\nid = "x{n}"\nrole = "participant"\nwears = ["p{n % min(3, plugs)}"]\n'
                 f"visits = {1 if alike else n + 1}\n{person}\n")
    plan = folder.joinpath("plan.toml")
    plan.write_text(text)
    return str(plan)
