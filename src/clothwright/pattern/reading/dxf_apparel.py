"""Pieces in the open apparel exchange standard: a block for each piece, layers for each kind of line, texts for the rest.

A text is “Key: value”. Texts of the whole style stand beside the blocks, those of a piece in its block. Metric files are
in mm, English ones in inches. A piece with a mirror line is drawn as half, if the line is an edge of it.
A block for each size of a piece gives all its sizes. Grading by rules needs the rule table, which is another file: it is
told, and only the sizes drawn are read.

*Source:* ASTM D6673-10 and ANSI/AAMA-292: blocks, keys and units (keys from memory); layers in `apparel_layers.toml`.
"""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING, Final

from clothwright.pattern.geometry import Affine, Flat
from clothwright.pattern.line_ends import join_ends
from clothwright.pattern.outline import ON_FOLD_WITHIN_CM
from clothwright.pattern.reading.assembly import Drawn
from clothwright.pattern.reading.dxf_walk import Walk, words_of
from clothwright.pattern.reading.findings import DrawingRefused, Findings, quoted
from clothwright.pattern.reading.marks import LONGEST_NAME, MOST_COPIES, Marks
from clothwright.pattern.reading.tree import Line, Node

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document
    from ezdxf.entities.dxfentity import DXFEntity

_KEY: Final = re.compile(r"\s*([A-Za-z][A-Za-z /_]*?)\s*:\s*(.*?)\s*")
_UNITS: Final = {"metric": 0.1, "english": 2.54}
_OF_STYLE: Final = {
    "style name": "Style", "author": "Author", "product": "Product", "version": "Version",
    "creation date": "Creation date", "creation time": "Creation time",
}  # fmt: skip
_RULE_NUMBER: Final = re.compile(r"#\s*-?\d+")
_WHOLE: Final = re.compile(r"\d{1,3}")
_LEFT_AND_RIGHT: Final = re.compile(r"(\d{1,3})\s*,\s*(\d{1,3})")


@cache
def layers() -> dict[str, tuple[str, str]]:
    """For each layer number, as text, what is made of it and what it holds."""
    text = resources.files(__package__).joinpath("apparel_layers.toml").read_text(encoding="utf-8")
    return {str(row["number"]): (row["as"], row["holds"]) for row in tomllib.loads(text)["layer"]}


@dataclass
class _Block:
    """What one block holds: texts by key, and lines by what they are."""

    name: str
    said: dict[str, str] = field(default_factory=dict)
    lines: dict[str, list[Flat]] = field(default_factory=dict)
    left_out: Counter[str] = field(default_factory=Counter)
    rules: int = 0


