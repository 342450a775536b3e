"""Cloths as evidence: the one being planned and every one woven before are blocks of the same unknowns.

Each cloth has eight unknown logarithms (`Step`); what two cloths have in common says how much one tells of the other
(`likeness`). This file says what is known of a cloth: what it is made of (`Making`), what was measured of it
(`SampleMeasured`), and the rows that each measurement gives.

Two unknowns stand outside the cloths: `edge`, the centimetres lost at the edges whatever the width (log ratio = a + c/W,
which is why a narrow strip tells less about a wide cloth), and `waste`.

A sample's measured widths and lengths each carry their own ruler error. The true width in the heddle and the true length
of warp are nuisance unknowns of the sample, so any of the states may be left out. One woven on a card instead of a loom has
three more, for how the card drew in, took up and was beaten otherwise. A part cut from a sample and finished in its own way
is a cloth of its own that begins with the latest size the whole had, so that the loom's work is not counted twice.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from importlib import resources
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

    `typed_log_sd`: log spreads that were typed with a value, by the value's name here. The `traced` sizes are means of an
    outline drawn round the sample. `pick_straight`: one pick drawn out and laid straight, cm. `on_card`: woven on a card
    loom. `cut_from`: the sample this is a part of, finished in its own way.
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
    traced_width_off_loom: float | None = None
    traced_width_finished: float | None = None
    traced_length_off_loom: float | None = None
    traced_length_finished: float | None = None
    pick_straight: float | None = None
    pick_drawn_from: str = "off loom"
    on_card: bool = False
    cut_from: SampleMeasured | None = None


def sample_unknowns(sample: SampleMeasured) -> Belief:
    """The nuisance unknowns of a sample: its true width in the heddle and the warp it used, in log cm; a card's doubts."""
    return independent(own_unknowns(sample))


def own_unknowns(sample: SampleMeasured) -> dict[str, tuple[float, float]]:
    """Mean and spread of each unknown that is the sample's alone, by name: two true sizes, and on a card its three doubts."""
    true = zip(SIDES, first_sizes(sample), strict=True)
    sizes = {true_size(sample, side): (math.log(size or 1.0), UNMEASURED) for side, size in true}
    if not sample.on_card:
        return sizes
    return sizes | {card_doubt(sample, what): (0.0, spread) for what, spread in card_spreads().items()}


#: The two sides of a cloth.
SIDES: Final = ("width", "length")
#: The sizes of a sample by side, first state first.
SIZES_MEASURED: Final = {
    "width": (
        "width_in_heddle",
        "width_on_loom",
        "width_off_loom",
        "traced_width_off_loom",
        "width_finished",
        "traced_width_finished",
    ),
    "length": (
        "warp_used",
        "length_on_loom",
        "length_off_loom",
        "traced_length_off_loom",
        "length_finished",
        "traced_length_finished",
    ),
}


def first_sizes(sample: SampleMeasured) -> tuple[float | None, float | None]:
    """Width and length of a sample, cm, in the first state in which each was measured; a pick alone tells of the width."""
    width, length = (_first(*(getattr(sample, state) for state in SIZES_MEASURED[side])) for side in SIDES)
    return width or sample.pick_straight, length


def card_spreads() -> dict[str, float]:
    """What a card loom does otherwise than a loom, each with the spread of its logarithm."""
    return {what: sample_error(f"card loom: {what}", "log") for what in ("draw-in", "take-up", "beat")}


def card_doubt(sample: SampleMeasured, what: str) -> str:
    """Name of the unknown by which a card loom drew in, took up or was beaten otherwise."""
    return f"{sample.making.key}: card {what}"


def _card(sample: SampleMeasured, *what: str) -> dict[str, float]:
    """The doubts of a card that a row carries; none of a sample woven on a loom."""
    return {card_doubt(sample, one): 1.0 for one in what} if sample.on_card else {}


@cache
def _sample_errors() -> dict[str, dict[str, float]]:
    text = resources.files(__package__).joinpath("sample_errors.toml").read_text(encoding="utf-8")
    return {row["of"]: row for row in tomllib.loads(text)["error"]}


def sample_error(of: str, unit: str) -> float:
    """One standard deviation of a way to measure a sample, in `cm` or as a `log`."""
    return _sample_errors()[of][unit]


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
    yield from _one_pick_rows(sample)


