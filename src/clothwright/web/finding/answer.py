"""What is found by some words: for each kind the best few, and how many there are."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any, Final, Protocol, TypeVar

from django.urls import reverse

from clothwright.library import store, whose
from clothwright.library.models import Member, OnHand, Project
from clothwright.library.shelves import on_hand
from clothwright.library.shelves.on_hand import Kept
from clothwright.library.studio import shares
from clothwright.web.finding.kept import InLibrary, every_project, every_thing, texts_of_tree
from clothwright.web.finding.matching import Asked, Findable, Standing, rank, standing
from clothwright.web.finding.told import AWord, InGuide, every_section, every_word

#: So many of a kind are shown.
MOST: Final = 12


class _CanBeFound(Protocol):
    @property
    def found_by(self) -> Findable: ...


_One = TypeVar("_One", bound=_CanBeFound)


@dataclass(frozen=True)
class Found:
    """One thing found: its name, its address on the pages, what else is said of it, and where the words stand."""

    name: str
    url: str
    said: str
    standing: Standing

    def as_json(self) -> dict[str, Any]:
        """The same as plain data."""
        text = "".join(piece for piece, _ in self.standing.excerpt)
        return {"name": self.name, "page": self.url, "said": self.said, "where": self.standing.where, "text": text}


@dataclass(frozen=True)
class KindFound:
    """What was found of one kind: its key and name, the best of it, and how many there are in all."""

    key: str
    name: str
    found: tuple[Found, ...]
    many: int


@dataclass(frozen=True)
class Shared:
    """A project or a sample of another's that a member may read."""

    url: str
    by: str
    found_by: Findable


def find(asked: Asked, member: Member | None = None) -> tuple[KindFound, ...]:
    """Everything that can be seen now and holds all the words, by kind; for a member also what is shared with her."""
    if not asked.words:
        return ()
    library = [*every_project(), *every_thing()]
    kinds = [_of_library(key, name, library, asked) for key, name in _LIBRARY]
    kinds.append(
        _best(
            "shared",
            "Shared with you",
            _shared_with(member),
            asked,
            lambda one: (one.found_by.name, one.url, f"by {one.by}"),
        )
    )
    kinds.append(_best("word", "Words", every_word(), asked, _word))
    kinds.append(_best("guide", "In the guide", every_section(), asked, _section))
    return tuple(one for one in kinds if one.many)


_LIBRARY: Final = (
    ("project", "Projects"),
    ("record", "Records"),
    ("yarn", "Yarn on hand"),
    ("loom", "Looms and heddles"),
    ("sample", "Samples"),
)


def _of_library(key: str, name: str, library: Iterable[InLibrary], asked: Asked) -> KindFound:
    return _best(key, name, (one for one in library if one.kind == key), asked, _kept)


def _best(
    key: str, name: str, every: Iterable[_One], asked: Asked, shown: Callable[[_One], tuple[str, str, str]]
) -> KindFound:
    """The best of a kind: words in the name first, then the shorter name, then in their order."""
    ranked = [(how, one) for one in every if (how := rank(one.found_by, asked)) is not None]
    ranked.sort(key=lambda pair: (-pair[0], len(pair[1].found_by.name)))
    best = tuple(Found(*shown(one), standing(one.found_by, asked)) for _, one in ranked[:MOST])
    return KindFound(key, name, best, len(ranked))


def _kept(one: InLibrary) -> tuple[str, str, str]:
    said = "put away" if one.put_away else ""
    if one.kind in ("project", "record"):
        return one.found_by.name, reverse(one.kind, args=[one.key]), said
    return one.found_by.name, reverse("thing", args=[Kept(one.kind), one.key]), said


def _section(one: InGuide) -> tuple[str, str, str]:
    anchor = f"#{one.anchor}" if one.anchor else ""
    return one.found_by.name, reverse("chapter", args=[one.chapter.slug]) + anchor, one.chapter.part


def _word(one: AWord) -> tuple[str, str, str]:
    return one.word.named, f"{reverse('words')}#{one.word.anchor}", ""


def _shared_with(member: Member | None) -> list[Shared]:
    """What a member may read of others, each thing once."""
    if member is None:
        return []
    found: dict[str, Shared] = {}
    for share in shares.read_by(member).exclude(by=member):
        of = share.project or share.sample
        if of is None:
            continue
        url = (
            reverse("shared_project", args=[of.pk])
            if share.project
            else reverse("shared_sample", args=[Kept.SAMPLE, of.pk])
        )
        found.setdefault(url, Shared(url, str(share.by), Findable(of.name, texts_of_tree(_tree(of)))))
    return list(found.values())


def _tree(of: Project | OnHand) -> dict[str, Any]:
    """What is typed of something shared, seen for as long as it is read."""
    with whose.seeing(whose.Seen(only=of.pk)):
        if isinstance(of, Project):
            found: dict[str, Any] = store.head(store.project(of.pk)).tree
        else:
            found = on_hand.head(on_hand.find(Kept.SAMPLE, of.pk)).tree
    return found
