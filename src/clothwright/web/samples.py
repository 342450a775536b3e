"""What samples tell, as the pages show it: the sett, the width two ways, ratios, outlines, parts."""

from __future__ import annotations

from dataclasses import dataclass

from clothwright.planning import SampleTold, StepRatio, WidthForecast
from clothwright.sheets import outlines_svg
from clothwright.sheets.sampling.samples import (
    advice_sentence,
    advice_word,
    good_for_sentence,
    neighbour_sentences,
    two_ways,
)
from clothwright.sheets.wording import CLOTH_WEIGHT, LENGTH, percent


@dataclass(frozen=True)
class ShownForecast:
    """What a sample supports for the finished width: a sentence, and each way with its middle and its range."""

    says: str
    ways: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True)
class ShownRatio:
    """A row of the table of ratios."""

    side: str
    states: str
    sizes: str
    ratio: str
    lost: str
    start: str


@dataclass(frozen=True)
class ShownPart:
    """A part cut off: its recipe, its ratios, its hand."""

    name: str
    finish: str
    ratios: tuple[ShownRatio, ...]
    hand: str


@dataclass(frozen=True)
class ShownSample:
    """A sample as the page tells it; `key` is the shape that stands for the verdict on its sett."""

    name: str
    made: str
    key: str
    word: str
    why: str
    neighbours: tuple[str, ...]
    forecast: ShownForecast | None
    good_for: str
    facts: tuple[tuple[str, str], ...]
    limits: tuple[str, ...]
    ratios: tuple[ShownRatio, ...]
    parts: tuple[ShownPart, ...]
    notes: tuple[str, ...]
    outlines: str


def shown_sample(one: SampleTold, *, imperial: bool) -> ShownSample:
    """A sample in the words and units of the page."""
    verdict = one.sett
    return ShownSample(
        name=one.name,
        made=", ".join(filter(None, (one.structure, one.heddle, one.finish))),
        key="enough" if verdict.advice == "right" else "close" if verdict.advice else "unsettled",
        word=advice_word(verdict),
        why=advice_sentence(verdict).removeprefix(f"{advice_word(verdict)}: "),
        neighbours=tuple(neighbour_sentences(one, imperial=imperial)),
        forecast=shown_forecast(one.width_forecast, imperial=imperial) if one.width_forecast else None,
        good_for=good_for_sentence(one),
        facts=tuple(_facts(one, imperial)),
        limits=one.limits,
        ratios=tuple(_ratio(ratio, imperial) for ratio in one.ratios),
        parts=tuple(
            ShownPart(part.name, part.finish, tuple(_ratio(ratio, imperial) for ratio in part.ratios), part.hand)
            for part in one.parts
        ),
        notes=one.notes,
        outlines=outlines_svg(one.traced, imperial=imperial, name=one.name),
    )


def shown_forecast(one: WidthForecast, *, imperial: bool) -> ShownForecast:
    """The finished width two ways and fused."""
    low, high = (LENGTH.short(cm, imperial=imperial) for cm in one.supports_cm)
    says = f"{one.sample} supports {low} to {high} finished; {LENGTH.text(one.asked_width_cm, imperial=imperial)} is asked."
    ways = (
        (words.capitalize(), LENGTH.text(ends.expected, imperial=imperial), LENGTH.range(ends, imperial=imperial))
        for words, ends in two_ways(one)
    )
    return ShownForecast(says, tuple(ways))


def _facts(one: SampleTold, imperial: bool) -> list[tuple[str, str]]:
    facts = []
    if one.g_per_m2 is not None:
        facts.append(("Weight of the cloth", CLOTH_WEIGHT.text(one.g_per_m2, imperial=imperial)))
    if one.cover is not None:
        facts.append(("Of the face its threads cover", percent(round(one.cover, 2))))
    return facts


def _ratio(one: StepRatio, imperial: bool) -> ShownRatio:
    before, after = (LENGTH.short(cm, imperial=imperial) for cm in (one.from_cm, one.to_cm))
    lost, more = percent(round(abs(one.lost_share), 3)), percent(round(abs(one.weave_share), 3))
    grown = one.lost_share < 0
    return ShownRatio(
        side=f"{one.side} {'↔' if one.side == 'width' else '↕'}",
        states=f"{one.from_state} → {one.to_state}",
        sizes=f"{before} → {after}",
        ratio=f"{one.ratio:.3f} ±{100 * one.error_share:.1f} %",
        lost=f"{'gains' if grown else 'loses'} {lost} {one.lost_of}",
        start=f"{more} {'less' if grown else 'more'}",
    )
