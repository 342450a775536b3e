"""Yarns, looms and samples kept outside any project, each with every state it was ever in.

What is stored is a project document with that one part: `{"units": …, "yarn": [ … ]}` or `{"units": …, "loom": { … }}`; of
a sample, with the yarns it is of: `{"units": …, "yarn": [ … ], "sample": [ … ]}`; exactly as typed. A change is a new state; going back makes an earlier state count again; nothing is deleted.
"""

from __future__ import annotations

import copy
import uuid
from collections.abc import Iterable
from enum import StrEnum
from typing import Any, Final

from django.db import transaction
from django.db.models import QuerySet

from clothwright.library.models import OnHand, OnHandState, Project
from clothwright.library.numbered import last_number
from clothwright.library.store import NAMELESS, projects

Tree = dict[str, Any]
_LARGEST: Final = 2**31 - 1
#: Lists that go with a yarn: cores weighed empty, and what its lengths were wound on.
TOOLS: Final = ("core", "winder")


class Kept(StrEnum):
    """What can be kept on hand."""

    YARN = "yarn"
    LOOM = "loom"
    SAMPLE = "sample"


def part_of(tree: Tree, kind: Kept | str) -> Tree:
    """The yarn, the loom or the sample of a tree, whatever was typed: an empty table where there is none."""
    found = tree.get(kind)
    if kind != Kept.LOOM:
        found = found[0] if isinstance(found, list) and found else None
    return found if isinstance(found, dict) else {}


def tree_of(kind: Kept | str, part: Tree, units: str = "metric") -> Tree:
    """The tree to keep for a yarn, a loom or a sample by itself."""
    return {"units": units, str(kind): part if kind == Kept.LOOM else [part]}


def shown_name(tree: Tree, kind: Kept | str) -> str:
    """The name to show, whatever was typed."""
    return str(part_of(tree, kind).get("name") or "").strip()[:200] or NAMELESS


@transaction.atomic
def add(kind: Kept, tree: Tree, what: str) -> OnHand:
    """Keep a yarn or a loom."""
    one = OnHand.objects.create(kind=kind, name=shown_name(tree, kind))
    _add(one, tree, what)
    return one


@transaction.atomic
def add_each(kind: Kept, trees: Iterable[tuple[str, Tree]]) -> tuple[int, int]:
    """Keep trees, each with what to say of it; how many are new, and how many were there already, word for word."""
    there = [_what_counts(head(one).tree, kind) for away in (False, True) for one in listed(kind, put_away=away)]
    new = already = 0
    for what, tree in trees:
        if _what_counts(tree, kind) in there:
            already += 1
            continue
        add(kind, {"units": "metric"} | tree, what)
        there.append(_what_counts(tree, kind))
        new += 1
    return new, already


def _what_counts(tree: Tree, kind: Kept) -> Tree:
    """What makes two of a kind one: the part and the tools it came with, not the units it is shown in."""
    return {"part": part_of(tree, kind)} | {tool: tree[tool] for tool in TOOLS if not _blank(tree.get(tool))}


def find(kind: Kept, key: uuid.UUID | str) -> OnHand:
    """The yarn or loom of that key; OnHand.DoesNotExist if there is none."""
    return OnHand.objects.select_related("head").get(kind=kind, pk=key)


def listed(kind: Kept, *, put_away: bool = False) -> QuerySet[OnHand]:
    """Yarns or looms on hand, or those put away, by name."""
    return _by_name().filter(kind=kind, put_away=put_away)


def all_listed() -> dict[Kept, list[OnHand]]:
    """All that is on hand and not put away, by kind, each by name."""
    found = list(_by_name().filter(put_away=False))
    return {kind: [one for one in found if one.kind == kind] for kind in Kept}


def _by_name() -> QuerySet[OnHand]:
    return OnHand.objects.select_related("head").order_by("name", "created")


def head(one: OnHand) -> OnHandState:
    """The state that counts now."""
    assert one.head is not None  # it is made with its first state
    return one.head


@transaction.atomic
def change(one: OnHand, tree: Tree, what: str) -> OnHandState:
    """Save a tree as the state that counts; a tree that changes nothing saves nothing."""
    _lock(one)
    return head(one) if head(one).tree == tree else _add(one, tree, what)


@transaction.atomic
def go_to(one: OnHand, number: int) -> OnHandState:
    """Make an earlier state count again; OnHandState.DoesNotExist if there is none of that number."""
    _lock(one)
    return _move(one, state(one, number))


def state(one: OnHand, number: int) -> OnHandState:
    """The state of that number; OnHandState.DoesNotExist if there is none."""
    return OnHandState.objects.get(of=one, number=min(number, _LARGEST))


def beside_head(one: OnHand, *, back: bool) -> int | None:
    """The number of the state before the one that counts, or after it; None where there is none."""
    now, states = head(one).number, OnHandState.objects.filter(of=one)
    found = (
        states.filter(number__lt=now).order_by("-number") if back else states.filter(number__gt=now).order_by("number")
    )
    return found.values_list("number", flat=True).first()


def history(one: OnHand) -> list[OnHandState]:
    """Every state, newest first."""
    return list(OnHandState.objects.filter(of=one).order_by("-number"))


def put_away(one: OnHand) -> None:
    """Take it off the shelf; it is kept."""
    OnHand.objects.filter(pk=one.pk).update(put_away=True)


def bring_back(one: OnHand) -> None:
    """Put it back on the shelf."""
    OnHand.objects.filter(pk=one.pk).update(put_away=False)


