"""Cloths as evidence: the one being planned and every one woven before are blocks of the same unknowns.

Each cloth has eight unknown logarithms (`Step`); what two cloths have in common says how much one tells of the other
(`likeness`). This file says what is known of a cloth: what it is made of (`Making`), what was measured of it
(`SampleMeasured`), and the rows that each measurement gives.

Two unknowns stand outside the cloths: `edge`, the centimetres lost at the edges whatever the width (log ratio = a + c/W,
which is why a narrow strip tells less about a wide cloth), and `waste`.

A sample's measured widths and lengths each carry their own ruler error. The true width in the heddle and the true length
of warp are nuisance unknowns of the sample, so any of the states may be left out.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from clothwright.evidence.belief import Belief, Measurement, independent
from clothwright.evidence.priors import LENGTH_STEPS, WIDTH_STEPS, Step, table

EDGE: Final = "edge"
#: Log spread of a sample's true width or length before it is measured: as good as unknown.
UNMEASURED: Final = 1.0


@dataclass(frozen=True)
class Making:
    """What a cloth is made of and how. `key` names it among the unknowns; setts per cm; diameters in mm.

    `sett_known`: whether its sett against the advised one was told; else nothing is shared with other cloths by sett.
    """

    key: str
    warp: str
    weft: str
    fibre: str
    finish: str
    structure: str
    ends_per_cm: float
    advised_ends_per_cm: float
    warp_mm: float
    weft_mm: float
    weaver: str = ""
    loom: str = ""
    sett_known: bool = True

    def unknown(self, step: Step) -> str:
        """The name of one of this cloth's unknowns."""
        return f"{self.key}: {step}"

    @property
    def relative_sett(self) -> float:
        """Ends per cm against what the yarn and structure ask for."""
        return self.ends_per_cm / self.advised_ends_per_cm


@dataclass(frozen=True)
class SampleMeasured:
    """What was measured of a woven cloth; lengths in cm, any left out.

    `typed_log_sd`: log spreads that were typed with a value, by the value's name here.
    """

    making: Making
    width_in_heddle: float | None = None
    width_on_loom: float | None = None
    width_off_loom: float | None = None
    width_finished: float | None = None
    warp_used: float | None = None
    length_on_loom: float | None = None
    length_off_loom: float | None = None
    length_finished: float | None = None
    picks_count: float | None = None
    picks_over: float | None = None
    picks_where: str = "on loom"
    weft_used_m: float | None = None
    weft_used_g: float | None = None
    weft_grist_unknown: str | None = None
    weft_error_log: float = 0.01
    name: str = ""
    typed_log_sd: Mapping[str, float] = field(default_factory=dict)


def sample_unknowns(sample: SampleMeasured) -> Belief:
    """The nuisance unknowns of a sample: its true width in the heddle and the warp it used, in log cm."""
    width, length = first_sizes(sample)
    return independent(
        {
            true_size(sample, "width"): (math.log(width or 1.0), UNMEASURED),
            true_size(sample, "length"): (math.log(length or 1.0), UNMEASURED),
        }
    )


def first_sizes(sample: SampleMeasured) -> tuple[float | None, float | None]:
    """Width and length of a sample, cm, in the first state in which each was measured."""
    return (
        _first(sample.width_in_heddle, sample.width_on_loom, sample.width_off_loom, sample.width_finished),
        _first(sample.warp_used, sample.length_on_loom, sample.length_off_loom, sample.length_finished),
    )


def _first(*values: float | None) -> float | None:
    return next((value for value in values if value is not None), None)


def true_size(sample: SampleMeasured, side: str) -> str:
    """Name of the unknown true width in the heddle, or warp used, of a sample."""
    return f"{sample.making.key}: true {side}"


def measured_rows(sample: SampleMeasured) -> Iterator[Measurement]:
    """The rows a sample gives, first state first."""
    yield from _width_rows(sample)
    yield from _length_rows(sample)
    yield from _pick_rows(sample)
    yield from _weft_rows(sample)


