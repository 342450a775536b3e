"""What a reader of a pattern leaflet needs: cloth, ends, warp and weft for every size, version, heddle and cloth width.

One cell of the table is one cloth wanted: its finished width is the column's, its length is given or is that of the
pieces laid out at that width. The same layout serves every heddle.

The designer's loom does not bound the table, since a reader has her own; each row says how wide a loom it takes.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from itertools import groupby, product
from typing import Any, Final

import numpy as np

from clothwright.layout import Layout, outline_in_place
from clothwright.measure import Draws, Interval, Length, Weight
from clothwright.pattern import Piece, Ring
from clothwright.planning.answer import PlacedOutline, layout_data, plain_data
from clothwright.planning.cautions import cautions
from clothwright.planning.forecast import Forecast
from clothwright.planning.job import Garment, Heddle, Job, Wanted, garment_from, job_of, sleyed_heddle
from clothwright.planning.notes import notes
from clothwright.planning.sums import figures
from clothwright.planning.teaching.buyers_sums import BuyersFigures
from clothwright.planning.teaching.leaflet_contents import NOTHING_TOLD, Contents, contents
from clothwright.planning.teaching.leaflet_figures import Figured, Metres, figured
from clothwright.planning.teaching.leaflet_layouts import Laid, ToLay, laid_out
from clothwright.planning.teaching.leaflet_working import HERE, NOT_YET, Working
from clothwright.project import Problem, ProblemsFound, Project
from clothwright.project.document import BallPart, WantPart
from clothwright.project.parts.leaflet_parts import LeafletPart
from clothwright.project.pattern.changing import provisional_because
from clothwright.project.pattern.garment import of_main_cloth, pieces_by_size, sizes_and_versions
from clothwright.yarn import Lot

#: What a yarn is taken to have where nobody weighed any: a leaflet asks how much a reader needs, not how much there is.
_ANY_BALL: Final = BallPart(net=Weight.read("100 g"))


@dataclass(frozen=True)
class Needed:
    """Yarn of one kind: metres as needed with their low and high, grams and balls with the leaflet's margin.

    `balls` is None where the leaflet does not say what a ball weighs.
    """

    m: float
    low_m: float
    high_m: float
    grams: float
    balls: int | None


@dataclass(frozen=True)
class LeafletRow:
    """One row of the requirement table. `laid_out`: the length is that of the pieces, not a length given."""

    size: str
    version: str
    heddle: str
    ends_per_cm: float
    cloth_width_cm: float
    cloth_length_cm: float
    laid_out: bool
    ends: int
    width_in_heddle_cm: float
    warp_length_cm: float
    warp: Needed
    weft: Needed

    @property
    def total_m(self) -> float:
        """Warp and weft as needed."""
        return round(self.warp.m + self.weft.m, 2)

    @property
    def grams(self) -> float:
        """Warp and weft with the margin."""
        return round(self.warp.grams + self.weft.grams, 2)

    @property
    def balls(self) -> int | None:
        """Balls to buy, those of the warp and of the weft each rounded up once."""
        return None if self.warp.balls is None or self.weft.balls is None else self.warp.balls + self.weft.balls

    def as_json(self) -> dict[str, Any]:
        """The row by the keys of the contract, with what each yarn takes."""
        data: dict[str, Any] = plain_data(self)
        return data | {
            "warp_m": self.warp.m,
            "weft_m": self.weft.m,
            "total_m": self.total_m,
            "grams": self.grams,
            "balls": self.balls,
        }


@dataclass(frozen=True)
class NoRow:
    """A cell without figures, and why."""

    size: str
    version: str
    cloth_width_cm: float
    why: str


@dataclass(frozen=True)
class LaidCloth:
    """The pieces of a size and version on cloth of a width: length with squaring, where each piece is cut, what is not kept.

    `searched_s`: for how long this layout was searched; nothing where it is a first guess, or was found by rounds.
    """

    size: str
    version: str
    cloth_width_cm: float
    cloth_length_cm: float
    trim_cm: float
    squaring_cm: float
    used_share: float
    searched_s: float
    layout: Layout
    outlines: tuple[PlacedOutline, ...]
    told: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        """The cloth and its layout as plain data."""
        data: dict[str, Any] = plain_data(replace(self, outlines=()))
        del data["outlines"]
        return data | {"layout": layout_data(self.layout, self.outlines)}


@dataclass(frozen=True)
class Leaflet:
    """The requirement table, what a reader should know of it, and what every figure stands on."""

    name: str
    by_hand: bool
    trust_size: float
    trust_yarn: float
    margin: float
    ball_g: float | None
    warp_m_per_g: float
    weft_m_per_g: float
    rows: tuple[LeafletRow, ...]
    left_out: tuple[NoRow, ...]
    advice: tuple[str, ...]
    assumed: tuple[str, ...]
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
    provisional_because: str
    laid: tuple[LaidCloth, ...] = ()
    contents: Contents = NOTHING_TOLD
    #: As it was given out, in words; empty while it is not.
    version: str = ""
    #: The figures by which a buyer's own sums go where she has measured nothing herself.
    usual: BuyersFigures | None = None

    @property
    def still_to_lay(self) -> int:
        """How many cloths have no row only because nobody has laid the pieces on them yet."""
        return sum(one.why == NOT_YET for one in self.left_out)

    def as_json(self) -> dict[str, Any]:
        """The leaflet as plain data, by the keys of the contract."""
        data: dict[str, Any] = plain_data(replace(self, laid=()))
        return data | {"rows": [row.as_json() for row in self.rows], "laid": [one.as_json() for one in self.laid]}


@dataclass(frozen=True)
class _Cloth:
    """A cloth of the table before its heddle is chosen; `drawn` where the pieces were laid on it."""

    size: str
    version: str
    width_cm: float
    length_cm: float
    drawn: LaidCloth | None = None

    @property
    def wanted(self) -> Wanted:
        """The finished cloth."""
        return Wanted(self.width_cm, self.length_cm)


class NothingLaidOut(Exception):
    """No cloth of a leaflet is laid out yet, and more are to be than are laid without being asked; `to_lay`: how many."""

    def __init__(self, to_lay: int) -> None:
        super().__init__(f"{to_lay} layouts are still to be made")
        self.to_lay = to_lay


def leaflet(project: Project, *, drawings: Mapping[str, bytes], working: Working = HERE) -> Leaflet:
    """The requirement table of a project's leaflet; ProblemsFound with all that keeps it from being made.

    A size that cannot be laid out at a width is told in `left_out`; where no cell at all can be made, that is a problem.
    """
    part = project.leaflet or LeafletPart()
    if not part.widths:
        sentence = "which finished widths of cloth? Write cloth_widths as 42 cm, 52 cm"
        raise ProblemsFound(Problem(("leaflet", "cloth_widths"), sentence))
    _refuse_spreads(part)
    pattern, named = _Pattern(project, drawings), _named(project, drawings, part)
    _refuse_other_sizes(part, named[0])
    _refuse_unnamed(part)
    cloths, left_out = _cloths(named, pattern, part, working)
    if not cloths and any(one.why == NOT_YET for one in left_out):
        raise NothingLaidOut(len(left_out))
    if not cloths:
        raise ProblemsFound(*(Problem(("leaflet",), f"{one.size or 'the pattern'}: {one.why}") for one in left_out))
    base = _job(project, drawings, cloths[0])
    heddles = tuple(sleyed_heddle(base.project, one) for one in part.heddles) or (base.heddle,)
    wanted = tuple(dict.fromkeys(cloth.wanted for cloth in cloths))
    known = figured(base, heddles, wanted, part.by_hand, working)
    rows = tuple(_row(part, base, heddle, cloth, known) for cloth in cloths for heddle in heddles)
    return Leaflet(
        name=project.name,
        by_hand=part.by_hand,
        trust_size=project.trust.size.expected,
        trust_yarn=project.trust.yarn.expected,
        margin=part.margin.expected,
        ball_g=part.ball.grams if part.ball else None,
        warp_m_per_g=_m_per_g(base.yarns.warp),
        weft_m_per_g=_m_per_g(base.yarns.weft),
        rows=rows,
        left_out=left_out,
        advice=tuple(_advice(rows)),
        assumed=tuple(_assumed(base, part)),
        notes=notes(base, figures(base)),
        cautions=cautions(base, None),
        provisional_because=provisional_because(project),
        laid=tuple(cloth.drawn for cloth in cloths if cloth.drawn is not None),
        usual=_usual(base, heddles[0], part),
        contents=contents(project, part, base, _pieces_of_each(pattern, product(*named))),
    )


def _usual(base: Job, heddle: Heddle, part: LeafletPart) -> BuyersFigures:
    """The leaflet's figures as sums by hand have them, at its first heddle."""
    job = base.at(heddle)
    known = figures(job)
    return BuyersFigures(
        width_ratio=known.width_ratio.value,
        length_ratio=known.length_ratio.value,
        woven_of_warp=known.woven_of_warp.value,
        picks_per_cm=known.picks_on_loom.value,
        pick_length=known.pick_length.value,
        ends_per_cm=heddle.per_cm,
        end_step=job.end_step,
        extra_ends=job.extra_ends,
        waste_cm=known.waste_cm.value,
        sample_cm=job.on_warp_sample_cm,
        warp_m_per_g=_m_per_g(job.yarns.warp),
        weft_m_per_g=_m_per_g(job.yarns.weft),
        margin=part.margin.expected,
        ball_g=part.ball.grams if part.ball else 0.0,
    )


