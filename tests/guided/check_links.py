"""Every relative link of the documents leads to a file, and its anchor to a heading of it.

usage: check_links.py SOURCE_FOLDER
"""
import pathlib
import re
import sys
import tempfile


def without_code(text):
    return re.sub(r"`[^`\n]*`", "", re.sub(r"^( *)```.*?^\1```", "", text, flags=re.M | re.S))


def anchors(text):
    """As the common renderers of Markdown make them of headings."""
    found, seen = set(), {}
    for heading in re.findall(r"^#{1,6} (.+)$",
                              re.sub(r"^( *)```.*?^\1```", "", text, flags=re.M | re.S), re.M):
        plain = re.sub(r"[`*]|\[([^\]]*)\]\([^)]*\)", r"\1", heading).strip().lower()
        anchor = re.sub(r"[^\w\- ]", "", plain).replace(" ", "-")
        count = seen.get(anchor, 0)
        seen[anchor] = count + 1
        found.add(f"{anchor}-{count}" if count else anchor)
    return found


def broken_links(root):
    broken, followed = [], 0
    for page in sorted([*root.glob("*.md"), *root.glob("docs/*.md")]):
        for target in re.findall(r"\]\(([^)\s]+)\)", without_code(page.read_text())):
            if re.match(r"[a-z]+:", target):
                continue
            followed += 1
            name, _, anchor = target.partition("#")
            file = (page.parent / name).resolve() if name else page
            if not file.exists():
                broken.append(f"{page.name}: {target}: no such file")
            elif anchor and (file.suffix != ".md" or anchor not in anchors(file.read_text())):
                broken.append(f"{page.name}: {target}: no such heading")
    return broken, followed


def check_finds_defects():
    with tempfile.TemporaryDirectory() as name:
        root = pathlib.Path(name)
        (root / "docs").mkdir()
        (root / "docs" / "a.md").write_text("# Of `x`, and y\n[b](#of-x-and-y) `[c](none.md)`\n")
        (root / "README.md").write_text("[a](docs/a.md#of-x-and-y) [b](docs/b.md) [c](docs/a.md#z)")
        broken, followed = broken_links(root)
        assert followed == 4 and len(broken) == 2, broken
        assert "docs/b.md: no such file" in broken[0] and "#z: no such heading" in broken[1], broken


def main():
    root = pathlib.Path(sys.argv[1]).resolve()
    check_finds_defects()
    broken, followed = broken_links(root)
    assert not broken, "\n".join(broken)
    readme = (root / "README.md").read_text()
    unlisted = [page.name for page in root.glob("docs/*.md") if f"(docs/{page.name}" not in readme]
    assert not unlisted, f"README.md links to no {unlisted}"
    assert followed > 30, f"only {followed} links found"
    print(f"{followed} links lead somewhere")


if __name__ == "__main__":
    main()
