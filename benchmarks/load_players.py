"""Members who use a studio as people do: one page after another, with time to read between; what each answer took is noted.

A page is what a member opens, or what a change that she typed is answered with. What a page then asks for by itself (`BY_ITSELF`: the
cards of the list that are not planned yet, the figures of a change, how far a search is) is asked for here as a browser does, and
noted apart. Every kind has a weight, how often it is chosen. Between pages a member reads for a time drawn from an exponential
distribution.
"""

from __future__ import annotations

import http.client
import json
import random
import re
import threading
import time
import uuid
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import Any, Final
from urllib.parse import urlencode

HOST: Final = "127.0.0.1"
#: How often each kind of page is chosen.
WEIGHTS: Final[dict[str, int]] = {
    "change of a field": 26,
    "project page": 16,
    "projects": 12,
    "sheet (PDF)": 6,
    "phone: state and entries": 8,
    "records": 4,
    "record page": 4,
    "sheets": 3,
    "colours": 3,
    "the cloth": 3,
    "pieces": 3,
    "threading": 2,
    "samples told": 2,
    "at the loom": 2,
    "yarn on hand": 4,
    "setts": 2,
    "find": 2,
    "history": 2,
    "undo": 2,
    "layout search": 3,
    "choices": 1,
    "leaflet": 1,
}
#: What pages ask for by themselves.
FIGURES: Final = "figures of a change"
BY_ITSELF: Final = (
    FIGURES,
    "card of a project",
    "picture of the cloth",
    "layout search: how far",
    "choices: how far",
)
#: Not an answer: from typing until the figures of it are there, the page's answer and its own asking together.
TYPED_UNTIL_FIGURES: Final = "from typing until its figures are there"
#: What is typed into fields, where a project has them.
TYPED: Final[dict[str, tuple[str, ...]]] = {
    "loom.waste": ("48 cm", "50 cm", "52 cm", "55 cm", "60 cm"),
    "trust.yarn": ("90 %", "92 %", "94 %", "95 %", "96 %"),
    "yarn.0.balls.0.net": ("96 g", "98 g", "101 g", "104 g"),
    "pattern.seam_allowance": ("12 mm", "13 mm", "14 mm", "15 mm"),
}
#: A search is followed on its page for so long; after that the member goes on and it goes on without her.
FOLLOWED_S: Final = 180.0
_RUNS: Final = [{"yarn": "marram", "ends": 40, "ball": 0, "colour": ""}]
#: The digest the program gives an order of these runs is asked of it; without one a tick is kept with a sentence.
_NO_ORDER: Final = "0" * 16


@dataclass(frozen=True)
class Noted:
    """One answer: what kind of page, when it was asked for, how long until its last byte, its status (0: none came) and size."""

    kind: str
    at: float
    seconds: float
    status: int
    size: int


@dataclass
class Notes:
    """What all members met; threads add to it."""

    answers: list[Noted] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)
    lock: threading.Lock = field(default_factory=threading.Lock)

    def add(self, one: Noted) -> None:
        """Note an answer."""
        with self.lock:
            self.answers.append(one)

    def fault(self, sentence: str) -> None:
        """Note a fault."""
        with self.lock:
            self.faults.append(sentence)


class _Fields(HTMLParser):
    """Every field of the form of a project's page with what stands in it."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.found: dict[str, str] = {}
        self._inside, self._select, self._area = False, "", ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Of the reader of HTML."""
        said = dict(attrs)
        name = said.get("name") or ""
        if tag == "form":
            self._inside = said.get("id") == "typed"
        elif not self._inside:
            return
        elif tag == "input" and name and (said.get("type") not in ("checkbox", "radio", "file") or "checked" in said):
            self.found[name] = said.get("value") or ""
        elif tag == "select":
            self._select = name
            self.found.setdefault(name, "")
        elif tag == "option" and self._select and "selected" in said:
            self.found[self._select] = said.get("value") or ""
        elif tag == "textarea":
            self._area = name
            self.found[name] = ""

    def handle_data(self, data: str) -> None:
        """Of the reader of HTML."""
        if self._area:
            self.found[self._area] += data

    def handle_endtag(self, tag: str) -> None:
        """Of the reader of HTML."""
        if tag == "form":
            self._inside = False
        elif tag == "textarea":
            self._area = ""
        elif tag == "select":
            self._select = ""


