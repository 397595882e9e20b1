"""The schemas of the files that people write: valid files fit, and what the program refuses for its
type, range, word or name does not; the two agree key by key.

usage: check_input_schemas.py PROGRAM SOURCE_FOLDER
"""
import copy
import json
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import tomllib

from jsonschema import Draft202012Validator

# Of the fuzzers' corpora: files without a mistake in keys, types or ranges.
VALID = {"plan": ["demo", "rich", "small", "site-of-the-demo", "durations-as-minutes",
                  "measured-samples-and-a-range", "own-criteria-nobody-names", "no-catalogue"],
         "sequence_card": ["epi-2mm", "gre-3d", "localiser", "rich", "parts", "every-origin", "with-bands",
                           "only-octaves-of-A", "borrows"],
         "protector_catalogue": ["demo", "empty", "pair", "laboratory-bands"], "site": ["demo", "rich"],
         "study": ["twice", "titles"], "response": ["usual", "widest"]}
BAD = {"plan": ["kind-is-a-number", "kind-of-another", "mistakes-in-people", "mistakes-in-policies",
                "mistakes-in-tasks", "no-people", "people-misspelt", "values-of-other-kinds",
                "too-many-entries", "own-criterion-misspelt", "format-of-tomorrow"],
       "sequence_card": ["levels-misspelt", "mistakes-in-origin", "no-levels", "of-another-kind"],
       "protector_catalogue": ["misspelt", "mistakes", "of-another-kind"],
       "site": ["mistakes", "of-another-kind", "position-misspelt"],
       "study": ["mistakes", "no-visit", "visit-misspelt"]}
# What a valid file of the demo does not have, so that all keys of the schemas are tried.
ADDED = {"plan": {"intercom": {"LAeq": 80.0}, "site": "site.toml",
                  "position": [{"id": "p", "difference_dB": -3.0, "octave": {"1000": -3.0},
                                "background": {"LAeq": 50.0}, "door_open": {"difference_dB": -2.0}}],
                  "criterion": [{"id": "own", "level_dB": 85.0}]}}

STUDY = {"kind": "study", "format": 1, "title": "t",
         "visit": [{"plan": "plan.toml", "title": "v", "times": 2, "days_apart": 7}]}


def load(folder):
    schemas = {path.name.removesuffix(".schema.json"): json.loads(path.read_text())
               for path in folder.glob("*.schema.json")}
    assert set(schemas) == {"plan", "protectors", "response", "sequence", "setup", "site", "study"}, sorted(schemas)
    for name, schema in schemas.items():
        Draft202012Validator.check_schema(schema)
        assert schema["$id"] == f"{name}.schema.json"
    return schemas


def toml(value, path=()):
    """A document as TOML, every table under a heading of its own."""
    if not isinstance(value, dict):
        return json.dumps(value, ensure_ascii=False)
    plain, tables = [], []
    for key, inner in value.items():
        if isinstance(inner, dict):
            tables.append((f"[{'.'.join((*path, json.dumps(key)))}]", inner, (*path, json.dumps(key))))
        elif isinstance(inner, list) and inner and isinstance(inner[0], dict):
            tables += [(f"[[{'.'.join((*path, json.dumps(key)))}]]", each, (*path, json.dumps(key)))
                       for each in inner]
        else:
            plain.append(f"{json.dumps(key)} = {toml(inner)}\n")
    return "".join(plain) + "".join(f"{heading}\n{toml(inner, place)}" for heading, inner, place in tables)


def resolved(schema, root):
    return root["$defs"][schema["$ref"].rsplit("/", 1)[1]] if "$ref" in schema else schema


def tables_of(schema, root, path=(), seen=()):
    """Each table of a kind of file with one way to it: the first of an array stands for all."""
    yield path, schema
    for key, part in schema["properties"].items():
        is_array = part.get("type") == "array"
        inner = part["items"] if is_array else part
        if "$ref" in inner and inner["$ref"] not in seen:
            yield from tables_of(resolved(inner, root), root, (*path, key, *((0,) if is_array else ())),
                                 (*seen, inner["$ref"]))


def within(document, path):
    """The table at a place, made where it is not there."""
    for n, part in enumerate(path):
        if isinstance(part, int):
            document = document[part]
            continue
        makes_array = n + 1 < len(path) and isinstance(path[n + 1], int)
        document = document.setdefault(part, [{}] if makes_array else {})
    return document


