"""The pieces of a garment laid anew on the finished cloth that there is, and the ways where they do not all fit.

The theory. The project is asked again with the cloth as it came: its trims, its squared ends, and every flaw as a place that no piece may
cover. The same engine that plans lays the pieces at the width that there is, under every rule the project has (gap, stripes,
selvedge, lots), and its judge passes what is shown. A layout no longer than the cloth is cut from it; a longer one is told with
how much is missing.

Where it is too narrow or too short, each way is the same question with one thing changed, laid anew: less lost at selvedges or
ends; the pieces where the cloth is wide enough, since its least width need not hold all along it; allowances narrower by just
what is missing; pieces turned; pieces joined; a garment a little shorter; what does not show from other cloth; another size or
version. Where no single change does, two together. Every way says what it costs; those that give up least come first. Ways are laid by first
guesses: a way that is taken is then laid as the garment is.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Final

from shapely import box

from clothwright.finishing.real_cloth import RealCloth, narrower_places
from clothwright.layout import Flaw, Layout, TooWide
from clothwright.measure import Length
from clothwright.pattern import (
    MAIN_CLOTH,
    Change,
    ChangeRefused,
    Do,
    Piece,
    alter,
    often_of_other_cloth,
    sizes,
    versions,
)
from clothwright.planning import LayoutSearch, PlacedOutline
from clothwright.planning.answer import layout_data
from clothwright.planning.choices.cloth_in_hand import Cutting, cut
from clothwright.planning.choices.narrow_cloth import written
from clothwright.planning.job import Garment, garment_of
from clothwright.planning.pieces.fitting import fit
from clothwright.planning.pieces.join_options import options_for
from clothwright.project import ProblemsFound, Project
from clothwright.project.finishing_parts import RealClothPart
from clothwright.project.garment import changed_pattern
from clothwright.project.layout_parts import FlawPart

MOST_TRIED: Final = 14
_HAIR_CM: Final = 0.005
#: Allowances are narrowed by no more than this on a side, and to no less than what holds in handwoven cloth. Common practice, no source.
_MOST_NARROWED_CM: Final = 0.6
_LEAST_ALLOWANCE_CM: Final = 0.7
#: From here on a way gives up the garment as it was meant; two other ways together are looked for first.
_LAST_RESORT: Final = 6
#: A garment is shortened by no more than this share of its longest piece, in steps of half a centimetre.
_MOST_SHORTENED: Final = 0.1
_STEP_CM: Final = 0.5
#: Pieces as long as this share of the longest are shortened together.
_LONG: Final = 0.6
#: How far from the foot a piece is shortened, as a share of its length: between a hem and the waist. Common practice, no source.
_ACROSS_AT: Final = 0.25


@dataclass(frozen=True)
class Relaid:
    """A garment on the cloth: its layout where one was found, how long a cloth that takes with its squared ends, cm.

    `why_not`: why there is none. `told`: rules of the project that are not kept on it. `width_cm`: how wide the cloth is taken;
    `places`: where it is narrower than that.
    """

    layout: Layout | None
    outlines: tuple[PlacedOutline, ...]
    needs_cm: float | None
    has_cm: float
    width_cm: float
    why_not: str = ""
    told: tuple[str, ...] = ()
    places: tuple[Flaw, ...] = ()

    @property
    def fits(self) -> bool:
        """Whether every piece is cut from the cloth."""
        return self.needs_cm is not None and self.needs_cm <= self.has_cm + _HAIR_CM

    @property
    def short_cm(self) -> float | None:
        """The length missing; None where no layout was found."""
        return None if self.needs_cm is None else max(0.0, self.needs_cm - self.has_cm)

    @property
    def left_cm(self) -> float:
        """The length left at its end; 0 where it does not fit."""
        return max(0.0, self.has_cm - self.needs_cm) if self.needs_cm is not None else 0.0

    def as_json(self) -> dict[str, Any]:
        """The layout as plain data, cm."""
        return {
            "fits": self.fits,
            "needs_cm": self.needs_cm,
            "has_cm": self.has_cm,
            "short_cm": self.short_cm,
            "left_cm": self.left_cm if self.fits else None,
            "why_not": self.why_not or None,
            "not_kept": list(self.told),
            "layout": layout_data(self.layout, self.outlines) if self.layout else None,
        }


@dataclass(frozen=True)
class Written:
    """What taking a way writes in the project: values by their paths, rows added to lists, pieces cut from other cloth."""

    values: Mapping[tuple[str, ...], Any] = field(default_factory=dict)
    added: tuple[tuple[tuple[str, ...], Mapping[str, Any]], ...] = ()
    from_other_cloth: tuple[str, ...] = ()

    @property
    def any(self) -> bool:
        """Whether there is anything to write."""
        return bool(self.values or self.added or self.from_other_cloth)

    def and_also(self, other: Written) -> Written:
        """Both."""
        return Written(
            {**self.values, **other.values},
            (*self.added, *other.added),
            (*self.from_other_cloth, *other.from_other_cloth),
        )


@dataclass(frozen=True)
class Costs:
    """What a way gives up: seams more to sew, allowance less on a side, garment shorter, cm; other cloth, cm²; in words what else."""

    seams_cm: float = 0.0
    allowance_less_cm: float = 0.0
    allowance_left_cm: float | None = None
    shorter_cm: float = 0.0
    other_cloth_cm2: float = 0.0
    words: tuple[str, ...] = ()

    def and_also(self, other: Costs) -> Costs:
        """Both."""
        left = [one for one in (self.allowance_left_cm, other.allowance_left_cm) if one is not None]
        return Costs(
            self.seams_cm + other.seams_cm,
            self.allowance_less_cm + other.allowance_less_cm,
            min(left, default=None),
            self.shorter_cm + other.shorter_cm,
            self.other_cloth_cm2 + other.other_cloth_cm2,
            (*self.words, *other.words),
        )

    def as_json(self) -> dict[str, Any]:
        """The costs as plain data."""
        return {
            "seams_cm": self.seams_cm,
            "allowance_less_cm": self.allowance_less_cm,
            "allowance_left_cm": self.allowance_left_cm,
            "shorter_cm": self.shorter_cm,
            "other_cloth_cm2": self.other_cloth_cm2,
            "also": list(self.words),
        }


@dataclass(frozen=True)
class ClothWay:
    """A way to cut the garment from the cloth after all: what is done, to what, what it costs, and how it then lies.

    `gives_up`: how much is given up, least first. `written`: what taking it writes in the project, where that can be written.
    """

    what: str
    change: str
    gives_up: int
    costs: Costs
    relaid: Relaid
    written: Written
    cloth: RealCloth
    names: tuple[str, ...] = ()

    def as_json(self) -> dict[str, Any]:
        """The way as plain data."""
        return {
            "what": self.what,
            "change": self.change,
            "costs": self.costs.as_json(),
            "can_be_taken": self.written.any,
            **self.relaid.as_json(),
        }


@dataclass(frozen=True)
class ClothAnswer:
    """The garment on the cloth as it came, what of it is cut where not all fits, and the ways, least given up first.

    `widest_cm`: the widest piece, which the usable width has to hold. `tried`, `left_out`: ways laid anew, and not, for time.
    """

    cloth: RealCloth
    relaid: Relaid
    partly: Cutting | None
    widest_cm: float
    widest: str
    ways: tuple[ClothWay, ...] = ()
    tried: int = 0
    left_out: int = 0

    def as_json(self) -> dict[str, Any]:
        """The answer as plain data."""
        return {
            **self.relaid.as_json(),
            "widest_piece": {"name": self.widest, "width_cm": self.widest_cm},
            "uncut": [{"piece": name, "copies": count} for name, count in self.partly.uncut] if self.partly else [],
            "ways": [way.as_json() for way in self.ways],
            "ways_tried": self.tried,
            "ways_left_out": self.left_out,
        }


def on_the_cloth(
    project: Project, cloth: RealCloth, *, drawings: Mapping[str, bytes], layouts: LayoutSearch | None = None
) -> ClothAnswer:
    """The pieces of a project on its finished cloth; ProblemsFound where there are no pieces."""
    along = (project.real_cloth or RealClothPart()).lay_by == "the width along it"
    asked = _Asked(project, cloth, drawings, layouts, narrower_places(cloth) if along else ())
    garment = asked.garment()
    relaid = asked.relaid(garment)
    widest = max(garment.pieces, key=lambda piece: piece.width_cm)
    if relaid.fits:
        return ClothAnswer(cloth, relaid, None, widest.width_cm, widest.name)
    partly = cut(garment, [cloth.in_hand])
    tried, left_out = _tried(replace(asked, layouts=None), garment, relaid, partly)
    ways = [way for way in tried if way.relaid.fits or _better(way.relaid, relaid)]
    ways.sort(key=lambda way: (not way.relaid.fits, way.gives_up, way.relaid.short_cm or 0.0))
    return ClothAnswer(cloth, relaid, partly, widest.width_cm, widest.name, tuple(ways), len(tried), left_out)


def _better(one: Relaid, than: Relaid) -> bool:
    """Whether a way that does not do by itself comes nearer."""
    if one.short_cm is None:
        return False
    return than.short_cm is None or one.short_cm < than.short_cm - _STEP_CM


# --- one question -------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Asked:
    """A project and the cloth it is to be cut from."""

    project: Project
    cloth: RealCloth
    drawings: Mapping[str, bytes]
    layouts: LayoutSearch | None
    #: Places no piece may cover beside the flaws, where the cloth is taken by its real width along it.
    places: tuple[Flaw, ...] = ()

    @property
    def width_cm(self) -> float:
        """How wide the cloth is taken."""
        return max(self.cloth.widths_cm) if self.places else self.cloth.least_width_cm

    def as_it_came(self) -> Project:
        """The project with the cloth's own trims, squared ends and flaws."""
        assert self.project.pattern is not None  # asked only of a garment
        seen = (*(one.flaw for one in self.cloth.flaws), *self.places)
        layout = self.project.layout.model_copy(update={"flaw": [_as_part(one) for one in seen]})
        pattern = self.project.pattern.model_copy(
            update={"selvedge_trim": _length(self.cloth.trim_cm), "squaring": _length(self.cloth.squaring_cm)}
        )
        return self.project.model_copy(update={"layout": layout, "pattern": pattern})

    def garment(self) -> Garment:
        """The pieces as they are cut from this cloth, and what is asked of their layout."""
        if self.project.pattern is None:
            return garment_of(self.project, self.drawings)[0]
        found, part = garment_of(self.as_it_came(), self.drawings)[0], self.project.real_cloth or RealClothPart()
        pieces = found.pieces
        if part.allowances_less:
            pieces = _all_narrowed(pieces, part.allowances_less.cm)
        if part.sides_less:
            usable = self.width_cm - 2 * found.trim_cm
            pieces = tuple(_sides_narrowed(one, part.sides_less.cm) if _is_over(one, usable) else one for one in pieces)
        return replace(found, pieces=pieces)

    def relaid(self, garment: Garment) -> Relaid:
        """A garment laid on this cloth."""
        try:
            fitted = fit(garment, self.width_cm, _by_length, self.layouts, only_widest=True)
        except (ProblemsFound, TooWide) as refused:
            return Relaid(None, (), None, self.cloth.length_cm, self.width_cm, str(refused), places=self.places)
        needs = fitted.layout.length_cm + 2 * garment.squaring_cm
        has, told = self.cloth.length_cm, fitted.told
        return Relaid(fitted.layout, fitted.outlines, needs, has, self.width_cm, told=told, places=self.places)


