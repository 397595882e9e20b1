"""The desk as its users have it: the program on a copy of the demo, asked by a browser or without."""
import contextlib
import html.parser
import http.client
import pathlib
import re
import shutil
import subprocess
import tempfile
import time
import urllib.parse

from support.browser import PATIENCE, Browser, BrowserError
from support.demo import ROOT, STUDY
from support.page import Page, complaint

WIDTHS = (1280, 390, 1920)


class Desk:
    """One desk; `folder` holds the studies and the register. Use as a context manager."""

    def __init__(self, executable, study=None):
        self._executable = str(pathlib.Path(executable).resolve())
        self._folder = tempfile.TemporaryDirectory(prefix="desk-")
        self.folder = pathlib.Path(self._folder.name)
        shutil.copytree(study or ROOT / STUDY, self.folder / "studies")
        self.command("register", "create", "unit.register", "--time-zone", "Europe/Berlin")
        self.port, self._process = 0, None
        self.start()

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.end()
        self._folder.cleanup()

    @property
    def pid(self):
        """Of the process."""
        return self._process.pid

    def command(self, *words):
        """What the command line prints in the folder; AssertionError where it refuses."""
        done = subprocess.run([self._executable, *words], cwd=self.folder, capture_output=True, text=True,
                              check=False)
        assert done.returncode in (0, 1), f"{words} ended with {done.returncode}: {done.stderr}"
        return done.stdout

    def start(self):
        """With the port it had before, so that pages go on to be of it."""
        self._process = subprocess.Popen(
            [self._executable, "desk", "studies", "--register", "unit.register", "--no-open",
             "--port", str(self.port)], cwd=self.folder, stdout=subprocess.PIPE, text=True)
        self.address = self._process.stdout.readline().strip()
        assert self.address.startswith("http://127.0.0.1:"), self.address
        self.port = urllib.parse.urlsplit(self.address).port
        self.origin = f"http://127.0.0.1:{self.port}"

    def end(self, hard=False):
        """Asks it to end; `hard`: as a machine does that loses its power."""
        if hard:
            self._process.kill()
        else:
            self._process.terminate()
        self._process.wait(PATIENCE)
        self._process.stdout.close()


class Visitor:
    """Asks without a browser, but with its cookie."""

    def __init__(self, desk):
        self._desk, self._cookies = desk, {}
        self.get(urllib.parse.urlsplit(desk.address).path)

    def ask(self, method, path, body=None, headers=None):
        """Status, headers and body."""
        connection = http.client.HTTPConnection("127.0.0.1", self._desk.port, timeout=PATIENCE)
        cookies = "; ".join(f"{name}={value}" for name, value in self._cookies.items())
        with contextlib.closing(connection):
            connection.request(method, path, body, {"Cookie": cookies, **(headers or {})})
            answer = connection.getresponse()
            content = answer.read()
        for cookie in answer.headers.get_all("Set-Cookie") or ():
            name, _, value = cookie.split(";")[0].partition("=")
            self._cookies[name] = value
        return answer.status, answer.headers, content

    def get(self, path):
        """A page or file."""
        return self.ask("GET", path)

    def post(self, path, fields):
        """A form; `fields` is a mapping or pairs."""
        return self.ask("POST", path, urllib.parse.urlencode(fields),
                        {"Origin": self._desk.origin, "Content-Type": "application/x-www-form-urlencoded"})


class _Links(html.parser.HTMLParser):
    def __init__(self):
        super().__init__()
        self.found = []

    def handle_starttag(self, tag, attrs):
        if tag == "a":
            self.found += [value for name, value in attrs if name == "href" and value.startswith("/")]


class _Fields(html.parser.HTMLParser):
    def __init__(self, form):
        super().__init__()
        self._form, self._inside, self._select = form, False, None
        self.found = []

    def handle_starttag(self, tag, attrs):
        has = dict(attrs)
        if tag == "form":
            self._inside = has.get("id") == self._form
        if tag == "select" and self._is_ours(has):
            self._select = len(self.found)
            self.found.append([has["name"], None])
        if tag == "option" and self._select is not None:
            choice = self.found[self._select]
            if choice[1] is None or "selected" in has:
                choice[1] = has.get("value", "")
        if tag in ("input", "textarea") and self._is_ours(has):
            if has.get("type") not in ("checkbox", "radio") or "checked" in has:
                self.found.append([has["name"], has.get("value", "")])

    def handle_endtag(self, tag):
        if tag == "select":
            self._select = None
        if tag == "form":
            self._inside = False

    def _is_ours(self, has):
        return "name" in has and (has.get("form") == self._form or self._inside)


def fields_of(page, form):
    """Names and values of the form of this id as it comes, buttons left out."""
    fields = _Fields(form)
    fields.feed(page)
    return [tuple(field) for field in fields.found]


def kind_of(path):
    """What sort of page a link leads to: numbers and the values of its question do not count."""
    parts = urllib.parse.urlsplit(path)
    names = sorted({name for name, _ in urllib.parse.parse_qsl(parts.query)})
    return re.sub(r"\d+", "N", parts.path) + "?" * bool(names) + "&".join(names)


