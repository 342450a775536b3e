"""A record in words, for page, paper and command alike: plan beside actual, what was learnt, what was found later."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Sequence
from typing import Final

from clothwright.measure import Interval
from clothwright.planning.record.again_compared import AgainLine, Compared
from clothwright.planning.record.learnt import Learnt
from clothwright.planning.record.record_beside import Beside
from clothwright.project import Project
from clothwright.project.domain import yarns_sampled
from clothwright.project.parts.record_parts import LaterPart, RemnantPart, that_count
from clothwright.project.parts.remnant_shape import largest_upright, outline_area
from clothwright.project.record.record_search import RecordSaid
from clothwright.project.record.record_stages import Wanting
from clothwright.sheets.both_units import typed_in_both
from clothwright.sheets.wording import LENGTH, THREADS, WEIGHT, YARN, Kind, Rounding, literal, percent, plain_number
from clothwright.yarn import Lot

_KINDS: Final[dict[str, Kind]] = {"cm": LENGTH, "m": YARN, "g": WEIGHT, "per cm": THREADS}
BESIDE_HEAD: Final = ("What", "Planned", "Came", "Difference", "Forecast")
LEARNT_HEAD: Final = ("Figure", "Believed before", "This record", "Believed with it", "Doubt")
#: The verdict of the wearer, by what is stored.
LIKED_WORDS: Final = {"yes": "liked it", "partly": "liked it in part", "no": "did not like it"}


def beside_row(one: Beside, *, imperial: bool = False) -> tuple[str, ...]:
    """A figure in the columns of `BESIDE_HEAD`."""
    planned = f"{_span(one.planned, one.unit, imperial)}{' asked' if one.least else ''}"
    return (
        literal(one.what),
        planned,
        _value(one.came, one.unit, imperial),
        difference(one, imperial=imperial),
        one.word,
    )


def difference(one: Beside, *, imperial: bool = False) -> str:
    """How far what came lies from what was expected, in its unit and as a share: `3 cm (1¼ in) more, 5 %`.

    What is left over is itself a difference, of which a share tells nothing.
    """
    size = abs(one.difference)
    if size < _LEAST[one.unit]:
        return "none"
    share = f", {percent(size / abs(one.planned.expected))}" if one.unit != "g" and one.planned.expected else ""
    return f"{_value(size, one.unit, imperial)} {'more' if one.difference > 0 else 'less'}{share}"


#: What is too little to be told as a difference, by the unit.
_LEAST: Final = {"cm": 0.05, "m": 0.05, "g": 0.05, "per cm": 0.005, "": 0.5}


def _value(value: float, unit: str, imperial: bool) -> str:
    kind = _KINDS.get(unit)
    return kind.text(value, imperial=imperial) if kind else plain_number(value)


def _span(interval: Interval, unit: str, imperial: bool) -> str:
    kind = _KINDS.get(unit)
    return kind.range(interval, imperial=imperial) if kind else plain_number(interval.expected)


def held_sentence(lines: Sequence[Beside]) -> str:
    """Of how many forecasts how many held; empty where there was none."""
    forecasts = [one for one in lines if one.forecast]
    if not forecasts:
        return ""
    held = sum(one.within for one in forecasts)
    outside = ", ".join(literal(one.what).rstrip(" ↕↔") for one in forecasts if not one.within)
    more = f"; outside: {outside}" if outside else ""
    return (
        f"Of {len(forecasts)} {'forecast' if len(forecasts) == 1 else 'forecasts'} at nine in ten, {held} held{more}."
    )


def learnt_row(one: Learnt, *, imperial: bool = False) -> tuple[str, ...]:
    """A figure in the columns of `LEARNT_HEAD`."""
    came = "–" if one.came is None else _figure(one.came, one.unit, imperial)
    return (
        literal(one.name),
        _figures(one.before, one.unit, imperial),
        came,
        _figures(one.after, one.unit, imperial),
        _doubt(one),
    )


def _doubt(one: Learnt) -> str:
    share = round(abs(one.narrower) * 100)
    if share < 1:
        return "as before"
    return f"{share} % {'narrower' if one.narrower > 0 else 'wider'}"


def _figure(value: float, unit: str, imperial: bool) -> str:
    kind = _KINDS.get(unit)
    return kind.text(value, imperial=imperial) if kind else f"{value:.3f}"


def _figures(interval: Interval, unit: str, imperial: bool) -> str:
    kind = _KINDS.get(unit)
    return kind.range(interval, imperial=imperial) if kind else f"{interval.low:.3f} to {interval.high:.3f}"


def wanting_sentence(wanting: Iterable[Wanting]) -> str:
    """What a record still wants; empty where it wants nothing."""
    said = [literal(one.what) for one in wanting]
    return f"Still to complete: {', '.join(said)}." if said else ""


def later_lines(later: Sequence[LaterPart]) -> list[tuple[int, str, str, str, bool]]:
    """What was added later: its number, its day, what it is about, what it says, and whether it still counts."""
    counts = {number for number, _ in that_count(list(later))}
    return [
        (number, in_words(one.day), _about(one), literal(one.says), number in counts)
        for number, one in enumerate(later, 1)
    ]


def _about(one: LaterPart) -> str:
    about = LIKED_WORDS[one.liked] if one.liked else one.about
    return f"{about} (corrects {one.corrects})" if one.corrects else about


def in_words(day: str) -> str:
    """A day as it is said, 14 March 2026; as it was typed where it is none."""
    try:
        read = datetime.date.fromisoformat(day)
    except ValueError:
        return literal(day)
    return f"{read.day} {read:%B %Y}"


def short_of(said: RecordSaid, *, imperial: bool = False) -> list[str]:
    """A record in short: yarns, cloth, size, verdict."""
    size = [LENGTH.text(cm, imperial=imperial) for cm in (said.width_cm, said.length_cm) if cm]
    sett = [THREADS.text(said.ends_per_cm, imperial=imperial)] if said.ends_per_cm else []
    fibres = f" ({', '.join(map(literal, said.fibres))})" if said.fibres else ""
    lines = [
        ", ".join(map(literal, said.yarns)) + fibres,
        ", ".join([said.structure, *sett]),
        " × ".join(size) + (" finished" if size else ""),
        literal(said.finish),
        LIKED_WORDS.get(said.liked, ""),
    ]
    return [one for one in lines if one.strip()]


def used_lines(project: Project, *, imperial: bool = False) -> list[str]:
    """Of each yarn whose rest was weighed: what there was, what is left, what was used."""
    record = project.record
    if record is None or not record.left:
        return []
    left: dict[str, float] = {}
    for one in record.left:
        left[one.yarn] = left.get(one.yarn, 0.0) + one.weight.grams
    sides = yarns_sampled(project)
    lots = {lot.name: lot for lot in (*sides.warp, *sides.weft)}
    return [_used(lots[name], grams, imperial) for name, grams in left.items() if name in lots]


def _used(lot: Lot, left: float, imperial: bool) -> str:
    rest = WEIGHT.text(left, imperial=imperial)
    if not lot.balls:
        return f"{literal(lot.name)}: {rest} left"
    had, used = WEIGHT.text(lot.grams, imperial=imperial), lot.grams - left
    if used < 0:
        return f"{literal(lot.name)}: {rest} left, which is more than the {had} there was; was a core weighed with it?"
    return f"{literal(lot.name)}: {had} there was, {rest} left, {WEIGHT.text(used, imperial=imperial)} used"


def first_plan_sentence(project: Project) -> str:
    """The plan the warp was put on by, as it was kept then; empty where none was kept."""
    first = project.on_loom.first_plan if project.on_loom else None
    if first is None:
        return ""
    said = {
        "weave to": first.to_weave,
        "ends": first.ends,
        "warp": first.warp_length,
        "finished width": first.finished_width,
        "finished length": first.finished_length,
        "picks": first.picks,
        "verdict": first.verdict,
    }
    day = f" on {in_words(first.day)}" if first.day else ""
    return f"The plan the warp was put on by{day}: {', '.join(f'{name} {typed_in_both(value)}' for name, value in said.items() if value)}."


def remnant_lines(project: Project, *, imperial: bool = False) -> list[str]:
    """Each remnant: its size, or its outline's with the largest piece that can be cut from it along the grain."""
    record = project.record
    return [_remnant(one, imperial) for one in (record.remnant if record else ())]


