"""Copies as the solver is given them: grown by half the gap, and with every turn that the grain's tolerance allows."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from clothwright.layout.area import measured
from clothwright.layout.arrangement import Copy, Layout, Placed, turn
from clothwright.layout.contact import Floats
from clothwright.layout.rules import Rules
from clothwright.layout.tightening import grown


@dataclass(frozen=True)
class StandIns:
    """Copies that stand in for others on a strip of `width_cm`, and the way back to those."""

    copies: tuple[Copy, ...]
    width_cm: float
    originals: tuple[Copy, ...]
    cloth_cm: float
    gap_cm: float

    def back(self, layout: Layout) -> Layout:
        """The layout of the copies themselves."""
        if self.gap_cm <= 0:
            return measured(self.originals, self.cloth_cm, layout.placed)
        by_name = {(copy.piece, copy.number): copy for copy in self.originals}
        placed = tuple(self._inside(by_name[p.piece, p.copy], p) for p in layout.placed)
        return measured(self.originals, self.cloth_cm, placed)

    def forth(self, layout: Layout) -> tuple[Placed, ...]:
        """Where the stand-ins of a layout's copies lie."""
        by_name = {(copy.piece, copy.number): copy for copy in self.originals}
        return tuple(self._around(by_name[p.piece, p.copy], p) for p in layout.placed)

    def _around(self, copy: Copy, p: Placed) -> Placed:
        x, y = np.array([p.x_cm, p.y_cm]) - self._inner(copy, p) + self.gap_cm / 2
        return replace(p, x_cm=float(x), y_cm=float(y))

    def _inner(self, copy: Copy, p: Placed) -> Floats:
        """How far the box of a copy, as it lies, begins inside that of its stand-in."""
        if self.gap_cm <= 0:
            return np.zeros(2)
        degrees = math.radians(p.rotation_deg)
        rotate = np.array([[math.cos(degrees), -math.sin(degrees)], [math.sin(degrees), math.cos(degrees)]])
        outline = np.asarray(copy.outline)
        box = (outline @ rotate.T).min(axis=0)
        return np.asarray(box - (grown(outline, self.gap_cm / 2) @ rotate.T).min(axis=0))

    def _inside(self, copy: Copy, p: Placed) -> Placed:
        """A copy in the middle of its stand-in, moved between the selvedges by the hair that rounding may ask."""
        x, y = np.array([p.x_cm, p.y_cm]) + self._inner(copy, p) - self.gap_cm / 2
        most = self.cloth_cm - max(up for _, up in turn(copy.outline, p.rotation_deg))
        return replace(p, x_cm=max(0.0, float(x)), y_cm=min(max(0.0, float(y)), max(0.0, most)))


def stand_ins(copies: tuple[Copy, ...], width_cm: float, rules: Rules) -> StandIns:
    """What the solver is given to pack for these copies on cloth of `width_cm`."""
    standing = tuple(replace(copy, outline=_ring(copy, rules), turns_deg=_turns(copy, rules)) for copy in copies)
    return StandIns(standing, width_cm + rules.gap_cm, copies, width_cm, rules.gap_cm)


def _ring(copy: Copy, rules: Rules) -> tuple[tuple[float, float], ...]:
    if rules.gap_cm <= 0:
        return copy.outline
    ring = grown(np.asarray(copy.outline), rules.gap_cm / 2)
    return tuple((float(x), float(y)) for x, y in ring - ring.min(axis=0))


def _turns(copy: Copy, rules: Rules) -> tuple[float, ...]:
    """The turns the rules allow, and as far either way as the grain bears."""
    off = rules.grain_tolerance_deg
    turns = rules.turns_deg(copy) or copy.turns_deg
    return tuple(t + by for t in turns for by in ((0.0, off, -off) if off else (0.0,)))
