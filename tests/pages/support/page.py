"""One page as a reader has it: opened from disk, at some width, on screen or on paper."""
import pathlib

from support.browser import Browser, BrowserError

# CSS pixels; 1280 and 768 wide at 200 % zoom have half of them, and WCAG 2.2, 1.4.10 asks for 320.
WIDTHS = {"desk": 1280, "tablet": 768, "phone": 360, "larger phone": 390, "desk at 200 %": 640,
          "tablet at 200 %": 384, "desk at 400 %": 320}
MILLIMETRE = 96.0 / 25.4  # CSS pixels
PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}  # millimetres


class Page:
    """The one tab of a browser, reused for file after file."""

    def __init__(self, browser: Browser):
        self.browser = browser
        target = browser.call("Target.createTarget", session=False, url="about:blank")["targetId"]
        browser.session = browser.call("Target.attachToTarget", session=False, targetId=target,
                                       flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network", "Audits"):
            browser.call(domain + ".enable")
        self.look(1280)

    def open(self, file, scripts=True):
        """Loads a file from disk; what it reports meanwhile stays for `complaints`."""
        self.browser.call("Emulation.setScriptExecutionDisabled", value=not scripts)
        self.url = pathlib.Path(file).resolve().as_uri()
        for url in ("about:blank", self.url):
            self.browser.events.clear()
            answer = self.browser.call("Page.navigate", url=url)
            if "errorText" in answer:
                raise BrowserError(f"{file}: {answer['errorText']}")
            self.browser.wait_for("Page.loadEventFired")
        if not scripts:
            return
        # Two frames: what layout and late loading still have to report is there afterwards.
        self.run("new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")

    def look(self, width, media="screen", scheme="light", height=900):
        """A window of this many CSS pixels; media "screen" or "print"; scheme "light" or "dark"."""
        self.browser.call("Emulation.setDeviceMetricsOverride", width=round(width),
                          height=round(height), deviceScaleFactor=1, mobile=width < 700)
        self._as_medium(media, scheme)

    def _as_medium(self, media, scheme):
        self._medium = (media, scheme)
        self.browser.call("Emulation.setEmulatedMedia", media=media,
                          features=[{"name": "prefers-color-scheme", "value": scheme}])

    def run(self, expression):
        """The value of a JavaScript expression on the page; awaits promises."""
        answer = self.browser.call("Runtime.evaluate", expression=expression, awaitPromise=True,
                                   returnByValue=True)
        if "exceptionDetails" in answer:
            raise BrowserError(str(answer["exceptionDetails"]))
        return answer["result"].get("value")

    def unfold(self):
        """Opens whatever the reader can open."""
        self.run("document.querySelectorAll('details').forEach(part => { part.open = true })")

    def complaints(self):
        """Everything since `open` that a quiet page does not cause, one line each."""
        found = []
        for event in self.browser.events:
            found += complaint(event["method"], event["params"], lambda asked: asked == self.url)
        return found

    def pdf(self, paper):
        """The page as printed on this paper with the margins of its own style."""
        width, height = (side / 25.4 for side in PAPERS[paper])
        before = self._medium
        self._as_medium("print", "light")  # else it would be printed as it looks on a screen
        printed = self.browser.bytes_of("Page.printToPDF", paperWidth=width, paperHeight=height,
                                        printBackground=False)
        self._as_medium(*before)
        return printed

    def picture(self):
        """The whole page as PNG."""
        return self.browser.bytes_of("Page.captureScreenshot", captureBeyondViewport=True)


def complaint(method, details, is_own):
    """What an event says that a quiet page does not cause; `is_own` tells of an address whether it may be
    asked for."""
    if method == "Network.requestWillBeSent":
        asked = details["request"]["url"]
        return [] if is_own(asked) or asked.startswith("data:") else [f"request: {asked[:200]}"]
    if method == "Runtime.consoleAPICalled":
        words = " ".join(str(argument.get("value")) for argument in details["args"])
        return [f"console: {words[:200]}"]
    if method == "Runtime.exceptionThrown":
        return [f"exception: {details['exceptionDetails']['text']}"]
    if method == "Log.entryAdded":
        return [f"log: {details['entry']['text']} {details['entry'].get('url', '')}".strip()]
    if method == "Audits.issueAdded":
        return [f"issue: {details['issue']['code']} {details['issue']['details']}"[:300]]
    if method == "Page.javascriptDialogOpening":
        return [f"dialog: {details['message'][:200]}"]
    return []
