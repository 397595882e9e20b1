"""Runs of the program whose JSON shows every key of its schemas, with values and without."""
import json
import os
import pathlib
import subprocess

from studies import write_studies


REGISTER = "sessions.register"  # in the folder of the small studies


def demo_commands():
    """On the committed demo, from the root of the source."""
    plan = ["sequences/saltmarsh/plan.toml"]
    catalogue = "sequences/saltmarsh/protectors.toml"
    cards = [f"sequences/saltmarsh/cards/{name}.toml" for name in ("epi-2mm", "diffusion")]
    measure = ["measure", "recordings/epi-2mm.flac", "recordings/localiser.flac"]
    tone = ["--calibration", "recordings/calibrator.flac", "--calibrator-level", "114"]
    after = ["--calibration-after", "recordings/calibrator.flac"]
    stated = ["--full-scale-level", "130"]
    for working in ([], ["--working"]):
        yield ["assess", *plan, *working]
        yield ["assess", *plan, "--against", *plan, *working]
        yield ["choose", *plan, *working]
        yield ["ratings", catalogue, *working]
        yield [*measure, *tone, *after, "--background", "recordings/background.flac", *working]
        yield [*measure[:2], *stated, "--from", "1", "--to", "3", "--find-runs", *working]
    yield ["assess", *plan, "--working-for", "niosh-rel", "--working-for", "operator"]
    yield ["choose", *plan, "--working-for", "epi-2mm"]
    yield [*measure[:2], "--calibration", measure[2], "--calibrator-level", "94"]
    yield ["review", *cards, "--protectors", catalogue]
    yield ["cards", "sequences/saltmarsh"]
    yield ["predict", "sequences/saltmarsh/waveforms/epi-2mm.seq", "--rotate", "z:45"]
    yield ["predict", "sequences/saltmarsh/waveforms/epi-2mm.seq", "--response",
           "sequences/saltmarsh/waveforms/response.toml"]
    yield ["predict", "sequences/saltmarsh/waveforms/epi-2mm.seq", "--response",
           "sequences/saltmarsh/waveforms/response.toml", "--vary", "echo-spacing"]
    yield ["review", cards[0], "--against", cards[1], "--protectors", catalogue]
    yield ["review", cards[0], "--derating", "6", "--role", "staff", "--method", "octave",
           "--protectors", catalogue]
    yield ["review", cards[0], "--for", "neonate", "--protectors", catalogue]


def study_commands():
    """On the small studies, from their folder."""
    for working in ([], ["--working"]):
        for plan in ("plan.toml", "without.toml", "loudest.toml", "thin.toml", "guessed.toml", "people.toml"):
            yield ["assess", plan, *working]
            yield ["choose", plan, *working]
        yield ["ratings", "protectors.toml", *working]
    yield ["assess", "plan.toml", "--against", "earlier.toml"]
    yield ["assess", "plan.toml", "earlier.toml", "thin.toml", "visits.toml"]
    yield ["assess", ".", "--since", "since.json"]
    yield ["assess", "visits.toml"]
    yield ["predict", "gradients.csv"]
    yield ["response", "--waveform", "pulses.csv", "--recording", "pulses.wav",
           "--full-scale-level", "110", "--output", "response.toml"]
    yield ["review", "compared/measured.toml", "--predicted", "compared/predicted.toml", "--response",
           "response.toml"]
    yield ["review", "cards/bare.toml", "cards/epi.toml", "--against", "cards/bare.toml"]
    yield ["review", "cards/epi.toml", "--protectors", "protectors.toml"]
    yield ["review", "cards/epi.toml", "--protectors", "protectors.toml", "--working"]
    yield ["measure", "session.wav", "--full-scale-level", "130", "--find-runs"]
    yield ["new", "made", "--bids", "scans", "--table", "sequences.csv"]
    yield ["new", "made-of-nothing"]


def register_commands(root, folder):
    """One register from its making to an erasure, from a folder of its own."""
    plan = str(pathlib.Path(root).resolve() / "sequences/saltmarsh/plan.toml")
    file = "unit.register"
    (folder / "past.csv").write_text(
        "as,when,sequence,duration,wears,person\n"
        "P-0417,2026-11-02 09:00,epi-2mm,12 min,,pilot-a\n"
        "P-0418,2026-11-03 09:00,epi-2mm,60 min,nothing,pilot-b\n"
        "S-0001,2026-11-03 09:00,epi-2mm,60 min,,operator\n")
    (folder / "rooms.toml").write_text(
        'kind = "site"\nformat = 1\n[match]\n"*T1w" = "gre-3d"\n'
        '"*T2w" = { sequence = "spin-echo", duration = "5 min" }\n')
    yield ["register", "create", file, "--time-zone", "Europe/Berlin", "--retention-days", "1"]
    yield ["register", "create", "other.register", "--title", "Another"]
    yield ["register", "totals", file]
    yield ["register", "totals", REGISTER]
    yield ["register", "import", file, "--table", "past.csv", "--plan", plan, "--by", "S-0001"]
    yield ["register", "import", file, "--bids", "scans/sub-2", "--match", "rooms.toml", "--plan", plan,
           "--as", "P-0500", "--person", "pilot-a", "--at", "2026-11-05T10:00:00+01:00"]
    yield ["register", "verify", file]
    yield ["register", "verify", file, "--head", "1:" + 64 * "0"]
    yield ["register", "totals", file, "--from", "2026-11-01", "--to", "2026-11-30"]
    yield ["register", "report", file, "--as", "P-0500"]
    yield ["register", "report", file, "--study", "Harbour pilots' night vision"]
    yield ["register", "report", file, "--staff-month", "2026-11"]
    yield ["register", "link", file, "P-0417", "S-0001"]
    yield ["register", "export", file, "--as", "P-0417"]
    yield ["register", "backup", file, "copy.register"]
    yield ["register", "due", file]
    yield ["register", "erase", file, "--as", "P-0418", "--yes"]


