"""What a project asks of its layout is so in the outlines given out, or is said not to be.

Distances and covers are reckoned anew here by shapely from those outlines; the judge of layouts is not asked.
"""

from __future__ import annotations

from itertools import combinations, pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from planning.asking import changed, planned, tree
from shapely.geometry import Polygon, box

from clothwright.planning import Laid, lay
from clothwright.project import ProblemsFound, read_project

ROWS = tree("rows-of-rectangles")
SPACE_CM = 0.02


def laid(tree_: dict[str, Any], **drawings: bytes) -> Laid:
    return lay(read_project(tree_), drawings=drawings)


def asking(**layout: Any) -> dict[str, Any]:
    return changed(ROWS, layout=layout)


def shapes(answer: Laid) -> dict[tuple[str, int], Polygon]:
    return {(one.piece, one.copy): Polygon(one.outline) for one in answer.outlines}


@given(st.floats(1, 30))
@settings(max_examples=6, deadline=None)
def test_pieces_lie_the_gap_apart(gap_mm: float) -> None:
    answer = laid(asking(gap=f"{gap_mm:.1f} mm"))
    found = shapes(answer).values()
    assert min(a.distance(b) for a, b in combinations(found, 2)) >= round(gap_mm, 1) / 10 - SPACE_CM
    assert answer.notes == laid(ROWS).notes


@given(st.floats(0, 200), st.floats(0.5, 5))
@settings(max_examples=6, deadline=None)
def test_nothing_lies_over_a_band_measured_from_the_end_of_the_cloth(at: float, length: float) -> None:
    """Squaring of 3 cm lies before the layout, so a band at 84 cm of the tape is at 81 cm of the layout."""
    given_ = changed(asking(flaw=[{"at": f"{at:.2f} cm", "length": f"{length:.2f} cm"}]), pattern__squaring="3 cm")
    answer = laid(given_)
    band = box(round(at, 2) - 3, 0, round(at, 2) - 3 + round(length, 2), answer.layout.width_cm)
    assert all(one.intersection(band).area < SPACE_CM for one in shapes(answer).values())


def test_a_spot_may_have_pieces_beside_it() -> None:
    """With a trim of 1 cm, 11 cm from the selvedge is 10 cm from where laying begins."""
    spot = {"at": "30 cm", "length": "2 cm", "from_selvedge": "11 cm", "width": "2 cm", "what": "knot"}
    answer = laid(changed(asking(flaw=[spot]), pattern__selvedge_trim="1 cm"))
    assert all(one.intersection(box(30, 10, 32, 12)).area < SPACE_CM for one in shapes(answer).values())
    whole = laid(changed(asking(flaw=[{"at": "30 cm", "length": "2 cm"}]), pattern__selvedge_trim="1 cm"))
    assert answer.layout.length_cm * answer.layout.width_cm <= whole.layout.length_cm * whole.layout.width_cm


def test_colour_lots_follow_one_another() -> None:
    answer = laid(asking(lot=[{"pieces": "side, facing"}, {"pieces": ["back"]}, {"pieces": ["front"]}]))
    ends = [
        (
            min(shape.bounds[0] for (piece, _), shape in shapes(answer).items() if piece in lot),
            max(shape.bounds[2] for (piece, _), shape in shapes(answer).items() if piece in lot),
        )
        for lot in (("side", "facing"), ("back",), ("front",))
    ]
    assert all(before[1] <= after[0] + SPACE_CM for before, after in pairwise(ends))


def test_nothing_lies_beside_a_piece_over_the_whole_width() -> None:
    found = shapes(laid(asking(whole_width=["side"])))
    for name, shape in found.items():
        beside = [other for key, other in found.items() if key != name and name[0] == "side"]
        assert all(
            o.bounds[2] <= shape.bounds[0] + SPACE_CM or o.bounds[0] >= shape.bounds[2] - SPACE_CM for o in beside
        )


def test_a_locked_piece_stays_where_it_was_put() -> None:
    place = {"piece": "side", "number": 2, "along": "13 cm", "across": "2 cm", "locked": True}
    answer = laid(changed(asking(place=[place]), pattern__squaring="3 cm", pattern__selvedge_trim="0.5 cm"))
    one = next(one for one in answer.layout.placed if (one.piece, one.copy) == ("side", 2))
    assert (one.x_cm, one.y_cm) == pytest.approx((10, 1.5))
    found = shapes(answer).values()
    assert all(a.intersection(b).area < SPACE_CM for a, b in combinations(found, 2))


def test_stripes_meet_at_named_notches_of_pieces_that_have_none_only_in_words() -> None:
    answer = laid(asking(stripes=[{"repeat": "6 cm"}], match=["hip"]))
    assert (
        answer.notes[0]
        == "No notch is called hip, so no stripes are matched there; no notch of these pieces has a name."
    )


NOTCHED = """<svg xmlns="http://www.w3.org/2000/svg" width="600mm" height="800mm" viewBox="0 0 600 800">
<g data-piece="left" data-grain="y"><path data-line="cut" d="M0 0 H200 V500 H0 Z"/>
<path data-line="notch" data-match="side" d="M195 {left} H200"/></g>
<g data-piece="right" data-grain="y"><path data-line="cut" d="M300 0 H480 V600 H300 Z"/>
<path data-line="notch" data-match="side" d="M300 {right} H305"/></g></svg>"""


