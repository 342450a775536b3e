"""What the layout tests lay out: the waistcoat of story 5, published outlines, random pieces."""

import json
import math
from concurrent.futures import Future
from pathlib import Path

from hypothesis import strategies as st

from clothwright.layout import Copy, copies
from clothwright.pattern import Piece, rectangle

NESTING = Path(__file__).parents[1] / "published" / "nesting"


def waistcoat() -> tuple[Copy, ...]:
    """Backs, fronts, sides and facings of one waistcoat, all one way. Own invention."""
    pieces = (
        rectangle("back", width_cm=24, length_cm=62, cut=2),
        rectangle("front", width_cm=26, length_cm=64, cut=2),
        rectangle("side", width_cm=12, length_cm=40, cut=2),
        rectangle("facing", width_cm=8, length_cm=64, cut=2),
    )
    return copies(pieces, one_way=True)


def published(name: str) -> tuple[dict, tuple[Copy, ...]]:
    """A file of `tests/published/nesting`, and its pieces as copies that may be turned end for end."""
    facts = json.loads((NESTING / f"{name}.json").read_text(encoding="utf-8"))
    assert all(piece["rotations_deg"] == [0, 180] for piece in facts["pieces"])
    pieces = [Piece(str(p["id"]), tuple((x, y) for x, y in p["polygon"]), cut=p["quantity"]) for p in facts["pieces"]]
    return facts, copies(tuple(pieces), one_way=False)


@st.composite
def rectangles(draw) -> Piece:
    width, length = draw(st.floats(0.5, 30)), draw(st.floats(0.5, 60))
    return rectangle("r", width_cm=width, length_cm=length, cut=draw(st.integers(1, 3)))


@st.composite
def stars(draw) -> Piece:
    """A simple outline of 3 to 9 corners, often with hollows, at most 30 cm across."""
    reach = draw(st.lists(st.floats(1, 15), min_size=3, max_size=9))
    angles = [2 * math.pi * (k + 0.1) / len(reach) for k in range(len(reach))]
    ring = tuple((r * math.cos(a), r * math.sin(a)) for r, a in zip(reach, angles, strict=True))
    return Piece("s", ring, cut=draw(st.integers(1, 2)), pair=draw(st.booleans()), one_way=draw(st.booleans()))


@st.composite
def garments(draw) -> tuple[Copy, ...]:
    """Copies of one to five random pieces; none is wider than 30 cm."""
    pieces = draw(st.lists(st.one_of(rectangles(), stars()), min_size=1, max_size=5))
    named = tuple(piece.renamed(f"{piece.name}{number}") for number, piece in enumerate(pieces))
    return copies(named, one_way=draw(st.booleans()))


class Recording:
    """An executor that notes what it is asked to solve, and answers at once that there is no layout."""

    def __init__(self, *, answering: bool = True) -> None:
        self.asked: list[tuple] = []
        self.futures: list[Future] = []
        self.answering = answering

    def map(self, function, *inputs):
        return map(function, *inputs)

    def submit(self, function, *task):
        self.asked.append((function, *task))
        self.futures.append(Future())
        if self.answering or len(self.futures) == 1:
            self.futures[-1].set_result(None)
        return self.futures[-1]
