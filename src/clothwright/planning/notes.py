"""What a plan says beside its numbers: what it took for granted, what it asks about, what is missing."""

from __future__ import annotations

from collections.abc import Iterator

from clothwright.evidence import POOLED, fibre_group
from clothwright.measure import Rung
from clothwright.planning.job import Job, sett_candidates
from clothwright.planning.sums import Figures
from clothwright.project.document import SamplePart
from clothwright.yarn import Fitness, usual_folding_words, verdict

_SMALL_SAMPLE_WIDTH_CM = 15.0
_SHORT_SAMPLE_CM = 25.0


def notes(job: Job, known: Figures, questions: tuple[str, ...] = ()) -> tuple[str, ...]:
    """Every note of a plan whose ratios are `known` so, questions first."""
    return (
        *questions,
        *job.notes,
        *_unsampled(known),
        *_decided(job),
        *_samples(job),
        *_yarn(job),
        *_heddle_trials(job),
        *_heddle(job),
    )


def _unsampled(known: Figures) -> Iterator[str]:
    """What stands on a rule of thumb."""
    guessed = {
        "width": known.width_ratio,
        "length": known.length_ratio,
        "warp take-up": known.woven_of_warp,
        "picks": known.picks_on_loom,
        "weft take-up": known.pick_length,
    }
    missing = [word for word, figure in guessed.items() if figure.rung == Rung.RULE_OF_THUMB]
    if missing:
        yield f"Provisional: no sample says {', '.join(missing)}; the plan stands on rules of thumb there."


def _decided(job: Job) -> Iterator[str]:
    """Spreads typed with what is decided, not measured: a plan is made for one figure."""
    want, cloth, pattern = job.project.want, job.project.cloth, job.project.pattern
    decided = {
        "the width wanted": want.width if want else None,
        "the length wanted": want.length if want else None,
        "the on-warp sample": cloth.on_warp_sample,
        "the seam allowance": pattern.seam_allowance if pattern else None,
        "the squaring": pattern.squaring if pattern else None,
        "the selvedge trim": pattern.selvedge_trim if pattern else None,
        "the weaving width": job.loom.weaving_width,
    }
    for what, length in decided.items():
        if length is not None and length.has_spread:
            yield f"{what.capitalize()} “{length}” is taken as {length.cm:g} cm; a spread has no use there."


def _samples(job: Job) -> Iterator[str]:
    for sample in job.project.sample:
        yield from _sample(sample)
        yield from _by_proportion(job, sample)


def _sample(sample: SamplePart) -> Iterator[str]:
    width, length = sample.width.in_heddle, sample.length.on_loom
    if width and width.cm < _SMALL_SAMPLE_WIDTH_CM:
        yield f"{sample.name} is {width} wide: a strip under 15 cm tells little about a wide cloth."
    if length and length.cm < _SHORT_SAMPLE_CM - 1e-9 and length.cm < 20:
        yield f"{sample.name} is {length} long: 2 mm misread on it is {20 / length.cm:.1f} %."
    unsaid = [word for word, given in (("picks", sample.picks), ("how it was washed", sample.finish)) if not given]
    if unsaid:
        yield f"{sample.name} does not say {' nor '.join(unsaid)}."


def _by_proportion(job: Job, sample: SamplePart) -> Iterator[str]:
    """A past warp scaled by proportion scales the waste too, and is wrong by this much."""
    length = sample.length
    if not (job.wanted and length.wound and length.waste and length.finished):
        return
    ratio = (length.wound.cm - length.waste.cm) / length.finished.cm
    right = job.wanted.length_cm * ratio + length.waste.cm
    scaled = length.wound.cm * job.wanted.length_cm / length.finished.cm
    short = "too short" if scaled < right else "too long"
    yield (
        f"{sample.name}: {ratio:.2f} of warp for 1 finished, and {length.waste} waste once. Scaled by proportion the "
        f"warp would be {scaled:.0f} cm, {abs(scaled - right):.0f} cm {short} against {right:.0f} cm."
    )


def _yarn(job: Job) -> Iterator[str]:
    for lot in {lot.name: lot for lot in (*job.yarns.warp, *job.yarns.weft)}.values():
        if not lot.washed and lot.wash_test:
            yield f"{lot.name} was measured before washing; the plan goes by your test skein. {lot.wash_test.told}."
        elif not lot.washed:
            yield f"{lot.name} was measured before washing: up to a fifth of its metres may vanish in the first wash."
        if lot.washed and lot.wash_test:
            yield f"{lot.name} counts as measured washed, so its washing test is not used; if it was not, say unwashed."
        if any(ball.core_unknown for ball in lot.balls):
            yield f"{lot.name} was weighed with a core nobody weighed; 12 g to 2 oz of it is taken as not yarn."
        if lot.folding_left_out:
            yield (
                f"{lot.name}: {', '.join(lot.folding_left_out)} is the number of its strands. Folding shortens them, "
                f"{usual_folding_words()} (from memory of the trade), and that is reckoned with, apart, as a range. "
                "Weigh 10 m of it, or write its measured number after it, as ; R 69.3 tex."
            )
        if not lot.fibre:
            yield f"{lot.name}: no fibre is given; what is usual for all fibres together is taken."
        elif fibre_group(lot.fibre) == POOLED:
            yield f"{lot.name}: “{lot.fibre}” is no fibre of the table; what is usual for all fibres together is taken."


def _heddle_trials(job: Job) -> Iterator[str]:
    """A yarn planned for the warp that its trial in the heddle does not call fit for it."""
    for lot in job.yarns.warp:
        found = verdict(lot.heddle_trial) if lot.heddle_trial else None
        if found and found.fitness in (Fitness.WEFT_ONLY, Fitness.SIZE_FIRST):
            yield f"{lot.name} is planned for the warp, and your trial in the heddle says: {found.told}"


def _heddle(job: Job) -> Iterator[str]:
    if job.project.cloth.heddle is None:
        others = ", ".join(heddle.name for heddle, _ in sett_candidates(job.as_typed, job.yarns)[1:])
        tail = f"; the others are {others}" if others else ""
        yield f"The {job.heddle.name} heddle comes nearest to what this yarn asks for{tail}. Sample at it."
