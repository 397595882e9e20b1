"""The desk behind a real web server, configured as docs/desk.md says: check_proxy.py PROGRAM ROOT.

The configuration and the commands are taken from the page; what is replaced are places and ports.
"""
import base64
import html
import http.client
import json
import os
import pathlib
import re
import shutil
import socket
import sqlite3
import ssl
import subprocess
import sys
import tempfile
import time
import unittest
import urllib.parse

PROGRAM, ROOT = None, None
PATIENCE = 30.0  # seconds, on a busy machine
NGINX = "/usr/sbin/nginx"
PASSWORDS = {"operator-anna": "correct horse", "operator-berta": "battery staple"}


def free_port():
    """One that nobody has at this moment."""
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return one.getsockname()[1]


def blocks_of_page(kind):
    """The blocks of docs/desk.md, "For other machines", in this language."""
    page = (ROOT / "docs/desk.md").read_text(encoding="utf-8")
    section = page.split("\n## For other machines\n")[1].split("\n## ")[0]
    return re.findall(rf"^```{kind}\n(.*?)^```", section, re.MULTILINE | re.DOTALL)


def replaced(text, what, by):
    """Like str.replace, but what is not there is a failure: page and test would differ."""
    assert what in text, f"docs/desk.md has no {what!r} any more: {text}"
    return text.replace(what, by)


