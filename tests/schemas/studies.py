"""Small studies and a recording that show what the demo does not."""
import array
import json
import math
import random
import wave

CARD = """kind = "sequence"
format = 1
id = "epi"
[levels]
LAeq = 108.0
LCeq = 109.5
LCpeak = 124.0
uncertainty = 1.5
[origin]
how = "entered"
"""
BARE_CARD = """kind = "sequence"
format = 1
id = "bare"
[levels]
LAeq = 104.0
"""
PROTECTORS = """kind = "protectors"
format = 1
[[protector]]
id = "foam"
type = "foam-plug"
metal_free = true
SNR = 30
NRR = 26
[[protector]]
id = "muff"
type = "earmuff"
NRR = 5
"""
# Somebody over a limit alone by a little, by much and for too many days: every kind of advice.
PLAN = """kind = "plan"
format = 1
title = "Small"
sequences = "cards"
protectors = "protectors.toml"
[policy]
method = "nrr"
derating = { dB = 2.0 }
criteria = ["niosh-rel", "iec-60601-2-33", "eu-limit", "who-public-adult"]
[intercom]
LAeq = 85.0
[[position]]
id = "doorway"
difference_dB = -12.0
[position.door_open]
difference_dB = -15.0
uncertainty = 1.0
[[position]]
id = "control-room"
difference_dB = -40.0
[[timeline]]
sequence = "epi"
duration = "8 min"
repeat = 6
[[timeline]]
rest = "2 min"
[[timeline]]
sequence = "bare"
duration = "5 min"
[[person]]
id = "participant"
role = "participant"
wears = ["foam"]
fit = "poor"
visits = 3
[[person]]
id = "bare-eared"
role = "participant"
wears = []
cannot_wear = ["foam", "muff"]
days_per_week = 5
[[person]]
id = "tested"
role = "participant"
method = "par"
derating = "none"
wears = ["muff"]
PAR = 21.0
[[person]]
id = "operator"
role = "staff"
wears = []
sessions_per_day = 4
days_per_week = 5
[[person.task]]
title = "watching"
position = "doorway"
during = "timeline"
door = "open"
[[person.task]]
title = "workshop"
duration = "30 min"
duration_range = ["20 min", "40 min"]
per = "day"
[person.task.levels]
LAeq_samples = [82.0, 84.0, 85.5, 83.0]
[[person]]
id = "nurse"
role = "staff"
wears = []
sessions_per_day = 4
[[person.task]]
position = "doorway"
door = "open"
during = "epi"
[[person]]
id = "helper"
role = "accompanying"
wears = []
[[person.task]]
position = "control-room"
during = "epi"
wears = ["foam"]
"""
# Nothing to wear and nothing known: values that are null.
PLAN_WITHOUT = """kind = "plan"
format = 1
title = "Without"
sequences = "cards"
[[position]]
id = "office"
difference_dB = -50.0
[[timeline]]
rest = "20 min"
[[person]]
id = "resting"
role = "participant"
wears = []
[[person]]
id = "colleague"
role = "staff"
wears = []
[[person.task]]
position = "office"
duration = "10 min"
"""
# LAeq alone, with a label that its check is for and with one that nothing reaches.
PLAN_THIN = """kind = "plan"
format = 1
title = "Thin"
sequences = "cards"
protectors = "labels.toml"
[[timeline]]
sequence = "bare"
duration = "5 min"
[[person]]
id = "by-check"
role = "participant"
wears = ["hml"]
[[person]]
id = "not-reached"
role = "participant"
wears = ["snr"]
"""
LABELS = """kind = "protectors"
format = 1
[[protector]]
id = "hml"
type = "premoulded-plug"
H = 30
M = 24
L = 18
[[protector]]
id = "snr"
type = "premoulded-plug"
SNR = 30
"""


# People as they are: ages, ears, devices, protectors of their own, what to take instead.
PEOPLE = """[[person]]
id = "of-age"
role = "participant"
title = "Of age"
note = "first visit"
age_group = "teenager"
tinnitus_or_hyperacusis = true
hearing_device = true
wears = ["snr"]
instead = ["hml"]
[[person]]
id = "newborn"
role = "participant"
age_group = "neonate"
wears = ["snr"]
[[person]]
id = "one-ear"
role = "participant"
unfitted_ear = "left"
wears = ["own"]
[[person.protector]]
id = "own"
type = "earmuff"
SNR = 28
[[person]]
id = "staff"
role = "staff"
pregnant_staff = true
wears = []
[[person.task]]
duration = "10 min"
levels = { LAeq = 70.0 }
"""


VISITS = """kind = "study"
format = 1
[[visit]]
plan = "plan.toml"
times = 2
[[visit]]
title = "Later"
plan = "thin.toml"
days_apart = 3
[[visit]]
title = "With a newborn"
plan = "people.toml"
days_apart = 3
"""


def replaced(text, old, new):
    assert old in text, old
    return text.replace(old, new, 1)


