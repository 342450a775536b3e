"""How a colour order is said: on the page, on paper and by the command alike."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from clothwright.colours import HandRun, LengthTried, first_ends, least_left
from clothwright.planning import BallLine, ColourPlan, Warped
from clothwright.planning.colours.colour_answer import StripeLine
from clothwright.sheets.translating import ENGLISH, Language
from clothwright.sheets.wording import LENGTH, THREADS, YARN, Rounding, chances, counted, literal


@dataclass(frozen=True)
class ToldRun:
    """A run as pages and sheets list it: `first` and `last` end counted from the first selvedge, `ball` in words."""

    number: int
    yarn: str
    ends: int
    first: int
    last: int
    ball: str
    held: bool


def told_runs(runs: Iterable[HandRun]) -> list[ToldRun]:
    """Every run with its ends and the count so far."""
    runs = tuple(runs)
    return [
        ToldRun(
            number,
            literal(run.yarn),
            run.ends,
            first,
            first + run.ends - 1,
            f"ball {run.ball}" if run.ball else "",
            run.held,
        )
        for number, (run, first) in enumerate(zip(runs, first_ends(runs), strict=True))
    ]


def turn_word(answer: ColourPlan, count: int = 2) -> str:
    """What a turn is called: a pair where the warp is wound direct, else an end."""
    return ("pair" if answer.turn_ends == 2 else "end") + ("" if count == 1 else "s")


def check_sum(warp: Warped, *, imperial: bool, says: Language = ENGLISH) -> str:
    """Ends over the sett as the width to be measured in the heddle; the ends alone where the sett is not known."""
    width = warp.width_in_heddle_cm
    if width is None or warp.ends_per_cm is None:
        return says.several("{number} end in all.", "{number} ends in all.", warp.ends)
    sett, wide = THREADS.text(warp.ends_per_cm, imperial=imperial), LENGTH.text(width, imperial=imperial)
    ends = says.several("{number} end", "{number} ends", warp.ends)
    return says(
        "{ends} at {sett} = {width}: measure it in the heddle.",
        ends=ends,
        sett=says.figure(sett),
        width=says.figure(wide),
    )


BALLS_HEAD = ["Yarn", "Ball", "There is", "Gives", "Sure", "Used", "Left", "Lasts"]


def ball_rows(answer: ColourPlan, *, imperial: bool) -> list[list[str]]:
    """Each ball: what there is, what it gives and what is left, in words."""
    return [_ball_row(answer, line, imperial) for line in answer.balls]


def _ball_row(answer: ColourPlan, line: BallLine, imperial: bool) -> list[str]:
    left = YARN.text(max(0.0, line.left_m), imperial=imperial, rounding=Rounding.DOWN)
    return [
        literal(line.yarn),
        str(line.number),
        YARN.text(line.have_m.expected, imperial=imperial, rounding=Rounding.DOWN),
        f"{line.capacity} {turn_word(answer, line.capacity)}",
        str(line.sure),
        str(line.used),
        left,
        chances(line.chance_lasts) if line.used else "not used",
    ]


def balls_sum(answer: ColourPlan, *, imperial: bool) -> str:
    """What all balls give, what is used, and what is left, added up."""
    gives, used = sum(one.capacity for one in answer.balls), sum(one.used for one in answer.balls)
    left = YARN.text(max(0.0, sum(one.left_m for one in answer.balls)), imperial=imperial, rounding=Rounding.DOWN)
    return (
        f"All balls give {gives} {turn_word(answer, gives)}; {used} {'is' if used == 1 else 'are'} used; {left} of yarn are left. "
        f"{chances(answer.chance_balls_last).capitalize()} that every ball lasts."
    )


LENGTHS_HEAD = ["Warp length ↕", "In all", "Left unused", ""]
WARPS_HEAD = ["Warps", "Each long ↕", "In all", "Left unused", ""]


def length_rows(answer: ColourPlan, *, imperial: bool) -> list[list[str]]:
    """Warp lengths beside the one planned: what the balls would give, and what of them no turn could use."""
    return [_length_row(answer, one, answer.lengths, imperial) for one in answer.lengths]


def warps_rows(answer: ColourPlan, *, imperial: bool) -> list[list[str]]:
    """The same cloth from one warp, two and three."""
    return [[str(one.warps), *_length_row(answer, one, answer.parted, imperial)] for one in answer.parted]


def _length_row(answer: ColourPlan, one: LengthTried, every: Sequence[LengthTried], imperial: bool) -> list[str]:
    mark = "▶ " if abs(one.warp_cm - answer.warp.warp_cm) < 0.5 and one.warps == 1 else ""
    left = YARN.text(one.left_m, imperial=imperial, rounding=Rounding.UP)
    short = one.needed - one.turns
    said = f"{short} too few" if short > 0 else "leaves least" if one == least_left(every) else ""
    return [
        f"{mark}{LENGTH.text(one.warp_cm, imperial=imperial)}",
        f"{one.turns} {turn_word(answer, one.turns)}",
        left,
        said,
    ]


def change_sentences(answer: ColourPlan) -> Iterator[str]:
    """Which ends had to change, and to what."""
    for one in answer.changes:
        yield f"Ends {one.first} to {one.last}: {literal(one.was)} becomes {literal(one.now)}."


def in_words(runs: Iterable[HandRun]) -> str:
    """The order as one sentence, for reading aloud."""
    return ", ".join(f"{run.ends} {literal(run.yarn)}" for run in runs) + "."


def stripe_sentence(one: StripeLine, *, imperial: bool) -> str:
    """A stripe: what was drawn, its whole ends, and what it finishes at."""
    drawn, made = (LENGTH.text(cm, imperial=imperial) for cm in (one.drawn_cm, one.finished_cm))
    return f"{literal(one.yarn)}: {drawn} drawn, {counted(one.ends, 'end')}, finishes at {made}."
