"""Every layout kept in a project's history, newest first, with its picture, to be laid so again."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice
from typing import Any, Final

from clothwright import sheets
from clothwright.layout import Layout, outline_in_place
from clothwright.library import store
from clothwright.library.models import Project, Revision
from clothwright.planning import CutFrom, garment_of
from clothwright.planning.answer import PlacedOutline
from clothwright.planning.job import Garment
from clothwright.project import ProblemsFound
from clothwright.project.parts.remnants import ClothInHand
from clothwright.sheets.wording import LENGTH
from clothwright.web import planned
from clothwright.web.forms.typed import Tree, put
from clothwright.web.latest import Latest

MOST_SHOWN: Final = 8
_KEPT: Final = ("place", "kept_width")
_NOTHING: Final = ("", "")
_pictures: Final = Latest[tuple[str, str]](256)


@dataclass(frozen=True)
class KeptLayout:
    """A layout as it was kept: the revision, its size in words, its picture, and whether it is the one in use."""

    number: int
    kept_at: datetime.datetime
    size: str
    picture: str
    in_use: bool


def kept_layouts(project: Project, *, imperial: bool) -> list[KeptLayout]:
    """The last layouts kept whole, each once; those whose pieces can no longer be read are left out."""
    return list(islice(_kept(project, imperial), MOST_SHOWN))


def _kept(project: Project, imperial: bool) -> Iterator[KeptLayout]:
    now, seen = _said(store.head(project).tree), []
    for revision in store.history(project):
        said = _said(revision.tree)
        if said is None or said in seen or (shown := _shown(revision, imperial)) == _NOTHING:
            continue
        seen.append(said)
        yield KeptLayout(revision.number, revision.made_at, *shown, said == now)


def _said(tree: Tree) -> dict[str, Any] | None:
    """What a tree says of a layout kept whole; nothing where it keeps none."""
    layout = tree.get("layout") or {}
    return {name: layout[name] for name in _KEPT} if all(layout.get(name) for name in _KEPT) else None


def _shown(revision: Revision, imperial: bool) -> tuple[str, str]:
    """Size and picture of the layout a revision keeps, made once; empty where its pieces cannot be read."""
    key = (revision.pk, imperial)
    return _pictures.get(key) or _pictures.put(key, _drawn(revision, imperial))


def _drawn(revision: Revision, imperial: bool) -> tuple[str, str]:
    try:
        garment, _ = garment_of(planned.document(revision), store.drawings_of(revision))
    except ProblemsFound:
        return _NOTHING
    layout = garment.asked.kept
    if layout is None:
        return _NOTHING
    width, length = layout.width_cm + 2 * garment.trim_cm, layout.length_cm + 2 * garment.squaring_cm
    cloth = ClothInHand(f"Layout {revision.number}", width, length)
    cut = CutFrom(cloth, layout, _outlines(garment, layout))
    picture = sheets.remnant_svg(cut, trim_cm=garment.trim_cm, squaring_cm=garment.squaring_cm, imperial=imperial)
    return f"{LENGTH.text(length, imperial=imperial)} on {LENGTH.text(width, imperial=imperial)}", picture


def _outlines(garment: Garment, layout: Layout) -> tuple[PlacedOutline, ...]:
    named = {(copy.piece, copy.number): copy for copy in garment.copies}
    return tuple(
        PlacedOutline(p.piece, p.copy, p.mirrored, outline_in_place(named[p.piece, p.copy], p)) for p in layout.placed
    )


def laid_as(tree: Tree, earlier: Tree) -> Tree | None:
    """The tree with the layout that an earlier one kept; none where that kept none."""
    said = _said(earlier)
    if said is None:
        return None
    changed: Tree = dict(tree)
    put(changed, ("layout",), {**(tree.get("layout") or {}), **said})
    return changed
