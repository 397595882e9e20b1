"""Every command's JSON against its schema in docs/schemas; an undocumented key must fail.

usage: check_schemas.py PROGRAM SOURCE_FOLDER
"""
import copy
import json
import pathlib
import sys
import tempfile

from jsonschema import Draft202012Validator, RefResolver

from outputs import outputs


def load(folder):
    schemas = {path.name: json.loads(path.read_text()) for path in folder.glob("*.schema.json")}
    assert len(schemas) == 21, f"schemas found: {sorted(schemas)}"
    for name, schema in schemas.items():
        Draft202012Validator.check_schema(schema)
        assert schema["$id"] == name, f"$id of {name}"
    return schemas


def validator(schemas, command):
    schema = schemas[f"{command}.schema.json"]
    return Draft202012Validator(schema, resolver=RefResolver(schema["$id"], schema, store=schemas))


def schema_of(words, output):
    """The name of its schema: many plans, and a study of visits, have their own."""
    if words[0] == "register":
        return "-".join(words[:2]) if words[1] in ("totals", "report", "export") else "register"
    if words[0] == "session":
        return "-".join(words[:2]) if words[1] in ("next", "show") else "session"
    if words[0] != "assess":
        return words[0]
    return "assess-plans" if "plans" in output else "assess-study" if "study" in output else "assess"


def subschemas(schema):
    """A schema with all that it holds."""
    if isinstance(schema, dict):
        yield schema
        for value in schema.values():
            yield from subschemas(value)
    elif isinstance(schema, list):
        for value in schema:
            yield from subschemas(value)


def check_closed(schemas):
    """An object says what other keys may hold: nothing, or where it is a map, what kind of value."""
    for name, schema in schemas.items():
        for part in subschemas(schema):
            if part.get("type") == "object":
                assert "additionalProperties" in part, f"{name}: {part} takes any key"


def keys_of(schema):
    return {key for part in subschemas(schema) if isinstance(part.get("properties"), dict)
            for key in part["properties"]}


def objects(value, path=()):
    """Every object in an output with its place, one element of each array's kind."""
    if isinstance(value, dict):
        yield path, value
        for key, inner in value.items():
            yield from objects(inner, (*path, key))
    elif isinstance(value, list):
        for number, inner in enumerate(value):
            yield from objects(inner, (*path, number))


def kind(path):
    return tuple("*" if isinstance(part, int) else part for part in path)


def at(value, path):
    for part in path:
        value = value[part]
    return value


def is_map(path):
    """Working's values, bands and what was recorded are maps whose keys are data."""
    return "values" in path or "body" in path or path[-1:] in (("octave_dB",), ("octave_A_dB",), ("third_octave_dB",))


def check_undocumented_keys_fail(check, words, output):
    """One more key, in each kind of object, must fail; so must one key less than is always there."""
    tried = set()
    for path, _ in objects(output):
        if kind(path) in tried or is_map(path):
            continue
        tried.add(kind(path))
        changed = copy.deepcopy(output)
        at(changed, path)["undocumented"] = 1.0
        assert not check.is_valid(changed), f"{words}: a key more passes at {path}"
    return len(tried)


def main(program, root):
    schemas = load(pathlib.Path(root) / "docs/schemas")
    check_closed(schemas)
    seen, nulls, tried = set(), set(), {}
    failures = []
    with tempfile.TemporaryDirectory() as scratch:
        for words, output in outputs(program, root, scratch):
            name = schema_of(words, output)
            check = validator(schemas, name)
            for error in check.iter_errors(output):
                failures.append(f"{' '.join(words)}\n  at {list(error.absolute_path)}: "
                                f"{error.message[:300]}")
            for _, value in objects(output):
                seen.update(value)
                nulls.update(key for key, inner in value.items() if inner is None)
            key = (name, "--working" in words, "--since" in words)
            if not failures and key not in tried:
                tried[key] = check_undocumented_keys_fail(check, words, output)
    if failures:
        raise SystemExit("\n".join(failures[:20]))
    never = {name: sorted(keys_of(schema) - seen) for name, schema in schemas.items()}
    assert not any(never.values()), f"documented keys that no output has: {never}"
    assert len(nulls) > 20, f"too few values were null: {sorted(nulls)}"
    assert sum(tried.values()) > 80, f"too few kinds of object were tried: {tried}"
    print(f"{len(seen)} keys seen, {len(nulls)} of them also null, kinds of object with a key too "
          f"many refused: {tried}")


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2])