def _by_length(_width_cm: float, length_cm: float) -> float:
    return length_cm


def _length(cm: float) -> Length:
    return Length.read(f"{cm:.4f} cm")


def _as_part(flaw: Flaw) -> FlawPart:
    across = {} if flaw.width_cm is None else {"from_selvedge": _length(flaw.y_cm), "width": _length(flaw.width_cm)}
    return FlawPart(at=_length(flaw.x_cm), length=_length(flaw.length_cm), what=flaw.what, **across)


# --- the ways -----------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Way:
    """A way before it is laid: the question and the garment as they then are."""

    what: str
    change: str
    gives_up: int
    costs: Costs
    asked: _Asked
    garment: Garment
    written: Written = field(default_factory=Written)
    names: tuple[str, ...] = ()

    def laid(self, *, also: int = 0) -> ClothWay:
        """The way laid anew."""
        return ClothWay(
            self.what,
            self.change,
            self.gives_up + also,
            self.costs,
            self.asked.relaid(self.garment),
            self.written,
            self.asked.cloth,
            self.names,
        )


def _tried(asked: _Asked, garment: Garment, relaid: Relaid, partly: Cutting) -> tuple[list[ClothWay], int]:
    """Every way laid anew, and where none does by itself two together; and how many were not, for time."""
    single = sorted(_ways(asked, garment, relaid, partly), key=lambda way: way.gives_up)
    found = [(way, way.laid()) for way in single[:MOST_TRIED]]
    laid, left_out = [one for _, one in found], len(single) - len(found)
    if any(one.relaid.fits and one.gives_up < _LAST_RESORT for one in laid):
        return laid, left_out
    both = list(_pairs([(way, one) for way, one in found if not one.relaid.fits]))
    laid += [way.laid() for way in both[:MOST_TRIED]]
    return laid, left_out + max(0, len(both) - MOST_TRIED)