class Member:
    """One member at her browser: a connection, cookies, what she knows of her projects."""

    def __init__(self, port: int, who: dict[str, Any], notes: Notes, think_s: float, seed: int) -> None:
        self._port, self._who, self._notes, self._think_s = port, who, notes, think_s
        self._chance = random.Random(seed)
        self._connection: http.client.HTTPConnection | None = None
        self._cookies: dict[str, str] = {}
        self._token = ""
        self._forms: dict[str, dict[str, str]] = {}
        self._phone, self._entries = f"phone-{seed}", 0

    # --- asking ---------------------------------------------------------------------------------------------------

    def ask(
        self, kind: str, path: str, fields: dict[str, str] | None = None, *, part: bool = False, body: bytes = b""
    ) -> tuple[int, str]:
        """Ask for a page, or post, and note what it took; the status (0 where no answer came) and the text."""
        headers = {"Cookie": "; ".join(f"{name}={value}" for name, value in self._cookies.items()), "Host": HOST}
        headers |= {"HX-Request": "true"} if part else {}
        if fields is not None:
            body = urlencode(fields | {"csrfmiddlewaretoken": self._token}).encode()
            headers["Content-Type"] = "application/x-www-form-urlencoded"
        elif body:
            headers |= {"Content-Type": "application/json", "X-CSRFToken": self._token}
        at, began = time.time(), time.perf_counter()
        status, content = self._answered("POST" if body else "GET", path, body, headers)
        self._notes.add(Noted(kind, at, time.perf_counter() - began, status, len(content)))
        if status == 0 or status >= 400:
            self._notes.fault(f"{kind}: {status or 'no answer'}")
        text = content.decode(errors="replace") if content[:4] != b"%PDF" else ""
        if found := re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', text):
            self._token = found[1]
        return status, text

    def _answered(self, method: str, path: str, body: bytes, headers: dict[str, str]) -> tuple[int, bytes]:
        for again in (False, True):  # a connection that was kept open may have been closed by the other side
            if self._connection is None:
                self._connection = http.client.HTTPConnection(HOST, self._port, timeout=60)
            try:
                self._connection.request(method, path, body or None, headers)
                answer = self._connection.getresponse()
                content = answer.read()
            except (OSError, http.client.HTTPException):
                self._connection.close()
                self._connection = None
                if again:
                    return 0, b""
                continue
            for cookie in answer.headers.get_all("Set-Cookie") or []:
                name, _, value = cookie.partition(";")[0].partition("=")
                self._cookies[name] = value
            return answer.status, content
        return 0, b""

    # --- living ---------------------------------------------------------------------------------------------------

    def sign_in(self, password: str) -> bool:
        """Sign in as everybody does, and load what a browser keeps of every page."""
        _, html = self.ask("page to sign in", "/sign-in/")
        for path in re.findall(r'(?:href|src)="(/static/[^"]+)"', html):
            self.ask("static file", path)
        status, _ = self.ask("sign in", "/sign-in/", {"email": self._who["email"], "password": password, "next": "/"})
        return status in (200, 302, 303) and "clothwright_session" in self._cookies

    def look_first(self) -> None:
        """Look at the list of one's projects, which plans each that is not planned yet."""
        self.projects({}, 0.0)

    def play(self, until: float) -> None:
        """Open pages until then, by the clock of the machine."""
        kinds, weights = list(WEIGHTS), list(WEIGHTS.values())
        self._think(until)
        while time.time() < until:
            kind = self._chance.choices(kinds, weights)[0]
            PAGES[kind](self, self._chance.choice(self._who["projects"]), until)
            self._think(until)
        if self._connection is not None:
            self._connection.close()

    def _think(self, until: float) -> None:
        time.sleep(max(0.0, min(self._chance.expovariate(1 / self._think_s), until - time.time())))

    # --- pages ----------------------------------------------------------------------------------------------------

    def projects(self, _project: dict[str, Any], _until: float) -> None:
        """The list, and the cards that its page asks for."""
        _, html = self.ask("projects", "/")
        for path in re.findall(r'hx-get="(/project/[^"]+/card/)"', html):
            self.ask("card of a project", path, part=True)

    def project_page(self, project: dict[str, Any], _until: float) -> None:
        """A project's page; what stands in its fields is remembered."""
        status, html = self.ask("project page", f"/project/{project['key']}/")
        if status == 200:
            reader = _Fields()
            reader.feed(html)
            self._forms[project["key"]] = reader.found

    def change(self, project: dict[str, Any], until: float) -> None:
        """Type another value into a field, as the page posts it: the whole form, for the part that changes."""
        key = project["key"]
        if key not in self._forms:
            self.project_page(project, until)
            self._think(until)
        form = self._forms.get(key)
        there = [name for name in TYPED if form and name in form]
        if not form or not there or time.time() >= until:
            return
        name = self._chance.choice(there)
        form[name] = self._chance.choice([one for one in TYPED[name] if one != form[name]])
        at, began = time.time(), time.perf_counter()
        status, html = self.ask("change of a field", f"/project/{key}/", form | {"press": "save"}, part=True)
        if status == 200 and (found := re.search(r'name="rev" value="(\d+)"', html)):
            form["rev"] = found[1]
        if fetches := re.search(r'hx-get="(/project/[^"]+/plan/)" hx-trigger="load"', html):
            self.ask(FIGURES, fetches[1], part=True)
        self._notes.add(Noted(TYPED_UNTIL_FIGURES, at, time.perf_counter() - began, status, 0))

    def undo(self, project: dict[str, Any], until: float) -> None:
        """Take the last change back."""
        if project["key"] in self._forms:
            self.ask("undo", f"/project/{project['key']}/undo/", {}, part=True)
            del self._forms[project["key"]]
        else:
            self.project_page(project, until)

    def sheet(self, project: dict[str, Any], _until: float) -> None:
        """A sheet on paper."""
        kind = self._chance.choice(("plan", "record") + (("cutting",) if project["pieces"] else ()))
        self.ask("sheet (PDF)", f"/project/{project['key']}/sheets/{kind}.pdf")

    def phone(self, project: dict[str, Any], _until: float) -> None:
        """What a phone does at the board: ask what is new, then send a tick."""
        key = project["key"]
        _, said = self.ask("phone: state and entries", f"/phone/{key}/state/?page=board&phone={self._phone}")
        with suppress(ValueError):
            self._token = json.loads(said).get("token", self._token)
        self._entries += 1
        tick: dict[str, Any] = {
            "kind": "tick",
            "key": str(uuid.UUID(int=self._chance.getrandbits(128), version=4)),
            "phone": self._phone,
        }
        tick |= {"seq": self._entries, "seen": 0, "order": _NO_ORDER, "made_at": "2031-03-14T09:26:53.589Z"}
        tick |= {"task": "winding", "first": self._entries, "last": self._entries + 9, "ticked": True}
        sent = {"clothwright_entries": 1, "project": key, "entries": [tick], "orders": [_RUNS]}
        self.ask("phone: state and entries", f"/phone/{key}/entries/", body=json.dumps(sent).encode())

    def search(self, project: dict[str, Any], until: float) -> None:
        """Ask for a search and stay until it has ended, or for three minutes: the page asks by itself how far it is."""
        if not project["pieces"]:
            self.project_page(project, until)
            return
        self.project_page(project, until)
        path, began = f"/project/{project['key']}/search/", time.time()
        _, html = self.ask("layout search: asked for", path, {}, part=True)
        while (every := re.search(r'hx-trigger="every (\d+)s"', html)) and time.time() < min(until, began + FOLLOWED_S):
            time.sleep(float(every[1]))
            _, html = self.ask("layout search: how far", path, part=True)

    def choices(self, project: dict[str, Any], until: float) -> None:
        """What can be chosen; where it is worked out apart the page asks by itself until it is there."""
        path, began = f"/project/{project['key']}/choices/", time.time()
        _, html = self.ask("choices", path)
        while (every := re.search(r'hx-trigger="every (\d+)s"', html)) and time.time() < min(until, began + FOLLOWED_S):
            time.sleep(float(every[1]))
            _, html = self.ask("choices: how far", path, part=True)

    def leaflet(self, project: dict[str, Any], _until: float) -> None:
        """The leaflet's page."""
        self.ask("leaflet", f"/project/{project['key']}/leaflet/")

    def cloth(self, project: dict[str, Any], _until: float) -> None:
        """The cloth as it will look, with its pictures."""
        _, html = self.ask("the cloth", f"/project/{project['key']}/cloth/")
        for path in re.findall(r'src="(/project/[^"]+/cloth/picture\.png[^"]*)"', html)[:2]:
            self.ask("picture of the cloth", path.replace("&amp;", "&"))


