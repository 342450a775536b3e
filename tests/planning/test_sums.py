"""The sums by hand add up again from the printed numbers."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from planning.asking import changed, planned, tree

from clothwright.planning import Plan, WorkingLine

SLATE = tree("slate-tide-cloth")
_WORDS = re.compile(r"[^0-9.+×÷\-() ]")


def worked(line: WorkingLine) -> float | None:
    """The value of a printed sum, worked by Python's own arithmetic; None for a line that is not a sum."""
    said = line.sum.split(",")[0].split(";")[0].replace("m/g", "")
    if not re.search(r"[×÷+]", said) or "%" in said:
        return None
    return float(eval(_WORDS.sub("", said).replace("×", "*").replace("÷", "/")))  # our own printed digits and signs


def readded(answer: Plan) -> int:
    """Check every sum of a plan and say how many there were."""
    sums = 0
    for line in answer.working:
        value = worked(line)
        if value is None:
            continue
        if line.unit == "ends":
            assert -1e-6 <= line.value - value < 2 + 1e-6, line
        else:
            assert line.value == pytest.approx(value, abs=0.0051), line
        sums += 1
    return sums


@pytest.mark.parametrize("name", ["slate-tide-cloth", "full-looking-cone", "rows-of-rectangles", "old-record"])
def test_printed_sums_add_up_again(name: str) -> None:
    assert readded(planned(tree(name), by_hand=True)) >= 9


@settings(max_examples=60, deadline=None)
@given(
    width=st.integers(200, 480),
    length=st.integers(300, 4000),
    waste=st.integers(0, 900),
    picks=st.integers(150, 900),
    heddle=st.sampled_from(["30/10 cm", "40/10 cm", "7.5/in", "10/in"]),
)
def test_printed_sums_add_up_for_any_cloth(width: int, length: int, waste: int, picks: int, heddle: str) -> None:
    given_tree = changed(
        SLATE,
        want__width=f"{width} mm",
        want__length=f"{length} mm",
        loom__waste=f"{waste} mm",
        loom__weaving_width="2 m",
        cloth__picks=f"{picks}/100 cm",
        cloth__heddle=heddle,
    )
    assert readded(planned(given_tree, by_hand=True)) >= 9


def test_a_square_metre_by_hand_weighs_what_the_formula_says() -> None:
    """198 g/m². *Source*: GATE textile paper 2009 TF-37: 40 ends of 30 tex and 30 picks of 20 tex a cm, 10 % crimp both ways.

    The weft's crimp is all draw-in here, so a pick is as long as the cloth is wide in the heddle.
    """
    answer = planned(
        {
            "yarn": [
                {"name": "warp", "use": "warp", "grist": "30 tex", "balls": ["900 g"]},
                {"name": "weft", "use": "weft", "grist": "20 tex", "balls": ["900 g"]},
            ],
            "loom": {"heddles": ["400/11 cm"], "waste": "60 cm"},
            "cloth": {
                "heddle": "400/11 cm",
                "picks": "30/cm",
                "warp_take_up": "10 % of woven length",
                "weft_take_up": "0 % of width in heddle",
                "width_ratio": "10/11",
                "length_ratio": "1.0",
            },
            "want": {"width": "11 cm", "length": "200 cm"},
        },
        by_hand=True,
    )
    assert answer.cloth.g_per_m2 is not None
    assert answer.cloth.g_per_m2.expected == pytest.approx(198, abs=0.1)
    assert readded(answer) >= 9


def test_a_square_metre_weighs_much_the_same_by_hand_as_drawn() -> None:
    """The cloth of three skeins, picks 3.0 to 3.4: the sums lie within what is forecast."""
    by_hand, drawn = planned(SLATE, by_hand=True).cloth.g_per_m2, planned(SLATE).cloth.g_per_m2
    assert by_hand is not None
    assert drawn is not None
    assert by_hand.low < by_hand.expected < by_hand.high
    assert drawn.low < by_hand.expected < drawn.high


@pytest.mark.parametrize(("finish", "cautioned"), [("brushed", True), ("machine wash", False)])
def test_cotton_too_heavy_to_burn_fast_is_cautioned_by_hand_only_where_it_is_brushed(
    finish: str, cautioned: bool
) -> None:
    """Plain cloth from 88 g/m² on is told apart from raised cotton in public pages on US rules; common practice, no source."""
    cotton = changed(SLATE, yarn__0__fibre="cotton", cloth__finish=finish)
    assert any("burns quickly" in one for one in planned(cotton, by_hand=True).cautions) == cautioned


def test_picks_that_nobody_counted_are_not_said_to_be_given() -> None:
    asked = {
        given: planned(changed(SLATE, cloth__picks=given), by_hand=True).measure_next[0].why
        for given in ("3.0 to 3.4/cm", None)
    }
    assert asked == {"3.0 to 3.4/cm": "a range of picks was given", None: "nobody has counted picks yet"}


def test_a_share_is_divided_out_not_added() -> None:
    """A loss of 20 % of 10 in needs 12.5 in woven, not 12. *Source*: a guild article on ratios, which recomputes to 12.5."""
    answer = planned(changed(SLATE, want__length="10 in", cloth__length_ratio="80 %"), by_hand=True)
    assert answer.weft.woven_on_loom_cm.expected == pytest.approx(12.5 * 2.54, abs=0.005)


def test_take_up_of_the_warp_and_crimp_of_the_cloth_are_told_apart() -> None:
    """100 cm finished, 10 % shrinkage: 123.46 cm of warp at 10 % of the warp, 122.22 at 10 % of the woven length."""
    bare = changed(
        SLATE, want__length="100 cm", cloth__length_ratio="0.9", loom__waste="0 cm", cloth__on_warp_sample=None
    )
    of_warp = planned(changed(bare, cloth__warp_take_up="10 % of warp"), by_hand=True)
    of_cloth = planned(changed(bare, cloth__warp_take_up="10 % of woven length"), by_hand=True)
    assert of_warp.warp.length_cm == pytest.approx(123.46, abs=0.01)
    assert of_cloth.warp.length_cm == pytest.approx(122.22, abs=0.015)
