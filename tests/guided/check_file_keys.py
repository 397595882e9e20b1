"""docs/files.md documents every key that the readers of files accept.

usage: check_file_keys.py SOURCE_FOLDER
"""
import pathlib
import re
import sys

# Key lists in src/files, and how many there are: a list that is not found must not go unnoticed.
LIST = re.compile(
    r"(\w+_keys)(?:\(\))?\s*(?:=|\{\s*std::vector<std::string> keys =)\s*\{([^{}]*)\}")
INSERTED = re.compile(r"keys\.insert\([^{;]*\{([^}]*)\}")
PASSED = re.compile(r"(?:with_attenuation_keys\(\s*|open_document\([^;{]*)\{([^}]*)\}")
READ = re.compile(
    r"\.(?:require_)?(?:texts?|numbers?|duration|count|boolean|any|tables?)\(\s*\"(\w+)\"")


def keys_of(source):
    """Each key with the list or file it comes from."""
    keys, lists = {}, set()
    for file in sorted((source / "src" / "files").glob("*.?pp")):
        text = file.read_text()
        for name, held in LIST.findall(text):
            lists.add(name)
            keys.update((key, name) for key in re.findall(r'"(\w+)"', held))
        for pattern in (INSERTED, PASSED):
            for held in pattern.findall(text):
                keys.update((key, file.name) for key in re.findall(r'"(\w+)"', held))
        keys.update((key, file.name) for key in READ.findall(text))
    return keys, lists


def documented(text):
    """Words within code, in tables and in text, `[levels.octave]` being two."""
    return {word for code in re.findall(r"`([^`\n]+)`", text) for word in re.findall(r"\w+", code)}


def undocumented(keys, text):
    return {key: place for key, place in keys.items() if key not in documented(text)}


def main():
    source = pathlib.Path(sys.argv[1]).resolve()
    text = (source / "docs" / "files.md").read_text()
    keys, lists = keys_of(source)
    expected = {"plan_keys", "contact_keys", "timeline_keys", "person_keys", "criterion_keys",
                "task_keys", "origin_keys", "attenuation_keys", "transmission_keys", "level_keys",
                "policy_keys"}
    assert lists >= expected, f"key lists not found: {expected - lists}"
    for key in ("door_open", "near_magnet", "fits_head_coil", "protectors", "pair", "LZpeak",
                "recording_sha256", "uncertainty_parts", "cannot_wear", "site", "kind"):
        assert key in keys, f"{key} is a key and was not found in the readers"
    missing = undocumented(keys, text)
    assert not missing, f"docs/files.md has not: {missing}"
    # A key that the document leaves out is found, each one.
    for key in keys:
        without = re.sub(rf"\b{key}\b", "left_out", text)
        assert key in undocumented(keys, without), f"{key} left out would go unnoticed"
    print(f"{len(keys)} keys are documented")


if __name__ == "__main__":
    main()
