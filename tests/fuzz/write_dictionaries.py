"""Dictionaries for the fuzzers, from the schemas of inputs, the readers and the documents: keys, names, units.

usage: write_dictionaries.py [--check] SOURCE_FOLDER

Writes tests/fuzz/{toml,duration,recording,table,sidecar,session_body,waveform}.dict; with --check it fails where they are not current.
"""
import json
import pathlib
import re
import sys

# What TOML consists of, and numbers at the ends of ranges.
TOML = ["=", "[", "]", "[[", "]]", "{ ", " }", ", ", ".", "#", "\"", "'", '"""', "'''", "\n", "\r\n",
        "\\u0000", "\\U0010FFFF", "\\n", "true", "false", "nan", "inf", "-inf", "-0.0", "1e308", "1e-308",
        "0x7f", "9223372036854775807", "-9223372036854775808", "1979-05-27", "07:32:00", "1_000",
        "\ufeff", "\u00a0", "\u202e", "\u009b", "8 min", "00:08:00", "0 s"]
CHUNKS = ["fLaC", "OggS", "\x01vorbis", "OpusHead", "ID3", "RIFX", "WAVE", "fmt ", "fact", "LIST", "AIFF",
          "AIFC", "COMM", "desc", "pakt", "Creative Voice File\x1a", "NIST_1A\n", "\xff\xfb", "\0\0\0\0",
          "\xff\xff\xff\xff", "\xff\xff\xff\x7f", "\x80\xbb\0\0", "\x44\xac\0\0"]

# What separates cells, encodings and quotes, and a table in UTF-16.
CELLS = [",", ";", "\t", "\"", "\"\"", "\n", "\r\n", "\r", "sep=;\n", "\ufeff", "#", " (min:s)", " [dB(A)]", "mean_", "sd_",
         " Hz", " kHz", "8 min", "00:08:30", "10:00", "1,5", "1.200", "104,25", "-0", "1e308", "yes", "no",
         "\u00fc", "\u00a0", "\u2212", "\u202e", "participant", "staff", "companion", "foam-plug", "earmuff", " + "]
BYTES = ["\xff\xfe", "\xfe\xff", "\xfc", "\x80", "\x81", "\0", "\0,", ",\0", "\x00\xd8", "PK\x03\x04"]
SEQUENCE = ["\n", "\n\n", " 0 0 0 0 0 0\n", "extension ", "major 1\n", "minor 4\n", "minor 5\n", "revision 0\n",
            "Type md5\n", "Hash ", "1e-05", "1e308", "1e-308", "nan", "-1", "-0", "2147483647", "1000000000000",
            "9223372036854775807", "time_s,Gx_mT_per_m,Gy_mT_per_m,Gz_mT_per_m\n", ";", "\t", "\"", "#", "\r\n"]
JSON = ["{", "}", "[", "]", ":", ",", "\"", "true", "null", "1e308", "1e-308", "-0.0", "1e999", "\\u0000", "\\ud800",
        "\\\"", "0.05", "2.5", "\"EP\"", "\"DERIVED\"", "\"2026-11-29T10:30:00\"", "\"10:30:00.5\"", "+01:00"]


def enumerated(schema):
    """Every text that a key of a schema may be."""
    if isinstance(schema, dict):
        found = {each for each in schema.get("enum", []) if isinstance(each, str)}
        return found.union(*map(enumerated, schema.values()))
    return set().union(*map(enumerated, schema)) if isinstance(schema, list) else set()


def keys_and_tables(schema):
    """The keys of a schema of inputs, and those whose value is a table or several."""
    keys, tables = set(), set()
    for part in [schema, *schema["$defs"].values()]:
        for key, value in part["properties"].items():
            keys.add(key)
            if "$ref" in value or "$ref" in value.get("items", {}):
                tables.add(key)
    return keys, tables


def toml_words(source):
    keys, tables, values = set(), set(), set()
    for path in (source / "docs/schemas/inputs").glob("*.schema.json"):
        schema = json.loads(path.read_text())
        more_keys, more_tables = keys_and_tables(schema)
        keys |= more_keys
        tables |= more_tables
        values |= enumerated(schema) | {schema["properties"]["kind"]["const"]}
    assert {"timeline", "person", "octave", "door_open"} <= tables, tables
    assert {"LZpeak", "kind", "cannot_wear", "duration_s"} <= keys, keys
    values |= set(re.findall(r"`\"([\w-]+)\"`", (source / "docs/files.md").read_text()))
    values |= set(re.findall(r"^\| `([\w-]+)`", (source / "docs/criteria.md").read_text(), re.M))
    assert {"participant", "niosh", "earmuff", "niosh-rel"} <= values, sorted(values)
    written = [key if re.fullmatch(r"[A-Za-z]\w*", key) else f'"{key}"' for key in sorted(keys)]
    return ([f"{key} = " for key in written] + [f"[{name}]\n" for name in sorted(tables)]
            + [f"[[{name}]]\n" for name in sorted(tables)]
            + [f'"{value}"' for value in sorted(values)] + TOML)


