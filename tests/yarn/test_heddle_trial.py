"""Will it go through? What was seen in the heddle decides. Common practice, no source."""

from __future__ import annotations

from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clothwright.project.document import HeddleTrialPart
from clothwright.yarn import Fitness, HeddleTrial, can_be_seen, verdict

TRIED = ("hole", "slot", "rub", "tension overnight", "knot")
trials = st.fixed_dictionaries({}, optional={tried: st.sampled_from(can_be_seen(tried)) for tried in TRIED})
GOOD = {"hole": "passes freely", "slot": "passes freely", "rub": "unchanged"}


def seen(**findings: str) -> HeddleTrial:
    """A good trial but for what is given."""
    return HeddleTrial(tuple((GOOD | {key.replace("_", " "): value for key, value in findings.items()}).items()))


@pytest.mark.parametrize(
    ("trial", "fitness", "reason"),
    [
        (seen(), Fitness.WARP, "rubbing left it"),
        (seen(hole="rubs"), Fitness.SIZE_FIRST, "rubs in the hole"),
        (seen(rub="fuzzes", tension_overnight="holds"), Fitness.SIZE_FIRST, "fuzz"),
        (seen(hole="sticks", slot="rubs"), Fitness.WEFT_ONLY, "sticks in the hole"),
        (seen(rub="breaks"), Fitness.WEFT_ONLY, "rubbed at every pick"),
        (seen(tension_overnight="breaks"), Fitness.WEFT_ONLY, "drifted apart"),
        (seen(tension_overnight="stretches"), Fitness.SIZE_FIRST, "stretched"),
        (seen(knot="catches"), Fitness.WARP, "wind every end whole"),
        (seen(knot="catches", hole="rubs"), Fitness.SIZE_FIRST, "wind every end whole"),
    ],
)
def test_the_worst_finding_decides_and_says_why(trial: HeddleTrial, fitness: Fitness, reason: str) -> None:
    found = verdict(trial)
    assert found.fitness == fitness
    assert reason in found.told
    assert found.told.startswith(fitness.capitalize())


@given(trials, trials)
def test_more_trying_never_makes_a_yarn_fitter(one: dict[str, str], more: dict[str, str]) -> None:
    """A finding can only lower the verdict, and every verdict is told."""
    order = [None, *Fitness]
    first, both = (verdict(HeddleTrial(tuple(seen.items()))) for seen in (one, more | one))
    assert order.index(both.fitness) >= order.index(first.fitness)
    assert first.told.endswith(".")


def test_what_was_not_tried_is_still_to_try() -> None:
    """Passing the hole alone is a warp so far; nothing tried is no verdict; few strokes say little."""
    nothing = verdict(HeddleTrial(()))
    assert nothing.fitness is None
    assert len(nothing.still_to_try) == 3
    half = verdict(HeddleTrial((("hole", "passes freely"),)))
    assert half.told.startswith("Warp so far")
    assert half.still_to_try == ("the slot", "50 strokes of rubbing")
    few = verdict(HeddleTrial(tuple(GOOD.items()), rub_strokes=20))
    assert few.fitness == Fitness.WARP
    assert "20 strokes say little" in few.told
    assert verdict(seen(hole="sticks")).still_to_try == ()


def test_the_file_offers_what_the_table_knows() -> None:
    """Each field of [yarn.heddle_trial] takes just the findings of the table."""
    for tried in TRIED:
        field = HeddleTrialPart.model_fields[tried.replace(" ", "_")]
        offered = {word for part in get_args(field.annotation) for word in get_args(part)}
        assert offered == set(can_be_seen(tried))
