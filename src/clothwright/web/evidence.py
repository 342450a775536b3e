"""What everything in the library tells of a plan, and where each piece of it stands, to be set aside or taken up again.

Every project and every sample kept by itself is evidence for every other project, put away or not. What a revision tells is
read once and kept; a plan depends on the evidence through a key that changes only when something measured changes, so
that typing a seam allowance in one project leaves the plans of the others as they are.
"""

from __future__ import annotations

import copy
import hashlib
import logging
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final
from uuid import UUID

from django.core.exceptions import ValidationError
from django.urls import reverse

from clothwright.evidence import History
from clothwright.library import store
from clothwright.library.models import OnHand, OnHandState, Project, Revision
from clothwright.library.shelves import on_hand
from clothwright.project import Problem, ProblemsFound, read_project
from clothwright.project import Project as Document
from clothwright.project.record.past import ProjectSeen, Seen, pooled, seen_of, sorted_out
from clothwright.project.sampling import files_named, with_drawn_outlines
from clothwright.web.forms.typed import Filled, Path, Tree, at, put
from clothwright.web.latest import Latest
from clothwright.web.once import once

_log = logging.getLogger(__name__)

PROJECT: Final = "project"
SAMPLE: Final = "sample"
#: A tree as typed, and the drawings its samples name.
Typed = tuple[Tree, dict[str, bytes]]
_UNREADABLE: Final = "cannot be read just now"


@dataclass(frozen=True)
class Owner:
    """Where a piece of evidence is kept: a project, or a sample by itself, and its key."""

    kind: str
    key: str
    name: str


@dataclass(frozen=True)
class Told:
    """What one owner tells, and a digest of it."""

    owner: Owner
    seen: ProjectSeen
    digest: str


@dataclass(frozen=True)
class Piece:
    """A piece of evidence with its owner; `with_it`: the parts cut from a sample, which stand and fall with it."""

    owner: Owner
    seen: Seen
    with_it: tuple[str, ...] = ()

    @property
    def said(self) -> str:
        """A digest of what it says now: by it a form names the piece it means, wherever it stands by then."""
        return _digest((self.seen.same, self.seen.set_aside))

    @property
    def id(self) -> str:
        """Its own name on a page."""
        return f"{self.owner.key}-{self.said[:12]}"

    @property
    def url(self) -> str:
        """Where it can be looked at."""
        return address(self.owner, self.seen.place)


def gathered(pieces: Iterable[Piece]) -> list[Piece]:
    """Each sample once, with its parts beside it."""
    places: dict[tuple[str, Path], list[Piece]] = {}
    for one in pieces:
        places.setdefault((one.owner.key, one.seen.place), []).append(one)
    return [replace(first, with_it=tuple(one.seen.name for one in rest)) for first, *rest in places.values()]


def address(owner: Owner, place: Path) -> str:
    """Where a piece of evidence can be looked at."""
    if owner.kind == SAMPLE:
        return reverse("thing", args=[SAMPLE, owner.key])
    return reverse("project", args=[owner.key]) + ("#record" if place[:1] == ("record",) else "#samples")


#: By owner, what its head tells and which head that was: what earlier ones told is asked for no more.
_told: Final = Latest[tuple[int, Told]](8192)
_histories: Final = Latest[History](16)


@dataclass(frozen=True)
class Everything:
    """What all owners tell."""

    told: tuple[Told, ...]

    def beside(self, project: Project) -> Everything:
        """What all others tell."""
        mine = str(project.pk)
        return Everything(tuple(one for one in self.told if (one.owner.kind, one.owner.key) != (PROJECT, mine)))

    @cached_property
    def key(self) -> str:
        """Equal as long as nothing measured changes; empty where nothing was measured."""
        digests = [one.digest for one in self.told if one.digest]
        return _digest(digests) if digests else ""

    def history(self, planned: Document) -> History:
        """What it tells of the project planned; the same history again while nothing in it changes."""
        if not self.key:
            return pooled((), planned)
        own = [one.same for one in seen_of(planned, "planned").pieces]
        key = (self.key, *own, planned.record and planned.record.date, *(part.name for part in planned.yarn))
        kept = _histories.get(key)
        return kept or _histories.put(key, pooled([one.seen for one in self.told], planned))

    def sorted_out(self, planned: Document | None = None) -> tuple[list[Piece], list[Piece]]:
        """The pieces used, and those set aside, each with its owner."""
        owners = {piece.key: one.owner for one in self.told for piece in one.seen.pieces}
        used, aside = sorted_out([one.seen for one in self.told], planned)
        return [Piece(owners[one.key], one) for one in used], [Piece(owners[one.key], one) for one in aside]

    def idle(self) -> list[Piece]:
        """Pieces that tell nothing yet."""
        return [Piece(one.owner, piece) for one in self.told for piece in one.seen.pieces if piece.idle]


def everything() -> Everything:
    """What all projects and samples tell, put away or not."""
    return Everything((*_projects(), *_samples()))


def beside(project: Project) -> Everything:
    """What all others tell; the project's own is not read for it, which is another after every change."""
    return once(("beside", project.pk), lambda: Everything((*_projects(but=project), *_samples())))


def _projects(but: Project | None = None) -> list[Told]:
    others = Project.objects.exclude(head=None)
    others = others.exclude(pk=but.pk) if but else others
    heads = others.order_by("created").values_list("pk", "head_id", "name")

    def read(missing: list[int]) -> dict[int, Typed]:
        return {one.pk: (one.tree, _traced(one)) for one in Revision.objects.filter(pk__in=missing)}

    return _each(PROJECT, heads, read)