def _of_project(kind: str, ending: str) -> Callable[[Member, dict[str, Any], float], None]:
    def page(member: Member, project: dict[str, Any], _until: float) -> None:
        member.ask(kind, f"/project/{project['key']}/{ending}")

    return page


def _plain(kind: str, path: str) -> Callable[[Member, dict[str, Any], float], None]:
    def page(member: Member, _project: dict[str, Any], _until: float) -> None:
        member.ask(kind, path)

    return page


PAGES: Final[dict[str, Callable[[Member, dict[str, Any], float], None]]] = {
    "change of a field": Member.change,
    "project page": Member.project_page,
    "projects": Member.projects,
    "sheet (PDF)": Member.sheet,
    "phone: state and entries": Member.phone,
    "records": _plain("records", "/records/"),
    "record page": _of_project("record page", "record/"),
    "sheets": _of_project("sheets", "sheets/"),
    "colours": _of_project("colours", "colours/"),
    "the cloth": Member.cloth,
    "pieces": _of_project("pieces", "pieces/"),
    "threading": _of_project("threading", "threading/"),
    "samples told": _of_project("samples told", "samples/"),
    "at the loom": _of_project("at the loom", "at-the-loom/"),
    "yarn on hand": _plain("yarn on hand", "/yarn/"),
    "setts": _plain("setts", "/sett/?wraps=15%2Fin&structure=plain"),
    "find": _plain("find", "/find/?words=marram"),
    "history": _of_project("history", "history/"),
    "undo": Member.undo,
    "layout search": Member.search,
    "choices": Member.choices,
    "leaflet": Member.leaflet,
}
