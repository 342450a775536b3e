"""A sample first, in words: what to wind, weave and measure, what it would tell, and what each heddle would take."""

from __future__ import annotations

from typing import Final

from clothwright.measure import Interval
from clothwright.planning import Doubtful, On, SampleChoice, SampleFirst, Section, Verdict
from clothwright.sheets.doubts import narrows_words
from clothwright.sheets.wording import LENGTH, VERDICTS, WEIGHT, YARN, Rounding, chances, counted

UP: Final = Rounding.UP
BESIDE_HEAD: Final = (
    "Sample",
    "Yarn",
    "Work",
    "Chance that the verdict is definite then",
    "Of the doubt it takes away",
)
HEDDLES_HEAD: Final = (
    "Heddle",
    "Ends",
    "Warp length",
    "Yarn it takes",
    "Chance that it lasts",
    "Definite after the sample",
)
DOUBT_HEAD: Final = ("In doubt", "Now, nine times in ten", "As far apart as after the sample")


def headline(answer: SampleFirst, *, imperial: bool) -> str:
    """The sample in a sentence."""
    return f"{_sizes(answer.choice, imperial)}."


def tells(answer: SampleFirst, *, imperial: bool) -> list[str]:
    """What the sample would tell, in sentences."""
    choice = answer.choice
    takes = (
        f"It takes {costs(choice, imperial=imperial)} and {choice.sample.minutes} minutes of work, drying not counted."
    )
    now = f"Now: {VERDICTS[answer.verdict].lower()}, {chances(answer.chance_enough)} that the yarn lasts."
    standing = "" if answer.verdict == Verdict.TOO_CLOSE else " too; else it is open again"
    then = f"With the sample: {chances(choice.settles)} that the verdict is definite then{standing}."
    saved = YARN.text(choice.saves_m, imperial=imperial, rounding=Rounding.DOWN)
    said = f"Being surer, the plan would take about {saved} less on average, at the same trust in the size."
    return [takes, now, then, *([said] if choice.saves_m > 1 else [])]


def costs(choice: SampleChoice, *, imperial: bool) -> str:
    """The yarn of a sample, in all and by warp and weft."""
    sample = choice.sample
    metres = YARN.text(sample.metres, imperial=imperial, rounding=UP)
    warp, weft = (WEIGHT.text(one, imperial=imperial, rounding=UP) for one in (sample.warp_g, sample.weft_g))
    return f"{metres} of yarn ({warp} warp, {weft} weft)"


def steps(answer: SampleFirst, finish: str, *, imperial: bool) -> list[str]:
    """What to do, one step after another."""
    sample = answer.choice.sample
    heading = LENGTH.text(sample.heading_cm, imperial=imperial)
    washed = f" ({finish})" if finish else ""
    return [
        _card_step(answer, imperial) if sample.on == On.CARD else _loom_step(answer, imperial),
        "Measure off the weft before you begin and what is left after, or weigh both to 0.1 g, for each section.",
        f"Weave {heading} first, lay in a thread of another colour, weave the length to be measured, lay in another, weave "
        f"{heading} more. Beat as you mean to beat the cloth.",
        "Before taking it off: width in the middle, length between the coloured threads, and count the picks between them.",
        *(_change_step(one, imperial) for one in sample.sections[1:] if sample.on == On.LOOM),
        "Take it off, let it rest overnight, measure width and length again.",
        f"Wash, dry and press it as the cloth will be{washed}, and measure once more. Draw round it before and after, so "
        "that a slip of the ruler shows.",
        "Write all of it down under Samples, each state in its place; what was not measured can be left out.",
    ]


def _loom_step(answer: SampleFirst, imperial: bool) -> str:
    sample = answer.choice.sample
    long = LENGTH.text(sample.warp_cm, imperial=imperial, rounding=UP)
    first = sample.first
    return f"Wind {sample.ends} ends of {long} and thread them in the {first.heddle} heddle: {_width(first, imperial)} wide."


def _change_step(one: Section, imperial: bool) -> str:
    return (
        f"Cut the woven section off, thread the same ends in the {one.heddle} heddle ({_width(one, imperial)} wide), tie on "
        "again, weave and measure in the same way."
    )


def _card_step(answer: SampleFirst, imperial: bool) -> str:
    sample = answer.choice.sample
    long = LENGTH.text(sample.warp_cm, imperial=imperial, rounding=UP)
    notches = (
        f"{counted(one.ends, 'notch', 'notches')} as {one.heddle}, ten of them in "
        f"{LENGTH.text(10 / one.ends_per_cm, imperial=imperial)}"
        for one in sample.sections
    )
    return (
        f"Cut a stiff card {long} long, with notches at both ends: {' and beside them '.join(notches)}. Wind the warp from "
        "notch to notch, as tight as on the loom, and weave with a needle."
    )


def _width(one: Section, imperial: bool) -> str:
    return LENGTH.text(one.width_in_heddle_cm, imperial=imperial)


def _sizes(choice: SampleChoice, imperial: bool) -> str:
    """Where a sample is woven, and each section's size."""
    where = "On a card" if choice.sample.on == On.CARD else "On a small warp"
    sizes = (
        f"{LENGTH.text(one.width_in_heddle_cm, imperial=imperial)} wide and {LENGTH.text(one.woven_cm, imperial=imperial)} "
        f"woven at {one.heddle}"
        for one in choice.sample.sections
    )
    return f"{where}, {' and '.join(sizes)}"


def beside_rows(answer: SampleFirst, *, imperial: bool) -> list[list[str]]:
    """The sample taken and those beside it, least yarn first."""
    every = sorted((answer.choice, *answer.beside), key=lambda one: one.sample.metres)
    return [
        [
            ("▶ " if one is answer.choice else "") + _sizes(one, imperial),
            costs(one, imperial=imperial),
            f"{one.sample.minutes} minutes",
            chances(one.settles),
            narrows_words(one.narrows_margin, one.narrows_width, one.narrows_length),
        ]
        for one in every
    ]


def heddle_rows(answer: SampleFirst, *, imperial: bool) -> list[list[str]]:
    """What the project would take at each heddle, at the same trust."""
    return [
        [
            f"{one.heddle}{' (planned)' if one.planned else ''}{', sampled' if one.sampled else ''}",
            str(one.ends),
            LENGTH.text(one.warp_cm, imperial=imperial, rounding=UP),
            YARN.text(one.yarn_m, imperial=imperial, rounding=UP),
            f"{chances(one.chance_enough)}: {VERDICTS[one.verdict].lower()}",
            chances(one.settles),
        ]
        for one in answer.heddles
    ]


def doubt_rows_of(answer: SampleFirst, *, imperial: bool) -> list[list[str]]:
    """Each figure in doubt, now and after the sample."""
    now, after = (_figures(one) for one in (answer.now, answer.after))
    kinds = (YARN, LENGTH, LENGTH)
    return [
        [what, kind.range(now[what], imperial=imperial), kind.range(after[what], imperial=imperial)]
        for what, kind in zip(now, kinds, strict=True)
    ]


def _figures(one: Doubtful) -> dict[str, Interval]:
    return {
        "Left over (below nothing: missing)": one.margin_m,
        "Finished width": one.finished_width_cm,
        "Finished length": one.finished_length_cm,
    }