def _pairs(singles: Sequence[tuple[_Way, ClothWay]]) -> Iterator[_Way]:
    """Two changes at once, least given up first: the second made to the garment as the first leaves it, each pair once."""
    found: dict[frozenset[str], _Way] = {}
    for first, laid in singles:
        for second in _ways(first.asked, first.garment, laid.relaid, None):
            pair = frozenset((f"{first.what}{first.names}", f"{second.what}{second.names}"))
            if second.what != first.what and pair not in found:
                found[pair] = _both(first, second)
    yield from sorted(found.values(), key=lambda way: way.gives_up)


def _both(first: _Way, second: _Way) -> _Way:
    """The second way, made to what the first leaves, with the first told and written too."""
    return replace(
        second,
        what=f"{first.what}; {second.what[:1].lower()}{second.what[1:]}",
        change=f"{first.change}; {second.change}",
        gives_up=first.gives_up + second.gives_up + 1,
        costs=first.costs.and_also(second.costs),
        written=first.written.and_also(second.written),
        names=(*first.names, *second.names),
    )


def _ways(asked: _Asked, garment: Garment, relaid: Relaid, partly: Cutting | None) -> Iterator[_Way]:
    too_wide = relaid.needs_cm is None
    yield from _less_lost(asked, garment, too_wide)
    yield from _by_its_real_width(asked, garment)
    yield from _narrower(asked, garment)
    yield from _turned(asked, garment)
    yield from _joined(asked, garment, partly)
    if relaid.short_cm:
        yield from _shorter(asked, garment, relaid.short_cm)
    yield from _hidden(asked, garment)
    yield from _other_sizes(asked)
    if partly is not None:
        yield from _rest(asked, garment, partly)


