from __future__ import annotations

from dataclasses import replace

import pytest

from clothwright.layout import Copy, copies
from clothwright.library.pieces.layouts import keep_layouts, layout_key, layouts_known, with_known
from clothwright.pattern import rectangle
from clothwright.planning import quick_layouts

pytestmark = pytest.mark.django_db

WIDTHS = (30.0, 40.0)


def pieces(length_cm: float = 50) -> tuple[Copy, ...]:
    return copies((rectangle("back", width_cm=20, length_cm=length_cm, cut=2),), one_way=True)


def yarn_for(width_cm: float, length_cm: float) -> float:
    return width_cm * length_cm / 100


def test_the_key_is_that_of_the_copies_alone() -> None:
    assert layout_key(pieces()) == layout_key(pieces())
    assert layout_key(pieces()) != layout_key(pieces(51))


def test_kept_layouts_come_back_as_they_were() -> None:
    found = [step.layout for step in quick_layouts(pieces(), WIDTHS, yarn_for)]
    keep_layouts(pieces(), found)
    assert layouts_known(pieces()) == tuple(found)
    assert layouts_known(pieces(51)) == ()


def test_a_longer_layout_does_not_replace_a_shorter_one() -> None:
    first = quick_layouts(pieces(), (40.0,), yarn_for)[0].layout
    shorter, longer = (replace(first, length_cm=first.length_cm + by) for by in (-1, 1))
    for one in (longer, shorter, first):
        keep_layouts(pieces(), [one])
    assert layouts_known(pieces()) == (shorter,)


def test_without_known_layouts_the_first_guesses_stand() -> None:
    assert with_known()(pieces(), WIDTHS, yarn_for) == quick_layouts(pieces(), WIDTHS, yarn_for)


def test_a_known_shorter_layout_is_taken_on_its_width_and_on_wider_cloth() -> None:
    first = quick_layouts(pieces(), (30.0,), yarn_for)[0].layout
    keep_layouts(pieces(), [replace(first, width_cm=28.0, length_cm=40.0)])
    steps = with_known()(pieces(), WIDTHS, yarn_for)
    assert [(step.width_cm, step.layout.length_cm) for step in steps] == [(28.0, 40.0), (30.0, 40.0), (40.0, 40.0)]
    assert [step.yarn_m for step in steps] == [yarn_for(width, 40.0) for width in (28, 30, 40)]
    assert steps[1].layout.used_share == pytest.approx(steps[0].layout.used_share * 28 / 30)


def test_known_layouts_wider_than_the_loom_finishes_are_left_out() -> None:
    wide = quick_layouts(pieces(), (60.0,), yarn_for)[0].layout
    keep_layouts(pieces(), [wide])
    assert [step.width_cm for step in with_known()(pieces(), WIDTHS, yarn_for)] == list(WIDTHS)
