"""Pieces that may come from another cloth, what moving each there saves, and what the other cloth has to be.

Which pieces: by the trade words in their names, a guess to confirm; and hems, where an edge is marked as one and so could be
faced. What moving saves is the plan made anew without them, against the plan with them, both as first guesses. What is needed
of the other cloth is a first guess of a layout by itself, at the width of that cloth.

A garment with a piece too wide for its cloth has no plan to save from; it is reckoned as joined in the best way.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any, Final

from clothwright.evidence import NO_HISTORY, History
from clothwright.layout import TooWide, copies, first_guess
from clothwright.pattern import MAIN_CLOTH, OTHER_CLOTH, Piece, hem_lines, often_of_other_cloth, other_cloth_width_cm
from clothwright.planning.choices.narrow_cloth import JoinsAnswer, Takes, joined_job, propose_joins, takes, written
from clothwright.planning.job import Job, job_of
from clothwright.planning.weighing_up import WeighedUp, weigh_up
from clothwright.project import ProblemsFound, Project
from clothwright.project.parts.pattern_parts import JoinPart
from clothwright.project.pattern.garment import every_piece
from clothwright.project.pattern.joined import with_joins

MOST_MOVED: Final = 12
_NO_DRAWINGS: Final[Mapping[str, bytes]] = MappingProxyType({})


@dataclass(frozen=True)
class OtherLay:
    """What is needed of another cloth: its width, and the length a simple layout takes, cm."""

    width_cm: float
    length_cm: float


@dataclass(frozen=True)
class Movable:
    """A piece, or a hem, that may come from another cloth.

    `moved`: the pieces, by name. `hems`: joins that cut hems off for facings. `why`: what speaks for it. `guess`: whether a
    piece was found by its name.
    `takes`: the plan without it; `saves_m`, `saves_g`, `saves_cm`: yarn, and finished cloth at its own width, against the
    plan with it. `needs`: of the other cloth; None where no piece fits on it.
    """

    why: str
    guess: bool
    takes: Takes
    saves_m: float
    saves_g: float
    saves_cm: float
    needs: OtherLay | None
    moved: tuple[str, ...] = ()
    hems: tuple[JoinPart, ...] = ()

    @property
    def name(self) -> str:
        """What it is called."""
        return ", ".join((*self.moved, *(f"hem of {hem.piece}" for hem in self.hems)))

    def as_json(self) -> dict[str, Any]:
        """It as plain data."""
        return {
            "pieces": list(self.moved),
            "hems": [written(hem) for hem in self.hems],
            "why": self.why,
            "guess": self.guess,
            "saves_m": self.saves_m,
            "saves_g": self.saves_g,
            "saves_finished_cm": self.saves_cm,
            "other_cloth_width_cm": self.needs.width_cm if self.needs else None,
            "other_cloth_length_cm": self.needs.length_cm if self.needs else None,
            **self.takes.as_json(),
        }


@dataclass(frozen=True)
class OtherCloth:
    """What may come from another cloth, all of it together, and what comes from one already.

    `already`: for each other cloth named, its pieces and what it has to be. `left_out`: what was not reckoned, for time.
    """

    width_cm: float
    movable: tuple[Movable, ...]
    together: Movable | None
    already: tuple[tuple[str, tuple[str, ...], OtherLay | None], ...]
    left_out: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        """It as plain data."""
        return {
            "other_cloth_width_cm": self.width_cm,
            "may_come_from_it": [one.as_json() for one in self.movable],
            "all_together": self.together.as_json() if self.together else None,
            "come_from_it_already": [
                {"material": name, "pieces": list(pieces), "length_cm": needs.length_cm if needs else None}
                for name, pieces, needs in self.already
            ],
            "left_out": list(self.left_out),
        }


def what_may_move(
    project: Project,
    *,
    drawings: Mapping[str, bytes] = _NO_DRAWINGS,
    joins: JoinsAnswer | None = None,
    other_width_cm: float | None = None,
    history: History = NO_HISTORY,
) -> OtherCloth:
    """What may come from another cloth, with what that saves; `joins` is the answer for the same project, if it is known.

    ProblemsFound, with every problem, when the project cannot be planned as it stands.
    """
    joins = joins or propose_joins(project, drawings=drawings, history=history)
    job = job_of(project, drawings, history)
    pieces, _ = every_piece(job.as_typed, drawings)
    return _Moving(job, pieces, joins, other_width_cm or other_cloth_width_cm()).answer()


class _Moving:
    """Plans the garment without each piece that may move."""

    def __init__(self, job: Job, pieces: tuple[Piece, ...], joins: JoinsAnswer, other_width_cm: float) -> None:
        self._width_cm, self._cloth_cm, self._all = other_width_cm, joins.cloth_cm, pieces
        self._parts = joins.proposals[0].parts if joins.proposals else ()
        self._job = joined_job(job, pieces, self._parts)
        self._before: WeighedUp | None = None
        if joins.proposals or not joins.too_wide:
            self._before = weigh_up(self._job, no_wider_cm=self._cloth_cm)

    def answer(self) -> OtherCloth:
        """Everything that may move."""
        found = list(self._candidates()) if self._before else []
        moved = [one for one in (self._moved(*candidate) for candidate in found[:MOST_MOVED]) if one]
        return OtherCloth(
            self._width_cm,
            tuple(sorted(moved, key=lambda one: -one.saves_m)),
            self._together(found) if len(moved) > 1 else None,
            tuple(self._already()),
            tuple(names[0] for names, *_ in found[MOST_MOVED:]),
        )

    def _candidates(self) -> Iterator[tuple[tuple[str, ...], str, JoinPart | None]]:
        """Names, why, and for a hem the join that cuts it off."""
        for name, panels in self._by_name().items():
            why = often_of_other_cloth(name)
            if why is not None:
                yield panels, why, None
        for piece in self._main:
            if hem_lines(piece):
                part = JoinPart(piece=piece.name, at="hem", material=OTHER_CLOTH)
                yield (piece.name,), "a hem can be faced instead of turned up", part

    @property
    def _main(self) -> tuple[Piece, ...]:
        assert self._job.garment is not None  # asked only for a garment
        return self._job.garment.pieces

    def _by_name(self) -> dict[str, tuple[str, ...]]:
        """The pieces of the main cloth with the panels each is joined from."""
        found: dict[str, tuple[str, ...]] = {}
        for piece in self._main:
            name = piece.panel_of or piece.name
            found[name] = tuple(dict.fromkeys((*found.get(name, ()), piece.name)))
        return found

    def _moved(self, names: tuple[str, ...], why: str, hem: JoinPart | None) -> Movable | None:
        return self._without(names if hem is None else (), (hem,) if hem else (), why)

    def _with(self, *hems: JoinPart) -> Job:
        return joined_job(self._job, self._all, (*self._parts, *hems))

    def _cut_off(self, hems: tuple[JoinPart, ...]) -> tuple[Piece, ...]:
        """The facings that hems become, cut from the other cloth."""
        assert self._job.as_typed.pattern is not None  # asked only for a garment
        pattern = self._job.as_typed.pattern.model_copy(update={"join": [*self._parts, *hems]})
        joined, _ = with_joins(self._job.as_typed.model_copy(update={"pattern": pattern}), self._all)
        before = {piece.name for piece in self._all if piece.material != MAIN_CLOTH}
        return tuple(piece for piece in joined if piece.material != MAIN_CLOTH and piece.name not in before)

    def _without(self, names: tuple[str, ...], hems: tuple[JoinPart, ...], why: str) -> Movable | None:
        """The plan without pieces and hems, against the plan with all; None where nothing is left, or it cannot be planned."""
        assert self._before is not None  # asked only where there is a plan
        assert self._job.garment is not None
        try:
            main = _main_of(self._with(*hems))
            kept = tuple(piece for piece in main if piece.name not in names)
            gone = (*(piece for piece in main if piece.name in names), *self._cut_off(hems))
            job = replace(self._job, garment=replace(self._job.garment, pieces=kept))
            after = takes(weigh_up(job, like=replace(self._before, fitted=None), no_wider_cm=self._cloth_cm))
        except (ProblemsFound, ValueError):
            return None
        before = takes(self._before)
        saves = before.yarn_m - after.yarn_m
        return Movable(
            why=why,
            guess=bool(names),
            takes=after,
            saves_m=saves,
            saves_g=before.yarn_g - after.yarn_g,
            saves_cm=saves / before.yarn_m * before.cloth_length_cm,
            needs=_simple_lay(gone, self._width_cm),
            moved=tuple(dict.fromkeys(piece.panel_of or piece.name for piece in gone if piece.name in names)),
            hems=hems,
        )

    def _together(self, found: list[tuple[tuple[str, ...], str, JoinPart | None]]) -> Movable | None:
        """All of them moved at once."""
        names = tuple(name for group, _, hem in found if hem is None for name in group)
        hems = tuple(hem for _, _, hem in found if hem is not None and hem.piece not in names)
        return self._without(names, hems, "all of these together")

    def _already(self) -> Iterator[tuple[str, tuple[str, ...], OtherLay | None]]:
        """Each other cloth that is named, with its pieces."""
        by_cloth: dict[str, list[Piece]] = {}
        for piece in self._all:
            if piece.material != MAIN_CLOTH:
                by_cloth.setdefault(piece.material, []).append(piece)
        for material, pieces in by_cloth.items():
            names = tuple(dict.fromkeys(piece.name for piece in pieces))
            yield material, names, _simple_lay(pieces, self._width_cm)


def _main_of(job: Job) -> tuple[Piece, ...]:
    assert job.garment is not None  # asked only for a garment
    return job.garment.pieces


def _simple_lay(pieces: Iterable[Piece], width_cm: float) -> OtherLay | None:
    """A first guess of a layout of the pieces by themselves; None where one is wider than that cloth."""
    found = copies(tuple(pieces), one_way=False)
    try:
        return OtherLay(width_cm, first_guess(found, width_cm).length_cm)
    except TooWide:
        return None
