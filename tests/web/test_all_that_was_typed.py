"""Whatever a project file says has a place on a page, so that nothing typed is there and cannot be seen."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import pytest

from clothwright.web.cloth import threading
from clothwright.web.forms.by_size import EVERY, by_size
from clothwright.web.forms.colour_fields import COLOURS, WEFT_COLOURS
from clothwright.web.forms.form import PROJECT, FieldTable, Form, for_the_page
from clothwright.web.loom import log_fields, off_loom
from clothwright.web.pattern import fit
from clothwright.web.record import record_page
from clothwright.web.teaching import classes, leaflets

ROOT: Final = Path(__file__).parents[2]
FILES: Final = sorted([*(ROOT / "examples").glob("*.toml"), *(ROOT / "src/clothwright/library/demo").glob("*.toml")])
TABLES: Final = (
    PROJECT,
    classes.TABLE,
    fit.TABLE,
    leaflets.TABLE,
    log_fields.STANDS,
    off_loom.TABLE,
    record_page.TABLE,
    threading.TABLE,
    FieldTable(COLOURS),
    FieldTable(WEFT_COLOURS),
)
#: What pages show otherwise than as a field of a table, and where.
SHOWN_OTHERWISE: Final = {
    ("clothwright",): "the version of the file",
    ("clothwright_class",): "the version of a class list",
    ("project",): "a class list names its project: the project it is opened in",
    ("begun", "yarn"): "Begin: the words of the first question",
    ("begun", "making"): "Begin: what is to be made",
    ("begun", "taken"): "Begin: Taken, because nobody said",
    ("seed",): "the command line's; the pages have one of their own for each search",
    ("student",): "the class page",
    ("log",): "the log at the loom, entry by entry",
    ("on_loom", "first_plan"): "the forecast, under The first plan",
    ("colours", "order"): "the colour order itself",
    ("colours", "use_up"): "the rules, a tick beside each yarn",
    ("colours", "not_at_edges"): "the rules, a tick beside each yarn",
    ("colours", "weft"): "the rules, a tick beside each yarn",
    ("pattern", "from_measures"): "Make from measures",
    ("record", "later"): "Found out later, on the record",
    ("record", "number"): "the heading of the record",
    ("record", "photo"): "the photos of the record",
    ("record", "remnant"): "the remnants of the record, drawn",
}


def typed_in(tree: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The place of everything in a tree that is no table and no list of tables."""
    if isinstance(tree, dict):
        for key, part in tree.items():
            yield from typed_in(part, (*path, key))
    elif isinstance(tree, list) and any(isinstance(part, dict | list) for part in tree):
        for number, part in enumerate(tree):
            yield from typed_in(part, (*path, number))
    else:
        yield path


def shown_on_pages(tree: dict[str, Any]) -> set[tuple[Any, ...]]:
    return {bound.path for table in TABLES for _, bound in Form(tree, (), table).filled()} | shown_by_size(tree)


def shown_by_size(tree: dict[str, Any]) -> set[tuple[Any, ...]]:
    """What the leaflet's page shows in a row of a name, and a column of a size."""
    return {
        (*asked.where, *((size, row.name.value) if asked.by_width else (row.name.value, size)))
        for asked in EVERY
        for table in [by_size(asked, tree, ())]
        for row in table.rows
        for size, one in zip(table.sizes, row.lengths, strict=True)
        if one.value
    }


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_everything_an_example_says_is_shown_on_a_page(file: Path) -> None:
    """A ball may be written as a bare weight: it has its field all the same."""
    tree = for_the_page(tomllib.loads(file.read_text(encoding="utf-8")))
    shown = shown_on_pages(tree)
    unseen = [
        path for path in typed_in(tree) if not any(path[: len(one)] == one for one in shown | SHOWN_OTHERWISE.keys())
    ]
    assert unseen == []