class BehindProxy(unittest.TestCase):
    """One desk and one nginx for all tests."""

    @classmethod
    def setUpClass(cls):
        assert os.access(NGINX, os.X_OK), f"{NGINX} is not installed (Debian: nginx-light)"
        cls.folder = pathlib.Path(cls.enterClassContext(tempfile.TemporaryDirectory(prefix="proxy-")))
        cls.desk_port, cls.port = free_port(), free_port()
        shutil.copytree(ROOT / "sequences/saltmarsh", cls.folder / "studies")
        cls.command([PROGRAM, "register", "create", "unit.register", "--time-zone", "Europe/Berlin"])
        cls.make_secrets()
        cls.start_desk()
        cls.start_nginx()

    @classmethod
    def command(cls, words, **more):
        """In the folder of the test; what it prints. Fails where it fails."""
        done = subprocess.run(words, cwd=cls.folder, capture_output=True, text=True, check=False, **more)
        assert done.returncode == 0, f"{words}: {done.stdout}{done.stderr}"
        return done.stdout

    @classmethod
    def make_secrets(cls):
        """By the commands of the page."""
        first, second = blocks_of_page("sh")
        cls.command(["sh", "-ec", first.splitlines()[0]])
        secret, account, rights = replaced(second, "/etc/nginx/", f"{cls.folder}/").splitlines()
        cls.command(["sh", "-ec", secret])
        for name, password in PASSWORDS.items():
            words = replaced(replaced(account, "operator-anna", name), "openssl passwd -6",
                             "openssl passwd -6 -stdin")
            cls.command(["sh", "-ec", words], input=password + "\n")
        assert rights.startswith("chown root:www-data"), rights  # needs root, and is nginx's only
        cls.command(["openssl", "req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256",
                 "-nodes", "-keyout", "desk.key", "-out", "desk.pem", "-days", "2",
                 "-subj", "/CN=desk.example", "-addext", "subjectAltName=DNS:desk.example"])

    @classmethod
    def start_desk(cls):
        """By the command of the page."""
        command = blocks_of_page("sh")[0].splitlines()[1]
        for what, by in (("earbudget ", f"'{PROGRAM}' "), ("STUDIES", "studies"), ("8075", str(cls.desk_port))):
            command = replaced(command, what, by)
        desk = subprocess.Popen(["sh", "-c", f"exec {command}"], cwd=cls.folder, stdout=subprocess.PIPE, text=True)
        cls.addClassCleanup(cls.end, desk)
        assert desk.stdout.readline() == f"http://127.0.0.1:{cls.desk_port}/\n"

    @classmethod
    def start_nginx(cls):
        """As the page says, around it what Debian's own nginx.conf has, within the folder."""
        (block,) = blocks_of_page("nginx")
        for what, by in (("/etc/nginx/desk", f"{cls.folder}/desk"), ("443 ssl", f"127.0.0.1:{cls.port} ssl"),
                         ("127.0.0.1:8075", f"127.0.0.1:{cls.desk_port}")):
            block = replaced(block, what, by)
        user = "user root;\n" if os.geteuid() == 0 else ""
        temporary = "".join(f"  {name}_temp_path {cls.folder}/{name};\n" for name in
                            ("client_body", "proxy", "fastcgi", "uwsgi", "scgi"))
        (cls.folder / "nginx.conf").write_text(
            f"{user}daemon off;\npid {cls.folder}/nginx.pid;\nerror_log stderr;\nevents {{}}\n"
            f"http {{\n  access_log off;\n{temporary}{block}}}\n", encoding="utf-8")
        nginx = subprocess.Popen([NGINX, "-p", cls.folder, "-c", cls.folder / "nginx.conf", "-e", "stderr"])
        cls.addClassCleanup(cls.end, nginx)
        until = time.monotonic() + PATIENCE
        while True:
            try:
                socket.create_connection(("127.0.0.1", cls.port)).close()
                return
            except OSError:
                assert nginx.poll() is None and time.monotonic() < until, "nginx did not start"
                time.sleep(0.02)

    @staticmethod
    def end(process):
        """Asks it to, and waits."""
        process.terminate()
        process.wait(PATIENCE)
        if process.stdout:
            process.stdout.close()

    def ask(self, path, form=None, who="operator-anna", host=None, headers=None, password=None):
        """Status and body of a request through nginx, as a browser of `who` sends it."""
        context = ssl.create_default_context(cafile=self.folder / "desk.pem")
        name = f"desk.example:{self.port}"
        connection = http.client.HTTPSConnection("127.0.0.1", self.port, context=context, timeout=PATIENCE)
        # The certificate is the desk's name's, as the browser asks for it.
        connection.sock = context.wrap_socket(
            socket.create_connection(("127.0.0.1", self.port), PATIENCE), server_hostname="desk.example")
        sent = {"Host": host or name}
        if who:
            account = f"{who}:{password or PASSWORDS[who]}".encode()
            sent["Authorization"] = "Basic " + base64.b64encode(account).decode()
        body = None
        if form is not None:
            sent |= {"Origin": f"https://{name}", "Content-Type": "application/x-www-form-urlencoded"}
            body = urllib.parse.urlencode(form)
        sent |= headers or {}
        connection.request("POST" if form is not None else "GET", path, body, sent)
        answer = connection.getresponse()
        content = answer.read().decode("utf-8")
        connection.close()
        return answer.status, content

    def directly(self, headers, path="/"):
        """Status of a request to the desk itself, around nginx."""
        connection = http.client.HTTPConnection("127.0.0.1", self.desk_port, timeout=PATIENCE)
        connection.request("GET", path, None, headers)
        status = connection.getresponse().status
        connection.close()
        return status

    def token(self, who="operator-anna", path="/register"):
        """That of the forms of this person."""
        status, page = self.ask(path, who=who)
        self.assertEqual(status, 200)
        return html.unescape(re.search(r'name="token" value="([^"]+)"', page)[1])

    def test_pages(self):
        """The pages come through for who has an account, with all that they load."""
        status, page = self.ask("/")
        self.assertEqual(status, 200)
        self.assertIn("Harbour pilots", page)
        self.assertIn("operator-anna", page)
        for path in re.findall(r'(?:href|src)="(/desk/[^"]+)"', page):
            self.assertEqual(self.ask(path)[0], 200, path)
        self.assertEqual(self.ask("/", who=None)[0], 401)
        self.assertEqual(self.ask("/", password="wrong")[0], 401)

    def test_who_asks(self):
        """Nobody but the web server says who asks; a form is of the one whom it was made for."""
        _, page = self.ask("/", headers={"Earbudget-Person": "operator-berta", "Earbudget-Secret": "x"})
        self.assertIn("operator-anna", page)
        self.assertNotIn("operator-berta", page)
        path = BACKUP[0]
        self.assertEqual(self.ask(path, {"token": self.token("operator-berta")})[0], 403)
        self.assertEqual(self.ask(path, {})[0], 403)

    def test_elsewhere(self):
        """Other names do not lead to the desk, and other pages tell it nothing."""
        self.assertEqual(self.ask("/", host="other.example")[0], 421)
        for origin in ("https://other.example", f"http://desk.example:{self.port}", "null",
                       f"https://127.0.0.1:{self.port}"):
            status, _ = self.ask(BACKUP[0], {"token": self.token()}, headers={"Origin": origin})
            self.assertEqual(status, 403, origin)
        self.assertEqual(self.ask("/", headers={"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "no-cors"})[0],
                         403)

    def test_directly(self):
        """Around the web server nobody gets in, whoever they say they are."""
        secret = (self.folder / "desk.secret").read_text(encoding="ascii").strip()
        host = {"Host": f"desk.example:{self.port}"}
        person = {"Earbudget-Person": "operator-anna"}
        self.assertEqual(self.directly({}), 403)
        self.assertEqual(self.directly(host | person), 403)
        self.assertEqual(self.directly(host | person | {"Earbudget-Secret": secret[:-1]}), 403)
        self.assertEqual(self.directly(host | {"Earbudget-Secret": secret}), 403)
        self.assertEqual(self.directly(host | person, "/enter/" + secret), 403)
        self.assertEqual(self.directly(host | person | {"Earbudget-Secret": secret}), 200)  # as nginx does

    def test_secrets_of_nobody_else(self):
        """A secret that others can read, or that can be guessed, is refused at start."""
        for mode, text, why in ((0o644, "0" * 64, "can be read by others"), (0o600, "short", "accepted: 32")):
            file = self.folder / "other.secret"
            file.write_text(text + "\n", encoding="ascii")
            file.chmod(mode)
            done = subprocess.run([PROGRAM, "desk", "studies", "--behind-proxy", file], cwd=self.folder,
                                  capture_output=True, text=True, timeout=PATIENCE, check=False)
            self.assertEqual(done.returncode, 2)
            self.assertIn(why, done.stderr)

    def test_operator(self):
        """What is recorded through it was told by the name of the account, whatever a form says."""
        for who in PASSWORDS:
            status, _ = self.ask(BACKUP[0], {"token": self.token(who), **BACKUP[1], "by": "somebody-else"}, who=who)
            self.assertEqual(status, 303)
            with sqlite3.connect(self.folder / "unit.register") as register:
                tellers = register.execute(
                    "SELECT code FROM entry JOIN content USING (n) JOIN code ON code.person = recorder "
                    "WHERE kind = 'backup' ORDER BY n").fetchall()
            self.assertEqual(tellers[-1], (who,))
            time.sleep(1.1)  # backups are named by their second
        verified = json.loads(self.command([PROGRAM, "register", "verify", "unit.register", "--format", "json"]))
        self.assertTrue(verified["verification"]["intact"], verified)


# What is asked for to have something recorded: a backup tells who asked for it.
BACKUP = ("/register/backup", {})


if __name__ == "__main__":
    PROGRAM, ROOT = (pathlib.Path(word).resolve() for word in sys.argv[1:3])
    RUN = unittest.main(argv=[sys.argv[0], *sys.argv[3:]], exit=False)
    sys.exit(0 if RUN.result.testsRun > 0 and RUN.result.wasSuccessful() else 1)