def session_commands(folder):
    """One session from its beginning to what stops it, and an assessment that starts from it; on the demo. Then one
    in which a level is not known."""
    (folder / "unheard").mkdir()
    (folder / "unheard/bare.toml").write_text(
        'kind = "sequence"\nformat = 1\nid = "bare"\n[levels]\nLAeq = 100.0\n')
    unheard = folder / "unheard.toml"
    unheard.write_text(
        'kind = "plan"\nformat = 1\nsequences = "unheard"\n[[position]]\nid = "room"\n[position.octave]\n'
        '"125" = -25.0\n[[timeline]]\nsequence = "bare"\nduration = "1 min"\n[[person]]\nid = "nurse"\n'
        'role = "staff"\n[[person.task]]\nposition = "room"\nduring = "timeline"\n')
    plan = "sequences/saltmarsh/plan.toml"

    def told(at, *words):
        return ["session", *words, "--register", REGISTER, "--at", f"2024-11-25T{at}+01:00"]
    yield told("08:00:00", "start", plan, "--person", "pilot-a", "--as", "P-0417", "--by", "S-0003",
               "--present", "companion=A-0007")
    yield told("08:00:10", "next")
    yield told("08:00:10", "show")
    yield told("08:01:00", "wear", "formable", "--worn", "0.9")
    yield told("08:02:00", "checked", "left", "--not-seated")
    yield told("08:03:00", "run", "epi-2mm")
    yield told("08:15:00", "run", "gre-3d", "--for", "6 min")
    yield told("08:30:00", "next")
    yield told("08:30:00", "show")
    yield ["assess", plan, "--register", REGISTER, "--as", "pilot-a=P-0417", "--as", "pilot-b=A-0007"]
    yield told("08:31:00", "event", "ringing")
    yield told("08:31:00", "next")
    yield told("08:31:00", "show")
    yield told("09:00:00", "start", str(unheard), "--person", "nurse", "--as", "S-0009")
    yield told("09:01:00", "run", "bare", "--for", "1 min")
    yield told("09:02:00", "next")
    yield told("09:02:00", "show")


def output_of(program, words, folder):
    """What a command says in JSON."""
    run = subprocess.run([program, *words, "--format", "json"], cwd=folder, text=True,
                         capture_output=True, check=False)
    if run.returncode not in (0, 1):
        raise SystemExit(f"{' '.join(words)}: status {run.returncode}\n{run.stderr}")
    return json.loads(run.stdout)


def archive_output(program, root, scratch):
    """What is collected of two recordings that GNU parallel had measured, one of them damaged."""
    folder = pathlib.Path(scratch) / "archive"
    run = folder / "run"
    run.mkdir(parents=True)
    (folder / "epi.flac").symlink_to(pathlib.Path(root).resolve() / "recordings/epi-2mm.flac")
    (folder / "no sound.flac").write_text("notes")
    (run / "recordings").write_bytes(b"epi.flac\0no sound.flac\0")
    subprocess.run(["parallel", "--null", "--arg-file", "run/recordings", "--joblog", "run/joblog",
                    "--results", "run/results/{}/", pathlib.Path(program).resolve(), "measure",
                    "--full-scale-level", "130", "--working", "--find-runs", "--format", "json",
                    "--", "{}"], cwd=folder, capture_output=True, check=False,
                   env={**os.environ, "HOME": str(folder)})  # it keeps files in a home
    collected = subprocess.run([f"{root}/src/archive/earbudget-collect", run], text=True,
                               capture_output=True, check=False)
    assert collected.returncode == 1, collected.stderr
    return json.loads(collected.stdout)


def outputs(program, root, scratch):
    """Every command's words with its output."""
    folder = pathlib.Path(scratch)
    write_studies(folder)
    output_of(program, ["register", "create", str(folder / "sessions.register"), "--time-zone",
                        "Europe/Berlin"], root)
    sessions = ([str(folder / "sessions.register") if word == REGISTER else word for word in words]
                for words in session_commands(folder))
    for commands, place in ((demo_commands(), root), (study_commands(), folder), (sessions, root),
                            (register_commands(root, folder), folder)):
        for words in commands:
            yield words, output_of(program, words, place)
    yield ["archive"], archive_output(program, root, scratch)
