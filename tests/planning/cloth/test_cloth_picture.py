"""The picture of a plan's cloth: its threads, setts, colours, and which of them look alike."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from clothwright.colours import Likeness, Sight
from clothwright.planning import ClothPicture, ClothState, Plan, Tried, picture_of_cloth, plan, trying
from clothwright.planning.cloth.cloth_on_pieces import CutPiece, Meeting, MetAt, cut_pieces, meetings
from clothwright.project import ProblemsFound, Project, read_project
from clothwright.yarn import RULER_WRAPS_PER_DIAMETER

EXAMPLES = Path(__file__).parents[3] / "examples"


def project_of(name: str) -> Project:
    return read_project(tomllib.loads((EXAMPLES / name).read_text("utf-8")))


def drawings() -> dict[str, bytes]:
    return {"samphire-bodice.svg": (EXAMPLES / "samphire-bodice.svg").read_bytes()}


@cache
def bodice() -> tuple[Project, Plan]:
    """The striped bodice and its plan."""
    project = project_of("foam-line-bodice.toml")
    return project, plan(project, drawings=drawings())


@cache
def striped(state: ClothState = ClothState.FINISHED) -> ClothPicture:
    return picture_of_cloth(*bodice(), state=state)


def test_the_finished_cloth_is_the_plans_by_its_own_sums() -> None:
    """Ends over finished width; picks woven over finished length: the sums a weaver does with a ruler on the cloth."""
    _, planned = bodice()
    picture = striped()
    assert picture.face.width_cm == pytest.approx(planned.cloth.finished_width_cm.expected)
    woven = planned.weft.picks_per_cm_on_loom.expected * planned.weft.woven_on_loom_cm.expected
    assert picture.picks_per_cm == pytest.approx(woven / planned.cloth.finished_length_cm.expected)
    assert picture.face.up.shape == (len(picture.threads.weft), planned.warp.ends)


def test_on_the_loom_it_stands_at_the_sett_of_the_heddle() -> None:
    """40 ends in 10 cm as typed; the finished cloth is closer both ways, since it has drawn in and shrunk."""
    on_loom, finished = striped(ClothState.ON_LOOM), striped()
    assert on_loom.ends_per_cm == pytest.approx(4.0)
    assert finished.ends_per_cm > on_loom.ends_per_cm
    assert finished.picks_per_cm > on_loom.picks_per_cm
    assert len(finished.threads.weft) == len(on_loom.threads.weft)


def test_a_thread_is_as_wide_as_it_wraps_round_a_ruler() -> None:
    """14 wraps to the inch are 25.4 ÷ 14 = 1.81 mm each; without wraps, calculated diameters ÷ 0.7. By arithmetic."""
    assert striped().thickness_mm["foam"] == pytest.approx(25.4 / 14)
    bare = project_of("basket-of-balls.toml")
    thick = picture_of_cloth(bare, plan(bare)).thickness_mm["marram"]
    yards_per_pound = 4.0 * 453.59237 / 0.9144
    rule = thick * RULER_WRAPS_PER_DIAMETER
    # The constant of the square-root rule for soft or firm yarn lies from 0.8 to 1 of √(yd/lb); from memory.
    assert 25.4 / yards_per_pound**0.5 < rule < 25.4 / (0.8 * yards_per_pound**0.5)


def test_stripes_are_told_as_they_were_drawn() -> None:
    """4 cm of sea lettuce stands in the middle: as many ends as 4 cm of finished cloth has, to a pair."""
    picture = striped()
    middle = len(picture.threads.warp) // 2
    (stripe,) = [one for one in picture.warp_stripes if one.first <= middle < one.first + one.threads]
    assert stripe.yarn == "sea lettuce"
    assert abs(stripe.threads - 4 * picture.ends_per_cm) <= 2
    assert sum(one.threads for one in picture.warp_stripes) == len(picture.threads.warp)


def test_every_two_yarns_that_meet_are_compared_once_those_least_apart_first() -> None:
    """Side by side in the warp, and where warp and weft cross; foam, in both, is not compared with itself."""
    found = striped().contrasts
    assert next({one.one, one.other} for one in found) == {"sea lettuce", "driftwood"}
    assert len({frozenset((one.one, one.other)) for one in found}) == len(found) == 3
    closest = found[0]
    assert closest.where == ("side by side in the warp",)
    assert closest.looks(Sight.ALL_CONES) is Likeness.APART
    assert closest.looks(Sight.DEUTAN) is Likeness.SAME
    assert "where warp and weft cross" in next(one for one in found if "foam" in (one.one, one.other)).where


def test_the_same_cloth_is_drawn_in_the_colours_that_somebody_sees() -> None:
    """Without green cones sea lettuce and driftwood are one colour to the eye; every thread lies where it lay."""
    usual, seen = striped().face, striped().seen(Sight.DEUTAN)
    assert np.array_equal(usual.up, seen.up)
    names = striped().threads.warp
    lettuce, driftwood = names.index("sea lettuce"), names.index("driftwood")
    assert np.abs(usual.warp_light[lettuce] - usual.warp_light[driftwood]).max() > 0.1
    assert np.abs(seen.warp_light[lettuce] - seen.warp_light[driftwood]).max() < 0.02


def test_what_is_tried_leaves_the_plan_alone() -> None:
    """As many ends, closer and narrower; as long, with more picks; other colours; thicker yarn."""
    before = striped()
    tried = Tried("twill 2/2", before.ends_per_cm * 2, before.picks_per_cm * 1.5, {"foam": "#112233"}, 1.3)
    after = trying(before, tried)
    assert after.structure.name == "twill 2/2"
    assert len(after.threads.warp) == len(before.threads.warp)
    assert after.face.width_cm == pytest.approx(before.face.width_cm / 2)
    assert after.face.length_cm == pytest.approx(before.face.length_cm, rel=0.01)
    assert after.threads.hex_of["foam"] == "#112233"
    assert after.thickness_mm["foam"] == pytest.approx(1.3 * before.thickness_mm["foam"])
    assert before.threads.hex_of["foam"] == "#e9e4d6"


def test_what_cannot_be_tried_is_told_all_at_once() -> None:
    wrong = Tried("twil", -1.0, 1000.0, {"kelp": "#112233", "foam": "green"}, 9.0)
    with pytest.raises(ProblemsFound) as told:
        trying(striped(), wrong)
    sentences = " ".join(problem.sentence for problem in told.value.problems)
    for words in (
        "known structures are",
        "-1 to the cm",
        "1000 to the cm",
        "no thread of this cloth is kelp",
        "write a colour as",
        "900%",
    ):
        assert words in sentences
    assert len(told.value.problems) == 6


def test_a_yarn_without_a_colour_has_one_made_up_and_said_to_be() -> None:
    project = project_of("slate-tide-cloth.toml")
    picture = picture_of_cloth(project, plan(project))
    assert picture.stand_ins == ("slate tide",)
    assert "No colour is said for slate tide" in picture.notes[0]
    assert trying(picture, Tried(colours={"slate tide": "#334455"})).stand_ins == ()


def test_json_says_what_is_drawn_and_the_contrasts() -> None:
    """Everything by name, numbers in cm and per cm."""
    said = striped().as_json()
    assert said["ends"] == sum(stripe["ends"] for stripe in said["warp_stripes"])
    assert said["contrasts"][0]["looks"]["deutan"] == "the same"
    assert [yarn["name"] for yarn in said["yarns"]] == list(striped().threads.yarns)


# --- on the pieces ------------------------------------------------------------------------------------------------


def test_every_copy_lies_in_its_place_with_its_stitching_line_inside() -> None:
    """As many as the layout places; the allowance of 15 mm lies between the line that is cut and the line that is sewn."""
    project, planned = bodice()
    pieces = cut_pieces(project, drawings(), planned)
    assert planned.layout is not None
    assert len(pieces) == len(planned.layout.placed) == 3
    for piece in pieces:
        assert piece.stitching is not None
        gaps = [min(y for _, y in piece.stitching) - min(y for _, y in piece.outline), 0]
        assert 0 <= gaps[0] < 4
        assert {name for name, _ in piece.points} == {"waist"}


def test_what_lies_at_a_notch_is_the_end_and_the_pick_there() -> None:
    """Read off the order by hand: trim of 0.5 cm and the notch's distance from the near selvedge, times ends to the cm.

    The first end is at the left of the loom, so on the table, right side up and first pick left, the last end is nearest.
    """
    project, planned = bodice()
    pieces, picture = cut_pieces(project, drawings(), planned), striped()
    (met,) = meetings(pieces, picture)
    assert met.name == "waist"
    told = [at.end_yarn for at in met.at]
    points = [point for piece in pieces for name, point in piece.points]
    assert told == [picture.threads.warp[-1 - int((y + 0.5) * picture.ends_per_cm)] for _, y in points]
    assert {at.pick_yarn for at in met.at} == {"foam"}


def test_places_match_when_each_has_its_like() -> None:
    """Two sides of a back and two fronts match in pairs; a place without its like does not."""

    def met(*yarns: str) -> Meeting:
        return Meeting("waist", tuple(MetAt(f"copy {number}", yarn, "foam") for number, yarn in enumerate(yarns)))

    assert met("kelp", "kelp").alike
    assert met("kelp", "kelp", "kelp").alike
    assert met("kelp", "shell", "kelp", "shell").alike
    assert not met("kelp", "shell").alike
    assert not met("kelp", "kelp", "kelp", "shell").alike


def test_a_cloth_wanted_has_no_pieces_and_a_notch_alone_meets_nothing() -> None:
    project = project_of("slate-tide-cloth.toml")
    assert cut_pieces(project, {}, plan(project)) == ()
    alone = CutPiece("back", "back", 1, False, ((0, 0), (5, 0), (5, 5)), None, (("waist", (1.0, 1.0)),))
    assert meetings((alone,), striped()) == ()
    assert len(meetings((alone, replace(alone, name="front")), striped())) == 1


# --- a draft of its own --------------------------------------------------------------------------------------------


def test_a_threading_of_the_projects_own_is_what_is_drawn() -> None:
    """A point threading on four shafts with straight lifts of two: every crossing as threading and lifts say by hand.

    Ends 1-2-3-4-3-2 over and over, picks 1+2, 2+3, 3+4, 4+1: an end is up when its shaft is lifted.
    """
    project = project_of("foam-line-bodice.toml")
    draft = {"threading": "1-2-3-4-3-2", "lifting": "1+2, 2+3, 3+4, 1+4"}
    loom = project.loom.model_copy(update={"kind": "shaft", "warping": "indirect"})
    own = read_project({"draft": draft}).draft
    project = project.model_copy(update={"draft": own, "loom": loom})
    planned = plan(project, drawings=drawings())
    picture = picture_of_cloth(project, planned)
    threading, lifts = [1, 2, 3, 4, 3, 2], [{1, 2}, {2, 3}, {3, 4}, {1, 4}]
    up = picture.face.up
    for pick in (0, 1, 5, 42, up.shape[0] - 1):
        assert up[pick].tolist() == [threading[end % 6] in lifts[pick % 4] for end in range(up.shape[1])]
    assert trying(picture, Tried("plain")).drawdown is None


def test_the_first_end_lies_where_the_weaver_says() -> None:
    """Left where nothing is said; counted from the right, the nearest selvedge on the table is the first end's."""
    project, planned = bodice()
    right = project.model_copy(update={"draft": read_project({"draft": {"first_end": "right"}}).draft})
    picture = picture_of_cloth(right, planned)
    assert striped().first_end_left
    assert not picture.first_end_left
    assert picture.ends_from_near == picture.threads.warp
    assert striped().ends_from_near == picture.threads.warp[::-1]
    wide = picture.face.width_cm
    assert striped().across_from_near((1.0, 3.0)) == pytest.approx((wide - 3, wide - 1))
    assert picture.across_from_near((1.0, 3.0)) == (1.0, 3.0)
