"""Filters of the pages."""

from __future__ import annotations

import datetime
import json
from collections.abc import Sequence
from functools import lru_cache
from typing import Any, Final
from uuid import UUID

from django import template
from django.conf import settings
from django.template.loader import render_to_string
from django.urls import get_script_prefix, reverse
from django.utils.safestring import SafeString

from clothwright import __version__
from clothwright.library import whose
from clothwright.library.models import Project
from clothwright.sheets.registry import BY_KIND, Sheet
from clothwright.web.beginning.examples import Example, came_from, example_of
from clothwright.web.beginning.purposes import Purpose, purpose_of, sheet_of
from clothwright.web.forms.bound import Bound, BoundField, BoundGroup, BoundRows
from clothwright.web.helping.about import address_parts, chapter_about
from clothwright.web.helping.beside import Beside, help_beside

register = template.Library()


@register.simple_tag(takes_context=True)
def drawn_parts(context: template.Context, parts: Sequence[Bound]) -> SafeString:
    """The parts of a form one after another: fields as they are kept drawn, groups and rows by templates of their own.

    A page has hundreds of fields, and a change is of one. A loop of Python, since a loop of a template takes longer than all that
    stands in them.
    """
    below = get_script_prefix()
    return SafeString(
        "".join(_drawn(part, below) if isinstance(part, BoundField) else _drawn_inside(context, part) for part in parts)
    )


def _drawn_inside(context: template.Context, part: BoundGroup | BoundRows) -> SafeString:
    name = "group" if isinstance(part, BoundGroup) else "list"
    file = "group.html" if isinstance(part, BoundGroup) else "rows.html"
    assert context.template is not None  # it is a template that asks
    inside = context.template.engine.get_template(f"clothwright/{file}")
    with context.push(**{name: part}):
        return inside.render(context)


@lru_cache(8192)
def _drawn(field: BoundField, _below: str) -> SafeString:
    """The field, drawn once for what stands in it below an address: among the examples its links lead elsewhere than in what is hers."""
    return render_to_string("clothwright/field.html", {"field": field})


#: The pages of the header: the name of the address, the words, and how the addresses of the pages below it begin.
_ROOMS: Final = (
    ("projects", (), "Projects", "/project"),
    ("records", (), "Records", "/records"),
    ("shelf", ("yarn",), "Yarn on hand", "/yarn/"),
    ("shelf", ("loom",), "Looms and heddles", "/looms/"),
    ("shelf", ("sample",), "Samples", "/samples/"),
    ("setts", (), "Sett", "/sett/"),
    ("yarn_numbers", (), "Yarn numbers", "/yarn-numbers/"),
    ("all_sheets", (), "Sheets", "/sheets/"),
    ("true", (), "How true", "/trueness/"),
    ("words", (), "Words", "/words/"),
    ("guide", (), "Guide", "/guide/"),
)
#: Those of a shared studio beside them, and for who keeps it.
_STUDIO_ROOMS: Final = (("groups", (), "Groups", "/groups/"), ("me", (), "My account", "/me/"))
_KEEPER_ROOMS: Final = (_STUDIO_ROOMS[0], ("members", (), "Members", "/members/"), _STUDIO_ROOMS[1])

_PATTERN_PAGES: Final = (
    ("measures", "Make from measures"),
    ("draw", "Draw a piece"),
    ("trace", "Trace a photograph"),
    ("pieces", "Pieces"),
    ("fit", "Fit"),
    ("narrow", "Narrow cloth"),
)
#: The pages of a project in the order of the work, stage by stage: the name of the address and the words.
STAGES: Final = (
    (
        "Plan",
        (
            ("begin", "Begin: a few questions"),
            ("project", "Everything typed, and the plan"),
            ("evidence", "What the plan rests on"),
            ("sheets", "Sheets to print"),
            ("history", "History"),
        ),
    ),
    ("Sample", (("sample_first", "A sample first"), ("samples_told", "What the samples tell"))),
    ("Pieces", _PATTERN_PAGES),
    (
        "Cloth",
        (
            ("choices", "What can be chosen"),
            ("lay_by_hand", "Lay by hand"),
            ("cut_from", "Cut from cloth in hand"),
            ("colours", "Colours of the warp"),
            ("weft_colours", "Colours of the weft"),
            ("threading", "Threading"),
            ("cloth", "The cloth as it will look"),
        ),
    ),
    ("Weave and sew", (("phones", "Phones"), ("at_loom", "At the loom"), ("off_loom", "Off the loom"))),
    ("Record", (("record", "The record"), ("use_again", "Use again"))),
    ("For others", (("leaflet", "Leaflet"), ("class", "Class"))),
)
#: In a shared studio a project can be shared too; that stands with what is for others.
_SHARED: Final = (("share_project", "Share"),)


@register.simple_tag(takes_context=True)
def stages(context: dict[str, Any], project: Project) -> list[dict[str, Any]]:
    """The pages of a project by the stages of the work, the page itself the current one; none for who only reads it."""
    request = context.get("request")
    if settings.STUDIO and getattr(getattr(request, "member", None), "pk", None) != project.owner_id:
        return []
    here, key = request.path if request else "", str(project.pk)
    more = {STAGES[-1][0]: _SHARED} if settings.STUDIO and not whose.examples_now() else {}
    return [
        {"words": words, "pages": [_place(name, said, key, here) for name, said in (*pages, *more.get(words, ()))]}
        for words, pages in STAGES
    ]