def _refuse_spreads(part: LeafletPart) -> None:
    """A table has one figure in a cell: widths and given lengths are what the reader is told to finish."""
    typed: list[tuple[tuple[str | int, ...], Length]] = [
        (("leaflet", "cloth_widths", place), one) for place, one in enumerate(part.cloth_widths)
    ]
    typed += [
        (("leaflet", "measures", name, size), one) for name, by in part.measures.items() for size, one in by.items()
    ]
    typed += [
        (("leaflet", "cloth_lengths", size, width), one)
        for size, by in part.cloth_lengths.items()
        for width, one in by.items()
    ]
    problems = [Problem(path, f"“{one}”: write one length, as {one.cm:g} cm") for path, one in typed if one.has_spread]
    if problems:
        raise ProblemsFound(*problems)


def _cloths(
    named: tuple[tuple[str, ...], tuple[str, ...]], pattern: _Pattern, part: LeafletPart, working: Working
) -> tuple[tuple[_Cloth, ...], tuple[NoRow, ...]]:
    """Every size and version at every width, with its length; and those that have none."""
    sizes, versions = named
    cloths: dict[tuple[str, str, float], _Cloth] = {}
    left_out: dict[tuple[str, str, float], NoRow] = {}
    to_lay: dict[tuple[str, str, float], ToLay] = {}
    for size, version in product(sizes, versions):
        given = {width.cm: part.length_given(size, width.cm) for width in part.widths}
        cloths |= {(size, version, cm): _Cloth(size, version, cm, long.cm) for cm, long in given.items() if long}
        open_cm = [cm for cm, long in given.items() if long is None]
        try:
            garment = pattern.garment(size, version) if open_cm else None
            to_lay |= {(size, version, cm): ToLay(garment, cm) for cm in open_cm if garment}
        except ProblemsFound as refused:
            why = "; ".join(problem.sentence for problem in refused.problems)
            left_out |= {(size, version, cm): NoRow(size, version, cm, why) for cm in open_cm}
    for cell, laid in zip(to_lay, laid_out(list(to_lay.values()), working), strict=True):
        if laid.layout is None:
            left_out[cell] = NoRow(*cell, laid.refused)
        else:
            drawn = _drawn(*cell, to_lay[cell].garment, laid)
            cloths[cell] = _Cloth(*cell, drawn.cloth_length_cm, drawn)
    order = list(product(sizes, versions, (width.cm for width in part.widths)))
    return tuple(cloths[cell] for cell in order if cell in cloths), tuple(
        left_out[cell] for cell in order if cell in left_out
    )


