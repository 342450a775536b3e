"""Joins proposed for narrow cloth are what a plan of the joined garment says."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from planning.asking import changed, planned, tree

from clothwright.planning import JoinsAnswer, plan, propose_joins, written
from clothwright.planning.choices.laying import lay
from clothwright.project import ProblemsFound, read_project

ROWS = tree("rows-of-rectangles")
SMOCK = tree("wrack-smock")


def proposed(given: dict[str, Any], width_cm: float | None = None, **drawings: bytes) -> JoinsAnswer:
    return propose_joins(read_project(given), cloth_width_cm=width_cm, drawings=drawings)


def with_pieces(*pieces: dict[str, Any], **more: Any) -> dict[str, Any]:
    return changed(ROWS, pattern={"piece": list(pieces), **more})


def piece(name: str, width: float, length: float, cut: int = 1, **more: Any) -> dict[str, Any]:
    return {"name": name, "width": f"{width} cm", "length": f"{length} cm", "cut": cut, **more}


# --- the cost is that of a plan ---------------------------------------------------------------------------------------


def test_what_a_proposal_takes_is_what_the_plan_says_once_it_is_taken() -> None:
    for one in proposed(SMOCK).proposals:
        taken = changed(SMOCK, pattern__join=[written(part) for part in one.parts])
        made = planned(taken)
        assert one.takes.yarn_m == pytest.approx(made.warp.yarn_m.expected + made.weft.yarn_m.expected, abs=1e-6)
        assert one.takes.ends == made.warp.ends
        assert one.takes.warp_cm == made.warp.length_cm
        assert one.takes.chance_enough == made.chance_enough
        assert one.takes.cloth_width_cm == made.cloth.asked_width_cm


def test_a_garment_joined_costs_what_its_panels_typed_as_numbers_cost() -> None:
    """Independent of the geometry: the panels are worked out here by hand, half the width and the allowance, and typed."""
    sleeve, facing, pocket = SMOCK["pattern"]["piece"][2:]
    halves = [
        piece(f"{name}, {side} panel", 56 / 2 + 1.5, length)
        for name, length in (("back", 66), ("front", 64))
        for side in ("left", "right")
    ]
    by_hand = planned(changed(SMOCK, pattern={"piece": [*halves, sleeve, facing, pocket]}))
    centre = next(
        one
        for one in proposed(SMOCK).proposals
        if {part.at for part in one.parts} == {"centre"} and not any(part.sewn != "seam" for part in one.parts)
    )
    assert centre.takes.yarn_m == pytest.approx(by_hand.warp.yarn_m.expected + by_hand.weft.yarn_m.expected, abs=1e-6)
    assert centre.takes.yarn_g == pytest.approx(centre.takes.yarn_m / 2.9, rel=0.01)
    assert centre.seams_cm == pytest.approx(66 + 64)


# --- story: a centimetre that costs 62 ---------------------------------------------------------------------------------


@pytest.mark.parametrize(("cloth", "length"), [(42, 252), (47, 252), (48, 190), (49, 190)])
def test_waistcoat_pieces_that_fit_need_no_join_and_keep_their_rows(cloth: int, length: int) -> None:
    """2 backs 24 x 62, 2 fronts 26 x 64, 2 sides 12 x 40, 2 facings 8 x 64, all one way: each back and front in its own row
    up to 47 cm, both backs in one row from 48 on. *Source:* own arithmetic with invented data, by rows of rectangles."""
    laid = lay(read_project(changed(ROWS, want={"width": f"{cloth} cm"})), drawings={})
    assert laid.layout.length_cm == pytest.approx(length)
    assert proposed(ROWS, cloth).too_wide == ()


def test_waistcoat_fronts_too_wide_by_two_centimetres_are_joined_and_all_else_left_whole() -> None:
    answer = proposed(ROWS, 24)
    assert [name for name, _ in answer.too_wide] == ["front"]
    assert answer.as_it_is is None
    assert {one.piece for proposal in answer.proposals for one in proposal.parts} == {"front"}
    best = answer.proposals[0]
    rows = (
        2 * 62 + 2 * 64 + 40 + 64
    )  # backs, fronts by panels (14.5 beside a facing of 8, twice each), sides side by side
    assert best.takes.cloth_length_cm >= rows
    assert answer.proposals[0].takes.yarn_m <= min(one.takes.yarn_m for one in answer.proposals) * 1.02


# --- what is proposed ---------------------------------------------------------------------------------------------


@given(
    st.floats(12, 45),
    st.lists(st.tuples(st.integers(8, 80), st.integers(20, 70), st.integers(1, 2)), min_size=1, max_size=3),
)
@settings(max_examples=15, deadline=None)
def test_no_panel_is_wider_than_the_cloth_and_every_plan_is_lawful(
    cloth: float, sizes: list[tuple[int, int, int]]
) -> None:
    answer = proposed(with_pieces(*(piece(f"p{n}", *size) for n, size in enumerate(sizes))), cloth)
    for one in (*answer.proposals, *answer.savings):
        assert max(panel.width_cm for panel in one.panels) <= answer.usable_cm + 1e-6
        assert one.takes.cloth_width_cm <= cloth + 1e-6
        assert one.takes.cloth_length_cm * one.takes.cloth_width_cm >= sum(p.area_cm2 * p.cut for p in one.panels) - 1
    assert answer.planned <= 30


def test_proposals_come_best_first_and_those_as_good_say_so() -> None:
    found = proposed(SMOCK).proposals
    ranks = [(-round(one.takes.chance_enough, 2), one.takes.yarn_m, one.seams_cm) for one in found]
    assert ranks == sorted(ranks)
    least = min(one.takes.yarn_m for one in found)
    assert [one.as_good for one in found] == [one.takes.yarn_m <= 1.02 * least for one in found]
    assert found[0].as_good


def test_a_line_where_a_piece_may_be_joined_comes_first() -> None:
    from pattern.drawn import page

    drawing = page(
        '<g><title>back: cut 1, grain y</title><path d="M5,5 H61 V65 H5 Z"/>'
        '<line x1="40" y1="5" x2="40" y2="65" data-line="join"/></g>'
    )
    answer = proposed(changed(ROWS, pattern={"file": "back.svg"}), 40.0, **{"back.svg": drawing})
    assert {one.parts[0].at for one in answer.proposals} >= {"drawn line", "centre"}
    other = with_pieces(piece("front", 56, 60))
    both = changed(other, pattern={**other["pattern"], "file": "back.svg"})
    varied = [one for one in proposed(both, 40.0, **{"back.svg": drawing}).proposals if one.parts[1].at != "centre"]
    assert varied
    assert {one.parts[0].at for one in varied} & {"drawn line"}


def test_selvedges_are_joined_only_in_layouts_that_keep_them_at_the_side() -> None:
    given = with_pieces(piece("body", 50, 60), piece("collar", 12, 30))
    butted = [one for one in proposed(given, 30.0).proposals if one.parts[0].sewn == "selvedges butted"]
    assert butted
    assert max(panel.width_cm for panel in butted[0].panels) == 25
    trimmed = changed(given, pattern__selvedge_trim="5 mm")
    assert all(one.parts[0].sewn == "seam" for one in proposed(trimmed, 30.0).proposals)


def test_kimono_cut_from_one_bolt_wastes_nothing() -> None:
    """Body 4 x (160 + 8) = 672 cm, collar and overlap 2 x (168 - 15) = 306 cm, four sleeve lengths of 55.5 cm from a bolt of 12 m:
    all of it used. Laid here as panels of a body and sleeves two bolts wide, joined by their selvedges.

    *Source:* S. Briscoe, "How to cut out kimono and other things", 2008 (method and width); the bolt's 12 m from memory.
    """
    bolt = 36.0
    pattern = {
        "piece": [
            piece("body", 2 * bolt, 2 * 168),
            piece("collar and overlap", bolt, 153, 2),
            piece("sleeves", 2 * bolt, 2 * 55.5),
        ],
        "join": [{"piece": name, "at": "centre", "sewn": "selvedges butted"} for name in ("body", "sleeves")],
    }
    laid = lay(read_project(changed(ROWS, want={"width": f"{bolt} cm"}, pattern=pattern)), drawings={})
    assert laid.layout.length_cm == pytest.approx(1200)
    assert laid.layout.used_share == pytest.approx(1)


def test_a_piece_that_fits_across_the_grain_is_only_asked_about() -> None:
    answer = proposed(with_pieces(piece("yoke", 50, 20)), 30.0)
    assert len(answer.questions) == 1
    assert "Is that wanted?" in answer.questions[0]
    assert all(panel.length_cm == 20 for one in answer.proposals for panel in one.panels)


def test_a_join_that_saves_yarn_is_told_for_a_piece_that_fits() -> None:
    """Two skirts 40 wide on cloth for 60: whole they take two rows, in halves three halves lie beside each other."""
    answer = proposed(with_pieces(piece("skirt", 40, 90), piece("strap", 14, 90)), 42.0)
    assert answer.too_wide == ()
    assert answer.as_it_is is not None
    for one in answer.savings:
        assert one.saves_m == pytest.approx(answer.as_it_is.yarn_m - one.takes.yarn_m)
        assert one.saves_m > 0.02 * answer.as_it_is.yarn_m
    assert [part.piece for one in answer.savings for part in one.parts] == ["skirt"]


def test_a_piece_no_way_of_joining_makes_fit_is_told_with_the_reason() -> None:
    answer = proposed(with_pieces(piece("cape", 190, 60)), 12.0)
    assert answer.proposals == ()
    assert answer.cannot == ("cape: no way was found to join it from panels that fit on 12.0 cm of cloth",)


def test_a_width_the_loom_cannot_finish_is_said_and_the_loom_taken() -> None:
    answer = proposed(SMOCK, 90.0)
    assert answer.cloth_cm < 46
    assert any("90 cm was asked for" in note for note in answer.notes)


def test_many_pieces_are_planned_in_bounded_number_and_what_was_left_out_is_told() -> None:
    answer = proposed(with_pieces(*(piece(f"panel {n}", 40 + n, 30) for n in range(9))), 30.0)
    assert answer.planned == 30
    assert answer.left_out > 0
    assert any("more ways were not planned" in note for note in answer.notes)


# --- refusals ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("ask", [plan, lay])
def test_a_piece_too_wide_is_refused_with_how_it_could_be_joined_and_where_that_is_told(ask) -> None:
    with pytest.raises(ProblemsFound) as caught:
        ask(read_project(SMOCK), drawings={})
    said = str(caught.value)
    assert "back (56.0 cm), front (56.0 cm) are wider than the cloth" in said
    assert "Back and front could be joined by a centre seam, with side panels" in said
    assert "the command joins and the page Narrow cloth" in said


def test_selvedges_that_no_layout_keeps_at_the_side_are_refused_with_the_reason() -> None:
    pattern = {
        "piece": [piece("body", 50, 60, one_way=True), piece("yoke", 29, 30)],
        "join": [{"piece": "body", "at": "3 equal panels", "sewn": "selvedges butted"}],
    }
    with pytest.raises(
        ProblemsFound, match=r"no layout was found that keeps the selvedge edges of body.*or join them by a seam"
    ):
        planned(changed(ROWS, pattern=pattern))


def test_selvedges_that_are_trimmed_off_cannot_be_joined() -> None:
    join = {"piece": "back", "at": "centre", "sewn": "selvedges lapped"}
    given = changed(ROWS, pattern__selvedge_trim="1 cm", pattern__join=[join])
    with pytest.raises(ProblemsFound, match="back is joined by its selvedges, and they are trimmed off"):
        planned(given)


def test_a_project_without_pieces_has_nothing_to_join() -> None:
    with pytest.raises(ProblemsFound, match="no piece to join"):
        proposed(tree("slate-tide-cloth"))
