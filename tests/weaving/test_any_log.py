"""Whatever a log holds, it is told or refused in sentences."""

from __future__ import annotations

import json
import math
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st
from weaving.at_looms import tabard

from clothwright.project import ProblemsFound, read_project
from clothwright.sheets import loom_strip_svg
from clothwright.sheets.loom.at_loom import sections
from clothwright.weaving import LoomForecast, forecast, looked_back, standing

CM = st.integers(0, 400).map(lambda cm: f"{cm} cm")
GRAMS = st.integers(0, 300).map(lambda grams: f"{grams} g")
NAMES = st.sampled_from(["eelgrass", "shingle"])
ENTRY = st.fixed_dictionaries(
    {"woven": CM},
    optional={
        "weft_left": st.dictionaries(NAMES, GRAMS, max_size=2),
        "picks": st.fixed_dictionaries({"count": st.integers(1, 200), "over": st.just("10 cm")}),
        "width_at_fell": st.integers(1, 100).map(lambda cm: f"{cm} cm"),
        "warp_left": CM,
        "minutes": st.integers(1, 500),
        "repeats": st.lists(st.integers(1, 80), max_size=4),
        "woven_back": st.booleans(),
        "when": st.sampled_from(["2026-03-14", "2026-03-14 16:30", "2026-03-15T09:00"]),
        "happened": st.fixed_dictionaries({"what": st.sampled_from(["knot", "floats"])}),
        "off_loom": st.fixed_dictionaries({"length": st.just("190 cm")}),
    },
)
ON_LOOM = st.fixed_dictionaries(
    {},
    optional={
        "to_weave": st.integers(1, 400).map(lambda cm: f"{cm} cm"),
        "warp_wound": st.integers(20, 500).map(lambda cm: f"{cm} cm"),
        "ends": st.integers(1, 300),
        "marks_every": st.integers(1, 100).map(lambda cm: f"{cm} cm"),
        "repeat": st.just("8 cm"),
        "counted_from": st.sampled_from(["cloth", "sample"]),
        "bands": st.just([{"begins": "100 cm", "stops": "140 cm", "yarn": "shingle"}]),
    },
)


def told_or_refused(tree: dict[str, Any], *, by_hand: bool) -> LoomForecast | None:
    """The forecast; None where it was refused, with a sentence for every reason."""
    refused: ProblemsFound | None = None
    try:
        return forecast(read_project(tree), by_hand=by_hand)
    except ProblemsFound as found:
        refused = found
    assert all(one.sentence for one in refused.problems)
    return None


def numbers(value: Any) -> list[float]:
    if isinstance(value, dict):
        return [number for one in value.values() for number in numbers(one)]
    if isinstance(value, list):
        return [number for one in value for number in numbers(one)]
    return [value] if isinstance(value, float) else []


@given(st.lists(ENTRY, max_size=6), ON_LOOM, st.booleans(), st.booleans())
@settings(max_examples=30, deadline=None)
def test_any_log_is_told_or_refused(
    log: list[dict[str, Any]], on_loom: dict[str, Any], planned: bool, by_hand: bool
) -> None:
    """Nothing is no number; ends of intervals are in order; chances are chances; words and picture are made of it."""
    tree = tabard(1) if planned else {}
    tree = tree | {"on_loom": on_loom, "log": log}
    told = told_or_refused(tree, by_hand=by_hand)
    if told is None:
        return
    data = told.as_json()
    json.dumps(data)
    assert all(map(math.isfinite, numbers(data)))
    for one in told.yarns:
        assert one.need_g.low <= one.need_g.expected <= one.need_g.high
        assert one.short_cm >= 0
        assert one.chance_enough is None or 0 <= one.chance_enough <= 1
    for way in told.ways_out:
        assert told.woven_cm <= way.stop_at_cm + 1e-6
    assert all(line for _, lines in sections(told, imperial=True) for line in lines)
    assert "nan" not in loom_strip_svg(told)
    looked_back(standing(read_project(tree)))
