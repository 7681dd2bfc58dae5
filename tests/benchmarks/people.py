"""A person at a browser, over plain HTTP on this machine: opens pages and sends forms."""

import http.client
import re
from html import unescape
from http.cookies import SimpleCookie
from time import perf_counter
from urllib.parse import urlencode

SECONDS = 30  # longest wait for one answer


class NotAnswered(Exception):
    """An answer that a person would call an error."""


class Person:
    """One browser with one connection. ``waits`` are (what was asked, seconds) of every answer.

    ``session`` is that of somebody who logged in before, as people do once a fortnight.
    """

    def __init__(self, port: int, session: str):
        self.cookies = {"sessionid": session}
        self.waits: list[tuple[str, float]] = []
        self._connection = http.client.HTTPConnection("127.0.0.1", port, timeout=SECONDS)

    def open(self, what: str, address: str) -> str:
        """The page; raises NotAnswered where it is not given."""
        status, _, body = self._ask(what, "GET", address)
        if status != 200:
            raise NotAnswered(f"{address} answered {status}")
        return body

    def send(self, what: str, address: str, given: dict[str, str]) -> str:
        """Sends a form and gives the address it leads to: what was sent is kept."""
        status, headers, body = self._ask(what, "POST", address, urlencode(given))
        if status != 302:
            said = re.search(r'class="errorlist[^>]*>(.*?)</ul>', body, re.DOTALL)
            raise NotAnswered(f"{address} answered {status}: {said[1] if said else ''}")
        return headers["Location"]

    def close(self) -> None:
        self._connection.close()

    def _ask(self, what: str, method: str, address: str, body: str | None = None):
        headers = {"Cookie": "; ".join(f"{name}={value}" for name, value in self.cookies.items())}
        if body is not None:
            headers["Content-Type"] = "application/x-www-form-urlencoded"
        began = perf_counter()
        self._connection.request(method, address, body, headers)
        answer = self._connection.getresponse()
        text = answer.read().decode()
        self.waits.append((what, perf_counter() - began))
        for line in answer.headers.get_all("Set-Cookie", []):
            for name, morsel in SimpleCookie(line).items():
                self.cookies[name] = morsel.value
        return answer.status, answer.headers, text


def hidden(page: str, action: str = "") -> dict[str, str]:
    """The hidden boxes of a page's own form; ``action`` names one of several by its address."""
    forms = re.findall(r"<form([^>]*)>(.*?)</form>", page, re.DOTALL)
    inside = [body for head, body in forms if action in head and "/logout/" not in head]
    found = {}
    for tag in re.findall(r"<input[^>]*>", inside[0]):
        boxes = dict(re.findall(r'(\w[\w-]*)="([^"]*)"', tag))
        if boxes.get("type") == "hidden" or boxes.get("name") in ("at", "by"):
            found[boxes["name"]] = unescape(boxes.get("value", ""))
    return found
