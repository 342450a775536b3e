"""Which of the lines of a drawing are pieces, and which are marks on them.

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
- Text that stands in one piece says of it what a label would: “back: cut 2, pair”, or its name alone if it has no other.

Nothing is guessed: what could mean two things is refused with the question.

*Source:* what a drawing's marks mean is our own, see the page on drawings in the documentation.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property
from xml.etree.ElementTree import Element, SubElement

from shapely.geometry import LineString, Polygon
from shapely.geometry import Point as ShapelyPoint
from shapely.prepared import PreparedGeometry, prep

from clothwright.pattern.faults import left_open, off_scale
from clothwright.pattern.piece import Piece
from clothwright.pattern.reading.findings import Findings, listed, quoted
from clothwright.pattern.reading.making import Making
from clothwright.pattern.reading.marks import MarkReader, Marks, read_label
from clothwright.pattern.reading.tree import MARK_KINDS, Line, Node, Text

LARGEST_PIECE_CM = 2000.0
SMALLEST_PIECE_CM = 0.2
MAX_OUTLINES = 1000
MARK_REACH_CM = 1.5
TEST_WITHIN = 0.005


@dataclass(frozen=True)
class Drawn:
    """What a reader found drawn, in cm on the page; `page_cm` is the page's width and height, 0 where it has none."""

    lines: tuple[Line, ...]
    groups: tuple[Node, ...] = ()
    texts: tuple[Text, ...] = ()
    page_cm: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True)
class SaidOfPiece:
    """What the person says of a drawn piece beside the drawing; it counts before what the drawing says.

    `piece` is the name the drawing gives it. `leave_out`: it is no piece of this pattern. `close`:
    its outline is open, and a straight side closes it.
    """

    piece: str
    marks: Marks
    leave_out: bool = False
    close: bool = False


@dataclass(frozen=True)
class Found:
    """An outline that is a piece, by name, with the mark lines and the closed lines inside it."""

    name: str
    line: Line
    marks: tuple[Line, ...]
    inner: tuple[Line, ...]


@dataclass(frozen=True, eq=False)
class Outline:
    """A closed line that may be a piece; `order` is its place in the drawing, `inner` what is marked inside it."""

    line: Line
    order: int
    inner: list[Outline] = field(default_factory=list)

    @cached_property
    def polygon(self) -> Polygon:
        """Its area on the page, cm; a polygon that crosses itself is judged by what it covers, roughly."""
        polygon = Polygon(self.line.flat.points)
        return polygon if polygon.is_valid else polygon.convex_hull

    @property
    def is_square(self) -> bool:
        """Whether it fills a box that is as wide as it is high."""
        left, low, right, high = self.polygon.bounds
        even = abs((right - left) - (high - low)) <= SMALLEST_PIECE_CM / 2
        return bool(even and self.polygon.area >= 0.98 * (right - left) ** 2)

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
        around = tuple(node for node in self.line.chain[:-1] if node.tag != "text")
        return _nearest_named(around) or around[-1]

    @property
    def shape(self) -> Node:
        """The element that draws it."""
        return self.line.chain[-1]

    def holds(self, other: Outline) -> bool:
        """Whether the other lies inside this one."""
        left, low, right, high = self.polygon.bounds
        x0, y0, x1, y1 = other.polygon.bounds
        slack = SMALLEST_PIECE_CM / 10
        in_box = left - slack <= x0 and low - slack <= y0 and x1 <= right + slack and y1 <= high + slack
        return in_box and bool(self._reach.contains(other.polygon))

    def contains(self, point: ShapelyPoint) -> bool:
        """Whether a point lies inside."""
        return bool(self._reach.contains(point))

    def goes_with(self, other: Outline) -> bool:
        """Whether both are cut for some one size and version."""
        ours, theirs = self.line.marks, other.line.marks
        return _agree(ours.size, theirs.size) and _agree(ours.version, theirs.version)


def _nearest_named(chain: tuple[Node, ...]) -> Node | None:
    return next((node for node in reversed(chain) if node.marks.piece is not None), None)


def _agree(one: str | None, other: str | None) -> bool:
    return one is None or other is None or one == other


def _is_mark_inside(inner: Outline, outer: Outline) -> bool:
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


