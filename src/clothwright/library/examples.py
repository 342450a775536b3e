"""The examples that come with the program: where their files are, and each opened as a project of its own, apart from hers."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any, Final

from clothwright.library import store, whose
from clothwright.library.files import plain_tree, read_project_file
from clothwright.library.models import OnHand, Project
from clothwright.library.shelves import on_hand
from clothwright.library.shelves.on_hand import Kept
from clothwright.library.teaching import classes
from clothwright.project import read_toml

Tree = dict[str, Any]
_HERE: Final = Path(__file__).parent
#: Beside the package once it is built, and at the top of a checkout.
_FOLDERS: Final = (_HERE / "demo", _HERE / "examples", _HERE.parents[2] / "examples")
#: What is measured last: an example is first kept without it, so that its history has a step to go back.
_LATER: Final = ("sample", "log", "off_loom", "finishing", "record")


def example_file(name: str) -> Path:
    """The file of an example; FileNotFoundError where the program was installed without it."""
    for folder in _FOLDERS:
        if (file := folder / name).is_file():
            return file
    raise FileNotFoundError(f"the example {name} did not come with the program")


def example_project(name: str, shaped: Any) -> Project:
    """The project of an example, opened where it is not there yet, and brought back where it was put away.

    `shaped` puts a tree into the shape in which the pages show rows. Call it among the examples.
    """
    assert whose.examples_now()
    if (there := Project.objects.filter(example=name).order_by("-created").first()) is not None:
        store.bring_back(there)
        return store.project(there.pk)
    tree, drawings = read_project_file(example_file(name))
    full = shaped(plain_tree(tree))
    first = {key: value for key, value in copy.deepcopy(full).items() if key not in _LATER}
    made = store.new_project(first, "the example opened", drawings)
    Project.objects.filter(pk=made.pk).update(example=name)
    if full != first:
        store.change(made, full, "what was measured of it")
    return store.project(made.pk)


def with_class(project: Project, name: str) -> None:
    """The class of an example kept beside its project, where it has none yet."""
    if classes.head_of_class(project) is None:
        tree = plain_tree(read_toml(example_file(name).read_text(encoding="utf-8")))
        classes.keep_class(
            project,
            {key: value for key, value in tree.items() if key not in ("project", "clothwright_class")},
            "the example opened",
        )


def example_things(kind: Kept, name: str) -> list[OnHand]:
    """The yarns, the loom or the samples of an example on their shelf, put there where they are not yet."""
    tree, _ = read_project_file(example_file(name))
    tree = plain_tree(tree)
    there = OnHand.objects.filter(kind=kind, example=name)
    if there.exists():
        there.update(put_away=False)
        return list(there)
    made = [on_hand.add(kind, one, "the example opened") for one in _trees(kind, tree)]
    OnHand.objects.filter(pk__in=[one.pk for one in made]).update(example=name)
    return made


def _trees(kind: Kept, tree: Tree) -> list[Tree]:
    if kind == Kept.SAMPLE:
        return [on_hand.sample_of_project(tree, n) for n in range(len(tree.get("sample", [])))]
    parts = tree.get("yarn", []) if kind == Kept.YARN else [tree.get("loom", {})]
    return [on_hand.tree_of(kind, {"name": "the window loom", **part} if kind == Kept.LOOM else part) for part in parts]
