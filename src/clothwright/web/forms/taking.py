"""Taking a yarn, a loom or a sample on hand into a project: a copy of it, as typed."""

from __future__ import annotations

from django.core.exceptions import ValidationError

from clothwright.library.models import OnHand
from clothwright.library.shelves import on_hand
from clothwright.library.shelves.on_hand import Kept
from clothwright.web.forms.form import for_the_page
from clothwright.web.forms.typed import Tree, rows


def take(tree: Tree, kind: str, key: str) -> tuple[Tree, str, str]:
    """The tree with a copy of what was chosen, what happened in words, and the place on the page; ValueError if there is none."""
    kept = Kept(kind)
    if not key:
        return tree, "changed", ""
    try:
        one = on_hand.find(kept, key)
    except (OnHand.DoesNotExist, ValidationError):
        raise ValueError(key) from None
    taken = for_the_page(on_hand.into_project(tree, one))
    focus = "" if kept == Kept.LOOM else f"f-{kept}-{len(rows(taken, (str(kept),))) - 1}"
    return taken, f"took {kept} {one.name} from what is on hand", focus
