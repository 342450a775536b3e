"""Cloth narrower than a piece: every way to join the piece from panels, planned anew, and what each takes.

The theory. Joining costs yarn (two allowances along every join) and sewing, and gives pieces that lie closer; which
counts for more depends on all the other pieces, so no rule of thumb is used. Every proposal is the project with its
joins written in, planned as any project is: laid anew over the widths the cloth may have, the warp and its length decided
anew, the yarn weighed against what there is. So what a proposal says is what the plan says once it is taken.

Which proposals: for each piece that is too wide, every way whose panels fit (`join_options`), the other pieces that are too
wide each joined in the first of their own ways; then the best of each together. Pieces that fit are joined as well, one
at a time beside the best so far (or beside the garment as it is), and told where that saves yarn. Pieces marked with a line
where they may be joined are joined there first. At most `MOST_PLANS` are planned, and what was left out is told.

Layouts are first guesses, as for ways out: they compare ways with one another, and two within `SAME_SHARE` of each other are
told as equal, since a longer search moves either by as much.

Nothing is turned off the grain. A piece that would fit with its grain across the cloth is asked about, and laid as it is.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Any, Final

import numpy as np

from clothwright.evidence import NO_HISTORY, History
from clothwright.pattern import MAIN_CLOTH, JoinedPiece, Piece
from clothwright.planning.forecast import Forecast, all_lots
from clothwright.planning.job import Job, job_of
from clothwright.planning.pieces.fitting import LayoutSearch
from clothwright.planning.pieces.join_options import JoinOption, options_for, why_not
from clothwright.planning.weighing_up import WeighedUp, weigh_up
from clothwright.project import Problem, ProblemsFound, Project
from clothwright.project.parts.pattern_parts import JoinPart
from clothwright.project.pattern.garment import every_piece
from clothwright.project.pattern.joined import with_joins

MOST_PLANS: Final = 30
#: Two layouts this near in yarn are as good as each other: what a search of seconds is exact to.
SAME_SHARE: Final = 0.02
_WORTH_SAYING_M: Final = 0.5
_NO_DRAWINGS: Final[Mapping[str, bytes]] = MappingProxyType({})
_FITS_CM: Final = 1e-6


@dataclass(frozen=True)
class Takes:
    """What a plan takes: yarn in m and g, the chance that it lasts, the warp, the cloth, cm."""

    yarn_m: float
    yarn_g: float
    chance_enough: float
    spare_m: float
    ends: int
    warp_cm: float
    cloth_width_cm: float
    cloth_length_cm: float

    def as_json(self) -> dict[str, Any]:
        """The figures as plain data."""
        return {
            "yarn_m": self.yarn_m,
            "yarn_g": self.yarn_g,
            "chance_enough": self.chance_enough,
            "spare_m": self.spare_m,
            "ends": self.ends,
            "warp_length_cm": self.warp_cm,
            "finished_width_cm": self.cloth_width_cm,
            "finished_length_cm": self.cloth_length_cm,
        }


@dataclass(frozen=True)
class JoinProposal:
    """A way to join, planned: what is joined how, as it is written in the project, and what that takes.

    `saves_m`: yarn against the garment as it stands (below nothing: takes more); None where it does not fit as it stands.
    `seams_cm`: what there is to sew more. `as_good`: within `SAME_SHARE` of the one that takes least.
    """

    what: str
    parts: tuple[JoinPart, ...]
    joined: tuple[JoinedPiece, ...]
    takes: Takes
    saves_m: float | None = None
    as_good: bool = False

    @property
    def seams_cm(self) -> float:
        """What there is to sew, all copies, cm."""
        return sum(one.seam_cm for one in self.joined)

    @property
    def panels(self) -> tuple[Piece, ...]:
        """The panels of every piece that is joined."""
        return tuple(panel for one in self.joined for panel in one.pieces)

    def as_json(self) -> dict[str, Any]:
        """The proposal as plain data."""
        return {
            "what": self.what,
            "joins": [written(part) for part in self.parts],
            "seams_cm": self.seams_cm,
            "saves_m": self.saves_m,
            "as_good_as_the_best": self.as_good,
            "panels": [
                {"name": one.name, "width_cm": one.width_cm, "length_cm": one.length_cm, "cut": one.cut}
                for one in self.panels
            ],
            **self.takes.as_json(),
        }


@dataclass(frozen=True)
class JoinsAnswer:
    """The garment on narrow cloth: what is too wide, the ways to join with what each takes, and what is asked.

    `usable_cm` is the cloth's width between its trims. `as_it_is`: what the garment takes unjoined, where it fits.
    `cannot`: pieces that no way makes fit. `not_laid`: ways that were planned and found no layout or no warp, with the reason.
    `left_out`: ways that were not planned, for time.
    """

    usable_cm: float
    cloth_cm: float
    asked: bool
    too_wide: tuple[tuple[str, float], ...]
    as_it_is: Takes | None
    proposals: tuple[JoinProposal, ...]
    savings: tuple[JoinProposal, ...]
    cannot: tuple[str, ...]
    not_laid: tuple[str, ...]
    questions: tuple[str, ...]
    planned: int
    left_out: int
    notes: tuple[str, ...] = ()
    base: WeighedUp | None = field(default=None, compare=False, repr=False)

    def as_json(self) -> dict[str, Any]:
        """The answer as plain data: cm, m, g, shares."""
        return {
            "usable_width_cm": self.usable_cm,
            "cloth_width_cm": self.cloth_cm,
            "width_asked": self.asked,
            "too_wide": [{"piece": name, "width_cm": width} for name, width in self.too_wide],
            "as_it_is": self.as_it_is.as_json() if self.as_it_is else None,
            "proposals": [one.as_json() for one in self.proposals],
            "savings": [one.as_json() for one in self.savings],
            "cannot": list(self.cannot),
            "not_laid": list(self.not_laid),
            "questions": list(self.questions),
            "plans_made": self.planned,
            "ways_left_out": self.left_out,
            "notes": list(self.notes),
        }


def written(part: JoinPart) -> dict[str, str]:
    """A join as it is written in the project file."""
    return {key: str(value) for key, value in part.model_dump(mode="json", exclude_unset=True).items()}


def propose_joins(
    project: Project,
    *,
    drawings: Mapping[str, bytes] = _NO_DRAWINGS,
    cloth_width_cm: float | None = None,
    layouts: LayoutSearch | None = None,
    history: History = NO_HISTORY,
) -> JoinsAnswer:
    """The ways to join a project's pieces for its cloth, or for one no wider than `cloth_width_cm` finished.

    ProblemsFound, with every problem, when the project cannot be planned as it stands.
    """
    job = job_of(project, drawings, history)
    if job.garment is None:
        raise ProblemsFound(Problem(("pattern",), "no pattern is given, so there is no piece to join"))
    pieces, _ = every_piece(job.as_typed, drawings)
    return _Proposing(job, pieces, cloth_width_cm, layouts).answer()


class _Proposing:
    """Makes the proposals of a job, counting the plans it makes."""

    def __init__(
        self, job: Job, pieces: tuple[Piece, ...], cloth_width_cm: float | None, layouts: LayoutSearch | None
    ) -> None:
        self._job, self._pieces, self._layouts = job, pieces, layouts
        assert job.garment is not None  # asked only for a garment
        self._garment = job.garment
        self._pattern = job.as_typed.pattern
        self._forecast = Forecast(job)
        self._asked_cm = cloth_width_cm
        loom = self._forecast.widest_finished(job.project.trust.size.expected)
        self._cloth_cm = min(loom, cloth_width_cm) if cloth_width_cm else loom
        self._usable_cm = self._cloth_cm - 2 * self._garment.trim_cm
        self._like: WeighedUp | None = None
        self._planned, self._left_out = 0, 0
        self._not_laid: list[str] = []

    def answer(self) -> JoinsAnswer:
        """Everything there is to say."""
        main = self._garment.pieces
        wide = tuple(piece for piece in main if piece.width_cm > self._usable_cm + _FITS_CM)
        base = None if wide else self._weighed(())
        options = {piece.name: self._options(piece) for piece in wide}
        cannot = tuple(self._why_not(piece) for piece in wide if not options[piece.name])
        proposals = () if cannot else self._for_the_wide(options, base)
        start = proposals[0].parts if proposals else ()
        before = proposals[0].takes if proposals else takes(base) if base else None
        savings = self._that_save(tuple(p for p in main if p not in wide), start, before) if before else ()
        return JoinsAnswer(
            usable_cm=self._usable_cm,
            cloth_cm=self._cloth_cm,
            asked=self._asked_cm is not None,
            too_wide=tuple((piece.name, piece.width_cm) for piece in wide),
            as_it_is=takes(base) if base else None,
            proposals=proposals,
            savings=savings,
            cannot=cannot,
            not_laid=tuple(self._not_laid),
            questions=tuple(_turned(piece, self._usable_cm) for piece in wide if piece.length_cm <= self._usable_cm),
            planned=self._planned,
            left_out=self._left_out,
            notes=tuple(self._notes()),
            base=base,
        )

    # --- the ways ------------------------------------------------------------------------------------------------

    @property
    def _allowance_cm(self) -> float | None:
        stated = self._pattern.seam_allowance if self._pattern else None
        return stated.cm if stated else None

    def _options(self, piece: Piece) -> tuple[JoinOption, ...]:
        return options_for(
            piece,
            self._usable_cm,
            allowance_cm=self._allowance_cm,
            trimmed=self._garment.trim_cm > 0,
            imperial=self._job.project.units == "imperial",
        )

    def _why_not(self, piece: Piece) -> str:
        return why_not(piece, self._usable_cm, allowance_cm=self._allowance_cm)

    def _for_the_wide(
        self, options: dict[str, tuple[JoinOption, ...]], base: WeighedUp | None
    ) -> tuple[JoinProposal, ...]:
        """Each way of each piece that is too wide, the others in the first of theirs; then the best of each together."""
        if not options:
            return ()
        first = {name: ways[0] for name, ways in options.items()}
        others = ({**first, name: way} for name, ways in options.items() for way in ways[1:])
        chosen = _each_once((first, *_all_alike(options), *others))
        found = [one for one in (self._proposal(tuple(ways.values())) for ways in chosen) if one]
        if len(options) > 1 and found:
            together = self._best_of_each(options, chosen, found)
            found += [one for one in [self._proposal(together)] if one] if together not in map(_values, chosen) else []
        return _ranked(found, base)

    def _best_of_each(
        self,
        options: dict[str, tuple[JoinOption, ...]],
        chosen: list[dict[str, JoinOption]],
        found: list[JoinProposal],
    ) -> tuple[JoinOption, ...]:
        """For each piece the way that took least yarn while the others stood still."""
        took = {tuple(map(_key, one.parts)): one.takes.yarn_m for one in found}

        def yarn(name: str, way: JoinOption) -> float:
            ways = {**chosen[0], name: way}
            return took.get(tuple(_key(one.part) for one in ways.values()), np.inf)

        return tuple(min(ways, key=lambda way: yarn(name, way)) for name, ways in options.items())

    def _that_save(
        self, pieces: tuple[Piece, ...], start: tuple[JoinPart, ...], before: Takes
    ) -> tuple[JoinProposal, ...]:
        """Joins of pieces that fit which take less yarn than without them, best first."""
        whole = sorted((piece for piece in pieces if piece.panel_of is None), key=lambda p: -p.area_cm2 * p.cut)
        found = (self._proposal((way,), start) for piece in whole for way in self._options(piece))
        least = max(_WORTH_SAYING_M, SAME_SHARE * before.yarn_m)
        saving = [
            replace(one, saves_m=before.yarn_m - one.takes.yarn_m)
            for one in found
            if one and before.yarn_m - one.takes.yarn_m > least
        ]
        return tuple(sorted(saving, key=_rank))

    # --- planned anew ----------------------------------------------------------------------------------------------

    def _proposal(self, ways: tuple[JoinOption, ...], start: tuple[JoinPart, ...] = ()) -> JoinProposal | None:
        """The ways planned together with the joins there are at the start; None where they cannot be, or for time."""
        what = "; ".join(f"{way.part.piece} joined {way.what}" for way in ways)
        weighed = self._weighed((*start, *(way.part for way in ways)), what)
        if weighed is None:
            return None
        return JoinProposal(
            what, (*start, *(way.part for way in ways)), tuple(way.joined for way in ways), takes(weighed)
        )

    def _weighed(self, parts: tuple[JoinPart, ...], what: str = "") -> WeighedUp | None:
        """The job with its pieces joined so, planned anew; None where it cannot be, or enough were planned."""
        if self._planned >= MOST_PLANS:
            self._left_out += 1
            return None
        self._planned += 1
        try:
            weighed = weigh_up(self._joined(parts), self._layouts, like=self._like, no_wider_cm=self._cloth_cm)
        except ProblemsFound as found:
            if not parts:
                raise
            self._not_laid.append(f"{what}: {found.problems[0].sentence.partition('. ')[0]}")
            return None
        self._like = replace(weighed, fitted=None)
        return weighed

    def _joined(self, parts: tuple[JoinPart, ...]) -> Job:
        return joined_job(self._job, self._pieces, parts)

    def _notes(self) -> Iterator[str]:
        yield (
            f"{self._planned} plans were made, each with first guesses of its layout at a dozen widths; what lies within "
            f"{SAME_SHARE:.0%} of each other counts as equal."
        )
        if self._left_out:
            yield f"{self._left_out} more ways were not planned, for time; take one and ask again."
        if self._asked_cm and self._cloth_cm < self._asked_cm - _FITS_CM:
            yield f"{self._asked_cm:g} cm was asked for; the loom finishes {self._cloth_cm:.1f} cm, which is taken."


def joined_job(job: Job, pieces: tuple[Piece, ...], parts: tuple[JoinPart, ...]) -> Job:
    """A job with more joins made on its pieces, as if they were written in the project."""
    assert job.garment is not None  # asked only for a garment
    assert job.as_typed.pattern is not None
    pattern = job.as_typed.pattern.model_copy(update={"join": list(parts)})
    joined, _ = with_joins(job.as_typed.model_copy(update={"pattern": pattern}), pieces)
    main = tuple(piece for piece in joined if piece.material == MAIN_CLOTH)
    return replace(job, garment=replace(job.garment, pieces=main))


def takes(weighed: WeighedUp) -> Takes:
    """What a job that was weighed up takes: the middle of the forecast."""
    outcome, stock = weighed.outcome, weighed.stock
    by_lot = {lot.name: lot.expected_m_per_g for lot in all_lots(weighed.job)}
    grams = sum(float(np.median(need)) / by_lot[name] for name, need in stock.need_of_lot.items())
    return Takes(
        yarn_m=float(np.median(outcome.warp_m) + np.median(outcome.weft_m)),
        yarn_g=grams,
        chance_enough=weighed.chance_enough,
        spare_m=float(np.median(stock.slack_m)),
        ends=weighed.decision.ends + weighed.job.extra_ends,
        warp_cm=weighed.decision.warp_cm,
        cloth_width_cm=weighed.wanted.width_cm,
        cloth_length_cm=weighed.wanted.length_cm,
    )


def _ranked(found: list[JoinProposal], base: WeighedUp | None) -> tuple[JoinProposal, ...]:
    """Best first, the ones as good as the best told so."""
    least = min((one.takes.yarn_m for one in found), default=0.0)
    as_it_is = takes(base).yarn_m if base else None
    told = [
        replace(
            one,
            as_good=one.takes.yarn_m <= least * (1 + SAME_SHARE),
            saves_m=None if as_it_is is None else as_it_is - one.takes.yarn_m,
        )
        for one in found
    ]
    return tuple(sorted(told, key=_rank))


def _rank(one: JoinProposal) -> tuple[float, float, float]:
    """Most certain first, then least yarn, then least to sew."""
    return -round(one.takes.chance_enough, 2), one.takes.yarn_m, one.seams_cm


def _key(part: JoinPart) -> tuple[str, str, str]:
    return part.piece, part.at, part.sewn


def _all_alike(options: dict[str, tuple[JoinOption, ...]]) -> Iterator[dict[str, JoinOption]]:
    """Every piece joined in the same way, for the ways that all of them have: cloth woven to the width of a panel asks for it."""
    kinds = [{(way.kind, way.part.sewn): way for way in ways} for ways in options.values()]
    for kind in kinds[0]:
        if all(kind in of_piece for of_piece in kinds):
            yield {name: of_piece[kind] for name, of_piece in zip(options, kinds, strict=True)}


def _each_once(chosen: tuple[dict[str, JoinOption], ...]) -> list[dict[str, JoinOption]]:
    return list({tuple(_key(way.part) for way in ways.values()): ways for ways in chosen}.values())


def _values(ways: dict[str, JoinOption]) -> tuple[JoinOption, ...]:
    return tuple(ways.values())


def _turned(piece: Piece, usable_cm: float) -> str:
    return (
        f"{piece.name} is {piece.length_cm:.1f} cm long, so it would fit on {usable_cm:.1f} cm with its grain across the "
        "cloth. Is that wanted? It hangs and stretches otherwise then, and stripes run across it. Nothing is turned unless "
        "the grain is drawn or stated so."
    )
