"""Trying changes of a plan: typed, by keyboard, by buttons, without scripts; answered, compared, saved."""
import json
import re
import statistics
import time
import urllib.parse

from support import layout, rules
from support.desk import WIDTHS, Desk, DeskPage, Visitor
from support.suite import PagesTest, main

STATE = "document.querySelector('.state').innerText"


def fields_of(content):
    """What a browser sends of the form in a page."""
    form = re.search(r'<form method="post" action="/try".*?</form>', content, re.DOTALL).group(0)
    fields = []
    for tag, select, options in re.findall(
            r'<input ([^>]*)>|<select id="[^"]*" name="([^"]*)"[^>]*>(.*?)</select>', form, re.DOTALL):
        if select:
            chosen = re.search(r'value="([^"]*)" selected', options)
            fields.append((select, chosen.group(1) if chosen else ""))
            continue
        values = dict(re.findall(r'([\w-]+)="([^"]*)"', tag))
        if values.get("type") != "checkbox" or " checked" in tag:
            fields.append((values["name"], values.get("value", "").replace("&#39;", "'")))
    return fields


class DeskTry(PagesTest):
    """The demo's plan in a form."""

    def setUp(self):
        self.desk = self.enterContext(Desk(self.program.executable))
        self.tab = DeskPage(self.browser, self.desk)
        self.plan = self.desk.folder / "studies" / "plan.toml"
        self.original = self.plan.read_text(encoding="utf-8")

    def opened(self):
        """The page of the plan."""
        self.tab.go("/try?plan=plan.toml")
        self.tab.until("document.getElementById('r3.repeat')")

    def typed(self, field, text):
        """Into a field, as a hand does."""
        self.tab.run(f"document.getElementById('{field}').focus()")
        self.tab.type(text)

    def test_typed_applied_and_saved(self):
        """Whatever is typed is answered at once and keeps its place; advice has a button; a new file."""
        self.opened()
        self.typed("r3.repeat", "1")
        self.tab.until(f"{STATE}.includes('Close to a limit: pilot-b')")
        self.assertEqual(self.tab.run("document.activeElement.id"), "r3.repeat")
        self.assertIn("epi-2mm: 36 min before, 12 min now", self.tab.words())
        self.typed("r1.duration", "soon")
        self.tab.until("document.getElementById('r1.duration-wrong').innerText.includes('accepted')")
        self.assertIn("could be computed last", self.tab.run(STATE))
        self.assertIn("Close to a limit: pilot-b", self.tab.run(STATE))
        self.tab.look(390)
        rules.prepare(self.tab)
        self.none_of(rules.findings(self.tab) + layout.overflow(self.tab), "with something wrong")
        self.tab.look(1280)
        self.typed("r1.duration", "6 min")
        self.tab.until("document.getElementById('r1.duration-wrong').innerText === ''")
        self.tab.run("[...document.querySelectorAll('.advice button')].find("
                     "b => b.innerText === 'Wear muff-slim').click()")
        self.tab.until(f"!{STATE}.includes('Close') && {STATE}.includes('pilot-b')")
        self.assertEqual(self.tab.run("document.getElementById('p1.wears').value"), "muff-slim")
        self.tab.run("document.getElementById('up-r3').click()")
        self.tab.until("document.querySelectorAll('[name=row]')[1].value === 'r3'")
        self.assertEqual(self.tab.run("document.getElementById('r3.repeat').value"), "1")
        self.typed("new-name", "quiet.toml")
        self.tab.leads_on(lambda: self.tab.run("document.querySelector('[value=save-new]').click()"))
        self.assertIn("Saved: quiet.toml", self.tab.words())
        self.assertEqual(self.plan.read_text(encoding="utf-8"), self.original)
        answer = json.loads(self.desk.command("assess", "studies/quiet.toml", "--format", "json"))
        self.assertEqual({person["verdict"] for person in answer["people"]}, {"within"})
        saved = (self.plan.parent / "quiet.toml").read_text(encoding="utf-8")
        comments = re.compile("#.*")
        self.assertEqual(sorted(comments.findall(saved)), sorted(comments.findall(self.original)))
        self.none_of(self.tab.complaints(), "complaints")

    def test_by_keyboard(self):
        """From the first field to a saved file without a mouse."""
        self.opened()
        self.tab.tab_to("[id='r3.repeat']")
        self.tab.type("1")
        self.tab.until(f"{STATE}.includes('Close to a limit: pilot-b')")
        self.tab.tab_to("button[value='save']", 300)
        self.tab.leads_on(lambda: self.tab.press("Enter"))
        self.assertIn("Saved: plan.toml", self.tab.words())
        self.assertEqual(self.plan.read_text(encoding="utf-8"), self.original.replace("repeat = 3", "repeat = 1"))

    def test_without_scripts(self):
        """A plain form: the enter key asks for the answer."""
        self.tab.go("/try?plan=plan.toml", scripts=False)
        self.tab.tab_without_scripts(r"r3\.repeat")
        self.browser.call("Input.insertText", text="1")
        self.tab.press("Enter")
        self.tab.shows("epi-2mm: 36 min before")

    def test_pictures_of_widths(self):
        """Form and answer side by side where there is room, below one another where there is none."""
        self.opened()
        for width in WIDTHS:
            self.tab.look(width)
            beside = self.tab.run("(() => { const [a, b] = document.querySelector('.beside-answer').children;"
                                  " return b.getBoundingClientRect().left > a.getBoundingClientRect().left; })()")
            self.assertEqual(beside, width > 1200, width)

    def test_answered_soon(self):
        """A change is answered in 60 ms, draws included, of what the machine gives this program."""
        visitor = Visitor(self.desk)
        fields = fields_of(visitor.get("/try?plan=plan.toml")[2].decode("utf-8"))
        times = []
        for n in range(12):
            changed = [(name, str(n % 6 + 1) if name == "r3.repeat" else value) for name, value in fields]
            begin = time.monotonic()
            status, _, content = visitor.ask(
                "POST", "/try", urllib.parse.urlencode(changed),
                {"Origin": self.desk.origin, "Content-Type": "application/x-www-form-urlencoded",
                 "Earbudget-Script": "1"})
            times.append(time.monotonic() - begin)
            self.assertEqual(status, 200, content[:500])
        print(f"answered in {1000 * min(times):.0f} ms, median {1000 * statistics.median(times):.0f} ms")
        # Other programs on the machine have their share: several times the target is a defect.
        self.assertLess(min(times), 0.3)


if __name__ == "__main__":
    main()