def _less_lost(asked: _Asked, garment: Garment, too_wide: bool) -> Iterator[_Way]:
    """Nothing trimmed at the selvedges, where something is; nothing lost at the ends, where length is what is missing."""
    cloth = asked.cloth
    if cloth.trim_cm > 0:
        wider = replace(asked, cloth=replace(cloth, trim_cm=0.0))
        costs = Costs(words=("the selvedges lie in the seam allowances: look that they do not pull",))
        way = Written({("real_cloth", "selvedge_trim"): "0 cm"})
        yield _Way(
            "Trim nothing at the selvedges",
            "pieces from selvedge to selvedge",
            1,
            costs,
            wider,
            _with(wider, garment),
            way,
        )
    if cloth.squaring_cm > 0 and not too_wide:
        longer = replace(asked, cloth=replace(cloth, squaring_cm=0.0))
        costs = Costs(words=("both ends have to be straight along a pick already, and stitched in the allowance",))
        way = Written({("real_cloth", "squaring"): "0 cm"})
        yield _Way("Cut from the very ends", "nothing lost to squaring", 1, costs, longer, _with(longer, garment), way)


def _with(asked: _Asked, garment: Garment) -> Garment:
    """A garment, perhaps changed already, asked of another cloth."""
    anew = asked.garment()
    return replace(garment, squaring_cm=anew.squaring_cm, trim_cm=anew.trim_cm, asked=anew.asked)