def duration_words(source):
    rows = re.findall(r'\{[\d.]+, \{(("\w+"(, )?)+)\}\}', (source / "src/files/written_values.cpp").read_text())
    units = re.findall(r'"(\w+)"', " ".join(row[0] for row in rows))
    assert {"h", "min", "s", "ms"} <= set(units)
    return units + [":", "00:", ".", " ", "\u00a0", "\u202f", "1e", "-", ",", "9" * 17, "0." + "0" * 17]


def recording_words(source):
    text = "".join(path.read_text() for path in sorted((source / "src/files").glob("*.cpp"))
                   if re.match("sound|mpeg|ogg|flac", path.name))
    letters = sorted(set(re.findall(r'"([A-Za-z0-9.]{3}[A-Za-z0-9. ])"', text)))
    assert {"RIFF", "data", "ds64"} <= set(letters), letters
    return letters + CHUNKS


def table_words(source):
    text = (source / "src/tables/headings.cpp").read_text()
    names = sorted(set(re.findall(r'"([a-z][a-z0-9_]*)"', text, re.I)))
    assert {"scanduration", "LAeq", "fitsheadcoil", "restafter"} <= set(names), names
    return [word.encode() for word in names + CELLS] + [word.encode("latin-1") for word in BYTES]


def waveform_words(source):
    text = "".join(path.read_text() for path in sorted((source / "src/waveforms").glob("*.[ch]pp")))
    names = sorted(set(re.findall(r'"([A-Za-z][A-Za-z_]{2,})"', text)))
    assert {"TRAP", "LABELSET", "num_samples", "Gx_mT_per_m", "ONCE"} <= set(names), names
    headings = [f"[{name}]\n" for name in names if name.isupper()]
    return names + headings + SEQUENCE


def sidecar_words(source):
    text = "".join(path.read_text() for path in sorted((source / "src/bids").glob("*.cpp")))
    keys = sorted(set(re.findall(r'"([A-Z][A-Za-z]{5,})"', text)))
    assert {"RepetitionTime", "VolumeTiming", "AcquisitionDuration"} <= set(keys), keys
    return [f'"{key}": ' for key in keys] + JSON


def session_body_words(source):
    text = "".join((source / f"src/sessions/{name}.cpp").read_text()
                   for name in ("bodies", "criteria_json", "errors_json", "exposure_json"))
    names = sorted(set(re.findall(r'"([A-Za-z][A-Za-z_0-9-]+)"', text)))
    assert {"exposure", "LAeq_dB", "instrument", "weekly_average"} <= set(names), names
    return [f'"{name}"' for name in names] + JSON


def entry(word, encoding):
    return '"' + "".join(chr(byte) if 0x20 <= byte < 0x7f and byte not in b'"\\' else f"\\x{byte:02X}"
                         for byte in (word if isinstance(word, bytes) else word.encode(encoding))) + '"\n'


def main(arguments):
    check = arguments[0] == "--check"
    source = pathlib.Path(arguments[-1]).resolve()
    for name, words, encoding in (("toml", toml_words(source), "utf-8"),
                                  ("duration", duration_words(source), "utf-8"),
                                  ("recording", recording_words(source), "latin-1"),
                                  ("table", table_words(source), "utf-8"),
                                  ("sidecar", sidecar_words(source), "utf-8"),
                                  ("session_body", session_body_words(source), "utf-8"),
                                  ("waveform", waveform_words(source), "utf-8")):
        path = source / f"tests/fuzz/{name}.dict"
        whole = "# Written by write_dictionaries.py.\n" + "".join(
            entry(word, encoding) for word in dict.fromkeys(words))
        if not check:
            path.write_text(whole)
        elif not path.exists() or path.read_text() != whole:
            sys.exit(f"{path} is not what the readers know: run tests/fuzz/write_dictionaries.py {source}")
    print("the dictionaries are", "current" if check else "written")


if __name__ == "__main__":
    main(sys.argv[1:])
