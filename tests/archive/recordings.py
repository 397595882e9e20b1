"""An archive of short recordings with every kind of name, some of them not to be measured."""
import pathlib
import shutil
import subprocess

FOLDERS = ("2026-02-20 bore", "Übung/it's \"loud\"", "--card/$HOME `id` $(touch x); *", "back\\slash\nline", ".")
NAMES = ("epi 2 mm, run 1.flac", "it's \"epi\".wav", "größe 耳.flac", "--output.flac", "new\nline.flac",
         "$HOME `id`; * ?.WAV", "back\\slash.flac", "{} {.} {#} %P.flac")
SOURCES = ("diffusion", "epi-2mm", "epi-fast", "gre-3d", "localiser", "spin-echo")
QUIETER = FOLDERS[1]  # its calibrator was recorded 6 dB lower: its levels are 6 dB higher
TRUNCATED = "2026-02-20 bore/truncated.flac"
NO_SOUND = "no sound.wav"
NO_TONE = "no tone/epi.flac"
NOT_UTF_8 = b"latin \xfcbung.flac"


def sox(*words):
    # -D: no dither, which is drawn anew each time.
    subprocess.run(["sox", "-D", *words], check=True)


def add_folder(recordings, folder, number):
    folder.mkdir(parents=True, exist_ok=True)
    gain = ["gain", "-6"] if number == FOLDERS.index(QUIETER) else []
    sox(str(recordings / "calibrator.flac"), str(folder / "calibrator.flac"), *gain)
    for place, name in enumerate(NAMES):
        source = recordings / f"{SOURCES[(number + place) % len(SOURCES)]}.flac"
        plain = folder / f"cut{pathlib.PurePath(name).suffix.lower()}"
        sox(str(source), str(plain), "trim", str(number + 0.1 * place), "2")
        plain.rename(folder / name)


def build(recordings, archive):
    """The archive, and the names in it (bytes) of those that can be measured."""
    for number, folder in enumerate(FOLDERS):
        add_folder(recordings, archive / folder, number)
    whole = (recordings / "epi-2mm.flac").read_bytes()
    (archive / TRUNCATED).write_bytes(whole[:60000])
    (archive / NO_SOUND).write_text("these are notes\n")
    (archive / NO_TONE).parent.mkdir()
    shutil.copy(recordings / "background.flac", (archive / NO_TONE).parent / "calibrator.flac")
    shutil.copy(recordings / "epi-fast.flac", archive / NO_TONE)
    latin = bytes(archive) + b"/" + NOT_UTF_8
    shutil.copy(recordings / "localiser.flac", latin)
    shutil.copy(recordings / "background.flac", archive / "background.flac")
    good = [str(pathlib.PurePosixPath(folder) / name).encode()
            for folder in FOLDERS for name in NAMES]
    return sorted([*good, NOT_UTF_8])
