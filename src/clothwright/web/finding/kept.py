"""What is kept in the library, as it can be found: projects, their records, and what is on hand.

Only what can be seen now is read (`library/whose.py`); put away or not, since who looks for something has often put it away. What a
revision can be found by is read once and kept while the program runs, as a revision never changes.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final
from uuid import UUID

from clothwright.library import record_numbers
from clothwright.library.models import OnHand, OnHandState, Project, Revision
from clothwright.library.on_hand import Kept
from clothwright.web.finding.matching import Findable, Place
from clothwright.web.latest import Latest

Tree = dict[str, Any]
#: Texts of a project that say nothing to who looks for it.
_SAYS_NOTHING: Final = frozenset(("clothwright", "seed", "units", "key", "colour", "sha256"))
_LONGEST: Final = 4000
_WORDS: Final = {
    "on_loom": "at the loom",
    "log": "weaving log",
    "off_loom": "off the loom",
    "other_loom": "other loom",
    "real_cloth": "the cloth as it came",
    "want": "cloth wanted",
}
_texts: Final = Latest[tuple[Place, ...]](20_000)


@dataclass(frozen=True)
class InLibrary:
    """Something of the library that can be found; `record` is its record where it is a project with one."""

    key: UUID
    kind: str
    put_away: bool
    found_by: Findable


def every_project() -> list[InLibrary]:
    """The projects that can be seen, and beside each, as another, the record it has."""
    numbers = {key: record_numbers.words(number) for key, number in record_numbers.every_number().items()}
    rows = list(Project.objects.exclude(head=None).values_list("pk", "name", "put_away", "head"))
    texts = _texts_of(Revision, [head for *_, head in rows])
    found = []
    for key, name, away, head in rows:
        of_record = tuple(one for one in texts[head] if one.where.startswith("record"))
        others = tuple(one for one in texts[head] if not one.where.startswith("record"))
        found.append(InLibrary(key, "project", away, Findable(name, others)))
        if key in numbers or of_record:
            number = (Place("number", numbers[key]),) if key in numbers else ()
            found.append(InLibrary(key, "record", away, Findable(name, (*number, *of_record))))
    return found


def every_thing() -> list[InLibrary]:
    """The yarns, looms and samples on hand that can be seen."""
    rows = list(OnHand.objects.exclude(head=None).values_list("pk", "kind", "name", "put_away", "head"))
    texts = _texts_of(OnHandState, [head for *_, head in rows])
    return [InLibrary(key, Kept(kind).value, away, Findable(name, texts[head])) for key, kind, name, away, head in rows]


def texts_of_tree(tree: Tree) -> tuple[Place, ...]:
    """Every text of a typed tree that says something, with where it stands in the trade's words."""
    return tuple(_texts_below(tree, ()))


def _texts_of(model: type[Revision] | type[OnHandState], heads: list[int]) -> dict[int, tuple[Place, ...]]:
    """The texts of states, those not known yet read in one go."""
    known = {head: texts for head in heads if (texts := _texts.get((model.__name__, head))) is not None}
    rows = (
        model.objects.filter(pk__in=set(heads) - set(known)) if len(known) < len(set(heads)) else model.objects.none()
    )
    for head, tree in rows.values_list("pk", "tree").iterator():
        known[head] = _texts.put((model.__name__, head), texts_of_tree(tree if isinstance(tree, dict) else {}))
    return known


def _texts_below(value: object, path: tuple[str, ...]) -> Iterator[Place]:
    if isinstance(value, dict):
        named = str(value.get("name") or "")
        for key, one in value.items():
            if key not in _SAYS_NOTHING and not (not path and key == "name"):
                yield from _texts_below(one, (*path, *((named,) if path and named and key != "name" else ()), str(key)))
    elif isinstance(value, list):
        for one in value:
            yield from _texts_below(one, path)
    elif isinstance(value, str) and any(map(str.isalpha, value)):
        yield Place(_where(path), value[:_LONGEST])


def _where(path: tuple[str, ...]) -> str:
    """A place in the trade's words: record, garment, fit; yarn, limpet, fibre."""
    return ", ".join(_WORDS.get(one, one.replace("_", " ")) for one in path[:3])
