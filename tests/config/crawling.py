"""A crawler that follows links and fills in forms at random, as seeds and not as reason tell it."""

import random
import traceback
from collections import Counter
from dataclasses import dataclass, field
from html.parser import HTMLParser
from urllib.parse import parse_qsl, urlencode, urljoin, urlsplit

from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.signals import got_request_exception
from django.db import transaction
from django.test import Client
from django.urls import NoReverseMatch, Resolver404, get_resolver, resolve, reverse
from django.utils.http import url_has_allowed_host_and_scheme

from config.checks import view_names
from tests.pictures import make_picture

MOST_KNOWN = 60  # links, and forms, that are remembered of each view
ODD = (
    "",
    " ",
    "0",
    "-1",
    "1",
    "2",
    "3.5",
    "50",
    "1e308",
    "1e999",
    "NaN",
    "inf",
    "-0.0",
    "00012",
    "9" * 18,
    "9" * 40,
    "٣",
    "½",
    "4 1/4 in",
    "1/0",
    "1,5",
    "108 mm",
    "2 MΩ",
    "2026-02-30",
    "2026-06-01",
    "0001-01-01",
    "9999-12-31",
    "2026-06-01T12:00",
    "2026-03-29T01:30",
    "9999-12-31T23:59",
    "on",
    "true",
    "None",
    "unknown",
    "left",
    "SKB 12",
    "SKB/12",
    "ST-014",
    "st-014",
    "signalling",
    "fwc",
    "' OR 1=1 --",
    "<b>x</b>",
    "=1+1",
    "%00",
    "\x00",
    "\ud83d\ude00".encode("utf-16", "surrogatepass").decode("utf-16"),
    "\u202e",
    "a\r\nb",
    "../..",
    "{{ x }}",
    "{",
    "[]",
    "x" * 300,
    "ß" * 5000,
)
QUESTIONS = ("page", "across", "o", "q", "lie", "points", "part", "reason", "location", "of", "2")
FILES = (
    b"",
    b"MZ\x90\x00",
    b"PK\x03\x04" + b"\x00" * 40,
    b"Tag;Note\r\nST-014;x\r\n",
    b"Tag,Thread pitch (mm)\nST-014,=1+1\n,\n",
    b"\xff\xfe\x00",
    make_picture(),
    make_picture()[:200],
)


@dataclass
class Form:
    """A form found on a page: where it goes and what its boxes offer."""

    action: str
    method: str
    boxes: list[tuple[str, str, list[str]]] = field(default_factory=list)  # name, type, values


class Page(HTMLParser):
    """The links and forms of a page."""

    def __init__(self, path: str):
        super().__init__()
        self.path = path
        self.links: list[str] = []
        self.forms: list[Form] = []
        self._select: tuple[str, str, list[str]] | None = None

    def handle_starttag(self, tag, attrs):
        given = {name: value or "" for name, value in attrs}
        if tag == "a" and (link := self._here(given.get("href", ""))):
            self.links.append(link)
        elif tag == "form":
            action = self._here(given.get("action") or self.path) or self.path
            self.forms.append(Form(action, given.get("method", "get").lower()))
        elif self.forms and given.get("name"):
            box = (given["name"], given.get("type", tag), [given.get("value", "")])
            if tag in ("input", "textarea", "select", "button"):
                self.forms[-1].boxes.append(box)
            self._select = box if tag == "select" else None
        elif tag == "option" and self._select:
            self._select[2].append(given.get("value", ""))

    def _here(self, link: str) -> str:
        parts = urlsplit(link)
        if parts.netloc or parts.scheme:
            return ""
        if link.startswith("?"):
            return f"{self.path.partition('?')[0]}{link}"
        return link.partition("#")[0] if link.startswith("/") else ""


def _view_of(path: str) -> str:
    try:
        return resolve(urlsplit(path).path).view_name
    except Resolver404:
        return "nowhere"


