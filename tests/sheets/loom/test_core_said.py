"""What the core words at the loom is said in German by its shape, with its figures as German writes them."""

from __future__ import annotations

import re
from typing import Any

import pytest
from weaving.at_looms import tabard, weighed

from clothwright.project import Project, read_project
from clothwright.sheets.loom.at_loom import stop_sentence, warning_sentence, way_sentence
from clothwright.sheets.loom.core_said import SHAPES, said_of_core
from clothwright.sheets.translating import ENGLISH, Language
from clothwright.weaving import LoomForecast, forecast

GERMAN = Language("de")


def log(*entries: dict[str, Any], to_weave: str = "263 cm") -> Project:
    return read_project({"on_loom": {"to_weave": to_weave}, "log": list(entries)})


def at(cm: float, grams: float, **more: Any) -> dict[str, Any]:
    return {"woven": f"{cm:g} cm", "weft_left": {"weft": f"{grams:g} g"}, **more}


def picks(cm: float, count: int) -> dict[str, Any]:
    return {"woven": f"{cm:g} cm", "picks": {"count": count, "over": "10 cm"}}


STANDING = {
    "heavier": weighed((0, 212), (60, 165), (150, 85)),
    "lighter": weighed((0, 212), (60, 150), (150, 100)),
    "as it was": weighed((0, 212), (60, 165), (150, 94)),
    "thicker": log(at(0, 212), at(60, 165) | picks(60, 30), at(150, 85) | picks(150, 30)),
    "closer": log(at(0, 212), picks(20, 30), picks(60, 36), at(60, 200)),
    "more open": log(at(0, 212), picks(20, 36), picks(60, 30), at(60, 200)),
    "narrower": log(at(20, 200, width_at_fell="48 cm"), at(60, 180, width_at_fell="46 cm")),
    "wider": log(at(20, 200, width_at_fell="46 cm"), at(60, 180, width_at_fell="48 cm")),
    "late": log(at(0, 212), at(60, 165), {"woven": "40 cm"}),
    "gained": log(at(0, 212), at(60, 165), at(90, 190)),
    "missed": log(at(0, 212), at(200, 100, off_loom={"length": "240 cm"})),
    "the tabard": read_project(tabard(5)),
}


def sentences(told: LoomForecast) -> list[str]:
    """Every sentence of the core that a phone shows."""
    ways = [part for one in told.ways_out for part in (one.what, one.change, one.costs)]
    return [
        *told.asked,
        *(one.words for one in told.trends if one.change),
        *(one.then for one in told.stop_lines),
        *ways,
    ]


@pytest.mark.parametrize("name", sorted(STANDING))
def test_every_sentence_of_the_core_has_a_shape_in_the_catalogue(name: str) -> None:
    """By the core itself: each is said in German, with the same figures; English is as the core has it."""
    told = forecast(STANDING[name], by_hand=True)
    found = sentences(told)
    assert found
    for one in found:
        said = said_of_core(one, GERMAN)
        assert said != one, one
        assert sorted(re.findall(r"\d+", said)) == sorted(re.findall(r"\d+", one))
        assert said_of_core(one, ENGLISH) == one


def test_no_english_is_left_in_what_is_said_of_a_short_weft() -> None:
    told = forecast(STANDING["heavier"], by_hand=True)
    said = [warning_sentence(told, GERMAN)]
    said += [stop_sentence(one, imperial=False, says=GERMAN) for one in told.stop_lines]
    said += [way_sentence(one, imperial=False, says=GERMAN) for one in told.ways_out]
    assert len(said) > 2
    words = set(re.findall(r"[a-z]+", " ".join(said).lower()))
    assert not words & {"the", "of", "at", "from", "with", "instead", "yarn", "cloth", "costs", "lasts", "way"}


def test_a_sentence_of_no_shape_stays_as_it_is() -> None:
    assert said_of_core("Kelp is not a yarn.", GERMAN) == "Kelp is not a yarn."
    assert len(SHAPES) == len(set(SHAPES))