def pages_of(visitor, most_of_a_kind=1):
    """Path, headers and content of all that links lead to from the first page on, some of each kind."""
    waiting, kinds = ["/"], {}
    while waiting:
        path = waiting.pop(0).split("#")[0]
        kinds.setdefault(kind_of(path), set())
        if path in kinds[kind_of(path)] or len(kinds[kind_of(path)]) >= most_of_a_kind:
            continue
        kinds[kind_of(path)].add(path)
        status, headers, content = visitor.get(path)
        yield path, status, headers, content
        if headers.get_content_type() == "text/html":
            links = _Links()
            links.feed(content.decode("utf-8"))
            waiting += links.found


class DeskPage(Page):
    """A tab that is at a desk."""

    KEYS = {"Tab": (9, None), "Enter": (13, "\r"), " ": (32, " "), "Escape": (27, None),
            "ArrowDown": (40, None), "ArrowUp": (38, None), "Backspace": (8, None)}

    def __init__(self, browser: Browser, desk):
        super().__init__(browser)
        self.desk, self.session = desk, browser.session
        self.go(desk.address)
        self.until("location.pathname === '/' && document.readyState === 'complete'")

    def go(self, to, scripts=True):
        """Opens a page by its address or path; what it reports meanwhile stays for `complaints`."""
        self.take()
        self.browser.call("Emulation.setScriptExecutionDisabled", value=not scripts)
        self.url = urllib.parse.urljoin(self.desk.origin + "/", to)
        self.browser.events.clear()
        answer = self.browser.call("Page.navigate", url=self.url)
        if "errorText" in answer:
            raise BrowserError(f"{to}: {answer['errorText']}")
        self.browser.wait_for("Page.loadEventFired")

    def take(self):
        """Commands go to this tab from now on."""
        self.browser.session = self.session

    def complaints(self):
        found = []
        for event in self.browser.events:
            if event.get("sessionId", self.session) == self.session:
                found += complaint(event["method"], event["params"],
                                   lambda asked: asked.startswith(self.desk.origin + "/"))
        return found

    def until(self, condition, why=""):
        """Waits until a JavaScript condition holds."""
        self.take()
        end = time.monotonic() + PATIENCE
        while True:
            try:
                if self.run(f"!!({condition})"):
                    return
            except BrowserError:
                pass  # the page is being left
            if time.monotonic() > end:
                raise AssertionError(f"never: {condition} {why}\n{self.words()[:2000]}")
            time.sleep(0.03)

    def words(self):
        """All that can be read."""
        return self.run("document.body.innerText")

    def press(self, key):
        """A key, as a hand presses it: a name of KEYS or one letter."""
        self.take()
        code, text = self.KEYS.get(key, (ord(key[0].upper()), key))
        for kind in ("keyDown", "keyUp"):
            more = {"text": text} if text and kind == "keyDown" else {}
            self.browser.call("Input.dispatchKeyEvent", type=kind, key=key, windowsVirtualKeyCode=code, **more)

    def type(self, text):
        """Letters into what has the focus, in place of what is there."""
        self.take()
        self.run("document.activeElement.select && document.activeElement.select()")
        self.browser.call("Input.insertText", text=text)

    def tab_to(self, selector, most=150):
        """Presses Tab until what has the focus is of this selector, and can be seen to have it."""
        for _ in range(most):
            if self.run(f"document.activeElement.matches({selector!r})"):
                assert self.run("(() => { const s = getComputedStyle(document.activeElement);"
                                " return s.outlineStyle !== 'none' || s.boxShadow !== 'none'; })()"), \
                    f"the focus on {selector} cannot be seen"
                return
            self.press("Tab")
        raise AssertionError(f"Tab does not lead to {selector}:\n{self.words()[:1500]}")

    def enter(self, selector):
        """Goes to a button or link by Tab and presses Enter; waits for the page that follows."""
        self.tab_to(selector)
        self.leads_on(lambda: self.press("Enter"))

    def leads_on(self, act):
        """Does what loads another page, and waits for it."""
        self.take()
        self.run("document.documentElement.dataset.left = '1'")
        act()
        self.until("document.readyState === 'complete' && !document.documentElement.dataset.left")

    # Where scripts are off nothing can be asked of the page by one.

    def markup(self):
        """The page as it stands."""
        self.take()
        root = self.browser.call("DOM.getDocument")["root"]["nodeId"]
        return self.browser.call("DOM.getOuterHTML", nodeId=root)["outerHTML"]

    def shows(self, text):
        """Waits until the page has this text."""
        end = time.monotonic() + PATIENCE
        markup = ""
        while text not in markup:
            with contextlib.suppress(BrowserError):  # the page is being left
                markup = self.markup()
            assert time.monotonic() < end, f"never shown: {text}\n{re.sub('<[^>]*>', '', markup)[:2000]}"
            time.sleep(0.03)

    def tab_without_scripts(self, name, most=150):
        """Presses Tab until the element of this id has the focus."""
        self.take()
        for _ in range(most):
            root = self.browser.call("DOM.getDocument", depth=0)["root"]["nodeId"]
            if self.browser.call("DOM.querySelector", nodeId=root, selector=f"#{name}:focus")["nodeId"]:
                return
            self.press("Tab")
        raise AssertionError(f"Tab does not lead to {name}")