def _by_its_real_width(asked: _Asked, garment: Garment) -> Iterator[_Way]:
    """The pieces where the cloth is wide enough, where it is not of one width."""
    if asked.places or not (places := narrower_places(asked.cloth)):
        return
    along = replace(asked, places=places)
    costs = Costs(words=("each piece has its place, and the width there has to be measured again before it is cut",))
    least, most = min(asked.cloth.widths_cm), max(asked.cloth.widths_cm)
    change = f"{least:.1f} cm at its narrowest and {most:.1f} cm at its widest"
    way = Written({("real_cloth", "lay_by"): "the width along it"})
    yield _Way("Lay wide pieces where the cloth is wide", change, 0, costs, along, _with(along, garment), way)


def _narrower(asked: _Asked, garment: Garment) -> Iterator[_Way]:
    """Side allowances narrower by just what is missing across, and all allowances by half a centimetre."""
    usable = asked.width_cm - 2 * garment.trim_cm
    over = [piece for piece in garment.pieces if _is_over(piece, usable)]
    allowance = _allowance(asked.project, over or garment.pieces)
    if over and (most := max(piece.width_cm for piece in over) - usable) / 2 <= _most_narrowed(allowance):
        less = math.ceil(most / 2 * 10 - 1e-6) / 10
        pieces = tuple(_sides_narrowed(piece, less) if piece in over else piece for piece in garment.pieces)
        names = tuple(piece.name for piece in over)
        change = f"{less * 10:g} mm less at each side of {', '.join(names)}"
        costs = Costs(allowance_less_cm=less, allowance_left_cm=_left(allowance, less))
        way = Written({("real_cloth", "sides_less"): f"{less * 10:g} mm"})
        yield _Way("Narrower side allowances", change, 1, costs, asked, replace(garment, pieces=pieces), way, names)
    allowance = _allowance(asked.project, garment.pieces)
    pieces = _all_narrowed(garment.pieces, _STEP_CM)
    if _most_narrowed(allowance) >= _STEP_CM and pieces != garment.pieces:
        costs = Costs(allowance_less_cm=_STEP_CM, allowance_left_cm=_left(allowance, _STEP_CM))
        change = "5 mm less all round, where every edge carries an allowance"
        way = Written({("real_cloth", "allowances_less"): "5 mm"})
        yield _Way("Narrower seam allowances", change, 3, costs, asked, replace(garment, pieces=pieces), way)


def _is_over(piece: Piece, usable_cm: float) -> bool:
    return piece.width_cm > usable_cm + _HAIR_CM


