"""What was measured and done goes to the record as typed, where that is blank, and becomes evidence there."""

from __future__ import annotations

from typing import Any

from finishing.cloths import project

from clothwright.finishing import recipe_of, record_from_finishing, untold, what_became
from clothwright.project import read_project
from clothwright.project.record.past import seen_of
from clothwright.weaving import filled_in


def test_what_became_of_the_cloth_is_told_without_reckoning() -> None:
    became = what_became(project())
    assert became.finished.widths_cm == (43.6, 44.4, 44.2)
    assert (became.finished.length_cm, became.finished.weight_g) == (188.0, 229.0)
    assert became.rested.rested == "one night"
    assert became.finish == "hand wash, dried flat"
    assert became.done[2] == "Wash: 3 min, 35 °C, squeezed by hand, seen: as the sample after three minutes"
    assert became.ticked == ("dry and pressed", "measured")
    assert became.put_away == (("cords", "for a grown-up"),)


def test_a_project_with_nothing_off_the_loom_became_nothing_yet() -> None:
    became = what_became(read_project({}))
    assert became.finished.widths_cm == ()
    assert became.done == ()


def test_the_record_gets_the_sizes_as_typed() -> None:
    """The mean of 44.8, 45.4 and 45.2 cm rested is 45.1."""
    assert record_from_finishing(project()) == {
        ("width", "finished", "start"): "43.6 cm",
        ("width", "finished", "middle"): "44.4 cm",
        ("width", "finished", "end"): "44.2 cm",
        ("length", "finished"): "188 cm",
        ("width", "off_loom"): "45.1 cm",
        ("length", "off_loom"): "203 cm",
    }


def test_what_the_record_has_already_stays() -> None:
    record, names = filled_in({"length": {"finished": "187 cm"}}, record_from_finishing(project()))
    assert record["length"]["finished"] == "187 cm"
    assert "width finished start" in names


def test_the_record_filled_so_is_evidence_with_the_mean_of_its_widths() -> None:
    """(43.6 + 44.4 + 44.2) / 3 = 44.07 cm."""

    def recorded(tree: dict[str, Any]) -> None:
        record, _ = filled_in({"date": "2026-02-27", "ends": 146}, record_from_finishing(project()))
        tree["record"] = record

    (cloth,) = [one.cloth for one in seen_of(project(recorded), "k").pieces if one.place == ("record",)]
    assert cloth is not None
    assert (cloth.width_finished, cloth.length_finished, cloth.length_off_loom) == (44.07, 188.0, 203.0)


def test_another_finish_than_planned_goes_into_the_record() -> None:
    changed = project(lambda tree: tree["finishing"].update(finish="hand wash, tumbled for a minute"))
    assert record_from_finishing(changed)["finish",] == "hand wash, tumbled for a minute"


def test_a_step_that_is_done_asks_for_what_the_next_plan_goes_by() -> None:
    recipe = recipe_of(project(lambda tree: tree["finishing"].update(done=[{"step": "soak", "minutes": 20}])))
    steps = {step.key: step for step in recipe.steps}
    assert untold(steps["soak"]) == ("water",)
    assert untold(steps["wash"]) == ()