def _place(name: str, words: str, key: str, here: str) -> dict[str, Any]:
    url = _address(name, (_ANY,)).replace(_ANY, key)
    return {"url": url, "words": words, "current": here == url}


#: Stands for a project in an address that is found once: every page has the addresses of some thirty others.
_ANY: Final = str(UUID(int=0))


def _address(name: str, args: tuple[str, ...]) -> str:
    return _found_once(name, args, get_script_prefix())


@lru_cache(1024)
def _found_once(name: str, args: tuple[str, ...], _below: str) -> str:
    """The address below another: among the examples it is another than in what is hers."""
    return reverse(name, args=args)


@register.simple_tag(takes_context=True)
def rooms(context: dict[str, Any]) -> list[dict[str, Any]]:
    """The links of the header; the one that leads to where the page belongs is the current one.

    In a shared studio there are none for who is not signed in.
    """
    request = context.get("request")
    here, inside = (request.path, request.path_info) if request else ("", "")
    member = getattr(context.get("request"), "member", None)
    studio = _KEEPER_ROOMS if getattr(member, "keeper", False) else _STUDIO_ROOMS
    there = (*_ROOMS, *studio) if member else () if settings.STUDIO else _ROOMS
    addresses = ((_address(name, args), words, below) for name, args, words, below in there)
    return [
        {"url": url, "words": words, "current": here == url or inside.startswith(below)}
        for url, words, below in addresses
    ]


@register.simple_tag(takes_context=True)
def about_page(context: dict[str, Any]) -> str:
    """The address of the chapter about the page; empty where none is."""
    found = chapter_about(getattr(context.get("request"), "resolver_match", None))
    if found is None:
        return ""
    parts = address_parts(found)
    return reverse("chapter", args=[parts["chapter"]]) + str(parts["anchor"])


@register.simple_tag(takes_context=True)
def can_find(context: dict[str, Any]) -> bool:
    """Whether there is a library to look in: at one table, or for who is signed in."""
    return not settings.STUDIO or bool(getattr(context.get("request"), "member", None))


@register.filter
def behind(row: Sequence[str], head: Sequence[str]) -> list[tuple[str, str]]:
    """Each figure of a table's row with the heading of its column: on a phone the figure stands behind it."""
    return [(head[place] if place < len(head) else "", cell) for place, cell in enumerate(row)]


@register.filter
def how_to(path: tuple[str | int, ...]) -> Beside | None:
    """What helps to fill in the field at that place; nothing where it says enough by itself."""
    return help_beside(tuple(path))


@register.simple_tag
def at_one_table() -> bool:
    """Whether this is one weaver's own, and no shared studio."""
    return not settings.STUDIO


@register.simple_tag(takes_context=True)
def example(context: dict[str, Any]) -> Example | None:
    """The example of the page, where it has one."""
    request = context.get("request")
    return example_of(request) if request and (getattr(request, "member", None) or not settings.STUDIO) else None


@register.simple_tag(takes_context=True)
def purpose(context: dict[str, Any], project: Project) -> Purpose | None:
    """What the page of a project is for and what is missing there; nothing where nothing is, or for who only reads it."""
    request = context.get("request")
    match = request.resolver_match if request else None
    if match is None or (settings.STUDIO and getattr(getattr(request, "member", None), "pk", None) != project.owner_id):
        return None
    return purpose_of(match.url_name or "", project)


@register.simple_tag
def among_examples() -> bool:
    """Whether the page is one of an example."""
    return whose.examples_now()


@register.simple_tag(takes_context=True)
def hers(context: dict[str, Any]) -> str:
    """The address of the page of hers that an example was opened from."""
    return came_from(context.get("request"))


@register.simple_tag
def today() -> str:
    """The day by the clock of this machine, as it is printed: 3 March 2031."""
    now = datetime.datetime.now().astimezone()
    return f"{now.day} {now:%B %Y}"


@register.simple_tag(takes_context=True)
def paper(context: dict[str, Any]) -> Sheet | None:
    """The sheet that belongs to the page of a project; none where it has none of its own."""
    request = context.get("request")
    match = request.resolver_match if request else None
    kind = sheet_of(match.url_name or "") if match else ""
    return BY_KIND.get(kind)


@register.simple_tag
def version() -> str:
    """The version of the program."""
    return __version__


@register.simple_tag(takes_context=True)
def pattern_pages(context: dict[str, Any], key: Any) -> list[dict[str, Any]]:
    """The links between the pages of a project's pattern, in the order of the work; the page itself is the current one."""
    here = context["request"].path if "request" in context else ""
    return [_place(name, words, str(key), here) for name, words in _PATTERN_PAGES]


@register.filter
def at_index(values: list[Any] | tuple[Any, ...], index: int) -> Any:
    """The value at a place of a list."""
    return values[index]


@register.filter
def is_empty(values: list[Any]) -> bool:
    """Whether a list holds nothing."""
    return not values


@register.filter
def as_json(value: object) -> str:
    """Plain data as JSON; the template escapes it."""
    return json.dumps(value, ensure_ascii=False)


@register.filter
def as_press(what: str, verb: str) -> str:
    """The values that the script sends for a pressed button."""
    return json.dumps({"press": f"{verb} {what}"}, ensure_ascii=False)


@register.filter
def here_and_then(moment: datetime.datetime) -> str:
    """A moment by the clock of this machine: 3 March 2031, 14:05."""
    here = moment.astimezone()
    return f"{here.day} {here:%B %Y, %H:%M}"
