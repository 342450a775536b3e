"""One piece for many looms. The sums are checked against hand arithmetic that stands beside each check."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from planning.asking import changed, planned, tree

from clothwright.measure import Interval
from clothwright.planning import ClassNeeds, Verdict, class_needs
from clothwright.planning.job import Wanted, job_of
from clothwright.planning.teaching.class_needs import Room
from clothwright.planning.teaching.class_sums import IMPERIAL, METRIC, class_sum
from clothwright.project import ProblemsFound, read_class, read_project

RUNNER = tree("rockpool-runner")
CLASS = tree("rockpool-class")


def student(name: str = "Anemone", **fields: Any) -> dict[str, Any]:
    """A student with a loom of 60 cm, a 30/10 heddle and a waste of 45 cm, unless told otherwise."""
    loom = {"weaving_width": "60 cm", "heddles": ["30/10 cm"], "waste": "45 cm"} | fields.pop("loom", {})
    return {"name": name, "loom": {key: value for key, value in loom.items() if value is not None}, **fields}


def needs(*students: dict[str, Any], piece: dict[str, Any] = RUNNER, **of_class: Any) -> ClassNeeds:
    """What a class needs of a piece."""
    read = read_class({"clothwright_class": 1, "student": list(students), **of_class})
    return class_needs(read_project(piece), read, drawings={})


@pytest.mark.parametrize(("waste", "cm", "inches"), [(45, 252, 99.25), (60, 267, 105.25), (70, 277, 109.25)])
def test_the_same_piece_takes_a_warp_for_every_loom_waste(waste: int, cm: int, inches: float) -> None:
    """180 cm ÷ 0.87 = 206.9 cm; with 45, 60 or 70 cm of waste 251.9, 266.9 or 276.9 cm, that is 99.17, 105.08 or 109.02 in."""
    loom = {"waste": f"{waste} cm"}
    metric, imperial = needs(student(loom=loom), student("Barnacle", units="imperial", loom=loom)).students
    assert metric.sums.warp_length == Interval.exactly(cm)
    assert imperial.sums.warp_length == Interval.exactly(inches)


def test_a_heddle_in_centimetres_is_never_taken_for_one_in_inches() -> None:
    """A leaflet of 8 ends to the inch and 20 in wide on a 30/10 heddle and a loom of 50 cm.

    20 in × 0.9 = 45.72 cm finished; ÷ 0.9 = 50.8 cm in the heddle; × 3 = 152.4, up to 154 ends, 51.3 cm: no room. 150 ends
    fit, 50.0 cm, and finish 45.0 cm: 0.72 cm narrower.
    """
    piece = changed(RUNNER, cloth__heddle="8/in", loom__heddles=["8/in"], want__width="18 in")
    (one,) = needs(student(loom={"weaving_width": "50 cm"}), piece=piece).students
    assert (one.room, one.sums.ends, one.sums.width_in_heddle, one.sums.finished_width) == (
        Room.TOO_NARROW,
        150,
        50,
        45,
    )
    assert one.narrower_cm == 0.72
    assert not one.same_sett
    assert one.against_sett == pytest.approx(3 / (8 / 2.54))


def test_the_figures_are_those_of_the_plan_by_hand() -> None:
    """The plan rounds to hundredths and does not round the warp up: never more than 1 cm and its yarn apart."""
    (one,) = needs(student(loom={"waste": "55 cm"})).students
    plan = planned(changed(RUNNER, yarn__0__balls=["400 g"]), by_hand=True)
    assert one.sums.ends == plan.warp.ends
    assert 0 <= one.sums.warp_length.expected - plan.warp.length_cm < 1
    assert 0 <= one.warp_m().expected - plan.warp.yarn_m.expected < 1 + plan.warp.ends / 100
    for mine, theirs in zip(
        (one.weft_m().low, one.weft_m().high), (plan.weft.yarn_m.low, plan.weft.yarn_m.high), strict=True
    ):
        assert abs(mine - theirs) <= 1.5


def test_of_several_heddles_the_one_nearest_to_the_sett_of_the_piece_is_taken() -> None:
    """7.5 to the inch is 2.953 to the cm, within 2 % of 30/10; 10 to the inch is not."""
    (one,) = needs(student(loom={"heddles": ["10/in", "7.5/in", "40/10 cm"]})).students
    assert one.heddle == "7.5/in"
    assert one.same_sett


@pytest.mark.parametrize(
    ("width", "room"), [("39 cm", "too narrow"), ("40.5 cm", "close"), ("41 cm", "fits"), (None, "not said")]
)
def test_the_room_on_a_loom_is_told(width: str | None, room: str) -> None:
    """120 ends stand 40 cm wide in the heddle; less than 1 cm of room is close."""
    (one,) = needs(student(loom={"weaving_width": width})).students
    assert one.room == room
    assert one.needs_a_word == (room != "fits")


@pytest.mark.parametrize(
    ("have", "verdict"),
    [
        ("599 m", "enough"),
        ("598 m", "too close"),
        ("564 m", "too close"),
        ("563 m", "not enough"),
        ("188.4 g", "enough"),
        ("188 g", "too close"),
    ],
)
def test_own_yarn_is_held_against_the_high_and_the_low(have: str, verdict: str) -> None:
    """Warp 120 × 2.52 m = 302.4, so 303 m; weft 261 to 296 m: in all 564 to 599 m. At 3.18 m to the g 188.4 g are 599.1 m."""
    (one,) = needs(student(yarn={"grist": "318 m/100 g", "have": have})).students
    assert one.own_yarn is not None
    assert (one.own_yarn.need_m.low, one.own_yarn.need_m.high) == (564, 599)
    assert one.own_yarn.verdict == Verdict(verdict)


def test_what_is_bought_is_the_sum_of_what_each_needs_of_it() -> None:
    """Two students of three use class yarn; each metre column is added, weighed at 3 m/g, 10 % added, balls rounded up once."""
    answer = needs(
        student(),
        student("Barnacle", loom={"waste": "60 cm"}),
        student("Coralline", yarn={"have": "700 m"}),
        ball="100 g",
    )
    warp, weft = answer.to_buy
    takers = answer.students[:2]
    assert warp.m.high == sum(math.ceil(one.sums.warp_yarn.high) for one in takers)
    assert weft.m.high == sum(math.ceil(one.sums.weft_yarn.high) for one in takers)
    assert warp.grams == pytest.approx(warp.m.high / 3 * 1.1, abs=0.01)
    assert (warp.balls, warp.balls_each) == (
        math.ceil(warp.grams / 100),
        sum(math.ceil(one.sums.warp_yarn.high / 3 * 1.1 / 100) for one in takers),
    )
    assert warp.students == 2


def test_what_is_brought_for_the_weft_alone_leaves_the_warp_to_be_bought() -> None:
    """Everybody brings weft: only warp is bought."""
    (bought,) = needs(student(yarn={"use": "weft"})).to_buy
    assert bought.use == "warp"


def test_a_range_typed_gives_a_low_and_a_high_warp() -> None:
    """180 ÷ 0.89 = 202.2, ÷ 0.85 = 211.8; waste 40 to 50: 242.2, so 243, to 261.8, so 262 cm."""
    (one,) = needs(
        student(loom={"waste": "40 to 50 cm"}), piece=changed(RUNNER, cloth__length_ratio="0.85 to 0.89")
    ).students
    assert (one.sums.warp_length.low, one.sums.warp_length.high) == (243, 262)
    assert one.sums.warp_yarn.low == math.ceil(120 * 243 / 100)


def test_a_garment_is_laid_out_anew_on_a_narrow_loom() -> None:
    """Finished 36 cm wide a front of 26 and a facing of 8 cm lie side by side; 37 cm of loom finish 33.0 cm, where they cannot."""
    piece = tree("rows-of-rectangles")
    wide, narrow = needs(student(), student("B", loom={"weaving_width": "37 cm"}), piece=piece).students
    assert (wide.room, wide.sums.cloth_width, wide.sums.cloth_length) == (Room.FITS, 36, 252)
    assert (narrow.room, narrow.sums.ends, narrow.sums.finished_width) == (Room.TOO_NARROW, 110, 33)
    assert narrow.sums.cloth_length > 252


def test_a_loom_on_which_no_piece_has_room_is_a_problem_of_that_student() -> None:
    """The sentence stands at her loom; the others are worked out when that is asked."""
    read = read_class({"student": [student(), student("B", loom={"weaving_width": "20 cm"})]})
    piece = read_project(tree("rows-of-rectangles"))
    with pytest.raises(ProblemsFound) as found:
        class_needs(piece, read, drawings={})
    assert [one.path for one in found.value.problems] == [("student", 1, "loom", "weaving_width")]
    answer = class_needs(piece, read, drawings={}, keep_going=True)
    assert [one.name for one in answer.students] == ["Anemone"]
    assert [one.path[:2] for one in answer.left_out] == [("student", 1)]


def test_every_students_problems_are_told_at_once() -> None:
    """Two without a heddle, one with sections only."""
    with pytest.raises(ProblemsFound) as found:
        needs(
            student("A", loom={"heddles": None}),
            student("B"),
            student("C", loom={"heddles": ["30/10 cm for 20 cm + 40/10 cm for 10 cm"]}),
            student("D", loom={"heddles": None}),
        )
    assert [one.path[1] for one in found.value.problems] == [0, 2, 3]


def test_a_class_without_students_needs_nothing() -> None:
    """The page begins so."""
    answer = needs()
    assert (answer.students, answer.to_buy) == ((), ())


def test_waste_that_nobody_said_is_taken_as_usual_and_told() -> None:
    """It is one more thing to settle."""
    (one,) = needs(student(loom={"waste": None})).students
    assert not one.waste_said
    assert one.needs_a_word
    assert one.sums.waste.expected > 0


@given(
    width=st.floats(10, 80),
    length=st.floats(30, 600),
    waste=st.floats(0, 120),
    direct=st.booleans(),
    imperial=st.booleans(),
)
def test_every_sum_goes_on_from_what_is_written(
    width: float, length: float, waste: float, direct: bool, imperial: bool
) -> None:
    """Whatever cloth is asked for: each figure follows from those printed, and nothing needed is rounded down."""
    warping = "direct" if direct else "indirect"
    job = job_of(read_project(changed(RUNNER, yarn__0__balls=["100 g"], loom__warping=warping)), {})
    units = IMPERIAL if imperial else METRIC
    sums = class_sum(job, Wanted(width, length), units, waste=Interval.exactly(waste))
    assert sums.ends % (2 if direct else 1) == 0
    assert sums.ends >= sums.cloth_width / sums.width_ratio * sums.sett - 1e-4
    assert sums.width_in_heddle == pytest.approx(sums.ends / sums.sett, abs=0.05)
    assert sums.woven == pytest.approx(sums.cloth_length / 0.87, abs=0.05)
    assert sums.warp_length.expected >= sums.used + sums.waste.expected - 1e-6
    assert sums.warp_length.expected - (sums.used + sums.waste.expected) < units.warp_step + 1e-6
    assert sums.warp_yarn.expected == math.ceil(sums.ends * sums.warp_length.expected / units.per_yarn - 1e-6)
    weft = sums.picks.high * sums.pick * sums.weave / units.per_yarn
    assert sums.weft_yarn.high == math.ceil(weft - 1e-6)


def test_a_piece_that_cannot_be_worked_out_is_told_as_its_own_problem() -> None:
    """No student is blamed for a project without a cloth."""
    with pytest.raises(ProblemsFound) as found:
        needs(student(), piece={key: value for key, value in RUNNER.items() if key != "want"})
    assert all(one.path[:1] != ("student",) for one in found.value.problems)
