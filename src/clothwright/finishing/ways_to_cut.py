"""Every way to cut a garment from a cloth it does not fit on, before it is laid: what is done, what it gives up, what it writes.

Each is the same question with one thing changed. A new way is a function here that yields it, and a line in `ways_to_cut`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Final

from clothwright.finishing.asked_of_cloth import AskedOfCloth
from clothwright.finishing.narrowed import (
    all_narrowed,
    is_over,
    least_allowance,
    left_after,
    most_narrowed_cm,
    sides_narrowed,
)
from clothwright.finishing.real_cloth import narrower_places
from clothwright.finishing.relaid import ClothWay, Costs, Relaid, Written
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
from clothwright.planning.choices.cloth_in_hand import Cutting
from clothwright.planning.choices.narrow_cloth import written
from clothwright.planning.job import Garment
from clothwright.planning.pieces.join_options import options_for
from clothwright.project import ProblemsFound
from clothwright.project.pattern.garment import changed_pattern

#: From here on a way gives up the garment as it was meant; two other ways together are looked for first.
LAST_RESORT: Final = 6
#: A garment is shortened by no more than this share of its longest piece, in steps of half a centimetre.
_MOST_SHORTENED: Final = 0.1
STEP_CM: Final = 0.5
#: Pieces as long as this share of the longest are shortened together.
_LONG: Final = 0.6
#: How far from the foot a piece is shortened, as a share of its length: between a hem and the waist. Common practice, no source.
_ACROSS_AT: Final = 0.25


@dataclass(frozen=True)
class WayToCut:
    """A way before it is laid: the question and the garment as they then are."""

    what: str
    change: str
    gives_up: int
    costs: Costs
    asked: AskedOfCloth
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


def ways_to_cut(asked: AskedOfCloth, garment: Garment, relaid: Relaid, partly: Cutting | None) -> Iterator[WayToCut]:
    """Every single way, kind by kind; `relaid` is how the garment lies before, `partly` what could be cut of it (None: not asked)."""
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


def _less_lost(asked: AskedOfCloth, garment: Garment, too_wide: bool) -> Iterator[WayToCut]:
    """Nothing trimmed at the selvedges, where something is; nothing lost at the ends, where length is what is missing."""
    cloth = asked.cloth
    if cloth.trim_cm > 0:
        wider = replace(asked, cloth=replace(cloth, trim_cm=0.0))
        costs = Costs(words=("the selvedges lie in the seam allowances: look that they do not pull",))
        way = Written({("real_cloth", "selvedge_trim"): "0 cm"})
        yield WayToCut(
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
        yield WayToCut(
            "Cut from the very ends", "nothing lost to squaring", 1, costs, longer, _with(longer, garment), way
        )


def _with(asked: AskedOfCloth, garment: Garment) -> Garment:
    """A garment, perhaps changed already, asked of another cloth."""
    anew = asked.garment()
    return replace(garment, squaring_cm=anew.squaring_cm, trim_cm=anew.trim_cm, asked=anew.asked)


def _by_its_real_width(asked: AskedOfCloth, garment: Garment) -> Iterator[WayToCut]:
    """The pieces where the cloth is wide enough, where it is not of one width."""
    if asked.places or not (places := narrower_places(asked.cloth)):
        return
    along = replace(asked, places=places)
    costs = Costs(words=("each piece has its place, and the width there has to be measured again before it is cut",))
    least, most = min(asked.cloth.widths_cm), max(asked.cloth.widths_cm)
    change = f"{least:.1f} cm at its narrowest and {most:.1f} cm at its widest"
    way = Written({("real_cloth", "lay_by"): "the width along it"})
    yield WayToCut("Lay wide pieces where the cloth is wide", change, 0, costs, along, _with(along, garment), way)


def _narrower(asked: AskedOfCloth, garment: Garment) -> Iterator[WayToCut]:
    """Side allowances narrower by just what is missing across, and all allowances by half a centimetre."""
    usable = asked.width_cm - 2 * garment.trim_cm
    over = [piece for piece in garment.pieces if is_over(piece, usable)]
    allowance = least_allowance(asked.project, over or garment.pieces)
    if over and (most := max(piece.width_cm for piece in over) - usable) / 2 <= most_narrowed_cm(allowance):
        less = math.ceil(most / 2 * 10 - 1e-6) / 10
        pieces = tuple(sides_narrowed(piece, less) if piece in over else piece for piece in garment.pieces)
        names = tuple(piece.name for piece in over)
        change = f"{less * 10:g} mm less at each side of {', '.join(names)}"
        costs = Costs(allowance_less_cm=less, allowance_left_cm=left_after(allowance, less))
        way = Written({("real_cloth", "sides_less"): f"{less * 10:g} mm"})
        yield WayToCut("Narrower side allowances", change, 1, costs, asked, replace(garment, pieces=pieces), way, names)
    allowance = least_allowance(asked.project, garment.pieces)
    pieces = all_narrowed(garment.pieces, STEP_CM)
    if most_narrowed_cm(allowance) >= STEP_CM and pieces != garment.pieces:
        costs = Costs(allowance_less_cm=STEP_CM, allowance_left_cm=left_after(allowance, STEP_CM))
        change = "5 mm less all round, where every edge carries an allowance"
        way = Written({("real_cloth", "allowances_less"): "5 mm"})
        yield WayToCut("Narrower seam allowances", change, 3, costs, asked, replace(garment, pieces=pieces), way)


def _turned(asked: AskedOfCloth, garment: Garment) -> Iterator[WayToCut]:
    if not (garment.one_way or any(piece.one_way for piece in garment.pieces)):
        return
    free = replace(garment, one_way=False, pieces=tuple(replace(piece, one_way=False) for piece in garment.pieces))
    costs = Costs(words=("only where the cloth looks and feels the same both ways up: hold it both ways to the light",))
    of_pieces = any(piece.one_way for piece in garment.pieces)
    way = Written() if of_pieces else Written({("pattern", "one_way"): False})
    yield WayToCut("Let pieces be turned end for end", "heads and feet along the cloth", 2, costs, asked, free, way)


def _joined(asked: AskedOfCloth, garment: Garment, partly: Cutting | None) -> Iterator[WayToCut]:
    """Each piece that is too wide, or was left uncut, joined from panels in up to two ways."""
    usable = asked.width_cm - 2 * garment.trim_cm
    uncut = dict(partly.uncut) if partly else {}
    for piece in garment.pieces:
        too_wide = is_over(piece, usable)
        if piece.panel_of is not None or not (too_wide or piece.name in uncut):
            continue
        for option in options_for(piece, usable, trimmed=garment.trim_cm > 0)[: 2 if too_wide else 1]:
            pieces = tuple(
                one for other in garment.pieces for one in (option.joined.pieces if other is piece else (other,))
            )
            way = Written(added=((("pattern", "join"), written(option.part)),))
            costs = Costs(seams_cm=option.joined.seam_cm, words=("the join shows: place it where a seam could be",))
            yield WayToCut(
                f"Join {piece.name}",
                option.what,
                4,
                costs,
                asked,
                replace(garment, pieces=pieces),
                way,
                (piece.name, option.what),
            )


def _shorter(asked: AskedOfCloth, garment: Garment, short_cm: float) -> Iterator[WayToCut]:
    """The long pieces a little shorter: the least by half centimetres at which they fit, at most a tenth."""
    longest = max(piece.length_cm for piece in garment.pieces)
    long = [piece for piece in garment.pieces if piece.length_cm >= _LONG * longest]
    most = math.floor(_MOST_SHORTENED * longest / STEP_CM)
    rows = max(1, sum(piece.cut for piece in long))
    least = max(1, math.ceil(short_cm / rows / STEP_CM))
    for steps in sorted({min(most, least), min(most, math.ceil(short_cm / STEP_CM)), most}):
        by = steps * STEP_CM
        pieces, parts = _pieces_shortened(garment.pieces, long, by)
        if not parts:
            return
        shorter = replace(garment, pieces=pieces)
        if asked.relaid(shorter).fits or steps == most:
            names = tuple(piece.name for piece in long)
            change = f"{', '.join(names)} {by:g} cm shorter"
            way = Written(added=tuple((("pattern", "change"), part) for part in parts))
            yield WayToCut("Make it shorter", change, 5, Costs(shorter_cm=by), asked, shorter, way)
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


def _hidden(asked: AskedOfCloth, garment: Garment) -> Iterator[WayToCut]:
    hidden = [piece for piece in garment.pieces if often_of_other_cloth(piece.panel_of or piece.name)]
    if hidden and len(hidden) < len(garment.pieces):
        yield _from_other_cloth(asked, garment, "Cut what does not show from other cloth", hidden, 4)


def _rest(asked: AskedOfCloth, garment: Garment, partly: Cutting) -> Iterator[WayToCut]:
    uncut = dict(partly.uncut)
    left = [piece for piece in garment.pieces if piece.name in uncut]
    if left and len(left) < len(garment.pieces):
        yield _from_other_cloth(asked, garment, "Cut what is left over from other cloth", left, 7)


def _from_other_cloth(
    asked: AskedOfCloth, garment: Garment, what: str, moved: Sequence[Piece], gives_up: int
) -> WayToCut:
    rest = tuple(piece for piece in garment.pieces if piece not in moved)
    names = tuple(dict.fromkeys(piece.panel_of or piece.name for piece in moved))
    area = sum(piece.area_cm2 * piece.cut for piece in moved if piece.material == MAIN_CLOTH)
    costs = Costs(other_cloth_cm2=area, words=("the other cloth has to wash as this one does",))
    return WayToCut(
        what, ", ".join(names), gives_up, costs, asked, replace(garment, pieces=rest), Written(from_other_cloth=names)
    )


def _other_sizes(asked: AskedOfCloth) -> Iterator[WayToCut]:
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
            yield WayToCut(what, f"{name_of} {name}", 6, costs, other, garment, way)