def _allowance(project: Project, pieces: Sequence[Piece]) -> float | None:
    """The seam allowance of the pieces, the least where they differ; None where nothing says."""
    said = [piece.allowance_cm for piece in pieces if piece.allowance_cm > 0]
    typed = project.pattern.seam_allowance if project.pattern else None
    return min(said, default=typed.cm if typed else None)


def _most_narrowed(allowance: float | None) -> float:
    return _MOST_NARROWED_CM if allowance is None else min(_MOST_NARROWED_CM, allowance - _LEAST_ALLOWANCE_CM)


def _left(allowance: float | None, less: float) -> float | None:
    return None if allowance is None else allowance - less


def _sides_narrowed(piece: Piece, off_cm: float) -> Piece:
    """The piece with so much cut off at both its sides, where they reach furthest."""
    kept = piece.polygon.intersection(box(-1.0, off_cm, piece.length_cm + 1.0, piece.width_cm - off_cm))
    return replace(piece, outline=tuple(kept.exterior.coords)[:-1]) if kept.geom_type == "Polygon" else piece


def _all_narrowed(pieces: Sequence[Piece], by_cm: float) -> tuple[Piece, ...]:
    """The pieces that say an allowance with so much less all round; all of them where none says one."""
    say = [piece for piece in pieces if piece.allowance_cm > 0] or list(pieces)
    return tuple(_narrowed(piece, by_cm) if piece in say else piece for piece in pieces)


def _narrowed(piece: Piece, by_cm: float) -> Piece:
    less = piece.polygon.buffer(-by_cm, join_style="mitre")
    if less.geom_type != "Polygon" or less.is_empty:
        return piece
    return replace(piece, outline=tuple(less.exterior.coords)[:-1])


def _turned(asked: _Asked, garment: Garment) -> Iterator[_Way]:
    if not (garment.one_way or any(piece.one_way for piece in garment.pieces)):
        return
    free = replace(garment, one_way=False, pieces=tuple(replace(piece, one_way=False) for piece in garment.pieces))
    costs = Costs(words=("only where the cloth looks and feels the same both ways up: hold it both ways to the light",))
    of_pieces = any(piece.one_way for piece in garment.pieces)
    way = Written() if of_pieces else Written({("pattern", "one_way"): False})
    yield _Way("Let pieces be turned end for end", "heads and feet along the cloth", 2, costs, asked, free, way)


def _joined(asked: _Asked, garment: Garment, partly: Cutting | None) -> Iterator[_Way]:
    """Each piece that is too wide, or was left uncut, joined from panels in up to two ways."""
    usable = asked.width_cm - 2 * garment.trim_cm
    uncut = dict(partly.uncut) if partly else {}
    for piece in garment.pieces:
        too_wide = _is_over(piece, usable)
        if piece.panel_of is not None or not (too_wide or piece.name in uncut):
            continue
        for option in options_for(piece, usable, trimmed=garment.trim_cm > 0)[: 2 if too_wide else 1]:
            pieces = tuple(
                one for other in garment.pieces for one in (option.joined.pieces if other is piece else (other,))
            )
            way = Written(added=((("pattern", "join"), written(option.part)),))
            costs = Costs(seams_cm=option.joined.seam_cm, words=("the join shows: place it where a seam could be",))
            yield _Way(
                f"Join {piece.name}",
                option.what,
                4,
                costs,
                asked,
                replace(garment, pieces=pieces),
                way,
                (piece.name, option.what),
            )