def _width_rows(sample: SampleMeasured) -> Iterator[Measurement]:
    taken = {
        "width_in_heddle": (),
        "width_on_loom": WIDTH_STEPS[:1],
        "width_off_loom": WIDTH_STEPS[:2],
        "width_finished": WIDTH_STEPS,
    }
    heddle = _first(*(getattr(sample, state) for state in taken))
    for state, steps in taken.items():
        if getattr(sample, state) is not None:
            edge = {EDGE: 1 / heddle} if steps and heddle else {}
            yield _size_row(sample, "width", state, steps, edge, 0.0)


def _length_rows(sample: SampleMeasured) -> Iterator[Measurement]:
    steps = (Step.TAKE_UP, *LENGTH_STEPS)
    taken = {
        "warp_used": steps[:0],
        "length_on_loom": steps[:1],
        "length_off_loom": steps[:2],
        "length_finished": steps,
    }
    for state, through in taken.items():
        if getattr(sample, state) is not None:
            yield _size_row(sample, "length", state, through, {}, table()["error"]["tension_log"])


def _size_row(
    sample: SampleMeasured, side: str, state: str, steps: Sequence[Step], edge: Mapping[str, float], tension: float
) -> Measurement:
    """A width or length in one state; a spread typed with it stands in place of the ruler's and the tension's."""
    size = getattr(sample, state)
    weights = {true_size(sample, side): 1.0} | {sample.making.unknown(step): 1.0 for step in steps} | dict(edge)
    spread = sample.typed_log_sd.get(state) or math.hypot(_ruler(size), tension)
    return Measurement(weights, math.log(size), spread, f"{sample.name}: {_in_words(state)} {size:g} cm")


def _in_words(state: str) -> str:
    """`width_finished` as finished width, the others as they read."""
    return " ".join(reversed(state.split("_"))) if state.endswith("finished") else state.replace("_", " ")


def _pick_rows(sample: SampleMeasured) -> Iterator[Measurement]:
    if sample.picks_count is None or not sample.picks_over:
        return
    error = table()["error"]
    over = sample.typed_log_sd.get("picks_over", 0.0)
    spread = math.hypot(error["picks_counted"] / sample.picks_count, error["picks_log"], over)
    weights = picks_weights(sample.making, sample.picks_where)
    density = sample.picks_count / sample.picks_over
    yield Measurement(weights, math.log(density), spread, f"{sample.name}: {density:.2f} picks per cm")


def picks_weights(making: Making, where: str) -> dict[str, float]:
    """The unknowns that a pick count sums: counted off the loom or finished, the cloth has shortened since."""
    weights = {making.unknown(Step.PICKS): 1.0}
    shortened = {"on loom": (), "off loom": LENGTH_STEPS[:1], "finished": LENGTH_STEPS}[where]
    return weights | {making.unknown(step): -1.0 for step in shortened}


def _weft_rows(sample: SampleMeasured) -> Iterator[Measurement]:
    """Weft used = picks × length on loom × width in heddle × yarn per pick, in metres or by weight."""
    making = sample.making
    weights = {
        making.unknown(Step.PICKS): 1.0,
        making.unknown(Step.TAKE_UP): 1.0,
        making.unknown(Step.PICK_LENGTH): 1.0,
        true_size(sample, "width"): 1.0,
        true_size(sample, "length"): 1.0,
    }
    if sample.weft_used_m is not None:
        value = math.log(100 * sample.weft_used_m)
        yield Measurement(weights, value, sample.weft_error_log, f"{sample.name}: weft used {sample.weft_used_m:g} m")
    elif sample.weft_used_g is not None and sample.weft_grist_unknown:
        value = math.log(100 * sample.weft_used_g)
        weights[sample.weft_grist_unknown] = -1.0
        yield Measurement(weights, value, sample.weft_error_log, f"{sample.name}: weft used {sample.weft_used_g:g} g")


def _ruler(length_cm: float) -> float:
    """Log spread of a length measured with a ruler."""
    return float(table()["error"]["ruler_cm"]) / length_cm
