"""References that leave a file: read from its text, since a browser asks only for what it needs."""
import html.parser
import re

_REFERRING = {"href", "xlink:href", "src", "srcset", "data", "poster", "action", "formaction", "cite",
              "background", "ping", "manifest", "imagesrcset", "profile", "longdesc", "usemap"}
_STYLE = re.compile(r"@import|url\(\s*['\"]?(?!#|data:)[^)]*|image-set\(|src\s*:", re.IGNORECASE)


class _Reader(html.parser.HTMLParser):
    def __init__(self):
        super().__init__()
        self.found = []
        self._in_style = False

    def handle_starttag(self, tag, attrs):
        self._in_style = tag == "style"
        if tag in ("script", "iframe", "object", "embed", "base", "link", "foreignobject"):
            self.found.append(f"<{tag}>")
        for name, value in attrs:
            value = value or ""
            if name.startswith("on"):
                self.found.append(f"<{tag} {name}>")
            if name in _REFERRING and not value.startswith(("#", "data:")):
                self.found.append(f"<{tag} {name}={value[:80]}>")
            if name in ("style", "fill", "stroke", "filter", "mask", "clip-path"):
                self.found += _STYLE.findall(value)

    def handle_endtag(self, tag):
        self._in_style = self._in_style and tag != "style"

    def handle_data(self, data):
        if self._in_style:
            self.found += _STYLE.findall(data)


def references(markup):
    """Scripts, handlers and whatever names something outside this file, one line each."""
    reader = _Reader()
    reader.feed(markup)
    reader.close()
    return reader.found