def into_project(tree: Tree, one: OnHand) -> Tree:
    """A project's tree with the yarn or the sample added to its own, or with the loom in place of its own, as typed."""
    changed, part = copy.deepcopy(tree), copy.deepcopy(part_of(head(one).tree, one.kind))
    if one.kind == Kept.LOOM:
        return changed | {"loom": part}
    if one.kind == Kept.SAMPLE:
        return with_sample(changed, head(one).tree)
    there = changed.get("yarn")
    kept = [yarn for yarn in there if not _blank(yarn)] if isinstance(there, list) else []
    return changed | _tools(changed, head(one).tree) | {"yarn": [*kept, part]}


def with_sample(tree: Tree, taken: Tree) -> Tree:
    """A tree with the sample of another added, and those of its yarns that it has not under that name, as only sampled."""
    sample = copy.deepcopy(part_of(taken, Kept.SAMPLE))
    yarns = [one for one in _listed(tree, "yarn") if not _blank(one)]
    names = {_name(one) for one in yarns}
    used = {sample.get("warp"), sample.get("weft")} - {None, ""}
    of = [one for one in _listed(taken, "yarn") if not _blank(one) and (_name(one) in used or not used)]
    new = [copy.deepcopy(one) | {"use": "only sampled"} for one in of if _name(one) not in names]
    for side in ("warp", "weft"):
        if not sample.get(side) and of:
            sample[side] = _name(of[0])
    samples = [one for one in _listed(tree, "sample") if not _blank(one)]
    return tree | {"yarn": [*yarns, *new], "sample": [*samples, sample]}


def sample_of_project(tree: Tree, number: int) -> Tree:
    """The tree to keep for a sample of a project: the sample as typed, with the yarns it names; IndexError if there is none."""
    sample = _listed(tree, "sample")[number]
    yarns = [one for one in _listed(tree, "yarn") if not _blank(one)]
    names = {sample.get("warp"), sample.get("weft")} - {None, ""}
    of = [one for one in yarns if _name(one) in names] if names else yarns[:1]
    return {
        "units": tree.get("units", "metric"),
        "yarn": [_without_stock(one) for one in of],
        "sample": [copy.deepcopy(sample)],
    }


def _without_stock(yarn: Tree) -> Tree:
    """A yarn without what there is of it: the library of samples knows what a yarn is, not how much is in hand."""
    return {key: copy.deepcopy(value) for key, value in yarn.items() if key not in ("balls", "use", "scale_step")}


def every_sample() -> QuerySet[OnHand]:
    """The samples of the library by name, those put away last."""
    return _by_name().filter(kind=Kept.SAMPLE).order_by("put_away", "name", "created")


def same_samples(sample: Tree, among: Iterable[OnHand]) -> list[OnHand]:
    """The kept samples whose content equals a sample word for word: one and the same sample."""
    return [one for one in among if same_sample(part_of(head(one).tree, Kept.SAMPLE), sample)]


def same_sample(one: Tree, other: Tree) -> bool:
    """Whether two samples are one, word for word: what was left blank does not count, nor which yarn a lone name stands for."""
    first, second = (_plain(each) for each in (one, other))
    for side in ("warp", "weft"):
        if side not in first or side not in second:
            first.pop(side, None)
            second.pop(side, None)
    return bool(first) and first == second


def _plain(value: Any) -> Any:
    """A part without what is blank in it."""
    if isinstance(value, dict):
        return {key: _plain(one) for key, one in value.items() if not _blank(one)}
    return [_plain(one) for one in value if not _blank(one)] if isinstance(value, list) else value


def _listed(tree: Tree, key: str) -> list[Tree]:
    found = tree.get(key)
    return [one for one in found if isinstance(one, dict)] if isinstance(found, list) else []


def _name(part: Tree) -> str:
    return str(part.get("name") or "").strip()


def _tools(tree: Tree, taken: Tree) -> Tree:
    """The lists of cores and winders of a tree, with those of a yarn's that it has not under that name."""
    lists = {}
    for kind in TOOLS:
        there, more = (one if isinstance(one, list) else [] for one in (tree.get(kind), taken.get(kind)))
        names = [tool.get("name") for tool in there if isinstance(tool, dict)]
        new = [copy.deepcopy(tool) for tool in more if isinstance(tool, dict) and tool.get("name") not in names]
        if new := [tool for tool in new if not _blank(tool)]:
            lists[kind] = [*there, *new]
    return lists


def _blank(value: object) -> bool:
    """Whether a row holds nothing but empty tables and lists."""
    if isinstance(value, dict):
        return all(map(_blank, value.values()))
    return all(map(_blank, value)) if isinstance(value, list) else value in (None, "")


def used_in(kind: Kept) -> dict[str, list[Project]]:
    """The projects on the table by the name of each yarn or sample, or of the loom, that they have now."""
    found: dict[str, list[Project]] = {}
    for project in projects():
        for name in _names(project.head.tree if project.head else {}, kind):
            found.setdefault(name, []).append(project)
    return found


def _names(tree: Tree, kind: Kept) -> set[str]:
    part = tree.get(kind)
    parts = part if isinstance(part, list) else [part]
    return {str(one["name"]).strip() for one in parts if isinstance(one, dict) and one.get("name")}


def _lock(one: OnHand) -> None:
    """Take its head as it is now, until the end of the transaction."""
    fresh = OnHand.objects.select_for_update(of=("self",)).get(pk=one.pk)
    # Asked for by itself: joined, a server would still answer with the head from before it waited for the row.
    one.head = OnHandState.objects.get(pk=fresh.head_id) if fresh.head_id else None


def _add(one: OnHand, tree: Tree, what: str) -> OnHandState:
    number = last_number(OnHandState.objects.filter(of=one)) + 1
    return _move(one, OnHandState.objects.create(of=one, number=number, tree=tree, what=what))


def _move(one: OnHand, to: OnHandState) -> OnHandState:
    one.head, one.name = to, shown_name(to.tree, one.kind)
    one.save(update_fields=["head", "name"])
    return to