def _remnant(one: RemnantPart, imperial: bool) -> str:
    weight = f", {WEIGHT.text(one.weight.grams, imperial=imperial)}" if one.weight else ""
    if not one.outline:
        assert one.width
        assert one.length
        sides = (LENGTH.text(side.cm, imperial=imperial) for side in (one.width, one.length))
        return f"{literal(one.name)}: {' × '.join(sides)}{weight}"
    found = largest_upright(one.corners)
    sides = (LENGTH.text(side, imperial=imperial, rounding=Rounding.DOWN) for side in (found.width_cm, found.length_cm))
    area = f"{outline_area(one.corners):.0f} cm²"
    return f"{literal(one.name)}: {area} (sq cm){weight}; the largest rectangle along the grain is {' × '.join(sides)}"


AGAIN_HEAD: Final = ("What", "Last time", "By proportion", "By last time’s ratios", "Planned now")


def again_row(one: AgainLine, *, imperial: bool = False) -> tuple[str, ...]:
    """A figure in the columns of `AGAIN_HEAD`."""
    known = (one.last, one.by_proportion, one.by_ratio)
    return (one.what, *(_known(value, one.unit, imperial) for value in known), _span(one.planned, one.unit, imperial))


def _known(value: float | None, unit: str, imperial: bool) -> str:
    if value is None:
        return "not told"
    return _value(value if unit else round(value), unit, imperial)


def again_lines(found: Compared, *, imperial: bool = False) -> list[str]:
    """The comparison in lines of text; what proportion says stands in brackets, for it is wrong."""
    lines = []
    for one in found.lines:
        what, last, proportion, ratio, planned = again_row(one, imperial=imperial)
        lines.append(f"{what}: {planned} planned; last time {last}, by its ratios {ratio} [by proportion {proportion}]")
    return lines


def again_notes(found: Compared, *, imperial: bool = False) -> list[str]:
    """How far proportion goes astray, how the ratio was reckoned, and what the record does not tell."""
    warp = found.lines[0]
    notes = []
    if warp.sum:
        notes.append(f"By the ratios of last time: {warp.sum}.")
    if warp.astray is not None and abs(warp.astray) >= 1:
        size = LENGTH.text(abs(warp.astray), imperial=imperial)
        notes.append(
            f"By proportion the warp would be {size} too {'long' if warp.astray > 0 else 'short'}: it multiplies the loom waste, "
            "which is paid once a warp."
        )
    if found.missing:
        notes.append(
            f"The record does not tell {', '.join(found.missing)}: there the plan goes by samples or by what is usual, and is less sure."
        )
    notes.append("The plan goes by all that is known, this record with it, and adds for how unsure that is.")
    return notes
