"""The map of publications names code and tests that exist, and every publication that is used.

usage: check_publications.py SOURCE_FOLDER
"""
import pathlib
import re
import sys

# How publications are named in code and documents.
PUBLICATION = re.compile(
    r"\b(?:ISO(?:/IEC)? (?:Guide )?[\d-]*\d|IEC \d[\d-]*\d|EN \d+|NIOSH \d[\d-]*\d|\d+ CFR \d+"
    r"|ANSI S[\d.]*\d|AS/NZS \d+|CSA Z[\d.]*\d|ECMA-\d+|RFC \d+|FIPS [\d-]*\d|HSE L\d+|TRLV Lärm"
    r"|DGUV Regel \d[\d-]*\d|H\.870|2003/10/EC|SCENIHR|Heidelberger|AS 241|McKay|SplitMix64|FNV-1a"
    r"|OSHA technical manual|NEMA MS \d|Criteria for significant risk|J Magn Reson Imaging"
    r"|Ontario noise guideline)",
    re.IGNORECASE)


def publications_in(text):
    """In small letters, with names put together that a line break or a comment's begin divides."""
    whole = re.sub(r"\s+(?:/{2,3}<?\s+)?", " ", text)
    return {name.lower() for name in PUBLICATION.findall(whole)}


def rows_of(text):
    """Publication, code and test of each row of the table."""
    for line in text.splitlines():
        cells = [cell.strip() for cell in line.strip("|").split("|")]
        if line.startswith("| ") and len(cells) == 4 and cells[0] != "publication" \
                and not set(cells[0]) <= {"-"}:
            yield cells[0], cells[2], cells[3]


def spelled_out(pattern):
    """`a{b,c}` stands for two paths."""
    braces = re.match(r"(.*)\{(.*)\}(.*)", pattern)
    if not braces:
        return [pattern]
    return [f"{braces[1]}{part}{braces[3]}" for part in braces[2].split(",")]


def paths_in(cell):
    return [path for quoted in re.findall(r"`([^`]+)`", cell) for path in spelled_out(quoted)]


def code_exists(root, path):
    """A folder, or a name whose header or source stands in one of the two trees."""
    return any((root / tree / path).is_dir() or (root / tree / (path + ending)).is_file()
               for tree in ("src", "include/earbudget", ".") for ending in ("", ".cpp", ".hpp"))


def faults_of(root, text):
    faults, named = [], set()
    rows = list(rows_of(text))
    for publication, code, test in rows:
        for path in paths_in(code):
            if not code_exists(root, path):
                faults.append(f"{publication}: no code {path}")
        if not paths_in(code) or not paths_in(test):
            faults.append(f"{publication}: no code or no test is named")
        for path in paths_in(test):
            found = list(root.glob(path))
            if not found or not path.startswith("tests/"):
                faults.append(f"{publication}: no test {path}")
            named.update(found)
    for file in sorted((root / "tests" / "published").iterdir()):
        if file.is_file() and file not in named:
            faults.append(f"{file.name} in tests/published is not named")
    mapped = publications_in(text)
    for tree in ("src", "include", "docs"):
        for file in sorted((root / tree).rglob("*")):
            if file.suffix not in (".cpp", ".hpp", ".md") or file.name == "publications.md":
                continue
            for missing in sorted(publications_in(file.read_text()) - mapped):
                faults.append(f"{file.relative_to(root)} names {missing}, the map does not")
    return faults, len(rows)


def main():
    root = pathlib.Path(sys.argv[1]).resolve()
    text = (root / "docs" / "publications.md").read_text()
    faults, rows = faults_of(root, text)
    assert not faults, "\n".join(faults)
    assert rows >= 25, f"only {rows} rows were read"
    # Each kind of defect is found.
    for old, new, expected in (("`protection/rating_from_octaves`", "`protection/nrx`", "no code protection/nrx"),
                               ("tests/published/niosh_98_126.cpp", "tests/published/x.cpp",
                                "niosh_98_126.cpp in tests/published is not named"),
                               ("EN 458", "EN 459", "names en 458, the map does not"),
                               ("tests/files/sha256.cpp", "tests/files/sha.cpp", "no test")):
        assert old in text, f"{old}: nothing to doctor"
        found, _ = faults_of(root, text.replace(old, new))
        assert any(expected in fault for fault in found), f"{expected}: not found"
    print(f"{rows} publications have their code and their tests")


if __name__ == "__main__":
    main()
