"""What is kept in the library, as it can be found: projects, their records, and what is on hand.

Only what can be seen now is read (`library/whose.py`); put away or not, since who looks for something has often put it away. What a
revision can be found by is read once and kept while the program runs, as a revision never changes.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final
from uuid import UUID

from clothwright.library.models import OnHand, OnHandState, Project, Revision
from clothwright.library.record import record_numbers
from clothwright.library.shelves.on_hand import Kept
from clothwright.web.finding.matching import Findable, Place
from clothwright.web.latest import Latest

Tree = dict[str, Any]
#: Texts of a project that say nothing to who looks for it.
_SAYS_NOTHING: Final = frozenset(("clothwright", "seed", "units", "key", "colour", "sha256"))
_LONGEST: Final = 4000
#: So many states are asked of the database at once: SQLite takes so many numbers in one question.
_AT_ONCE: Final = 500
_WORDS: Final = {
    "on_loom": "at the loom",
    "log": "weaving log",
    "off_loom": "off the loom",
    "other_loom": "other loom",
    "real_cloth": "the cloth as it came",
    "want": "cloth wanted",
}
_found_by: Final = Latest[tuple[Findable, Findable | None]](20_000)


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
    known = _known(Revision, {head: (name, numbers.get(key, "")) for key, name, _, head in rows})
    found = []
    for key, _, away, head in rows:
        project, record = known[head]
        found.append(InLibrary(key, "project", away, project))
        if record:
            found.append(InLibrary(key, "record", away, record))
    return found


def every_thing() -> list[InLibrary]:
    """The yarns, looms and samples on hand that can be seen."""
    rows = list(OnHand.objects.exclude(head=None).values_list("pk", "kind", "name", "put_away", "head"))
    known = _known(OnHandState, {head: (name, "") for *_, name, _, head in rows})
    return [InLibrary(key, Kept(kind).value, away, known[head][0]) for key, kind, _, away, head in rows]


def _known(
    model: type[Revision] | type[OnHandState], wanted: dict[int, tuple[str, str]]
) -> dict[int, tuple[Findable, Findable | None]]:
    """What states are found by, with the name and the number of each; those not known yet are read in one go."""
    keys = {head: (model.__name__, head, *said) for head, said in wanted.items()}
    known = {head: found for head, key in keys.items() if (found := _found_by.get(key)) is not None}
    if lacking := [head for head in wanted if head not in known]:
        for first in range(0, len(lacking), _AT_ONCE):
            rows = model.objects.filter(pk__in=lacking[first : first + _AT_ONCE]).values_list("pk", "tree")
            for head, tree in rows.iterator():
                known[head] = _found_by.put(keys[head], _read(tree if isinstance(tree, dict) else {}, *wanted[head]))
    return known


def _read(tree: Tree, name: str, number: str) -> tuple[Findable, Findable | None]:
    """What a tree is found by, its record apart from the rest; no record where there is neither one nor a number."""
    texts = texts_of_tree(tree)
    of_record = tuple(one for one in texts if one.where.startswith("record"))
    others = Findable(name, tuple(one for one in texts if not one.where.startswith("record")))
    numbered = (Place("number", number),) if number else ()
    return others, Findable(name, (*numbered, *of_record)) if number or of_record else None


def texts_of_tree(tree: Tree) -> tuple[Place, ...]:
    """Every text of a typed tree that says something, with where it stands in the trade's words."""
    return tuple(_texts_below(tree, ()))


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