class Assembly:
    """Makes pieces of the lines that a drawing holds."""

    def __init__(
        self, drawn: Drawn, findings: Findings, allowance_cm: float, name: str, said: tuple[SaidOfPiece, ...] = ()
    ) -> None:
        self._drawn = drawn
        self._findings = findings
        self._allowance_cm = allowance_cm
        self._name = name
        self._said = said
        self._closing = {one.piece for one in said if one.close}
        self._left_open: set[str] = set()
        self._tests = self._test_lines()

    def pieces(self) -> Iterator[Piece]:
        """The pieces, in the drawing's order; what is wrong with any of them is kept as a problem."""
        for found in self.found():
            making = Making(found.line, found.name, self._findings, self._allowance_cm)
            piece = making.piece(list(found.marks), list(found.inner))
            if piece is not None:
                yield piece

    def found(self) -> Iterator[Found]:
        """What makes each piece: its outline and the lines that belong to it."""
        self._check_test_lines()
        outlines = self._with_texts(self._pieces_among(self._closed_lines()))
        self._check_names(outlines)
        self._check_empty_groups(outlines)
        names = self._names(outlines)
        marks = self._marks(outlines)
        for outline, line in self._as_said(names):
            inner = tuple(one.line for one in outline.inner)
            yield Found(line.marks.piece or names[outline], line, tuple(marks[outline]), inner)

    def _as_said(self, names: dict[Outline, str]) -> Iterator[tuple[Outline, Line]]:
        """Each outline that is a piece, with its line marked as the person says, in the drawing's order."""
        said: dict[str, SaidOfPiece] = {}
        for one in self._said:
            if one.piece not in names.values() and one.piece not in self._left_open:
                self._findings.problem(
                    f"{quoted(one.piece)}: the drawing has no piece of that name; it has {listed(tuple(dict.fromkeys(names.values())))}."
                )
            elif one.piece in said:
                self._findings.problem(f"{quoted(one.piece)} is marked twice; mark a piece once.")
            said[one.piece] = one
        for outline in sorted(names, key=lambda o: o.order):
            of_piece = said.get(names[outline])
            if of_piece is None or not of_piece.leave_out:
                yield outline, _said_over(outline.line, of_piece, names[outline])

    # --- which lines are pieces --------------------------------------------------------------------------------

    def _closed_lines(self) -> list[Outline]:
        outlines: list[Outline] = []
        for line in self._drawn.lines:
            if line.marks.line not in (None, "cut", "stitch") or line in self._tests or line.is_edge:
                continue
            if not line.flat.closed and line.marks.piece in self._closing and self._is_whole(line):
                line = replace(line, flat=replace(line.flat, straight=(*line.flat.straight, True), closed=True))
            if not line.flat.closed:
                self._open_line(line)
            elif self._is_of_sensible_size(line):
                outlines.append(Outline(line, len(outlines)))
        if len(outlines) > MAX_OUTLINES:
            self._findings.problem(f"The drawing has more than {MAX_OUTLINES} closed outlines; save only the pieces.")
            self._findings.refuse_if_any()
        return self._without_background(outlines)

    def _is_whole(self, line: Line) -> bool:
        """Whether an open line is all there is of its piece: it has the name itself, or is the one line of its group."""
        namer = _nearest_named(line.chain)
        if namer is None or not namer.marks.named_surely:
            return False
        return namer is line.chain[-1] or self._open_in(namer) == [line]

    def _open_in(self, group: Node) -> list[Line]:
        """The open lines in a group that are no marks."""
        return [
            line
            for line in self._drawn.lines
            if group in line.chain
            and not line.flat.closed
            and line.marks.line in (None, "cut", "stitch")
            and line not in self._tests
            and not line.is_mark
        ]

    def _left_open_line(self, line: Line, refusal: str) -> None:
        points, name = line.flat.points, line.marks.piece or ""
        self._left_open.add(name)
        self._findings.fault(left_open(name, refusal, points, math.dist(points[0], points[-1])))

    def _open_line(self, line: Line) -> None:
        if line.chain[-1].marks.named_surely:
            refusal = f"{line.where} is an open line; close it, a piece is one closed outline."
            self._left_open_line(line, refusal)
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

    def _without_background(self, outlines: list[Outline]) -> list[Outline]:
        """Without a nameless rectangle as large as the page, if it lies under everything else."""
        for outline in outlines:
            if self._fills_page(outline) and len(outlines) > 1 and outline.namer is None:
                self._findings.leave_out("Left out, taken as the page's background", outline.line.shape_where)
                return [other for other in outlines if other is not outline]
        return outlines

    def _fills_page(self, outline: Outline) -> bool:
        width, height = self._drawn.page_cm
        left, top, right, low = outline.polygon.bounds
        fills = right - left >= 0.99 * width and low - top >= 0.99 * height
        return outline.shape.tag in ("rect", "path") and outline.line.marks.line is None and width > 0 and fills

    def _pieces_among(self, outlines: list[Outline]) -> list[Outline]:
        """The outlines that are cut: those that are not a mark inside a larger one."""
        kept: list[Outline] = []
        for outline in sorted(outlines, key=lambda o: -o.polygon.area):
            around = [other for other in kept if other.goes_with(outline) and other.holds(outline)]
            marked = next((other for other in around if _is_mark_inside(outline, other)), None)
            if marked is not None:
                marked.inner.append(outline)
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

    def _check_names(self, outlines: list[Outline]) -> None:
        """One name, one outline: several that go together under one name cannot be told apart."""
        by_namer: dict[Node, list[Outline]] = {}
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

    def _check_empty_groups(self, outlines: list[Outline]) -> None:
        filled = {node for outline in outlines for node in outline.line.chain}
        for group in self._drawn.groups:
            if group.marks.piece is None or group in filled:
                continue
            if group.marks.named_surely:
                refusal = f"{group.where} has no closed outline; join its lines into one closed line."
                self._empty_group(group, refusal)
            else:
                self._findings.leave_out("Groups without a closed outline, so no pieces", group.where)

    def _empty_group(self, group: Node, refusal: str) -> None:
        lines = self._open_in(group)
        if len(lines) == 1 and len(lines[0].flat.points) >= 3:
            self._left_open_line(lines[0], refusal)
        else:
            self._findings.problem(refusal)

    # --- names -------------------------------------------------------------------------------------------------

    def _names(self, outlines: list[Outline]) -> dict[Outline, str]:
        """A name for each piece: its own, numbered if another that goes with it has the same."""
        nameless = [outline for outline in outlines if outline.namer is None]
        names: dict[Outline, str] = {}
        taken: dict[str, list[Outline]] = {}
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

    def _name_for_nameless(self, outlines: list[Outline]) -> str:
        return "piece" if len(outlines) > 1 else self._name

    def _free_name(self, outline: Outline, wanted: str, taken: dict[str, list[Outline]], *, first_number: int) -> str:
        number = first_number
        while True:
            name = wanted if number == 0 else f"{wanted} {number}"
            if not any(other.goes_with(outline) for other in taken.get(name, ())):
                break
            number = max(number + 1, 2) if first_number == 0 else number + 1
        if number and first_number == 0:
            self._findings.note(f"More than one piece is called {quoted(wanted)}; this one is called {quoted(name)}.")
        return name

    # --- text --------------------------------------------------------------------------------------------------

    def _with_texts(self, outlines: list[Outline]) -> list[Outline]:
        """The outlines with what is written in them as an outermost label of each."""
        written: dict[Outline, list[Text]] = {outline: [] for outline in outlines}
        for text in self._drawn.texts:
            owners = self._written_in(text, outlines)
            for owner in owners:
                written[owner].append(text)
            if not owners:
                self._findings.leave_out(_TEXT_UNUSED, quoted(text.text))
        return [self._labelled(outline, texts) for outline, texts in written.items()]

    def _written_in(self, text: Text, outlines: list[Outline]) -> list[Outline]:
        """The outlines a text stands in: the innermost, and those of other sizes that do not go with it."""
        point = ShapelyPoint(*text.at)
        around = sorted((o for o in outlines if o.contains(point)), key=lambda o: o.polygon.area)
        return [o for i, o in enumerate(around) if not any(o.goes_with(smaller) for smaller in around[:i])]

    def _labelled(self, outline: Outline, texts: list[Text]) -> Outline:
        saying = [text for text in texts if _says_marks(text.text)]
        plain = [text for text in texts if text not in saying]
        if outline.namer is None and not any(read_label(text.text).name for text in saying) and len(plain) == 1:
            saying, plain = [*saying, *plain], []
            self._findings.note(f"The piece with {quoted(saying[-1].text)} written in it is called that.")
        for text in plain:
            self._findings.leave_out(_TEXT_UNUSED, quoted(text.text))
        nodes = tuple(self._text_node(text) for text in saying)
        chain = outline.line.chain
        line = replace(outline.line, chain=(chain[0], *nodes, *chain[1:]))
        return Outline(line, outline.order, outline.inner)

    def _text_node(self, text: Text) -> Node:
        element = Element("text")
        SubElement(element, "title").text = text.text
        reader = MarkReader(element, self._findings)
        return Node("text", reader.read(), quoted(text.text))

    # --- marks -------------------------------------------------------------------------------------------------

    def _marks(self, outlines: list[Outline]) -> dict[Outline, list[Line]]:
        """The mark lines of each piece."""
        marks: dict[Outline, list[Line]] = {outline: [] for outline in outlines}
        lines = [line for line in self._drawn.lines if line.is_mark]
        for kind in MARK_KINDS:
            if sum(line.kind == kind for line in lines) > MAX_OUTLINES:
                self._findings.problem(f"The drawing has more than {MAX_OUTLINES} {kind} lines; save only the pieces.")
                self._findings.refuse_if_any()
        for line in lines:
            owners = self._owners(line, outlines)
            for owner in owners:
                marks[owner].append(line)
            self._tell_of(line, owners)
        return marks

    def _tell_of(self, line: Line, owners: Iterable[Outline]) -> None:
        """What is worth a word about a mark and whose it is."""
        if not owners and line.kind in ("notch", "join", "inside"):
            self._findings.leave_out(f"Marks ({line.kind}) that lie at no piece, so not used", line.shape_where)
        elif not owners:
            self._findings.problem(
                f"The {line.kind} line {line.shape_where} lies in no piece; draw it inside one, or in the piece's group."
            )
        elif line.kind == "notch":
            self._findings.leave_out("Notches, which do not change the layout", line.where)
        elif line.kind == "join":
            self._findings.leave_out("Lines where a piece may be joined; pieces are laid whole", line.where)

    def _owners(self, line: Line, outlines: list[Outline]) -> list[Outline]:
        """The pieces a mark belongs to: in the innermost group around it that has pieces, those it lies in or at."""
        mark = Outline(line, -1)
        for node in reversed(line.chain[:-1]):
            near = [o for o in outlines if node in o.line.chain and o.goes_with(mark)]
            if len(near) == 1 and node.marks.piece is not None:
                return near
            if near:
                return self._nearest(line, near)
        return []

    def _nearest(self, line: Line, near: list[Outline]) -> list[Outline]:
        """Those a mark's middle lies in; of those it only touches, the nearest."""
        middle = _middle(line)
        inside = [o for o in near if o.contains(middle)]
        if line.kind == "grain" and (inside or len(near) == 1):
            return inside or near
        if inside:
            least = min(inside, key=lambda o: o.polygon.area)
            return [o for o in inside if o is least or not o.goes_with(least)]
        reached = sorted((o.polygon.distance(middle), o.order, o) for o in near)
        return [o for away, _, o in reached[:1] if away <= MARK_REACH_CM]

    def _test_lines(self) -> dict[Line, float]:
        """The lines that show a length to check the scale by, and that length: as marked, or as a text in a square says."""
        marked = {line: said for line in self._drawn.lines if (said := line.chain[-1].marks.test) is not None}
        for text in self._drawn.texts:
            said = self._text_node(text).marks.test if "test" in text.text.lower() else None
            around = [o for line in self._drawn.lines if line.flat.closed and (o := Outline(line, 0)).is_square]
            holding = sorted((o for o in around if o.contains(ShapelyPoint(*text.at))), key=lambda o: o.polygon.area)
            if said is not None and holding:
                marked.setdefault(holding[0].line, said)
        return marked

    def _check_test_lines(self) -> None:
        """Compare each test square or line with what it is said to measure."""
        for line, said in self._tests.items():
            wrong = next((side for side in _sides_of(line) if abs(side - said) > TEST_WITHIN * said), None)
            if wrong is not None:
                what = f"test {'square' if line.flat.closed else 'line'}"
                refusal = (
                    f"The scale is wrong: the {what} of {said:g} cm measures "
                    f"{wrong:.2f} cm. Save the drawing at {said / wrong:.4g} times its size, or state the scale so."
                )
                self._findings.fault(off_scale(refusal, what, said, wrong, self._true_unit_cm()))

    def _true_unit_cm(self) -> float | None:
        """What one unit of the drawing is by its test squares and lines; None where they do not agree."""
        factors = [said / side for line, said in self._tests.items() for side in _sides_of(line) if side > 0]
        unit = self._findings.unit_cm
        even = factors and max(factors) <= min(factors) * (1 + TEST_WITHIN)
        return unit * sum(factors) / len(factors) if even and unit is not None else None


def _sides_of(line: Line) -> tuple[float, ...]:
    """What a test square measures both ways, or a test line along itself, cm."""
    xs, ys = zip(*line.flat.points, strict=True)
    across, down = max(xs) - min(xs), max(ys) - min(ys)
    return (across, down) if line.flat.closed else (max(across, down),)


def _said_over(line: Line, said: SaidOfPiece | None, name: str) -> Line:
    """The line with what is said of its piece, and its name, on its own shape."""
    shape = line.chain[-1]
    marks = shape.marks if said is None else said.marks.over(shape.marks)
    if said is None or said.marks.piece is None:
        marks = replace(marks, piece=name)
    return replace(line, chain=(*line.chain[:-1], Node(shape.tag, marks, shape.where)))


_TEXT_UNUSED = "Text that says nothing of one piece, so not used"


def _says_marks(text: str) -> bool:
    """Whether a text is marks of a piece: all of it, or all behind its name and colon."""
    label = read_label(text)
    return bool(label.words) and (label.surely or label.name is None) and len(label.words) > len(label.unknown)


def _middle(line: Line) -> ShapelyPoint:
    points = line.flat.points
    return LineString(points).interpolate(0.5, normalized=True) if len(points) > 1 else ShapelyPoint(points[0])
