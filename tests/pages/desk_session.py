"""A session at the desk: by keyboard alone from beginning to end, through a kill, by two at once, and
without scripts."""
import json
import re

from support.browser import Browser
from support.desk import Desk, DeskPage, Visitor
from support.suite import PagesTest, main


class DeskSession(PagesTest):
    """Each test with a desk and a register of its own."""

    def setUp(self):
        self.desk = self.enterContext(Desk(self.program.executable))

    def begun(self, code="p-001"):
        """A page at a session that was begun by keyboard alone."""
        page = DeskPage(self.browser, self.desk)
        page.enter('a[href="/session?plan=plan.toml"]')
        page.tab_to("#as")
        page.type(code)
        page.tab_to("#by")
        page.type("operator-1")
        page.enter("#begin-now")
        page.until("location.pathname === '/session/1'")
        return page

    def press(self, page, key, then):
        """A key of a button, and what must be seen after it."""
        page.leads_on(lambda: page.press(key))
        page.until(then, f"after {key}")

    def recorded(self):
        """Kinds and codes of what the register holds, by its own export."""
        exported = json.loads(self.desk.command("register", "export", "unit.register", "--as", "p-001",
                                                "--format", "json"))
        return [entry["kind"] for entry in exported["entries"]]

    def test_by_keyboard(self):
        """Nothing but Tab, Enter, letters and digits; the record is in the register."""
        page = self.begun()
        self.press(page, "w", "document.querySelector('#seated-left')")
        self.press(page, "l", "!document.querySelector('#seated-left[data-key]') || "
                   "/left ear/i.test(document.querySelector('[data-part=seating]').innerText)")
        self.press(page, "r", "document.querySelector('#start-0')")
        self.press(page, "s", "document.querySelector('#stop')")
        first = page.run("document.querySelector('[data-part=now]').innerText")
        self.assertIn("Localiser", first)
        page.until(f"document.querySelector('[data-part=now]').innerText !== {json.dumps(first)}")  # the clock goes
        self.press(page, "x", "!document.querySelector('#stop')")
        # The next is too long to be done as planned already.
        self.press(page, "s", "document.querySelector('#stop')")
        self.press(page, "x", "!document.querySelector('#stop') && "
                   "/ran/.test(document.querySelector('[data-part=recorded]').innerText)")
        self.press(page, "1", "document.querySelector('[data-part=alarm]').innerText.trim()")
        self.assertIn("Put the protector in again", page.words())
        self.assertEqual(page.complaints(), [])
        self.press(page, "e", "!document.querySelector('#end[data-key]') || document.querySelector('#end-now')")
        if page.run("!!document.querySelector('#end-now')"):
            page.enter("#end-now")
        page.until("!document.querySelector('#stop-all')")
        kinds = self.recorded()
        for kind in ("session-start", "wear", "check", "run", "event", "session-end"):
            self.assertIn(kind, kinds)
        self.assertGreaterEqual(kinds.count("run"), 2)
        verified = json.loads(self.desk.command("register", "verify", "unit.register", "--format", "json"))
        self.assertTrue(verified["verification"]["intact"])

    def test_killed_in_a_run(self):
        """The desk is killed while something runs, and started again: the clock went on, nothing is lost."""
        page = self.begun()
        self.press(page, "s", "document.querySelector('#stop')")
        before = self.recorded()
        self.desk.end(hard=True)
        page.until("document.querySelector('.away')?.innerText.includes('clock goes on')")
        self.desk.start()
        page.until("document.querySelector('.away')?.innerText.includes('started anew')")
        page.go(self.desk.address)
        page.until("location.pathname === '/' && document.readyState === 'complete'")
        page.enter('a[href="/session/1"]')
        page.until("document.querySelector('#stop') && "
                   "document.querySelector('[data-part=now]').innerText.includes('Localiser')")
        self.assertEqual(self.recorded(), before)
        self.press(page, "x", "!document.querySelector('#stop')")
        self.assertIn("ran: localiser", page.words())

    def test_two_at_once(self):
        """What one tells the other sees by itself; on top of what was told meanwhile nothing is told."""
        page = self.begun()
        with Browser() as elsewhere:
            other = DeskPage(elsewhere, self.desk)
            other.go("/session/1")
            self.press(page, "s", "document.querySelector('#stop')")
            other.until("document.querySelector('#stop')")
            # Both press Stop; the second of them on a page of before.
            stale = other.run("(() => { const f = document.querySelector('#stop').form;"
                              " return [...new FormData(f)]; })()")
            self.press(page, "x", "!document.querySelector('#stop')")
            visitor = Visitor(self.desk)
            visitor.post("/teller", [*(field for field in map(tuple, stale) if field[0] == "token"),
                                     ("by", "operator-2"), ("back", "/session/1")])
            entries = self.recorded()
            status, _, content = visitor.post("/session/1", [tuple(field) for field in stale])
            self.assertNotEqual(status, 303)
            self.assertIn("something else was recorded since this page was made", content.decode("utf-8"))
            self.assertEqual(self.recorded(), entries)
            other.until("!document.querySelector('#stop')")
            self.assertEqual(other.complaints(), [])

    def test_without_scripts(self):
        """Plain forms, pressed by a browser that runs no script, do the same."""
        page = DeskPage(self.browser, self.desk)
        page.go("/session?plan=plan.toml", scripts=False)
        page.tab_without_scripts("as")
        page.type("p-001")
        page.tab_without_scripts("by")
        page.type("operator-1")
        page.press("Enter")
        page.shows("Nothing is running")
        for button, then in (("put-on", "Worn:"), ("start-0", "Stop: it is over now"),
                             ("stop", "Nothing is running"), ("event-plug-loose", "Put the protector in again"), ("event-pain", "STOP: p-001")):
            page.tab_without_scripts(button)
            page.press("Enter")
            page.shows(then)
        self.assertIn("session-end", self.recorded())


if __name__ == "__main__":
    main()
