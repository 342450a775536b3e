"""Whatever is typed, a plan is an answer or a list of sentences, never a fault of ours."""

from __future__ import annotations

import json
from copy import deepcopy
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from planning.asking import tree

from clothwright.planning import plan
from clothwright.project import ProblemsFound, read_project

BASES = [tree(name) for name in ("slate-tide-cloth", "full-looking-cone", "old-record", "rows-of-rectangles")]
TYPED = [
    *(
        "0 cm",
        "1 mm",
        "0.1 cm",
        "500 m",
        "9999 km",
        "0 g",
        "1 mg",
        "400 kg",
        "0.01/cm",
        "90/cm",
        "1/10 cm",
        "0 %",
        "99.9 %",
    ),
    *(
        "100 %",
        "99 % of warp",
        "99 % of woven length",
        "0 % of width in heddle",
        "0.01",
        "300 %",
        "1 m/100 g",
        "900000 m/g",
    ),
    *(
        "2/40 Nm",
        "3 to 90/cm",
        "1 to 500 cm",
        "about 20 cm",
        "",
        "twill 2/2",
        "shaft",
        "indirect",
        "finished",
        "off loom",
    ),
    *(
        "unwashed",
        "mill",
        "warp",
        "weft",
        "x" * 300,
        "machine fulled",
        "cotton",
        "10 to 20 g",
        None,
        0,
        -1,
        True,
        [],
        {},
    ),
]


def places(part: Any, before: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """The path of every value in a tree."""
    steps = part.items() if isinstance(part, dict) else enumerate(part) if isinstance(part, list) else ()
    return [path for step, inner in steps for path in ((*before, step), *places(inner, (*before, step)))]


@st.composite
def mutated(draw: st.DrawFn) -> dict[str, Any]:
    """An example project with one to three values changed to something else that might be typed."""
    changed = deepcopy(draw(st.sampled_from(BASES)))
    for _ in range(draw(st.integers(1, 3))):
        *steps, last = draw(st.sampled_from(places(changed)))
        part: Any = changed
        for step in steps:
            part = part[step]
        part[last] = draw(st.sampled_from(TYPED))
    return changed


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(mutated(), st.booleans())
def test_any_typed_value_gives_a_plan_or_sentences(typed: dict[str, Any], by_hand: bool) -> None:
    try:
        answer = plan(read_project(typed), by_hand=by_hand)
    except ProblemsFound as found:
        sentences = [problem.sentence for problem in found.problems]
    else:
        sentences = [json.dumps(answer.as_json(), allow_nan=False)]
    assert sentences
    assert all(sentences)