def _to_print(ring: Ring) -> Ring:
    """An outline to a thousandth of a millimetre, which no printer shows."""
    return tuple((round(x, 4), round(y, 4)) for x, y in ring)


def _drawn(size: str, version: str, width_cm: float, garment: Garment, laid: Laid) -> LaidCloth:
    """A layout as the leaflet draws it."""
    layout = laid.layout
    assert layout is not None  # told as left out otherwise
    by_key = {(copy.piece, copy.number): copy for copy in garment.copies}
    outlines = tuple(
        PlacedOutline(one.piece, one.copy, one.mirrored, _to_print(outline_in_place(by_key[one.piece, one.copy], one)))
        for one in layout.placed
    )
    return LaidCloth(
        size=size,
        version=version,
        cloth_width_cm=width_cm,
        cloth_length_cm=layout.length_cm + 2 * garment.squaring_cm,
        trim_cm=garment.trim_cm,
        squaring_cm=garment.squaring_cm,
        used_share=layout.used_share,
        searched_s=laid.seconds,
        layout=layout,
        outlines=outlines,
        told=laid.told,
    )


def _named(
    project: Project, drawings: Mapping[str, bytes], part: LeafletPart
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Sizes and versions to tabulate; one without a name where the pattern names none."""
    every_size, every_version = sizes_and_versions(project, drawings)
    asked = project.pattern
    sizes = tuple(part.sizes) or tuple(dict.fromkeys((*every_size, *part.cloth_lengths)))
    versions = tuple(part.versions) or every_version
    return sizes or ((asked and asked.size) or "",), versions or ((asked and asked.version) or "",)


def _refuse_other_sizes(part: LeafletPart, sizes: Sequence[str]) -> None:
    """A garment is measured in the sizes that are tabulated."""
    named = ", ".join(filter(None, sizes)) or "none by name"
    problems = [
        Problem(("leaflet", "measures", name, size), f"there is no size “{size}” in the leaflet; its sizes are {named}")
        for name, by in part.measures.items()
        for size in by
        if size not in sizes
    ]
    if problems:
        raise ProblemsFound(*problems)


def _refuse_unnamed(part: LeafletPart) -> None:
    """A length of the garment is the length of something."""
    if by_size := part.measures.get(""):
        told = ", ".join(map(str, by_size.values()))
        raise ProblemsFound(
            Problem(("leaflet", "measures", ""), f"{told}: what is measured? Write it, as chest, all round")
        )


class _Pattern:
    """The pieces of every size and version, the pattern brought in once, when they are first asked for."""

    def __init__(self, project: Project, drawings: Mapping[str, bytes]) -> None:
        self._project, self._drawings = project, drawings
        self._by_size: Callable[[str, str], tuple[Piece, ...]] | None = None

    def pieces(self, size: str, version: str) -> tuple[Piece, ...]:
        """From whatever cloth they are cut; ProblemsFound where there are none."""
        if self._project.pattern is None:
            sentence = "no length is given for it; give cloth_lengths, or a pattern to lay out"
            raise ProblemsFound(Problem(("leaflet", "cloth_lengths"), sentence))
        self._by_size = self._by_size or pieces_by_size(self._project, self._drawings)
        return self._by_size(size, version)

    def garment(self, size: str, version: str) -> Garment:
        """What is laid on the main cloth."""
        return garment_from(self._project, of_main_cloth(self.pieces(size, version)))


def _pieces_of_each(pattern: _Pattern, named: Iterable[tuple[str, str]]) -> dict[tuple[str, str], tuple[Piece, ...]]:
    """The pieces of those sizes and versions that have any."""
    found = {}
    for one in named:
        with suppress(ProblemsFound):
            found[one] = pattern.pieces(*one)
    return found


def _job(project: Project, drawings: Mapping[str, bytes], cloth: _Cloth) -> Job:
    """The question of one cell, on a loom as wide as it takes."""
    yarn = [one if one.balls else one.model_copy(update={"balls": [_ANY_BALL]}) for one in project.yarn]
    want = WantPart(width=Length.read(f"{cloth.width_cm!r} cm"), length=Length.read(f"{cloth.length_cm!r} cm"))
    asked = project.model_copy(
        update={
            "yarn": yarn,
            "want": want,
            "pattern": None,
            "loom": project.loom.model_copy(update={"weaving_width": None}),
        }
    )
    return job_of(asked, drawings)


def _row(
    part: LeafletPart, base: Job, heddle: Heddle, cloth: _Cloth, known: Mapping[tuple[Heddle, Wanted], Figured]
) -> LeafletRow:
    figured = known[heddle, cloth.wanted]
    return LeafletRow(
        size=cloth.size,
        version=cloth.version,
        heddle=heddle.name,
        ends_per_cm=heddle.per_cm,
        cloth_width_cm=cloth.width_cm,
        cloth_length_cm=round(cloth.length_cm, 2),
        laid_out=cloth.drawn is not None,
        ends=figured.ends,
        width_in_heddle_cm=round(base.at(heddle).width_in_heddle(figured.ends), 2),
        warp_length_cm=figured.warp_cm,
        warp=_needed(part, figured.warp_m, _m_per_g(base.yarns.warp)),
        weft=_needed(part, figured.weft_m, _m_per_g(base.yarns.weft)),
    )


def _needed(part: LeafletPart, metres: Metres, m_per_g: float) -> Needed:
    needed, low, high = metres
    grams = round(needed / m_per_g * (1 + part.margin.expected), 2)
    return Needed(needed, low, high, grams, math.ceil(grams / part.ball.grams - 1e-9) if part.ball else None)


def _m_per_g(lots: Sequence[Lot]) -> float:
    """Metres per gram of the first lot of a use, which stands for the yarn."""
    return round(lots[0].m_per_g, 4)


def _advice(rows: Sequence[LeafletRow]) -> Iterator[str]:
    """Where a wider cloth takes more yarn than a narrower one, in words."""
    for (size, version, heddle), group in groupby(sorted(rows, key=_kind), key=_kind):
        least = None
        for row in sorted(group, key=lambda one: one.cloth_width_cm):
            if least is not None and row.total_m > least.total_m:
                yield _wider_takes_more(
                    least, row, size, version, heddle, several=len({one.heddle for one in rows}) > 1
                )
            if least is None or row.total_m < least.total_m:
                least = row


def _kind(row: LeafletRow) -> tuple[str, str, str]:
    return row.size, row.version, row.heddle


def _wider_takes_more(
    least: LeafletRow, row: LeafletRow, size: str, version: str, heddle: str, *, several: bool
) -> str:
    named = ", ".join(filter(None, (size and f"size {size}", version, heddle if several else "")))
    more = row.total_m - least.total_m
    begins = f"{named}: " if named else ""
    said = (
        f"cloth {row.cloth_width_cm:g} cm wide takes {more:.0f} m more yarn than cloth {least.cloth_width_cm:g} cm wide; "
        f"warp it {least.cloth_width_cm:g} cm wide on a wide loom too"
    )
    return begins + (said if begins else said[0].upper() + said[1:]) + "."


def _assumed(job: Job, part: LeafletPart) -> Iterator[str]:
    """What every figure stands on, a sentence each."""
    yield from _ratios_by_hand(job) if part.by_hand else _ratios_believed(job)
    for what, lots in (("Warp", job.yarns.warp), ("Weft", job.yarns.weft)):
        yield f"{what} yarn of {_m_per_g(lots) * 100:g} m/100 g."
    yield f"Grams and balls are with a margin of {part.margin}; metres are as needed, without it."


def _ratios_by_hand(job: Job) -> Iterator[str]:
    known = figures(job)
    yield f"Finished width ÷ width in heddle {known.width_ratio.value:g}: {known.width_ratio.source}."
    yield f"Finished length ÷ woven length {known.length_ratio.value:g}: {known.length_ratio.source}."
    yield f"Woven length ÷ warp used {known.woven_of_warp.value:g}: {known.woven_of_warp.source}."
    yield f"{known.picks_on_loom.value:g} picks per cm on the loom: {known.picks_on_loom.source}."
    yield f"Yarn of a pick ÷ width in heddle {known.pick_length.value:g}: {known.pick_length.source}."
    yield f"Loom waste {known.waste_cm.value:g} cm a warp: {known.waste_cm.source}."


def _ratios_believed(job: Job) -> Iterator[str]:
    """The same as nine cloths in ten have them, by everything typed and measured."""
    believed = Forecast(job)
    yield f"Finished width ÷ width in heddle {_between(np.exp(believed.width_log))}."
    yield f"Finished length ÷ woven length {_between(believed.length_ratio)}."
    yield f"Woven length ÷ warp used {_between(believed.take_up)}."
    yield f"Picks per cm on the loom {_between(believed.picks_per_cm)}."
    yield f"Yarn of a pick ÷ width in heddle {_between(believed.pick_length)}."
    yield f"Loom waste {_between(believed.waste)} cm a warp."
    trust = job.project.trust
    yield f"The cloth is large enough with a chance of {trust.size}, the yarn lasts with a chance of {trust.yarn}."


def _between(draws: Draws) -> str:
    found = Interval.of_draws(draws)
    return f"{found.expected:.3g} ({found.low:.3g} to {found.high:.3g})"
