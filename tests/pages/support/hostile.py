"""The demo's study once more, with every free text of its files replaced."""
import json
import re
import shutil

from support.demo import ROOT, STUDY

# Names may hold whatever can be seen, of at most so many characters.
_LONGEST_ID = 100
_IDS = ("localiser", "gre-3d", "epi-2mm", "epi-fast", "diffusion", "spin-echo", "pilot-a",
        "pilot-b", "companion", "operator", "formable", "flanged-small", "muff-wide", "muff-slim",
        "control-room", "beside-the-bore", "own-limit")
_TEXT = re.compile(r'^(title|name|phone|who|when|where|subject|timing|instrument|calibration'
                   r'|background|recording|source) = "(.*)"', re.MULTILINE)

# A limit of the plan's own, which has free texts too.
_CRITERION = """
[[criterion]]
id = "own-limit"
title = "A limit of our own"
level_dB = 84
hours = 7
peak_dBC = 139
source = "the facility's rules"
"""

TEXTS = {
    "plain": "plain",
    "markup": "</title></style></script><script>ran = 1</script><img src=x onerror='ran = 2'>"
              "<svg onload=\"ran = 3\"><b>--> ]]> \" ' ` &lt; &amp; \\ url(x.png) {{7*7}} */ } @import 'x';",
    "quotes": "\" onmouseover=\"ran = 4\" style='position: fixed' '\"><i>\\22 \\'",
    "turned": "\u202e\u2067\u05d0\u05d1\u05d2 \u0627\u0628\u062c \u202b\u2066",
    "one word": "W" * 5000,
    "many words": ("many words " * 500)[:5000],
    "emoji": "\U0001f469\u200d\U0001f52c\U0001f9e0\U0001f442\U0001f3fd\U0001f1f3\U0001f1f1e\u0301\u200b" * 9,
}

def make_study(folder, text):
    """Copies the study with `text` before every free text; gives the folder."""
    study = folder / "study"
    shutil.rmtree(study, ignore_errors=True)
    shutil.copytree(ROOT / STUDY, study)
    for file in sorted(study.rglob("*.toml")):
        content = file.read_text(encoding="utf-8")
        if file.name == "plan.toml":
            content = content.replace('"eu-limit"]', '"eu-limit", "own-limit"]') + _CRITERION
        content = _TEXT.sub(lambda found: f"{found[1]} = {_toml(text + ' ' + found[2])}", content)
        for name in _IDS if text.isalnum() else ():
            content = content.replace(f'"{name}"', _toml(text[:_LONGEST_ID - len(name)] + name))
        file.write_text(content, encoding="utf-8")
    return study


def _toml(text):
    # TOML's basic strings have the escapes of JSON's, but no surrogates.
    return json.dumps(text, ensure_ascii=False)


def commands(study):
    """Arguments of each page that is made from the study."""
    plan, protectors = study / "plan.toml", study / "protectors.toml"
    date = ["--date", "2026-02-28"]
    return {
        "assess": ["assess", plan, *date],
        "sheet": ["assess", plan, "--sheet", *date],
        "choose": ["choose", plan, *date],
        "review": ["review", study / "cards/epi-2mm.toml", "--protectors", protectors, *date],
    }