def wrong_values(schema, root):
    """Values that a key must not have."""
    alternatives = schema.get("anyOf", [schema])
    numbers = [each for each in alternatives if each.get("type") in ("number", "integer")]
    if numbers:
        yield from (numbers[0]["minimum"] - 1, numbers[0]["maximum"] + 1, True)
    elif schema.get("type") == "array" and "$ref" not in schema["items"]:
        yield from ("text", [True])
        if schema["items"].get("type") == "number":
            yield from ([schema["items"]["minimum"] - 1], [schema["items"]["maximum"] + 1])
        elif "enum" in schema["items"]:
            yield ["nonsense"]
    elif schema.get("type") == "boolean":
        yield from ("true", 1)
    elif "pattern" in schema:
        yield from (8, "soon")
    elif "const" not in schema:
        yield 7
    if any("enum" in each for each in alternatives):
        yield "nonsense"


class Program:
    """Whether the program refuses a file for what is wrong with one of its keys."""

    def __init__(self, program, source, folder):
        self.program, self.folder, self.runs = program, pathlib.Path(folder), 0
        shutil.copytree(source / "sequences/saltmarsh", self.folder, dirs_exist_ok=True)

    def refuses(self, kind, document, key):
        path = self.folder / "tried.toml"
        path.write_text(toml(document))
        command = {"plan": "assess", "study": "assess", "protectors": "ratings", "sequence": "review"}[kind]
        done = subprocess.run([self.program, command, path], capture_output=True, text=True, check=False)
        self.runs += 1
        return done.returncode == 2 and f'"{key}"' in done.stderr


def check_demo_and_corpora(schemas, source):
    checks = {kind: Draft202012Validator(schema) for kind, schema in schemas.items()}
    for path in (source / "sequences").rglob("*.toml"):
        document = tomllib.loads(path.read_text())
        errors = list(checks[document["kind"]].iter_errors(document))
        assert not errors, f"{path}: {errors[0]}"
    for folder, names in VALID.items():
        for name in names:
            document = tomllib.loads((source / f"tests/fuzz/corpus/{folder}/{name}.toml").read_text())
            errors = list(checks[document["kind"]].iter_errors(document))
            assert not errors, f"{folder}/{name}: {errors[0].message} at {list(errors[0].path)}"
    kinds = {"plan": "plan", "sequence_card": "sequence", "protector_catalogue": "protectors", "site": "site", "study": "study"}
    for folder, names in BAD.items():
        for name in names:
            document = tomllib.loads((source / f"tests/fuzz/corpus/{folder}/{name}.toml").read_text())
            assert not checks[kinds[folder]].is_valid(document), f"{folder}/{name} fits"


def check_keys(kind, schema, base, program):
    """Each key with a value that it must not have, one that is unknown, and one that is needed."""
    check = Draft202012Validator(schema)
    tried = 0
    for path, table in tables_of(schema, schema):
        for key, part in table["properties"].items():
            for n, wrong in enumerate(wrong_values(part, schema)):
                document = copy.deepcopy(base)
                within(document, path)[key] = wrong
                assert not check.is_valid(document), f"{kind}: {path} {key} = {wrong!r} fits"
                tried += 1
                if kind != "site" and n < 2:
                    assert program.refuses(kind, document, key), f"{kind}: {path} {key} = {wrong!r} is taken"
        document = copy.deepcopy(base)
        within(document, path)["unheard_of"] = 1
        assert not check.is_valid(document), f"{kind}: {path} takes any key"
        for key in table.get("required", []):
            document = copy.deepcopy(base)
            within(document, path).pop(key, None)
            assert not check.is_valid(document), f"{kind}: {path} does without {key}"
            tried += 1
    return tried


def check_documented(schemas, source):
    text = (source / "docs/files.md").read_text()
    words = {word for code in re.findall(r"`([^`\n]+)`", text) for word in re.findall(r"[\w.]+", code)}
    keys = {key for schema in schemas.values() for _, table in tables_of(schema, schema)
            for key in table["properties"]}
    assert len(keys) > 100, len(keys)
    assert keys <= words, f"docs/files.md has not: {sorted(keys - words)}"


def main():
    source = pathlib.Path(sys.argv[2]).resolve()
    schemas = load(source / "docs/schemas/inputs")
    check_documented(schemas, source)
    check_demo_and_corpora(schemas, source)
    demo = source / "sequences/saltmarsh"
    tried = 0
    with tempfile.TemporaryDirectory() as folder:
        program = Program(pathlib.Path(sys.argv[1]).resolve(), source, folder)
        for kind, file in (("plan", "plan.toml"), ("protectors", "protectors.toml"),
                           ("sequence", "cards/epi-2mm.toml"), ("site", "site.toml")):
            base = tomllib.loads((demo / file).read_text()) | ADDED.get(kind, {})
            tried += check_keys(kind, schemas[kind], base, program)
        tried += check_keys("study", schemas["study"], STUDY, program)
        print(f"{tried} wrong values do not fit, of which the program refuses {program.runs}")
        assert program.runs > 200, program.runs


if __name__ == "__main__":
    main()
