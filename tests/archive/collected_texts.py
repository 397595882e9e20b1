"""Whether earbudget-collect shows and escapes texts of others as the program does."""
import json
import random
import re
import shutil
import subprocess

LONGEST = 3700  # bytes of what is shown, of which a message leaves nothing out
SEED = 20260131
# What belongs to what stands beside it, beside everything else: a joiner, a selector, a tone of skin.
TELLING = ["\u200c", "\u200d", "\ufe0f", "\ufe00", "\u180b", "\u180f", "\U000e0100", "\U0001f3fd", "\u0628",
           "\u0915", "\u1820", "\u4e00", "\U0001f468", "\u2764", "1", "#", "a", "\u00a9", "\u200b", "\u202e", "\n",
           "\x1b", "\x9b", "\u3164", "\ufe70", "\u3030"]
BYTES = [b"\xff", b"\x80", b"\xe2\x80", b"\xed\xa0\x80", b"\xc0\xaf", b"\xf4\x90\x80\x80", b"\xf0\x9f"]


def shown_by_program(program, text):
    """What the message on an unknown command of these bytes makes of it, between two marks."""
    ended = subprocess.run([program, b"mark<" + text + b">mark"], capture_output=True, check=False)
    said = ended.stderr.decode()
    found = re.search("mark<(.*?)>mark", said, re.DOTALL)
    assert ended.returncode == 2 and found, said[:200]
    return found[1]


def all_characters(collector):
    """Every one but zero, which no argument can hold, in pieces."""
    piece, length = "", 0
    for code in range(1, 0x110000):
        if 0xd800 <= code <= 0xdfff:
            continue
        character = chr(code)
        shown = len((collector.seen(character) if collector.TO_LOOK_AT.match(character) else character).encode())
        if length + shown > LONGEST:
            yield piece.encode()
            piece, length = "", 0
        piece, length = piece + character, length + shown
    yield piece.encode()


def all_beside_each_other():
    """Those that tell, and bytes that are no UTF-8, drawn the same each time."""
    draw = random.Random(SEED)
    kinds = [each.encode() for each in TELLING] + BYTES
    for _ in range(60):
        yield b"".join(draw.choice(kinds) for _ in range(LONGEST // 10))


def check_shown(program, collector):
    tried = 0
    for text in [*all_characters(collector), *all_beside_each_other()]:
        mine, program_s = collector.seen(collector.text_of(text)), shown_by_program(program, text)
        if mine != program_s:
            at = next(n for n, (a, b) in enumerate(zip(mine + "$", program_s + "$")) if a != b)
            raise AssertionError(f"{ascii(mine[at - 20:at + 20])} and {ascii(program_s[at - 20:at + 20])}")
        assert collector.seen(mine) == mine
        tried += len(text.decode(errors="ignore"))
    assert tried > 0x110000 - 0x800


def check_escaped(program, collector, recording, folder):
    """In JSON, by names of recordings: what is not seen, and what is beside it."""
    codes = [code for code in range(1, 0x110000) if chr(code) != "/" and not 0xd800 <= code <= 0xdfff]
    is_unseen = [bool(collector.UNSEEN.match(chr(code))) for code in codes]
    telling = [chr(code) for n, code in enumerate(codes)
               if is_unseen[max(n - 1, 0):n + 2] not in ([True] * 3, [False] * 3)]
    assert len(telling) > 80
    names = ["".join(telling[n:n + 50]) for n in range(0, len(telling), 50)] + ["\\u202e\"\t.wav"]
    for name in names:
        path = folder / name
        shutil.copy(recording, path)
        ended = subprocess.run([program, "measure", "--full-scale-level", "130", "--format", "json", "--", name],
                               cwd=folder, capture_output=True, check=False)
        assert ended.returncode in (0, 1), ended.stderr.decode()
        text = ended.stdout.decode()
        report = json.loads(text)
        assert report["recordings"][0]["file"] == name
        assert f"\"file\": {collector.indented(name, 0)}," in text, ascii(name)


def check_texts(program, collector, recording, folder):
    check_shown(program, collector)
    folder.mkdir()
    check_escaped(program, collector, recording, folder)
