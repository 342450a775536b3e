"""The buttons beside rows: a row added or taken away, and a row as the history names it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from clothwright.web.forms.class_fields import CLASS
from clothwright.web.forms.colour_fields import COLOURS, WEFT_COLOURS
from clothwright.web.forms.field import Group, Part, Rows
from clothwright.web.forms.fields import SECTIONS
from clothwright.web.forms.finish_fields import FINISH
from clothwright.web.forms.fit_fields import FIT
from clothwright.web.forms.loom_fields import STANDS_SECTIONS
from clothwright.web.forms.record_fields import STAGES as RECORD_STAGES
from clothwright.web.forms.threading_fields import THREADING
from clothwright.web.forms.typed import Path, Tree, at, path_of, rows, with_row, without_row


def add_row(tree: Tree, name: str) -> tuple[Tree, Path]:
    """The tree with a blank row added to the rows of that name, and the row's path; KeyError if there are no such rows."""
    path = path_of(name)
    _rows_at(path)
    blank: Tree = {"balls": [{}]} if path == ("yarn",) else {}
    changed = with_row(tree, path, blank)
    return changed, (*path, len(rows(changed, path)) - 1)


def remove_row(tree: Tree, name: str) -> Tree:
    """The tree without the row of that name; KeyError if there is no such row."""
    path = path_of(name)
    _rows_at(path[:-1])
    if at(tree, path) is None:
        raise KeyError(name)
    return without_row(tree, path)


#: What a pressed button does to rows.
ROW_VERBS: Final = ("add", "remove")


def row_pressed(tree: Tree, verb: str, name: str) -> tuple[Tree, str, str]:
    """The tree with a row added or taken away, that in words, and the id of the row to go to; KeyError if there is none."""
    if verb == "remove":
        return remove_row(tree, name), f"took away {row_in_words(name)}", ""
    tree, row = add_row(tree, name)
    return tree, f"added {row_in_words('.'.join(map(str, row)))}", "-".join(("f", *map(str, row)))


def row_in_words(name: str) -> str:
    """A row as the history names it: yarn 1, ball 2."""
    words = []
    path = path_of(name)
    for length, step in enumerate(path):
        if isinstance(step, int):
            words.append(f"{_rows_at(path[:length]).word} {step + 1}")
    return ", ".join(words)


def _rows_at(path: Path) -> Rows:
    template = ".".join("*" if isinstance(step, int) else step for step in path)
    return _ROWS[template]


def _all_rows(parts: Iterable[Part]) -> Iterator[Rows]:
    for part in parts:
        if isinstance(part, Rows):
            yield part
        if isinstance(part, Rows | Group):
            yield from _all_rows(part.parts)


_ROWS: Final = {
    rows.path: rows
    for section in (
        *SECTIONS,
        *FIT,
        *COLOURS,
        *WEFT_COLOURS,
        *THREADING,
        *RECORD_STAGES,
        *CLASS,
        *FINISH,
        *STANDS_SECTIONS,
    )
    for rows in _all_rows(section.parts)
}
