"""A yarn counted by its strands: the plan reckons with what folding took up, apart and out loud."""

from __future__ import annotations

from planning.asking import planned

COTTON = {
    "yarn": [{"name": "causeway cotton", "fibre": "cotton", "made": "mill", "grist": "8/2 cotton", "balls": ["500 g"]}],
    "loom": {"heddles": ["50/10 cm"]},
    "want": {"width": "40 cm", "length": "200 cm"},
}


def of_grist(grist: object) -> dict[str, object]:
    """The cotton with its metres per gram given another way."""
    return COTTON | {"yarn": [COTTON["yarn"][0] | {"grist": grist}]}  # type: ignore[index,dict-item]


def test_the_plan_takes_folding_off_a_bare_count_and_says_so() -> None:
    """2/80s is a little coarser than 40s (C. P. Brooks); 2 to 8 % is from memory of the trade, so it is told as a range."""
    bare, label = planned(COTTON), planned(of_grist("6.773 m/g"))
    assert 1.03 < label.yarns[0].have_m.expected / bare.yarns[0].have_m.expected < 1.07
    (line,) = (line for line in bare.working if "folding leaves" in line.step)
    assert 1 / 1.08 < line.value < 1 / 1.02
    assert line.rung == "rule of thumb"
    assert any("8/2 cotton is the number of its strands" in note for note in bare.notes)


def test_a_measured_resultant_is_believed_as_it_stands() -> None:
    """With R, or ten metres weighed, nothing more is taken off and nothing is said of folding."""
    for grist in ("8/2 cotton; R 148 tex", {"length": "10 m", "weight": "1.48 g"}):
        plan = planned(of_grist(grist))
        assert not any("folding" in f"{line.step} {line.sum}" for line in plan.working)
        assert not any("strands" in note for note in plan.notes)


def test_by_hand_the_count_stands_and_the_line_says_what_folding_may_leave() -> None:
    """500 g × 6.7734 m/g is 3,386.70 m (8s of 840 yd to the lb, folded in two: 4 × 840 × 0.9144 ÷ 453.59237); 8 % more tex leaves 3,135.83."""
    plan = planned(COTTON, by_hand=True)
    (line,) = (line for line in plan.working if line.step == "causeway cotton in hand")
    assert line.value == 3386.7
    assert "3386.70 to 3135.83 m" in line.sum
    assert plan.yarns[0].have_m.low == 3135.83