def _shorter(asked: _Asked, garment: Garment, short_cm: float) -> Iterator[_Way]:
    """The long pieces a little shorter: the least by half centimetres at which they fit, at most a tenth."""
    longest = max(piece.length_cm for piece in garment.pieces)
    long = [piece for piece in garment.pieces if piece.length_cm >= _LONG * longest]
    most = math.floor(_MOST_SHORTENED * longest / _STEP_CM)
    rows = max(1, sum(piece.cut for piece in long))
    least = max(1, math.ceil(short_cm / rows / _STEP_CM))
    for steps in sorted({min(most, least), min(most, math.ceil(short_cm / _STEP_CM)), most}):
        by = steps * _STEP_CM
        pieces, parts = _pieces_shortened(garment.pieces, long, by)
        if not parts:
            return
        shorter = replace(garment, pieces=pieces)
        if asked.relaid(shorter).fits or steps == most:
            names = tuple(piece.name for piece in long)
            change = f"{', '.join(names)} {by:g} cm shorter"
            way = Written(added=tuple((("pattern", "change"), part) for part in parts))
            yield _Way("Make it shorter", change, 5, Costs(shorter_cm=by), asked, shorter, way)
            return


def _pieces_shortened(
    pieces: Sequence[Piece], long: Sequence[Piece], by_cm: float
) -> tuple[tuple[Piece, ...], list[dict[str, Any]]]:
    """The pieces with the long ones shortened across, and the changes as a project writes them; none where one cannot be."""
    made, parts = [], []
    for piece in pieces:
        if piece not in long:
            made.append(piece)
            continue
        at = max(by_cm, round(piece.length_cm * _ACROSS_AT))
        try:
            altered = alter([piece], Change(Do.SHORTEN, by_cm, pieces=(piece.name,), at_cm=at))
        except ChangeRefused:
            return (), []
        made += [one.piece for one in altered.pieces]
        parts.append(
            {
                "do": "shorten",
                "by": f"{by_cm:g} cm",
                "piece": [piece.name],
                "at": f"{at:g} cm",
                "why": "the finished cloth",
            }
        )
    return tuple(made), parts


def _hidden(asked: _Asked, garment: Garment) -> Iterator[_Way]:
    hidden = [piece for piece in garment.pieces if often_of_other_cloth(piece.panel_of or piece.name)]
    if hidden and len(hidden) < len(garment.pieces):
        yield _from_other_cloth(asked, garment, "Cut what does not show from other cloth", hidden, 4)


def _rest(asked: _Asked, garment: Garment, partly: Cutting) -> Iterator[_Way]:
    uncut = dict(partly.uncut)
    left = [piece for piece in garment.pieces if piece.name in uncut]
    if left and len(left) < len(garment.pieces):
        yield _from_other_cloth(asked, garment, "Cut what is left over from other cloth", left, 7)


def _from_other_cloth(asked: _Asked, garment: Garment, what: str, moved: Sequence[Piece], gives_up: int) -> _Way:
    rest = tuple(piece for piece in garment.pieces if piece not in moved)
    names = tuple(dict.fromkeys(piece.panel_of or piece.name for piece in moved))
    area = sum(piece.area_cm2 * piece.cut for piece in moved if piece.material == MAIN_CLOTH)
    costs = Costs(other_cloth_cm2=area, words=("the other cloth has to wash as this one does",))
    return _Way(
        what, ", ".join(names), gives_up, costs, asked, replace(garment, pieces=rest), Written(from_other_cloth=names)
    )


def _other_sizes(asked: _Asked) -> Iterator[_Way]:
    """The other sizes and versions that the pattern has."""
    project = asked.project
    assert project.pattern is not None  # a project with a garment has one
    every = changed_pattern(project, asked.drawings, every_size=True).every
    for name_of, what, names in (
        ("version", "Another version", versions(every)),
        ("size", "Another size", sizes(every)),
    ):
        for name in names:
            if name == getattr(project.pattern, name_of):
                continue
            pattern = project.pattern.model_copy(update={name_of: name})
            other = replace(asked, project=project.model_copy(update={"pattern": pattern}))
            try:
                garment = other.garment()
            except ProblemsFound:
                continue
            costs = Costs(words=("it is another garment: try its size on first",))
            way = Written({("pattern", name_of): name})
            yield _Way(what, f"{name_of} {name}", 6, costs, other, garment, way)