def _width_rows(sample: SampleMeasured) -> Iterator[Measurement]:
    taken = {
        "width_in_heddle": (),
        "width_on_loom": WIDTH_STEPS[:1],
        "width_off_loom": WIDTH_STEPS[:2],
        "traced_width_off_loom": WIDTH_STEPS[:2],
        "width_finished": WIDTH_STEPS,
        "traced_width_finished": WIDTH_STEPS,
    }
    heddle = _first(*(getattr(sample, state) for state in SIZES_MEASURED["width"]))
    for state, steps in taken.items():
        if getattr(sample, state) is not None:
            edge = ({EDGE: 1 / heddle} if heddle else {}) | _card(sample, "draw-in") if steps else {}
            yield _size_row(sample, "width", state, steps, edge, 0.0)


def _length_rows(sample: SampleMeasured) -> Iterator[Measurement]:
    steps = (Step.TAKE_UP, *LENGTH_STEPS)
    taken = {
        "warp_used": steps[:0],
        "length_on_loom": steps[:1],
        "length_off_loom": steps[:2],
        "traced_length_off_loom": steps[:2],
        "length_finished": steps,
        "traced_length_finished": steps,
    }
    for state, through in taken.items():
        if getattr(sample, state) is not None:
            card = _card(sample, "take-up") if through else {}
            yield _size_row(sample, "length", state, through, card, table()["error"]["tension_log"])


def _size_row(
    sample: SampleMeasured, side: str, state: str, steps: Sequence[Step], edge: Mapping[str, float], tension: float
) -> Measurement:
    """A width or length in one state; a spread typed with it stands in place of the ruler's and the tension's."""
    size = getattr(sample, state)
    weights = {true_size(sample, side): 1.0} | {sample.making.unknown(step): 1.0 for step in steps} | dict(edge)
    drawn = sample_error("tracing", "cm") / size if state.startswith("traced") else 0.0
    spread = sample.typed_log_sd.get(state) or math.hypot(drawn or _ruler(size), tension)
    return Measurement(weights, math.log(size), spread, f"{sample.name}: {_in_words(state)} {size:g} cm")


def _in_words(state: str) -> str:
    """`width_finished` as finished width, the others as they read."""
    if state.startswith("traced_"):
        return f"{_in_words(state.removeprefix('traced_'))} traced"
    return " ".join(reversed(state.split("_"))) if state.endswith("finished") else state.replace("_", " ")


def _pick_rows(sample: SampleMeasured) -> Iterator[Measurement]:
    if sample.picks_count is None or not sample.picks_over:
        return
    error = table()["error"]
    over = sample.typed_log_sd.get("picks_over", 0.0)
    spread = math.hypot(error["picks_counted"] / sample.picks_count, error["picks_log"], over)
    weights = picks_weights(sample.making, sample.picks_where) | _card(sample, "beat")
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
    } | _card(sample, "beat", "take-up", "draw-in")
    if sample.weft_used_m is not None:
        value = math.log(100 * sample.weft_used_m)
        yield Measurement(weights, value, sample.weft_error_log, f"{sample.name}: weft used {sample.weft_used_m:.4g} m")
    elif sample.weft_used_g is not None and sample.weft_grist_unknown:
        value = math.log(100 * sample.weft_used_g)
        weights[sample.weft_grist_unknown] = -1.0
        yield Measurement(weights, value, sample.weft_error_log, f"{sample.name}: weft used {sample.weft_used_g:g} g")


def _one_pick_rows(sample: SampleMeasured) -> Iterator[Measurement]:
    """One pick drawn out and laid straight: width in the heddle × yarn per pick."""
    if sample.pick_straight is None:
        return
    weights = {sample.making.unknown(Step.PICK_LENGTH): 1.0, true_size(sample, "width"): 1.0}
    pulled = sample_error("one pick drawn straight", "log")
    washed = sample_error("one pick drawn from washed cloth", "log") if sample.pick_drawn_from == "finished" else 0.0
    typed = sample.typed_log_sd.get("pick_straight") or _ruler(sample.pick_straight)
    what = f"{sample.name}: one pick laid straight {sample.pick_straight:g} cm"
    weights |= _card(sample, "draw-in")
    yield Measurement(weights, math.log(sample.pick_straight), math.hypot(typed, pulled, washed), what)


def _ruler(length_cm: float) -> float:
    """Log spread of a length measured with a ruler."""
    return float(table()["error"]["ruler_cm"]) / length_cm
