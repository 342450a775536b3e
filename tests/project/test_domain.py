"""The typed document becomes lots, makings, samples and pieces."""

from __future__ import annotations

import math

import pytest
from project.reading_for_tests import ebb_jacket

from clothwright.evidence import between_balls
from clothwright.project import ProblemsFound, read_project
from clothwright.project.domain import advised_sett, diameter_mm, lots, making, samples, wraps_per_cm, yarns
from clothwright.yarn import Use


def test_balls_are_net_of_their_cores_and_keep_their_readings() -> None:
    """118 g with a core of 6 g are 112 g net; a bare weight is net; a metered ball has metres."""
    grey, wrack = lots(ebb_jacket())
    assert [ball.net_g for ball in grey.balls] == [112.0, 104.0, 96.0, None]
    assert grey.balls[3].metres == 85.0
    assert grey.balls[0].grist is not None
    assert grey.balls[0].grist.m_per_g == pytest.approx(10 / 3.1)
    assert grey.balls[0].grist.of_metres == 10.0
    assert [ball.core_unknown for ball in grey.balls] == [False] * 4
    assert grey.balls[0].weight_sd_g == pytest.approx(1 / math.sqrt(12))
    assert (grey.use, grey.washed, grey.replaceable, grey.plies) == (Use.BOTH, True, False, 2)
    assert grey.m_per_g == pytest.approx(3.1)
    assert grey.wraps_per_cm == pytest.approx(15 / 2.54)
    assert wrack.balls[0].core_unknown
    assert not wrack.washed
    assert wrack.m_per_g == pytest.approx(20 / 6.4)


def test_a_typed_spread_of_a_weight_is_its_error() -> None:
    """100 ± 5 g is known to 5 g nine times in ten, whatever the scale."""
    tree = {"yarn": [{"name": "grey", "grist": "3 m/g", "balls": [{"net": "100 ± 5 g"}]}]}
    (lot,) = lots(read_project(tree))
    assert lot.balls[0].weight_sd_g == pytest.approx(5 / 1.645, rel=0.01)


def test_a_weighing_in_pounds_and_ounces_has_the_step_of_an_ounce() -> None:
    """The last unit written is what the scale told apart."""
    weighing = {"length": "1000 yd", "weight": "1 lb 2 oz"}
    tree = {"yarn": [{"name": "grey", "grist": weighing, "balls": ["100 g"]}]}
    (lot,) = lots(read_project(tree))
    assert lot.grist[0].log_sd == pytest.approx(math.hypot(1 / math.sqrt(12) / 18, 0.01), rel=0.01)


@pytest.mark.parametrize(
    ("yarn", "where", "words"),
    [
        ({"name": "grey", "grist": "3 m/g"}, "yarn 1, balls", "how much of it is there"),
        ({"name": "grey", "balls": ["100 g"]}, "yarn 1, grist", "how many metres has a gram"),
    ],
)
def test_yarn_nobody_measured_is_asked_for(yarn: dict[str, object], where: str, words: str) -> None:
    """A lot without an amount, or without a grist, is a problem with its field."""
    with pytest.raises(ProblemsFound) as caught:
        lots(read_project({"yarn": [yarn]}))
    (problem,) = caught.value.problems
    assert problem.where == where
    assert words in problem.sentence


def test_yarns_go_where_they_may_be_used() -> None:
    """Weft-only yarn is no warp, and a project without any warp yarn says so."""
    project = ebb_jacket()
    chosen = yarns(project)
    assert [lot.name for lot in chosen.warp] == ["causeway grey"]
    assert [lot.name for lot in chosen.weft] == ["causeway grey", "wrack"]
    assert chosen.fibre == "wool"
    weft_only = {"yarn": [{"name": "wrack", "use": "weft", "grist": "3 m/g", "balls": ["90 g"]}]}
    with pytest.raises(ProblemsFound, match="warp"):
        yarns(read_project(weft_only))


def test_the_planned_cloth_is_made_of_what_the_file_says() -> None:
    """Sett, structure and finish as typed; the advised sett is half the wraps; diameters come from the grist."""
    project = ebb_jacket()
    made = making(project, yarns(project), 3.0)
    assert (made.warp, made.weft, made.structure) == ("causeway grey", "causeway grey", "plain")
    assert (made.fibre, made.finish, made.ends_per_cm) == ("wool", "hand wash, dried flat", 3.0)
    assert made.advised_ends_per_cm == pytest.approx(7.5 / 2.54)
    # Ashenhurst's soft rule: 0.84 · sqrt(3.1 m/g in yards per pound) threads that touch, per inch
    assert made.warp_mm == pytest.approx(25.4 / (0.84 * math.sqrt(3.1 * 453.59237 / 0.9144)))


def test_thickness_is_as_counted_else_reckoned_from_the_grist() -> None:
    """Counted wraps are kept; without them 0.7 of the calculated diameters (P. Osterkamp) are expected."""
    grey, wrack = lots(ebb_jacket())
    assert wraps_per_cm(grey) == grey.wraps_per_cm
    assert wraps_per_cm(wrack) == pytest.approx(0.7 * 10 / diameter_mm(wrack))
    assert advised_sett(ebb_jacket(), grey) == pytest.approx(wraps_per_cm(grey) / 2)


def test_samples_are_measured_in_cm_and_take_what_they_leave_out_from_the_plan() -> None:
    """Inches become cm, wound less waste is the warp used; yarn, finish and structure left out are the planned ones."""
    project = ebb_jacket()
    first, scarf = samples(project, yarns(project), 3.0)
    assert (first.width_in_heddle, first.width_on_loom, first.width_off_loom, first.width_finished) == (
        24,
        23.2,
        22.4,
        21.6,
    )
    assert (first.warp_used, first.length_on_loom, first.length_off_loom, first.length_finished) == (26, 24, 22.5, 21)
    assert (first.picks_count, first.picks_over, first.picks_where) == (77, 24, "on loom")
    assert (first.weft_used_g, first.weft_used_m) == (5.2, None)
    grey = lots(project)[0]
    assert len(grey.balls) > 1  # which ball the sample took is not known, so how balls differ is added
    assert first.weft_error_log == pytest.approx(math.hypot(0.1 / math.sqrt(12) / 5.2, between_balls(grey)))
    assert scarf.width_in_heddle == pytest.approx(30.48)
    assert scarf.width_finished == pytest.approx(10.75 * 2.54)
    assert scarf.warp_used == pytest.approx(205.0)
    assert (scarf.weft_used_m, scarf.weft_used_g) == (190.0, None)
    assert scarf.making.ends_per_cm == 4.0
    assert (scarf.making.warp, scarf.making.finish) == ("causeway grey", "hand wash, dried flat")
    assert first.making.key != scarf.making.key