@given(st.integers(20, 480), st.integers(20, 580), st.sampled_from((4.0, 6.5, 11.0)), st.booleans())
@settings(max_examples=12, deadline=None)
def test_stripes_meet_where_notches_are_sewn_together(left: int, right: int, repeat: float, even: bool) -> None:
    """Where each notch comes to lie is worked out by hand: from the foot of the piece, or from its head where turned."""
    drawing = NOTCHED.format(left=left, right=right).encode()
    stripes = [{"repeat": f"{repeat} cm", "even": even}]
    asked = changed(ROWS, pattern={"file": "n.svg"}, layout={"stripes": stripes, "match": "side"})
    answer = laid(asked, **{"n.svg": drawing})
    assert answer.notes == laid(changed(asked, layout=None), **{"n.svg": drawing}).notes
    from_foot = {"left": (500 - left) / 10, "right": (600 - right) / 10}
    from_head = {"left": left / 10, "right": right / 10}
    places = []
    for one in answer.layout.placed:
        turned = one.rotation_deg == 180
        at = one.x_cm + (from_head if turned else from_foot)[one.piece]
        places.append((-at if turned else at) % repeat)
    apart = abs(places[0] - places[1])
    assert min(apart, repeat - apart) <= 0.1 + 1e-6


def test_an_uneven_repeat_keeps_every_piece_one_way_up() -> None:
    answer = laid(asking(stripes=[{"repeat": "6 cm", "even": False}]))
    assert {one.rotation_deg for one in answer.layout.placed} == {0.0}


def test_what_cannot_be_kept_is_a_note_of_the_plan_and_of_the_layout() -> None:
    """Two places on top of one another: no layout has both."""
    places = [
        {"piece": "back", "number": number, "along": "0 cm", "across": "0 cm", "locked": True} for number in (1, 2)
    ]
    words = "Not kept in the layout: locked pieces are moved."
    assert words in laid(asking(place=places)).notes
    assert words in planned(asking(place=places)).notes
    assert words in planned(asking(place=places), by_hand=True).notes


def test_a_rule_about_a_piece_that_is_not_cut_is_said() -> None:
    notes = laid(asking(whole_width=["hood"])).notes
    assert "Not kept in the layout: a rule is about hood, which is not among the pieces." in notes
    place = {"piece": "back", "number": 9, "along": "0 cm", "across": "0 cm", "locked": True}
    assert (
        "back number 9 has a place in the project, and is not cut: the place is not used."
        in laid(asking(place=[place])).notes
    )


def kept_whole(answer: Laid) -> dict[str, Any]:
    """The layout as its places, no squaring and no trim."""
    places = [
        {
            "piece": one.piece,
            "number": one.copy,
            "along": f"{one.x_cm:.4f} cm",
            "across": f"{one.y_cm:.4f} cm",
            "turned": one.rotation_deg == 180,
        }
        for one in answer.layout.placed
    ]
    return {"kept_width": f"{answer.layout.width_cm} cm", "place": places}


def test_a_layout_kept_whole_is_the_plans_while_it_is_valid() -> None:
    """A worse layout than the search finds: all in one row, as a person may have their reasons to."""
    answer, row, at = laid(ROWS), [], 0.0
    for one in answer.outlines:
        row.append({"piece": one.piece, "number": one.copy, "along": f"{at} cm", "across": "0 cm"})
        at = round(at + max(x for x, _ in one.outline) - min(x for x, _ in one.outline), 4)
    plan = planned(asking(kept_width="40 cm", place=row))
    assert plan.layout is not None
    assert plan.layout.length_cm == pytest.approx(at)
    assert plan.layout.width_cm == pytest.approx(40)
    assert not any("kept layout" in note for note in plan.notes)


def test_a_kept_layout_that_is_no_longer_valid_is_said_and_not_used() -> None:
    kept = kept_whole(laid(ROWS))
    assert laid(asking(**kept)).notes == laid(ROWS).notes
    larger = changed(asking(**kept), pattern__piece__0__width="26 cm")
    answer = laid(larger)
    assert answer.notes[0].startswith("The kept layout is no longer used: ")
    found = shapes(answer).values()
    assert all(a.intersection(b).area < SPACE_CM for a, b in combinations(found, 2))


def test_a_kept_layout_wider_than_the_loom_finishes_is_not_used() -> None:
    kept = {**kept_whole(laid(ROWS)), "kept_width": "300 cm"}
    assert "The kept layout is no longer used: it is for cloth 300.0 cm wide" in laid(asking(**kept)).notes[0]


def test_places_without_a_width_or_without_every_copy_are_said() -> None:
    kept = kept_whole(laid(ROWS))
    assert any("kept_width" in note for note in laid(asking(place=kept["place"])).notes)
    fewer = {**kept, "place": kept["place"][1:]}
    assert "The kept layout is not used: no place is given for" in laid(asking(**fewer)).notes[0]


@pytest.mark.parametrize(
    ("layout", "said"),
    [
        ({"flaw": [{"at": "84 cm", "length": "1 cm", "from_selvedge": "3 cm"}]}, "how wide is the flaw"),
        ({"match": ["side"]}, "give stripes as well"),
        ({"stripes": [{"repeat": "6 cm"}, {"repeat": "4 cm"}]}, "one for along and one for across"),
        ({"off_grain_deg": 11}, "10"),
        ({"lot": [{"pieces": "back"}, {"pieces": "back"}]}, "back is in two colour lots"),
        ({"place": [{"piece": "back", "along": "0 cm", "across": "0 cm"}] * 2}, "back number 1 has two places"),
        ({"flaw": [{"at": "84", "length": "1 cm"}]}, "84"),
        ({"knots": []}, "knots"),
    ],
)
def test_what_makes_no_sense_is_asked_about(layout: dict[str, Any], said: str) -> None:
    with pytest.raises(ProblemsFound, match=said):
        read_project(asking(**layout))