class ApparelFile:
    """An apparel exchange file: `is_one` says whether the document is one."""

    def __init__(self, document: Document, findings: Findings) -> None:
        self._document = document
        self._findings = findings
        self._walk = Walk(document, findings)
        self._style = self._texts(document.modelspace())
        self._names = [b.name for b in document.blocks if not b.name.startswith("*") and _names_a_piece(self._texts(b))]

    @property
    def is_one(self) -> bool:
        """Whether any block says the name of its piece."""
        return bool(self._names)

    @property
    def cm_per_unit(self) -> float | None:
        """The unit the style's text states; None where it does not."""
        said = self._style.get("units", "").lower()
        if said and said not in _UNITS:
            self._findings.problem(
                f"Units: {quoted(said)} is not understood; METRIC (mm) or ENGLISH (inches) is accepted."
            )
        return _UNITS.get(said)

    def drawn(self, to_cm: Affine) -> Drawn:
        """Every piece with its lines."""
        blocks = [self._block(name, to_cm) for name in self._names]
        sizes = {block.said.get("size", "") for block in blocks}
        self._tell_of_style(blocks, sizes)
        root = Node("dxf", Marks(), "the drawing")
        lines = [line for block in blocks for line in self._piece(block, root, one_size=len(sizes) == 1)]
        self._walk.tell()
        return Drawn(tuple(lines))

    def _texts(self, entities: Iterable[DXFEntity]) -> dict[str, str]:
        """Texts of the form “Key: value” by key, in small letters; the first of each counts."""
        found: dict[str, str] = {}
        for entity in entities:
            match = _KEY.fullmatch(words_of(entity) or "")
            if match:
                found.setdefault(" ".join(match[1].lower().split()), match[2])
        return found

    # --- one block ---------------------------------------------------------------------------------------------

    def _block(self, name: str, to_cm: Affine) -> _Block:
        block = _Block(name)
        layout = self._document.blocks.get(name)
        if layout is None:
            raise DrawingRefused([f"The block {quoted(name)} is not in the drawing."])
        block.said = self._texts(layout)
        for entity, place, _ in self._walk.entities(layout):
            words = words_of(entity)
            if words is not None:
                self._keep_words(block, words)
                continue
            use, holds = layers().get(str(entity.dxf.layer).strip(), ("unknown", ""))
            if use in ("left out", "unknown"):
                block.left_out[holds or f"layer {quoted(entity.dxf.layer)}, which the standard does not have"] += 1
                continue
            block.lines.setdefault(use, []).extend(self._walk.flats(entity, place, to_cm))
        return block

    def _keep_words(self, block: _Block, words: str) -> None:
        if _RULE_NUMBER.match(words):
            block.rules += 1
        elif not _KEY.fullmatch(words):
            self._findings.leave_out("Text that is no “Key: value” of the standard, so not used", quoted(words))

    def _piece(self, block: _Block, root: Node, *, one_size: bool) -> list[Line]:
        marks = self._piece_marks(block, one_size=one_size)
        self._tell_of_block(block, marks.piece or "")
        group = Node("g", marks, quoted(marks.piece or block.name))
        made: list[Line] = []
        outlines = [flat for flat in join_ends(block.lines.get("outline", ())) if len(flat.points) > 1]
        if not any(flat.closed for flat in outlines):
            outlines = [flat for flat in outlines if not block.lines.get("stitch")]
        for use, flats in {**block.lines, "outline": outlines}.items():
            joined = join_ends(flats) if use in ("stitch", "inside") else flats
            made += [self._line(root, group, use, flat, outlines) for flat in joined]
        return made

    def _line(self, root: Node, group: Node, use: str, flat: Flat, outlines: list[Flat]) -> Line:
        kind = {"outline": "cut"}.get(use, use)
        if use == "fold" and not _at_edge(flat, outlines):
            self._findings.note(
                f"{group.where}: its mirror line runs through the middle, so it is taken as drawn whole."
            )
            kind = "inside"
        if use == "stitch" and not flat.closed:
            kind = "inside"
        return Line((root, group, Node("path", Marks(line=kind), "a line")), flat)

    def _piece_marks(self, block: _Block, *, one_size: bool) -> Marks:
        said = block.said
        name = " ".join(said.get("piece name", "").split())[:LONGEST_NAME] or block.name
        size = said.get("size") or None
        material = said.get("material") or None
        cut, pair = self._quantity(name, said.get("quantity", ""))
        return Marks(
            piece=name,
            cut=cut,
            pair=pair,
            size=None if one_size else size,
            material=material,
            named_surely=True,
        )

    def _quantity(self, name: str, said: str) -> tuple[int | None, bool | None]:
        """How many to cut, and whether half of them are mirrored."""
        if _WHOLE.fullmatch(said) and 1 <= int(said) <= MOST_COPIES:
            return int(said), None
        both = _LEFT_AND_RIGHT.fullmatch(said)
        if both and both[1] == both[2] and int(both[1]) > 0:
            self._findings.note(
                f"{quoted(name)}: Quantity: {said} is taken as {both[1]} as drawn and {both[2]} mirrored; check it."
            )
            return 2 * int(both[1]), True
        came = f"Quantity: {quoted(said)}" if said else "no quantity"
        self._findings.note(f"{quoted(name)} has {came}; it is cut once unless you say otherwise.")
        return None, None

    # --- what is worth a word ----------------------------------------------------------------------------------

    def _tell_of_style(self, blocks: list[_Block], sizes: set[str]) -> None:
        known = [f"{word} {quoted(self._style[key])}" for key, word in _OF_STYLE.items() if self._style.get(key)]
        if known:
            self._findings.note(f"An apparel exchange file: {', '.join(known)}.")
        if len(sizes) == 1 and "" not in sizes:
            self._findings.note(f"All its pieces are of size {quoted(*sizes)}; it holds no other.")
        sample, rules = self._style.get("sample size"), sum(block.rules for block in blocks)
        if sample:
            self._findings.note(f"Its sample size is {quoted(sample)}.")
        table = next((self._style[key] for key in self._style if "rule table" in key), "")
        if rules or table:
            self._findings.note(
                f"It can be graded: {rules} points carry a rule number"
                + (f", for the rule table {quoted(table)}" if table else "")
                + "; rule tables are files of their own and are not read, so only the sizes drawn are here."
            )

    def _tell_of_block(self, block: _Block, name: str) -> None:
        for holds, count in block.left_out.items():
            self._findings.leave_out(f"Not used ({holds})", f"{count} in {quoted(name)}")
        for key in block.said.keys() - _KEYS_READ:
            self._findings.leave_out("Texts of a piece that change nothing here", f"{key} {quoted(block.said[key])}")


_KEYS_READ: Final = {"piece name", "size", "quantity", "material"}


def _names_a_piece(said: dict[str, str]) -> bool:
    return "piece name" in said


def _at_edge(fold: Flat, outlines: list[Flat]) -> bool:
    """Whether all the outline lies on one side of the fold."""
    (x0, y0), (x1, y1) = fold.points[0], fold.points[-1]
    length = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
    if length == 0:
        return False
    aside = [((x - x0) * (y1 - y0) - (y - y0) * (x1 - x0)) / length for flat in outlines for x, y in flat.points]
    return min(aside, default=0.0) >= -ON_FOLD_WITHIN_CM or max(aside, default=0.0) <= ON_FOLD_WITHIN_CM
