"""People of a small studio, each with what is hers, for tests of who sees what; and a stand-in for every page behind the gate."""

from __future__ import annotations

import copy
import io
import uuid
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.test import Client
from django.urls import URLPattern, get_resolver, reverse
from django.urls.converters import IntConverter
from PIL import Image
from web.test_pages import CLOTH

from clothwright.library import store, whose
from clothwright.library.models import Group, LeafletLink, Member, OnHand, Photo, Project, ProjectPhoto
from clothwright.library.record import project_photos
from clothwright.library.shelves import on_hand, photos
from clothwright.library.shelves.on_hand import Kept
from clothwright.library.studio import groups, shares
from clothwright.web.shelves.shelf_address import SampleShelfConverter, ShelfConverter

PASSWORD = "eelgrass under low water"
SAMPLE: dict[str, Any] = {
    "width": {"in_heddle": "24.0 cm", "finished": "21.6 cm"},
    "length": {"on_loom": "24.0 cm", "finished": "21.0 cm"},
    "heddle": "30/10 cm",
}
RECORD: dict[str, Any] = {
    "date": "2026-03-14",
    "ends": 110,
    "warp_wound": "260 cm",
    "width": {"finished": {"start": "32.2 cm", "end": "31.8 cm"}},
    "length": {"on_loom": "195 cm", "finished": "170 cm"},
}


def member(name: str, *, keeper: bool = False) -> Member:
    made = Member(email=f"{name}@guild.example", name=name.capitalize(), keeper=keeper)
    made.set_password(PASSWORD)
    made.save()
    return made


def signed_in(who: Member | None, **how: Any) -> Client:
    client = Client(**how)
    if who is not None:
        client.force_login(who)
    return client


@dataclass(frozen=True)
class Things:
    """What one member has: a project to share, one finished, a yarn, a loom, two samples, a photo. Every name holds one word."""

    project: Project
    finished: Project
    on_shelf: dict[Kept, OnHand]
    other_sample: OnHand
    photo: Photo
    picture: ProjectPhoto
    link: uuid.UUID


def things_of(owner: Member, word: str) -> Things:
    """All of it made for an owner, with a word in every name but that of the project to share and of the sample to share."""
    with whose.seeing(whose.Seen(owner=owner.pk)):
        project = store.new_project(copy.deepcopy(CLOTH) | {"name": "plain stole"}, "started")
        store.change(project, copy.deepcopy(CLOTH) | {"name": "plain stole "}, "name")
        past = copy.deepcopy(CLOTH) | {"name": f"{word} shawl", "record": RECORD}
        finished = store.new_project(past, f"started {word}")
        yarn = copy.deepcopy(CLOTH["yarn"][0]) | {"name": f"{word} fell"}
        trees: dict[Kept, dict[str, Any]] = {
            Kept.YARN: {"units": "metric", "yarn": [yarn]},
            Kept.LOOM: {"units": "metric", "loom": copy.deepcopy(CLOTH["loom"]) | {"name": f"{word} loom"}},
            Kept.SAMPLE: _sample("plain square"),
        }
        shelf = {kind: on_hand.add(kind, tree, "typed in") for kind, tree in trees.items()}
        other = on_hand.add(Kept.SAMPLE, _sample(f"{word} square"), "typed in")
        file = io.BytesIO()
        Image.new("RGB", (40, 30), "teal").save(file, "PNG")
        photo = photos.keep_photo(shelf[Kept.SAMPLE], file.getvalue(), "quay.png")
        picture = project_photos.add_to_record(project, file.getvalue(), "quay.png", "the quay")
        link = LeafletLink.objects.create(project=project).link
        return Things(project, finished, shelf, other, photo, picture, link)


def _sample(name: str) -> dict[str, Any]:
    yarn = copy.deepcopy(CLOTH["yarn"][0])
    return {
        "units": "metric",
        "yarn": [yarn, {}],
        "sample": [SAMPLE | {"name": name, "warp": yarn["name"], "weft": yarn["name"]}],
    }


@dataclass(frozen=True)
class Studio:
    """A guild, and a class with its teacher; the owner shares a project and a sample with each."""

    people: dict[str, Member | None]
    guild: Group
    course: Group
    hers: Things
    others: dict[str, Things] = field(default_factory=dict)

    @classmethod
    def made(cls) -> Studio:
        owner, reader, stranger = (member(name) for name in ("owner", "reader", "stranger"))
        teacher, student, keeper = member("teacher"), member("student"), member("keeper", keeper=True)
        guild, course = (
            groups.new_group("quay guild", "guild", reader),
            groups.new_group("first warp", "class", teacher),
        )
        _join(guild, reader, owner)
        _join(course, teacher, owner, student)
        hers = things_of(owner, "samphire")
        for group in (guild, course):
            shares.share(owner, group, hers.project)
            shares.share(owner, group, hers.on_shelf[Kept.SAMPLE])
        people: dict[str, Member | None] = {"nobody": None, "owner": owner, "reader": reader, "stranger": stranger}
        return cls(people | {"teacher": teacher, "student": student, "keeper": keeper}, guild, course, hers)


def _join(group: Group, by: Member, *others: Member) -> None:
    for one in others:
        groups.accept(groups.invite(by, group)[1], one)


def addresses(things: Things, group: Group, person: Member) -> list[tuple[str, str]]:
    """Every route by its name with its addresses, those of things being of these."""
    found = []
    for route in get_resolver().url_patterns:
        assert isinstance(route, URLPattern)
        assert route.name
        asked = set(route.pattern.converters)
        found += [
            (route.name, reverse(route.name, kwargs=parts))
            for parts in _parts(route.name, asked, things, group, person)
        ]
    return found


def _parts(name: str, asked: set[str], things: Things, group: Group, person: Member) -> list[dict[str, Any]]:
    given: dict[str, Any] = {"key": things.project.pk, "number": 1, "row": 0, "group": group.pk}
    given |= {"sha256": things.picture.sha256, "link": things.link}
    if name in ("take_out_of_group", "password_link", "keep_studio"):
        given["number"] = person.pk
    if "kind" not in asked:
        chosen = [given]
    elif name == "sheet":
        chosen = [given | {"kind": kind} for kind in ("plan", "cutting", "record", "sample-card")]
    elif not isinstance(_route(name).pattern.converters["kind"], ShelfConverter):
        chosen = [given]
    else:
        number = things.photo.pk if name == "thing_photo" else 1
        shelf = {Kept.SAMPLE: things.on_shelf[Kept.SAMPLE]} if _of_samples(name) else things.on_shelf
        chosen = [given | {"kind": kind, "key": one.pk, "number": number} for kind, one in shelf.items()]
    return [{part: one.get(part, _any(name, part)) for part in asked} for one in chosen]


def _any(name: str, part: str) -> Any:
    """Something that fits where only the gate is asked, which looks at keys and groups."""
    return 1 if isinstance(_route(name).pattern.converters[part], IntConverter) else "x"


def _route(name: str) -> URLPattern:
    return next(one for one in get_resolver().url_patterns if isinstance(one, URLPattern) and one.name == name)


def _of_samples(name: str) -> bool:
    """Whether an address is of samples alone."""
    return isinstance(_route(name).pattern.converters["kind"], SampleShelfConverter)


class Passed:
    """Middleware that stands in for every page behind the gate: it says that the gate let somebody pass."""

    SAID = b"passed the gate"

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self._get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self._get_response(request)

    def process_view(self, *_: Any) -> HttpResponse:
        return HttpResponse(self.SAID)