class Crawler:
    """Sends requests as one account; what fails stands in ``failures``, once for each place."""

    def __init__(self, seed: int, user=None):
        self.random = random.Random(seed)
        self.user = user
        self.client = Client(raise_request_exception=False)
        self.links: dict[str, list[str]] = {"home": ["/"]}
        self.forms: dict[str, list[Form]] = {}
        self.answers: Counter[int] = Counter()
        self.reached: set[str] = set()
        self.failures: dict[str, str] = {}
        self._sent = ""
        if user:
            self.client.force_login(user)

    def run(self, count: int) -> None:
        got_request_exception.connect(self._note_failure)
        try:
            for _ in range(count):
                self._one()
        finally:
            got_request_exception.disconnect(self._note_failure)

    def _one(self) -> None:
        ways = [self._follow, self._follow, self._make_up]
        if self.forms:
            ways += [self._fill_in] * 3
        path, method, data = self.random.choice(ways)()
        self._sent = f"{method} {path} {data}"
        # Half of what is written is taken back, so that there is a railway left to write in.
        with transaction.atomic():
            answer = getattr(self.client, method)(path, data)
            content = self._content(answer)
            if answer.status_code >= 500 or self.random.random() < 0.5:
                transaction.set_rollback(True)
        self.answers[answer.status_code] += 1
        self._learn(path, answer, content)

    def _content(self, answer) -> bytes:
        """All of an answer; one that is sent in pieces may fail while it is sent."""
        if not answer.streaming:
            return answer.content
        try:
            return b"".join(answer.streaming_content)
        except Exception:  # noqa: BLE001 - whatever fails is what is looked for
            self.answers[500] += 1
            self._note_failure(None)
            return b""

    def _note_failure(self, sender, **given) -> None:
        trace = traceback.format_exc()
        own = [line for line in trace.splitlines() if "site-packages" not in line]
        places = [line.strip() for line in own if line.lstrip().startswith("File ")]
        where = f"{trace.strip().splitlines()[-1][:120]} at {places[-1] if places else '?'}"
        self.failures.setdefault(where, f"{self._sent[:400]}\n{trace[-2500:]}")

    def _learn(self, path: str, answer, content: bytes) -> None:
        if answer.status_code < 400:
            self.reached.add(_view_of(path))
        if answer.status_code in (301, 302):
            self._go_on(path, answer["Location"])
        elif answer.get("Content-Type", "").startswith("text/html"):
            page = Page(path)
            page.feed(content.decode())
            for link in page.links:
                self._remember(self.links, link, link)
            for form in page.forms:
                self._remember(self.forms, form.action, form)

    def _go_on(self, path: str, location: str) -> None:
        """Where it is sent on to, which is always a place of the program itself."""
        if self.user and location.startswith("/login/"):
            self.client.force_login(self.user)
        elif url_has_allowed_host_and_scheme(location, {"testserver"}):
            onward = urljoin(path, location)
            self._remember(self.links, onward, onward)
        else:
            self.failures.setdefault(f"sent on to {location[:80]}", self._sent[:400])

    def _remember(self, known: dict[str, list], path: str, found) -> None:
        """By view, so that what there is most of is not all that is tried."""
        of_view = known.setdefault(_view_of(path), [])
        if len(of_view) < MOST_KNOWN:
            of_view.append(found)
        else:
            of_view[self.random.randrange(MOST_KNOWN)] = found

    def _one_of(self, known: dict[str, list]):
        return self.random.choice(known[self.random.choice(sorted(known))])

    def _follow(self):
        """A link, sometimes with a word of its question altered."""
        path, _, query = self._one_of(self.links).partition("?")
        asked = parse_qsl(query, keep_blank_values=True)
        if self.random.random() < 0.4:
            asked.append(
                (self.random.choice(("page", "o", "q", "lie", "points", "2")), self._odd())
            )
        asked = [(name, self._maybe_odd(value)) for name, value in asked]
        return f"{path}?{urlencode(asked)}" if asked else path, "get", {}

    def _make_up(self):
        """An address from the table of addresses, with whatever in its places."""
        *namespaces, last = self.random.choice(sorted(view_names())).split(":")
        resolver = get_resolver()
        for namespace in namespaces:
            resolver = resolver.namespace_dict[namespace][1]
        possible = resolver.reverse_dict.getlist(last)[0][0]
        names = self.random.choice(possible)[1]
        given = {name: self._argument(name) for name in names}
        try:
            path = reverse(":".join([*namespaces, last]), kwargs=given)
        except NoReverseMatch:
            path = self._one_of(self.links)
        return path, self.random.choice(("get", "get", "post")), {}

    def _argument(self, name: str):
        likely = {
            "code": ("SKB", "TRN", "skb"),
            "kind": ("stretcher", "machine", "lostmotionfitting"),
            "tag": ("ST-014", "MC-01"),
            "department": ("signalling", "permanent_way"),
            "move": ("accept", "close", "work_done", "hand_over", "return_", "raised_in_error"),
            "quantity": ("fwc",),
            "token": ("0" * 22,),
        }
        if name in likely and self.random.random() < 0.8:
            return self.random.choice(likely[name])
        return self.random.choice((self.random.randint(0, 40), self._odd() or "x"))

    def _fill_in(self):
        """A form: mostly what its boxes offer, some of it odd, some of it left out."""
        form = self._one_of(self.forms)
        carelessness = self.random.choice((0.0, 0.1, 0.5, 1.0))
        data: dict[str, list] = {}
        for name, kind, values in form.boxes:
            if self.random.random() < 0.05:
                continue
            if kind == "file":
                if self.random.random() < 0.7:
                    data.setdefault(name, []).append(self._file())
            elif kind in ("checkbox", "radio", "submit", "button"):
                if self.random.random() < 0.5:
                    data.setdefault(name, []).append(self._maybe_odd(values[0], carelessness / 4))
            else:
                value = self.random.choice(values)
                if kind not in ("hidden", "select") and self.random.random() < 0.5:
                    value = self.random.choice(("1", "52", "108", "Lineman A", "left", value))
                data.setdefault(name, []).append(self._maybe_odd(value, carelessness))
        if form.method == "get":
            asked = [(name, value) for name, values in data.items() for value in values]
            words = [(name, value) for name, value in asked if isinstance(value, str)]
            return f"{form.action.partition('?')[0]}?{urlencode(words)}", "get", {}
        return form.action, "post", data

    def _file(self) -> SimpleUploadedFile:
        name = self.random.choice(("a.jpg", "a.xlsx", "a.csv", "ü.png", "x" * 200, "a"))
        return SimpleUploadedFile(name, self.random.choice(FILES))

    def _maybe_odd(self, value: str, chance: float = 0.3) -> str:
        return self._odd() if self.random.random() < chance else value

    def _odd(self) -> str:
        if self.random.random() < 0.1:
            return "".join(chr(self.random.randint(1, 0x2FFF)) for _ in range(6))
        return self.random.choice(ODD)
