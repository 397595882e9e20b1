"""What is changed at the desk: a trial and its saving, a card, by keyboard alone; and texts that would
be more than text."""
import hashlib
import json
import pathlib
import tempfile
import tomllib

from support import hostile, layout
from support.desk import Desk, DeskPage
from support.suite import PagesTest, main

PATHS = ("/", "/session?plan=plan.toml", "/try?plan=plan.toml", "/sounds", "/sounds/card?id=epi-2mm", "/measure",
         "/register")


def by_id(name):
    """A selector for an id of any characters."""
    return f'[id="{name}"]'


class DeskEditing(PagesTest):
    """Each test with a desk of its own."""

    def begun(self, path, study=None):
        """A page there."""
        self.desk = self.enterContext(Desk(self.program.executable, study))
        page = DeskPage(self.browser, self.desk)
        page.go(path)
        return page

    def toml(self, name):
        """What a file of the folder says."""
        return tomllib.loads((self.desk.folder / "studies" / name).read_text(encoding="utf-8"))

    def sums(self):
        """Of all files of the folder."""
        return {str(file.relative_to(self.desk.folder)): hashlib.sha256(file.read_bytes()).hexdigest()
                for file in (self.desk.folder / "studies").rglob("*") if file.is_file()}

    def test_trial(self):
        """The answer follows what is typed; what is saved says the same on the command line."""
        page = self.begun("/try?plan=plan.toml")
        answer = "document.querySelector('[data-part=answer]').innerText"
        before, files = page.run(answer), self.sums()
        page.tab_to(by_id("r3.repeat"))
        page.type("1")
        page.until(f"{answer} !== {json.dumps(before)}")
        self.assertIn("#" + "r3.repeat", "#" + page.run("document.activeElement.id"))  # who types goes on
        page.type("many")
        page.until("document.getElementById('r3.repeat-wrong').innerText.trim()")
        page.type("1")
        page.until("!document.getElementById('r3.repeat-wrong').innerText.trim()")
        self.assertEqual(self.sums(), files)  # nothing is written before it is saved
        self.none_of(page.complaints(), "a trial")
        page.tab_to("#new-name", most=400)
        page.type("tried.toml")
        page.enter('button[name="do"][value="save-new"]')
        page.until("location.search.includes('saved')")
        new = set(self.sums()) - set(files)
        self.assertEqual({name: total for name, total in self.sums().items() if name not in new}, files)
        name = "tried.toml"
        self.assertEqual(new, {f"studies/{name}"})
        rows = self.toml(name)["timeline"]
        self.assertEqual([row.get("repeat") for row in rows if row.get("sequence") == "epi-2mm"], [None], rows)
        said = json.loads(self.desk.command("assess", f"studies/{name}", "--format", "json"))
        self.assertIn("verdict", json.dumps(said))

    def test_card(self):
        """A title is changed, all else of the file stays; a level that cannot be is told at its field."""
        page = self.begun("/sounds/card?id=epi-2mm")
        files = self.sums()
        page.tab_to(by_id("levels.LAeq"), most=400)
        page.type("loud")
        page.until("document.getElementById('levels.LAeq-wrong').innerText.trim()")
        page.type("114.805")
        page.until("!document.getElementById('levels.LAeq-wrong').innerText.trim()")
        page.run("document.activeElement.blur()")
        page.go("/sounds/card?id=epi-2mm")
        page.tab_to("#title", most=400)
        page.type("Echo planar, renamed")
        page.enter('button[name="do"][value="save"]')
        self.none_of(page.complaints(), "a card")
        changed = {name for name, total in self.sums().items() if files.get(name) != total}
        self.assertEqual(changed, {"studies/cards/epi-2mm.toml"})
        card = self.toml("cards/epi-2mm.toml")
        self.assertEqual(card["title"], "Echo planar, renamed")
        page.go("/sounds")
        self.assertIn("Echo planar, renamed", page.words())

    def test_hostile_texts(self):
        """Texts of files are text on every page, and stay within the window."""
        for name in ("markup", "turned", "one word"):
            with tempfile.TemporaryDirectory() as folder:
                study = hostile.make_study(pathlib.Path(folder), hostile.TEXTS[name])
                page = self.begun("/", study)
            for path in PATHS:
                page.go(path)
                page.look(390)
                found = [*page.complaints(), *layout.overflow(page), *layout.reversed_text(page)]
                self.none_of(found, f"{name}: {path}")
                self.assertFalse(page.run("'ran' in window"), f"{name}: {path}")
            self.desk.end()
            self.desk.start()


if __name__ == "__main__":
    main()