def _traced(revision: Revision) -> dict[str, bytes]:
    """The drawings of a revision where its samples name any."""
    return store.drawings_of(revision) if any(files_named(revision.tree)) else {}


def _samples() -> list[Told]:
    kept = OnHand.objects.filter(kind=SAMPLE).exclude(head=None).order_by("created")
    heads = kept.values_list("pk", "head_id", "name")

    def read(missing: list[int]) -> dict[int, Typed]:
        states = OnHandState.objects.filter(pk__in=missing)
        return {pk: (tree, {}) for pk, tree in states.values_list("pk", "tree")}

    return _each(SAMPLE, heads, read)


def _each(
    kind: str, heads: Iterable[tuple[UUID, int, str]], read: Callable[[list[int]], dict[int, Typed]]
) -> list[Told]:
    """What each head tells. What is kept is looked up once: meanwhile another page may keep what a later head tells."""
    owners = [(Owner(kind, str(pk), name), head) for pk, head, name in heads]
    known = {head: _kept(owner, head) for owner, head in owners}
    typed = read([head for head, told in known.items() if told is None])
    return [known[head] or _newly(owner, head, *typed.get(head, ({}, {}))) for owner, head in owners]


def _kept(owner: Owner, head: int) -> Told | None:
    """What an owner's head tells, where it has been read already."""
    known = _told.get((owner.kind, owner.key))
    return known[1] if known is not None and known[0] == head else None


def _newly(owner: Owner, head: int, tree: Tree, drawings: Mapping[str, bytes]) -> Told:
    return _told.put((owner.kind, owner.key), (head, _read(owner, tree, drawings)))[1]


def _read(owner: Owner, tree: Tree, drawings: Mapping[str, bytes]) -> Told:
    """What a tree as typed tells, its places those of the tree as typed."""
    if not (tree.get("sample") or tree.get("record")):
        return Told(owner, ProjectSeen(owner.key, owner.name), "")
    filled = Filled.of(tree)
    try:
        document = with_drawn_outlines(read_project(filled.tree), drawings)
        seen = seen_of(document, f"{owner.kind} {owner.key}")
    except ProblemsFound as wrong:
        why = f"{_UNREADABLE}: {filled.problems(wrong.problems)[0]}"
        idle = Seen((), owner.name, "", idle=why)
        return Told(owner, ProjectSeen(owner.key, owner.name, (idle,)), "")
    except Exception:  # noqa: BLE001 - one project that cannot be read must not take every other plan with it
        _log.exception("the evidence of %s %s", owner.kind, owner.key)
        return Told(owner, ProjectSeen(owner.key, owner.name), "")
    pieces = tuple(replace(one, place=_typed_place(filled, one.place)) for one in seen.pieces)
    telling = [one for one in pieces if one.tells]
    return Told(owner, replace(seen, pieces=pieces), _digest(map(repr, telling)) if telling else "")


def _typed_place(filled: Filled, place: Path) -> Path:
    return filled.problems([Problem(place, "")])[0].path


def _digest(texts: Iterable[str]) -> str:
    return hashlib.sha256("\0".join(texts).encode()).hexdigest()


class SaysOtherwise(Exception):
    """A piece of evidence was changed, moved to another project or taken out since it was shown."""


def mark(kind: str, key: str, said: str, reason: str) -> None:
    """Set the piece that says so aside for a reason, or take it up again without one; KeyError if nothing has that key."""
    if kind == PROJECT:
        project = _found_project(key)
        revision = store.head(project)
        place = _place(Owner(PROJECT, key, project.name), revision.tree, _traced(revision), said)
        store.change(project, *_marked(revision.tree, place, reason))
    else:
        thing = _found_sample(key)
        state = on_hand.head(thing)
        place = _place(Owner(SAMPLE, key, thing.name), state.tree, {}, said)
        on_hand.change(thing, *_marked(state.tree, place, reason))


def _place(owner: Owner, tree: Tree, drawings: Mapping[str, bytes], said: str) -> Path:
    """Where a piece that says so stands in a tree; SaysOtherwise if none does."""
    pieces = (Piece(owner, one) for one in _read(owner, tree, drawings).seen.pieces if one.place)
    found = next((one.seen.place for one in pieces if one.said == said), None)
    if found is None:
        raise SaysOtherwise(said)
    return found


def _found_project(key: str) -> Project:
    try:
        return store.project(UUID(key))
    except (Project.DoesNotExist, ValueError, ValidationError):
        raise KeyError(key) from None


def _found_sample(key: str) -> OnHand:
    try:
        return OnHand.objects.select_related("head").get(kind=SAMPLE, pk=UUID(key))
    except (OnHand.DoesNotExist, ValueError, ValidationError):
        raise KeyError(key) from None


def _marked(tree: Tree, path: Path, reason: str) -> tuple[Tree, str]:
    """The tree with a piece set aside or taken up again, and what happened."""
    changed = copy.deepcopy(tree)
    put(changed, (*path, "set_aside"), reason or None)
    return changed, _in_words(tree, path, reason)


def _in_words(tree: Tree, path: Path, reason: str) -> str:
    what = "the record" if path[0] == "record" else str(at(tree, (*path, "name")) or "a sample")
    return f"set {what} aside: {reason}" if reason else f"took {what} up again as evidence"
