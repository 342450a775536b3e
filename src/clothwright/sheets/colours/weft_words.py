"""How a weft order is said: on the page, on paper and by the command alike."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from clothwright.planning import Keeping, WeftAnswer
from clothwright.planning.colours.weft_answer import JoinLine, WeftRunLine
from clothwright.sheets.wording import LENGTH, THREADS, YARN, Rounding, chances, counted, literal

AFTER: Final = {
    "join": "runs out: join the next",
    "carry": "carry it up the side",
    "cut": "cut and tuck in",
    "end": "the last",
}
LIES: Final = {
    "one after another": "one yarn after another",
    "turn about": "turn about, on two shuttles",
    "at random": "drawn at random under the rules",
    "stripes": "in stripes",
    "kept": "as kept in the project",
}


def weft_sum(answer: WeftAnswer, *, imperial: bool) -> str:
    """How many picks, how close, how long they take, and what lies in which way."""
    weft = answer.wefted
    picks = sum(run.picks for run in answer.order)
    close = f" at {THREADS.text(weft.picks_per_cm, imperial=imperial)} on the loom" if weft.picks_per_cm else ""
    long = _lengths(weft.loom_cm(picks), weft.finished_cm_of(picks), imperial)
    each = LENGTH.text(100 * weft.pick_m, imperial=imperial, rounding=Rounding.UP)
    return f"{counted(picks, 'pick')}{close}{f' = {long}' if long else ''}; each takes {each} of yarn; {LIES[answer.lies]}."


def _lengths(on_loom: float | None, finished: float | None, imperial: bool) -> str:
    if on_loom is None:
        return ""
    said = f"{LENGTH.text(on_loom, imperial=imperial)} on the loom"
    return f"{said}, {LENGTH.text(finished, imperial=imperial)} finished" if finished is not None else said


RUNS_HEAD: Final = ["Picks", "Yarn", "Ball", "From, to", "Begins on the loom ↕", "finished ↕", "Then"]


def run_rows(answer: WeftAnswer, *, imperial: bool) -> list[list[str]]:
    """Each run of one ball: its picks, where it begins on the loom and finished, and what is done after it."""
    return [_run_row(run, imperial) for run in answer.order]


def _run_row(run: WeftRunLine, imperial: bool) -> list[str]:
    return [
        str(run.picks),
        literal(run.yarn),
        str(run.ball),
        f"{run.first}–{run.last}",
        _cm(run.begins_on_loom_cm, imperial),
        _cm(run.begins_finished_cm, imperial),
        AFTER[run.after] + (", held" if run.held else ""),
    ]


def _cm(cm: float | None, imperial: bool) -> str:
    return "–" if cm is None else LENGTH.text(cm, imperial=imperial)


def join_sentences(answer: WeftAnswer, *, imperial: bool) -> list[str]:
    """Every place where a ball runs out, with both yarns."""
    return [_join_sentence(join, imperial) for join in answer.joins]


def _join_sentence(join: JoinLine, imperial: bool) -> str:
    where = _lengths(join.on_loom_cm, join.finished_cm, imperial)
    between = join.between_on_loom_cm
    spread = (
        f" Nine times in ten it comes between {LENGTH.text(between[0], imperial=imperial)} and "
        f"{LENGTH.text(between[1], imperial=imperial)} on the loom."
        if between and between[1] > between[0]
        else ""
    )
    return (
        f"After pick {join.pick}{f', {where}' if where else ''}: ball {join.ball} of {literal(join.yarn)} has run out; "
        f"join ball {join.next_ball} of {literal(join.next_yarn)}.{spread}"
    )


BALLS_HEAD: Final = ["Yarn", "Ball", "For the weft", "Picks", "Takes", "Left", "Lasts"]


def ball_rows(answer: WeftAnswer, *, imperial: bool) -> list[list[str]]:
    """Each ball of the weft: what the warp leaves of it, what is woven, and whether its yarn lasts."""
    return [
        [
            literal(line.yarn),
            str(line.number),
            YARN.text(line.have_m.expected, imperial=imperial, rounding=Rounding.DOWN),
            str(line.picks),
            YARN.text(line.need_m, imperial=imperial, rounding=Rounding.UP),
            YARN.text(max(0.0, line.left_m), imperial=imperial, rounding=Rounding.DOWN),
            "not used" if not line.picks else "runs out" if line.runs_out else chances(line.chance_lasts),
        ]
        for line in answer.balls
    ]


def lasts_sentence(answer: WeftAnswer) -> str:
    """How sure it is that the weft's yarn lasts."""
    return f"{chances(answer.chance_balls_last).capitalize()} that the yarn of the weft lasts."


def stripe_sentences(answer: WeftAnswer, *, imperial: bool) -> Iterator[str]:
    """Every stripe as drawn and in picks, the repeat, and how many make the cloth."""
    for one in answer.stripes:
        drawn, made = (LENGTH.text(cm, imperial=imperial) for cm in (one.drawn_cm, one.finished_cm))
        yield f"{literal(one.yarn)}: {drawn} drawn, {one.exact_picks:.1f} picks, woven as {one.picks}, finishes at {made}."
    if answer.repeat:
        each, every = (
            f"{cm:.2f} cm" if not imperial else LENGTH.text(cm, imperial=True)
            for cm in (answer.repeat.finished_cm, answer.repeat.all_finish_cm)
        )
        way = "reads the same from both ends" if answer.even else "is another from either end"
        yield (
            f"The repeat: {counted(answer.repeat.threads, 'pick')}, finishes at {each}; {counted(answer.repeat.number, 'repeat')} "
            f"finish at {every}. It {way}."
        )


def keeping_sentences(keeping: Keeping, *, imperial: bool) -> list[str]:
    """Which balls to keep for the weft, and what that saves."""
    kept = [one for one in keeping.balls if one.keep]
    wants = YARN.text(keeping.weft_wants_m, imperial=imperial, rounding=Rounding.UP)
    if keeping.weft_wants_m <= 0:
        return ["The yarns that are only for the weft are enough for it: every other ball may go into the warp."]
    if not kept:
        return [f"The weft wants {wants} beside its own yarns; the warp can spare no whole ball."]
    names = ", ".join(f"{literal(one.yarn)} ball {one.ball}" for one in kept)
    have = YARN.text(keeping.kept_m, imperial=imperial, rounding=Rounding.DOWN)
    over, less = (
        YARN.text(m, imperial=imperial, rounding=Rounding.UP) for m in (keeping.over_m, keeping.over_if_kept_m)
    )
    return [
        f"The weft wants {wants} beside its own yarns. Best kept for it: {names}, {have}. These balls would leave the most over "
        f"in the warp: {over} with every ball wound into it, {less} without these."
    ]


KEEPING_HEAD: Final = ["Yarn", "Ball", "There is", "In the warp", "over there", "Or picks in the weft", "Best kept"]


def keeping_rows(keeping: Keeping, *, imperial: bool) -> list[list[str]]:
    """Each ball each way."""
    return [
        [
            literal(one.yarn),
            str(one.ball),
            YARN.text(one.have_m, imperial=imperial, rounding=Rounding.DOWN),
            YARN.text(one.warp_m, imperial=imperial, rounding=Rounding.DOWN),
            YARN.text(one.warp_over_m, imperial=imperial),
            str(one.weft_picks),
            "for the weft" if one.keep else "–",
        ]
        for one in keeping.balls
    ]
