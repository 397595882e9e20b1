"""Accessibility: every rule of axe-core, which `npm ci --prefix tests/pages` installs."""
import json
import pathlib

AXE = pathlib.Path(__file__).parents[1] / "node_modules/axe-core/axe.min.js"

# What axe-core cannot decide counts as a finding too, except these.
UNDECIDED = {
    # It does not compute what text on a drawing stands on: `contrast` of layout.py does.
    "color-contrast",
}


def prepare(page):
    """Loads axe-core into the page that is open; FileNotFoundError where it is not installed."""
    page.run(AXE.read_text(encoding="utf-8") + ";0")


def findings(page):
    """One line a broken rule and element, of the page as it stands now."""
    options = {"resultTypes": ["violations", "incomplete"], "preload": False,
               "rules": {"target-size": {"enabled": True}}}
    results = json.loads(page.run(f"axe.run(document, {json.dumps(options)}).then(r => JSON.stringify("
                                  "{violations: r.violations, incomplete: r.incomplete,"
                                  " passes: r.passes.length}))"))
    if results["passes"] == 0:
        return ["no rule of axe-core applied: it did not look at the page"]
    undecided = [rule for rule in results["incomplete"] if rule["id"] not in UNDECIDED]
    return [f"{rule['id']}: {rule['help']}: {node['html'][:120]}"
            for rule in results["violations"] + undecided for node in rule["nodes"]]
