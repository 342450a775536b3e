"""Finding records: by yarn, fibre, sett, structure, width, garment, verdict, and by any words."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any, Final

from clothwright.cloth import structure
from clothwright.measure import Length, QuantityError, ThreadsPerLength
from clothwright.project.document import Project, RecordPart
from clothwright.project.domain import yarns_sampled
from clothwright.project.parts.record_parts import LIKED, liked, that_count
from clothwright.project.problem import Problem, ProblemsFound
from clothwright.project.record.past import ends_per_cm

#: Setts within this factor are the same sett: 7.5/in and 30/10 cm are.
_SAME_SETT: Final = 1.03
#: A width typed without a spread is meant to within this share. Common practice, no source.
_NEAR_WIDTH: Final = 0.05


@dataclass(frozen=True)
class RecordSaid:
    """What a record can be found by. Sizes are finished, cm; the width is the least that was measured."""

    number: str
    name: str
    day: str
    yarns: tuple[str, ...]
    fibres: tuple[str, ...]
    structure: str
    ends_per_cm: float | None
    width_cm: float | None
    length_cm: float | None
    finish: str
    garment: str
    liked: str
    #: Everything said of it, in small letters.
    words: str

    def as_json(self) -> dict[str, Any]:
        """The record in short, as plain data."""
        return {
            "number": self.number or None,
            "name": self.name,
            "finished_on": self.day or None,
            "yarns": list(self.yarns),
            "fibres": list(self.fibres),
            "structure": self.structure,
            "ends_per_cm": self.ends_per_cm and round(self.ends_per_cm, 4),
            "finished_width_cm": self.width_cm,
            "finished_length_cm": self.length_cm,
            "finish": self.finish,
            "garment": self.garment,
            "liked": self.liked or None,
        }


@dataclass(frozen=True)
class RecordAsked:
    """What is looked for; what is left out may be anything."""

    words: str = ""
    yarn: str = ""
    fibre: str = ""
    structure: str = ""
    garment: str = ""
    liked: str = ""
    ends_per_cm: float | None = None
    width_cm: tuple[float, float] | None = None


def read_asked(typed: Mapping[str, str]) -> RecordAsked:
    """What was typed by the names of `RecordAsked`, with `sett` and `width` as text; ProblemsFound with a sentence for each wrong."""
    plain = {name: typed.get(name, "").strip() for name in ("words", "yarn", "fibre", "garment")}
    problems: list[Problem] = []
    sett, width, weave = None, None, ""
    try:
        if text := typed.get("sett", "").strip():
            sett = ThreadsPerLength.read(text).per_cm
    except QuantityError as wrong:
        problems.append(Problem(("sett",), str(wrong)))
    try:
        if text := typed.get("width", "").strip():
            width = _wide(Length.read(text))
    except QuantityError as wrong:
        problems.append(Problem(("width",), str(wrong)))
    try:
        if text := typed.get("structure", "").strip():
            weave = structure(text).name
    except KeyError as wrong:
        problems.append(Problem(("structure",), str(wrong.args[0] if wrong.args else wrong)))
    verdict = typed.get("liked", "").strip()
    if verdict and verdict not in LIKED:
        problems.append(Problem(("liked",), f"“{verdict}” came; accepted are {', '.join(LIKED)}"))
    if problems:
        raise ProblemsFound(*problems)
    return RecordAsked(**plain, structure=weave, liked=verdict, ends_per_cm=sett, width_cm=width)


def _wide(width: Length) -> tuple[float, float]:
    if width.has_spread:
        return width.low, width.high
    return width.cm * (1 - _NEAR_WIDTH), width.cm * (1 + _NEAR_WIDTH)


def said_of(project: Project) -> RecordSaid:
    """What a project's record can be found by."""
    record = project.record or RecordPart()
    widths = [one.cm for one in record.width.finished.lengths]
    finish = project.cloth.finish if record.finish is None else record.finish
    said = RecordSaid(
        number=record.number,
        name=project.name,
        day=record.date,
        yarns=tuple(one.name for one in project.yarn),
        fibres=tuple(dict.fromkeys(one.fibre for one in project.yarn if one.fibre)),
        structure=structure(project.cloth.structure).name,
        ends_per_cm=ends_per_cm(project, yarns_sampled(project)) if _sett_said(project) else None,
        width_cm=min(widths) if widths else None,
        length_cm=record.length.finished.cm if record.length.finished else None,
        finish=finish,
        garment=_garment(project),
        liked=liked(record.later),
        words="",
    )
    return _with_words(said, record)


def _sett_said(project: Project) -> bool:
    heddles = (project.record and project.record.heddle) or project.cloth.heddle or project.loom.heddles
    return bool(project.yarn and heddles)


def _garment(project: Project) -> str:
    """The pieces it was cut in, its size and version, as far as the project says."""
    pattern = project.pattern
    if pattern is None:
        return ""
    names = [one.name for one in pattern.piece]
    return ", ".join(filter(None, (pattern.version, pattern.size, *names)))


def _with_words(said: RecordSaid, record: RecordPart) -> RecordSaid:
    later = (f"{one.about} {one.says}" for _, one in that_count(record.later))
    texts = (said.number, said.name, said.day, *said.yarns, *said.fibres, said.structure, said.finish, said.garment)
    more = (record.notes, record.garment.fit, *later, *(f"{one.file} {one.shows}" for one in record.photo))
    return replace(said, words=" ".join((*texts, *more)).casefold())


def is_found(said: RecordSaid, asked: RecordAsked) -> bool:
    """Whether a record is one looked for."""
    return (
        _has(said.words, asked.words)
        and _has(" ".join(said.yarns), asked.yarn)
        and _has(" ".join(said.fibres), asked.fibre)
        and _has(f"{said.name} {said.garment}", asked.garment)
        and (not asked.structure or said.structure == asked.structure)
        and (not asked.liked or said.liked == asked.liked)
        and (asked.ends_per_cm is None or _same_sett(said.ends_per_cm, asked.ends_per_cm))
        and (asked.width_cm is None or _between(said.width_cm, asked.width_cm))
    )


def found(records: Iterable[RecordSaid], asked: RecordAsked) -> list[RecordSaid]:
    """The records looked for, the latest first; those without a day before them."""
    return sorted(
        (one for one in records if is_found(one, asked)), key=lambda one: (not one.day, one.day), reverse=True
    )


def _has(text: str, words: str) -> bool:
    """Whether every word stands in a text, whatever its capitals."""
    within = text.casefold()
    return all(word in within for word in words.casefold().split())


def _same_sett(one: float | None, other: float) -> bool:
    return one is not None and abs(math.log(one / other)) <= math.log(_SAME_SETT)


def _between(width: float | None, ends: tuple[float, float]) -> bool:
    return width is not None and ends[0] <= width <= ends[1]
