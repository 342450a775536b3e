"""Reads pattern pieces from an SVG drawing: bytes in, pieces out.

What is a piece? The rules, in the words used here:

- An *outline* is a closed line whose `data-line` is `cut` or `stitch`. The other lines are marks (grain, join, notch) or are
  left out.
- Its *namer* is the nearest element that states a name, from the shape itself outwards. Its *group* is the
  nearest element around the shape that states a name; if there is none, the group it stands in.
- Two outlines *go together* unless both state a size and the sizes differ, or both a version.
- Of outlines that go together, one that lies inside another is a *mark inside* it (a dart, a pocket's place) and not
  cut, if it stands in the other's group and has no name of its own. A shape inside a named group that only has a
  label, with no colon and no `data-piece`, is such a mark too.
- Every other outline is a piece. One name may stand for one outline only, of those that go together.

Nothing is guessed: what could mean two things is refused with the question. The order of work on a piece is: opened
out at its fold, allowance added, turned to its grain. So a fold gets no allowance, and a grain that is at an angle to the
fold is kept.

*Source* of SVG's meaning: SVG 1.1 and SVG 2 (W3C). What a drawing's marks mean is our own, see the page on drawings in
the documentation.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from shapely.geometry import LineString, Polygon
from shapely.geometry import Point as ShapelyPoint
from shapely.prepared import PreparedGeometry, prep

from clothwright.pattern.drawing_findings import DrawingRefused, Findings, quoted
from clothwright.pattern.drawing_safety import inspect, parse_drawing
from clothwright.pattern.drawing_scale import DrawingScale, Page, read_page
from clothwright.pattern.drawing_tree import Line, Node, Walker
from clothwright.pattern.outline import (
    FoldRefused,
    add_allowance,
    direction_deg,
    is_straight,
    open_out,
    turn_to_grain,
)
from clothwright.pattern.piece import MAIN_CLOTH, Piece, PieceError, Ring, tidy_ring

UP_THE_PAGE_DEG = 90.0
LARGEST_PIECE_CM = 2000.0
SMALLEST_PIECE_CM = 0.2
MAX_OUTLINES = 1000
SAME_DIRECTION_DEG = 1.0
MOST_ALLOWANCE_CM = 20.0


@dataclass(frozen=True)
class Drawing:
    """The pieces of a drawing, in its order, and what was cleaned, left out or not understood."""

    pieces: tuple[Piece, ...]
    notes: tuple[str, ...]


def read_drawing(
    data: bytes, *, seam_allowance_cm: float = 0.0, scale: DrawingScale | None = None, name: str = "drawing"
) -> Drawing:
    """The pattern pieces of an SVG drawing.

    `seam_allowance_cm` is added to outlines marked as stitching lines, and to no other. `scale` is stated by the person
    where the drawing has no real size; it wins over the drawing's own. `name` is what a drawing of one nameless
    piece calls it. DrawingRefused with every problem found; nothing else is ever raised for what the bytes hold.
    """
    if not 0 <= seam_allowance_cm <= MOST_ALLOWANCE_CM:
        raise DrawingRefused(
            [f"A seam allowance of {seam_allowance_cm} cm; 0 to {MOST_ALLOWANCE_CM:g} cm is accepted."]
        )
    findings = Findings()
    root = parse_drawing(data, findings)
    inspect(root, findings)
    page = read_page(root, scale, findings)
    walker = Walker(root, page or Page.unknown(), findings)
    if page is None:
        findings.refuse_if_any()
    pieces = tuple(_Assembly(walker, page or Page.unknown(), findings, seam_allowance_cm, name).pieces())
    findings.refuse_if_any()
    return Drawing(pieces, findings.as_notes())


@dataclass(frozen=True, eq=False)
class _Outline:
    """A closed line that may be a piece; `order` is its place in the drawing."""

    line: Line
    order: int

    @cached_property
    def polygon(self) -> Polygon:
        """Its area on the page, cm; a polygon that crosses itself is judged by what it covers, roughly."""
        polygon = Polygon(self.line.flat.points)
        return polygon if polygon.is_valid else polygon.convex_hull

    @cached_property
    def _reach(self) -> PreparedGeometry[Polygon]:
        return prep(self.polygon.buffer(SMALLEST_PIECE_CM / 10))

    @cached_property
    def namer(self) -> Node | None:
        """The nearest element that states a name, the shape itself first."""
        return _nearest_named(self.line.chain)

    @cached_property
    def group(self) -> Node:
        """The nearest named element around the shape; without one, the group it stands in."""
        around = self.line.chain[:-1]
        return _nearest_named(around) or around[-1]

    @property
    def shape(self) -> Node:
        """The element that draws it."""
        return self.line.chain[-1]

    def holds(self, other: _Outline) -> bool:
        """Whether the other lies inside this one."""
        left, low, right, high = self.polygon.bounds
        x0, y0, x1, y1 = other.polygon.bounds
        slack = SMALLEST_PIECE_CM / 10
        in_box = left - slack <= x0 and low - slack <= y0 and x1 <= right + slack and y1 <= high + slack
        return in_box and bool(self._reach.contains(other.polygon))

    def goes_with(self, other: _Outline) -> bool:
        """Whether both are cut for some one size and version."""
        ours, theirs = self.line.marks, other.line.marks
        return _agree(ours.size, theirs.size) and _agree(ours.version, theirs.version)


def _nearest_named(chain: tuple[Node, ...]) -> Node | None:
    return next((node for node in reversed(chain) if node.marks.piece is not None), None)


def _agree(one: str | None, other: str | None) -> bool:
    return one is None or other is None or one == other


def _is_mark_inside(inner: _Outline, outer: _Outline) -> bool:
    """Whether an outline that lies inside another is a mark on that piece, by where it stands and its name."""
    if inner.shape is outer.shape:
        return True
    chain = inner.line.chain
    if outer.group not in chain:
        return False
    namer = inner.namer
    if namer is None or chain.index(namer) <= chain.index(outer.group):
        return True
    return namer is inner.shape and not namer.marks.named_surely and outer.group.marks.piece is not None


class _Assembly:
    """Makes pieces of the lines that a drawing holds."""

    def __init__(self, walker: Walker, page: Page, findings: Findings, allowance_cm: float, name: str) -> None:
        self._lines = walker.lines
        self._groups = walker.groups
        self._page = page
        self._findings = findings
        self._allowance_cm = allowance_cm
        self._name = name

    def pieces(self) -> Iterator[Piece]:
        """The pieces, in the drawing's order; what is wrong with any of them is kept as a problem."""
        outlines = self._pieces_among(self._closed_lines())
        self._check_names(outlines)
        self._check_empty_groups(outlines)
        names = self._names(outlines)
        grains = self._grains(outlines)
        self._tell_of_other_marks()
        for outline in outlines:
            piece = self._piece(outline, names[outline], grains[outline])
            if piece is not None:
                yield piece

    # --- which lines are pieces --------------------------------------------------------------------------------

    def _closed_lines(self) -> list[_Outline]:
        outlines: list[_Outline] = []
        for line in self._lines:
            if line.marks.line not in (None, "cut", "stitch"):
                continue
            if not line.flat.closed:
                self._open_line(line)
            elif self._is_of_sensible_size(line):
                outlines.append(_Outline(line, len(outlines)))
        if len(outlines) > MAX_OUTLINES:
            self._findings.problem(f"The drawing has more than {MAX_OUTLINES} closed outlines; save only the pieces.")
            self._findings.refuse_if_any()
        return self._without_background(outlines)

    def _open_line(self, line: Line) -> None:
        if line.chain[-1].marks.named_surely:
            self._findings.problem(f"{line.where} is an open line; close it, a piece is one closed outline.")
        else:
            self._findings.leave_out("Left out, an open line without a mark is no piece", line.shape_where)

    def _is_of_sensible_size(self, line: Line) -> bool:
        xs, ys = zip(*line.flat.points, strict=True)
        width, height = max(xs) - min(xs), max(ys) - min(ys)
        if max(width, height) > LARGEST_PIECE_CM:
            self._findings.problem(
                f"{line.where} is {max(width, height) / 100:.1f} m large; at most {LARGEST_PIECE_CM / 100:g} m is accepted: "
                "check the drawing's width, height and viewBox, or the scale."
            )
            return False
        if min(width, height) >= SMALLEST_PIECE_CM:
            return True
        self._too_small(line, f"{width * 10:.2g} x {height * 10:.2g} mm")
        return False

    def _too_small(self, line: Line, size: str) -> None:
        if line.chain[-1].marks.named_surely:
            self._findings.problem(
                f"{line.where} is only {size}; check the drawing's width, height and viewBox, or the scale."
            )
        else:
            self._findings.leave_out("Left out, too small to be a piece (under 2 mm)", f"{line.shape_where}, {size}")

    def _without_background(self, outlines: list[_Outline]) -> list[_Outline]:
        """Without a nameless rectangle as large as the page, if it lies under everything else."""
        for outline in outlines:
            if self._fills_page(outline) and len(outlines) > 1 and outline.namer is None:
                self._findings.leave_out("Left out, taken as the page's background", outline.line.shape_where)
                return [other for other in outlines if other is not outline]
        return outlines

    def _fills_page(self, outline: _Outline) -> bool:
        width, height = (self._page.to_cm.a * units for units in self._page.viewport)
        left, top, right, low = outline.polygon.bounds
        fills = right - left >= 0.99 * width and low - top >= 0.99 * height
        return outline.shape.tag == "rect" and outline.line.marks.line is None and width > 0 and fills

    def _pieces_among(self, outlines: list[_Outline]) -> list[_Outline]:
        """The outlines that are cut: those that are not a mark inside a larger one."""
        kept: list[_Outline] = []
        for outline in sorted(outlines, key=lambda o: -o.polygon.area):
            around = [other for other in kept if other.goes_with(outline) and other.holds(outline)]
            marked = next((other for other in around if _is_mark_inside(outline, other)), None)
            if marked is not None:
                self._findings.leave_out(
                    f"Taken as marks inside {marked.line.where}, not cut", outline.line.shape_where
                )
                continue
            for other in around[:1]:
                self._findings.note(f"{outline.line.where} lies inside {other.line.where}; it is a piece of its own.")
            kept.append(outline)
        if not kept and not self._findings.problems:
            self._findings.problem("No piece was found; a piece is a closed outline, drawn as one line and not hidden.")
        return sorted(kept, key=lambda o: o.order)

    def _check_names(self, outlines: list[_Outline]) -> None:
        """One name, one outline: several that go together under one name cannot be told apart."""
        by_namer: dict[Node, list[_Outline]] = {}
        for outline in outlines:
            if outline.namer is not None:
                by_namer.setdefault(outline.namer, []).append(outline)
        for namer, named in by_namer.items():
            together = max(sum(one.goes_with(other) for other in named) for one in named)
            if together > 1:
                self._findings.problem(
                    f"{quoted(namer.marks.piece or '')} has {together} closed outlines side by side, and a piece has one: "
                    "name each outline, or give each a group of its own."
                )

    def _check_empty_groups(self, outlines: list[_Outline]) -> None:
        filled = {node for outline in outlines for node in outline.line.chain}
        for group in self._groups:
            if group.marks.piece is None or group in filled:
                continue
            if group.marks.named_surely:
                self._findings.problem(f"{group.where} has no closed outline; join its lines into one closed line.")
            else:
                self._findings.leave_out("Groups without a closed outline, so no pieces", group.where)

    # --- names -------------------------------------------------------------------------------------------------

    def _names(self, outlines: list[_Outline]) -> dict[_Outline, str]:
        """A name for each piece: its own, numbered if another that goes with it has the same."""
        nameless = [outline for outline in outlines if outline.namer is None]
        names: dict[_Outline, str] = {}
        taken: dict[str, list[_Outline]] = {}
        for outline in [*(o for o in outlines if o.namer is not None), *nameless]:
            wanted = outline.line.marks.piece or self._name_for_nameless(outlines)
            name = self._free_name(
                outline, wanted, taken, first_number=1 if outline.namer is None and len(outlines) > 1 else 0
            )
            names[outline] = name
            taken.setdefault(name, []).append(outline)
        if nameless:
            called = ", ".join(f"“{names[outline]}”" for outline in nameless[:8])
            self._findings.note(
                f"Closed outlines without a name are called {called}; name them with data-piece or a label."
            )
        return names

    def _name_for_nameless(self, outlines: list[_Outline]) -> str:
        return "piece" if len(outlines) > 1 else self._name

    def _free_name(self, outline: _Outline, wanted: str, taken: dict[str, list[_Outline]], *, first_number: int) -> str:
        number = first_number
        while True:
            name = wanted if number == 0 else f"{wanted} {number}"
            if not any(other.goes_with(outline) for other in taken.get(name, ())):
                break
            number = max(number + 1, 2) if first_number == 0 else number + 1
        if number and first_number == 0:
            self._findings.note(f"More than one piece is called {quoted(wanted)}; this one is called {quoted(name)}.")
        return name

    # --- grain and other lines ---------------------------------------------------------------------------------

    def _grains(self, outlines: list[_Outline]) -> dict[_Outline, list[Line]]:
        """The grain lines of each piece."""
        grains: dict[_Outline, list[Line]] = {outline: [] for outline in outlines}
        lines = [line for line in self._lines if line.marks.line == "grain"]
        if len(lines) > MAX_OUTLINES:
            self._findings.problem(f"The drawing has more than {MAX_OUTLINES} grain lines; a piece needs one.")
            self._findings.refuse_if_any()
        for line in lines:
            owners = self._owners(line, outlines)
            for owner in owners:
                grains[owner].append(line)
            if not owners:
                self._findings.problem(
                    f"The grain line {line.shape_where} lies in no piece; draw it inside one, or in the piece's group."
                )
        return grains

    def _owners(self, line: Line, outlines: list[_Outline]) -> list[_Outline]:
        """The pieces a grain line belongs to: in the innermost group around it that has pieces, those it lies in."""
        mark = _Outline(line, -1)
        middle = _middle(line)
        for node in reversed(line.chain[:-1]):
            near = [o for o in outlines if node in o.line.chain and o.goes_with(mark)]
            if len(near) == 1:
                return near
            if near:
                return [o for o in near if o.polygon.contains(middle)]
        return []

    def _tell_of_other_marks(self) -> None:
        for line in self._lines:
            if line.marks.line == "notch":
                self._findings.leave_out("Notches, which do not change the layout", line.where)
            elif line.marks.line == "join":
                self._findings.leave_out("Lines where a piece may be joined; pieces are laid whole", line.where)

    def _grain_deg(self, outline: _Outline, lines: list[Line]) -> float | None:
        """The grain's direction on the page; None, with the problem kept, if it is not one clear direction."""
        stated = outline.line.marks.grain
        drawn = [_direction(line) for line in lines if not line.flat.closed]
        if lines and None in (drawn or [None]):
            self._findings.problem(f"{outline.line.where}: its grain line is not one straight open line.")
            return None
        directions = [*([] if stated is None else [stated]), *(d for d in drawn if d is not None)]
        if any(_between(directions[0], other) > SAME_DIRECTION_DEG for other in directions[1:]):
            came = " and ".join(f"{d:.1f}°" for d in directions)
            self._findings.problem(f"{outline.line.where} has its grain in more than one direction: {came}; keep one.")
            return None
        return directions[0] if directions else UP_THE_PAGE_DEG

    # --- one piece ---------------------------------------------------------------------------------------------

    def _piece(self, outline: _Outline, name: str, grain_lines: list[Line]) -> Piece | None:
        marks = outline.line.marks
        grain = self._grain_deg(outline, grain_lines)
        self._check_pair(outline, name)
        try:
            ring = self._cut_line(outline, name)
            if grain is None:
                return None
            return Piece(
                name,
                turn_to_grain(ring, grain),
                cut=marks.cut or 1,
                pair=bool(marks.pair),
                one_way=bool(marks.one_way),
                material=_material(marks.material),
                size=marks.size,
                version=marks.version,
            )
        except (PieceError, FoldRefused) as error:
            self._findings.problem(f"{quoted(name)}: {str(error).removeprefix(f'{name}: ')}.")
            return None

    def _cut_line(self, outline: _Outline, name: str) -> Ring:
        """The outline as it is cut, on the page: opened out, and with its allowance if it is a stitching line."""
        marks = outline.line.marks
        ring = tuple(outline.line.flat.points)
        if marks.fold is not None:
            tidy_ring(name, ring)
            ring = self._opened(outline, marks.fold)
        tidy_ring(name, ring)
        return self._with_allowance(ring, name) if marks.line == "stitch" else ring

    def _opened(self, outline: _Outline, side: str) -> Ring:
        try:
            return open_out(outline.line.flat, side)
        except FoldRefused as error:
            raise FoldRefused(
                f"its fold is at the {side}, but the outermost edge there {error}; draw it straight along the page"
            ) from None

    def _with_allowance(self, ring: Ring, name: str) -> Ring:
        if self._allowance_cm == 0:
            self._findings.leave_out("Drawn by the stitching line, but the seam allowance is 0", quoted(name))
            return ring
        grown, filled = add_allowance(ring, self._allowance_cm)
        if filled:
            self._findings.note(f"{quoted(name)}: its seam allowance closes an opening, which is laid out as cloth.")
        return grown

    def _check_pair(self, outline: _Outline, name: str) -> None:
        marks = outline.line.marks
        if not marks.pair:
            return
        cut = marks.cut or 1
        if cut == 1:
            came = "cut 1" if marks.cut else "no number to cut, which means 1"
            self._findings.problem(f"{quoted(name)} is a pair with {came}; a pair is cut 2, or another even number.")
        elif cut % 2:
            self._findings.note(f"{quoted(name)} is a pair, cut {cut}: {cut // 2} of them mirrored.")


def _material(stated: str | None) -> str:
    return MAIN_CLOTH if stated is None or stated.lower() == MAIN_CLOTH else stated


def _middle(line: Line) -> ShapelyPoint:
    return LineString(line.flat.points).interpolate(0.5, normalized=True)


def _direction(line: Line) -> float | None:
    points = line.flat.points
    return direction_deg(points[0], points[-1]) if is_straight(points) else None


def _between(one: float, other: float) -> float:
    """The angle between two grain directions, which have no head, degrees."""
    apart = abs(one - other) % 180
    return min(apart, 180 - apart)