def write_session(path):
    """A recording with one run in it: 4 s quiet, 12 s loud, 4 s quiet, of noise."""
    chance = random.Random(8)
    rate = 16000
    samples = array.array("h")
    for seconds, amplitude in ((4, 30), (12, 3000), (4, 30)):
        samples.extend(round(chance.uniform(-amplitude, amplitude))
                       for _ in range(seconds * rate))
    with wave.open(str(path), "wb") as file:
        file.setparams((1, 2, rate, 0, "NONE", ""))
        file.writeframes(samples.tobytes())


def write_scans(folder):
    """Sidecars of scans that exist, of one person's two visits on days that their dates tell and one of another's."""
    for visit, day in (("sub-1_ses-1", "01"), ("sub-1_ses-2", "08"), ("sub-2", "01")):
        place = folder / visit.replace("_", "/")
        (place / "anat").mkdir(parents=True)
        (place / f"anat/{visit}_T1w.json").write_text('{"AcquisitionDuration": 300}')
        (place / f"anat/{visit}_T2w.json").write_text("{}")
        (place / f"{visit}_scans.tsv").write_text(
            f"filename\tacq_time\nanat/{visit}_T1w.nii\t1900-01-{day}T10:00:00\n"
            f"anat/{visit}_T2w.nii\t1900-01-{day}T10:06:00\n")
    (folder / "sub-2/sub-2_events.tsv").write_text("onset\tduration\n")


def write_pulses(folder):
    """Short pulses of each gradient and a recording of what rings after them."""
    rate, drawn = 8000, random.Random(4)
    samples, rows, at = [0.0] * (7 * rate), ["time_s,Gx_mT_per_m,Gy_mT_per_m,Gz_mT_per_m"], 0.0
    rows.append("0,0,0,0")
    while at < 5.5:
        at += drawn.uniform(0.005, 0.04)
        axis = drawn.randrange(3)
        gradient = [20.0 if n == axis else 0.0 for n in range(3)]
        rows.append(f"{at:.6f},0,0,0")
        rows.append(f"{at + 0.0002:.6f}," + ",".join(map(str, gradient)))
        rows.append(f"{at + 0.0004:.6f},0,0,0")
        frequency = (500.0, 800.0, 1200.0)[axis]
        begin = at + 0.5002
        for n in range(math.ceil(begin * rate), min(math.ceil((begin + 0.1) * rate), len(samples))):
            t = n / rate - begin
            samples[n] += 0.1 * math.exp(-60.0 * t) * math.sin(2 * math.pi * frequency * t)
    (folder / "pulses.csv").write_text("\n".join(rows) + "\n")
    with wave.open(str(folder / "pulses.wav"), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(rate)
        file.writeframes(array.array("h", (int(20000 * (s + drawn.gauss(0.0, 0.001)))
                                           for s in samples)).tobytes())


def write_studies(folder):
    """The small studies, in a folder."""
    write_pulses(folder)
    (folder / "compared").mkdir()
    for how in ("measured", "predicted"):
        (folder / f"compared/{how}.toml").write_text(
            replaced(CARD, '"entered"', f'"{how}"'))
    write_session(folder / "session.wav")
    (folder / "cards").mkdir()
    (folder / "cards/epi.toml").write_text(CARD)
    (folder / "cards/bare.toml").write_text(BARE_CARD)
    (folder / "protectors.toml").write_text(PROTECTORS)
    (folder / "plan.toml").write_text(PLAN)
    (folder / "earlier.toml").write_text(
        replaced(replaced(PLAN, 'id = "helper"', 'id = "parent"'), '"8 min"', '"9 min"'))
    (folder / "without.toml").write_text(PLAN_WITHOUT)
    (folder / "thin.toml").write_text(PLAN_THIN)
    (folder / "cards/guessed.toml").write_text(
        replaced(replaced(CARD, '"epi"', '"guessed"'), '"entered"', '"guessed"'))
    (folder / "guessed.toml").write_text(
        replaced(replaced(PLAN_THIN, '"bare"', '"guessed"'), '"5 min"', '"1 min"'))
    (folder / "labels.toml").write_text(LABELS)
    write_scans(folder / "scans")
    (folder / "sequences.csv").write_text("title,duration (min),LAeq,# remark\nA title,5,98,x\n")
    (folder / "people.toml").write_text(PLAN_THIN + PEOPLE)
    (folder / "gradients.csv").write_text("time_s,Gx_mT_per_m,Gy_mT_per_m,Gz_mT_per_m,remark\n"
                                          "0,0,0,0,begin\n0.001,10,0,0,\n0.002,0,0,0,end\n")
    (folder / "visits.toml").write_text(VISITS)
    (folder / "since.json").write_text(json.dumps({
        "program": "earbudget", "command": "assess", "plans": [
            {"file": "plan.toml", "title": "Before", "verdict": "within", "tightest": {"margin_dB": 1.0}},
            {"file": "gone.toml", "title": "Gone", "verdict": "unknown", "tightest": None}]}))
    (folder / "cards/loudest.toml").write_text(
        replaced(replaced(BARE_CARD, "104.0", "136.0"), '"bare"', '"loudest"'))
    (folder / "loudest.toml").write_text(
        replaced(replaced(PLAN, 'sequence = "bare"', 'sequence = "loudest"'),
                 "{ dB = 2.0 }", '"csa"'))
