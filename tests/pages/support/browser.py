"""A headless Chromium, spoken to over two pipes in its own DevTools protocol: no driver to install."""
import base64
import fcntl
import itertools
import json
import os
import select
import shutil
import subprocess
import tempfile
import time

# Seconds that any one answer may take on a busy machine with two cores.
PATIENCE = 60.0


class BrowserError(Exception):
    """Chromium is missing, ended, refused a command or gave no answer in time."""


def _command(profile):
    program = shutil.which("chromium")
    if program is None:
        raise BrowserError("chromium is not installed (Debian: chromium)")
    command = [program, "--headless=new", "--remote-debugging-pipe", f"--user-data-dir={profile}",
               "--no-first-run", "--disable-gpu", "--disable-dev-shm-usage",
               "--disable-background-networking", "--disable-component-update",
               "--disable-extensions", "--disable-sync", "--lang=en"]
    if os.geteuid() == 0:
        command.append("--no-sandbox")  # Chromium's sandbox refuses to start as root
    return command


class Browser:
    """Use as a context manager; `call` sends a command, `events` holds what was reported since."""

    def __init__(self):
        self._profile = tempfile.mkdtemp(prefix="pages-")
        # Chromium reads commands from descriptor 3 and writes to 4: ours must be out of their way.
        read_end, self._to = (fcntl.fcntl(end, fcntl.F_DUPFD, 10) for end in os.pipe())
        self._from, write_end = (fcntl.fcntl(end, fcntl.F_DUPFD, 10) for end in os.pipe())

        def place_pipes():
            os.dup2(read_end, 3)
            os.dup2(write_end, 4)

        self._process = subprocess.Popen(
            _command(self._profile), preexec_fn=place_pipes, pass_fds=(3, 4),
            stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        os.close(read_end)
        os.close(write_end)
        self._numbers = itertools.count(1)
        self._buffer = b""
        self._answers = {}
        self.events = []
        self.session = None

    def __enter__(self):
        return self

    def __exit__(self, *_):
        try:
            self.call("Browser.close", session=False)
            self._process.wait(10)
        except (BrowserError, OSError, subprocess.TimeoutExpired):
            self._process.kill()
            self._process.wait()
        os.close(self._to)
        os.close(self._from)
        shutil.rmtree(self._profile, ignore_errors=True)

    def call(self, method, session=True, **parameters):
        """The answer to one command; BrowserError where Chromium refuses it."""
        number = next(self._numbers)
        message = {"id": number, "method": method, "params": parameters}
        if session and self.session:
            message["sessionId"] = self.session
        data = json.dumps(message).encode() + b"\0"
        while data:
            data = data[os.write(self._to, data):]
        end = time.monotonic() + PATIENCE
        while number not in self._answers:
            self._receive(end, method)
        answer = self._answers.pop(number)
        if "error" in answer:
            raise BrowserError(f"{method}: {answer['error']['message']}")
        return answer["result"]

    def wait_for(self, method):
        """Returns once an event of this name is among `events`."""
        end = time.monotonic() + PATIENCE
        while all(event["method"] != method for event in self.events):
            self._receive(end, method)

    def _receive(self, end, what):
        ready, _, _ = select.select([self._from], [], [], max(0.0, end - time.monotonic()))
        if not ready:
            raise BrowserError(f"no answer to {what} in {PATIENCE:.0f} s")
        data = os.read(self._from, 1 << 20)
        if not data:
            raise BrowserError(f"Chromium ended during {what}")
        *messages, self._buffer = (self._buffer + data).split(b"\0")
        for message in map(json.loads, messages):
            if "id" in message:
                self._answers[message["id"]] = message
            else:
                self._note(message)

    def _note(self, event):
        self.events.append(event)
        if event["method"] == "Page.javascriptDialogOpening":  # else the page would wait for ever
            answer = {"id": next(self._numbers), "method": "Page.handleJavaScriptDialog",
                      "params": {"accept": True}, "sessionId": event["sessionId"]}
            os.write(self._to, json.dumps(answer).encode() + b"\0")

    def bytes_of(self, method, **parameters):
        """The decoded data of a command that answers with base64: a picture, a PDF."""
        return base64.b64decode(self.call(method, **parameters)["data"])
