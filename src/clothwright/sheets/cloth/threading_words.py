"""How a threading is said: on the page, on paper and by the command alike, entirely in words and numbers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Final

from clothwright.planning.cloth.threading_answer import CheckSum, EndThreaded, InHeddle, ThreadingPlan
from clothwright.sheets.wording import LENGTH, THREADS, counted, literal

TEN: Final = 10
#: Picks told one by one.
MOST_PICKS_TOLD: Final = 200
_LONGEST_REPEAT: Final = 12
#: A warp this little beside the middle is not worth a word: half a millimetre.
_NOT_SEEN_CM: Final = 0.05
_SMALL_CM: Final = 0.3


@dataclass(frozen=True)
class Group:
    """Ends of one box to tick: from and to, where they go in words, their places and yarns in words, and the last of them."""

    ends: str
    many: int
    on: str
    places: str
    yarns: tuple[str, ...]
    last: int


def groups(answer: ThreadingPlan, *, many: int = TEN) -> list[Group]:
    """The ends in groups, from the first to the last."""
    ends = answer.threads
    return [_group(answer, ends[start : start + many]) for start in range(0, len(ends), many)]


def _group(answer: ThreadingPlan, ends: Sequence[EndThreaded]) -> Group:
    first, last = ends[0].number, ends[-1].number
    return Group(
        ends=str(first) if first == last else f"{first} to {last}",
        many=len(ends),
        on=_on(answer, [end.short for end in ends]),
        places=_places(answer.in_heddle, ends),
        yarns=tuple(
            f"{len(list(same))} {literal(yarn)}" for yarn, same in groupby(end.yarn for end in ends) if yarn is not None
        ),
        last=last,
    )


def _on(answer: ThreadingPlan, shorts: Sequence[str]) -> str:
    if answer.loom == "shaft" and "floats" not in shorts:
        return "-".join(shorts)
    return "; ".join(repeated(shorts, "-" if answer.loom == "shaft" else ", "))


def repeated(words: Sequence[str], between: str) -> Iterator[str]:
    """Words with what repeats told once: hole, slot, 5 times."""
    place = 0
    alone: list[str] = []
    while place < len(words):
        step, times = max(_repeats(words, place), key=lambda one: (one[0] * one[1] if one[1] > 1 else 0, -one[0]))
        if times < 2 or step * times < 4:
            alone.append(words[place])
            place += 1
            continue
        if alone:
            yield between.join(alone)
            alone = []
        yield f"{between.join(words[place : place + step])}, {times} times"
        place += step * times
    if alone:
        yield between.join(alone)


def _repeats(words: Sequence[str], place: int) -> Iterator[tuple[int, int]]:
    for step in range(1, _LONGEST_REPEAT + 1):
        once, times = words[place : place + step], 1
        while words[place + step * times : place + step * (times + 1)] == once:
            times += 1
        yield step, times if len(once) == step else 1


def _places(stands: InHeddle, ends: Sequence[EndThreaded]) -> str:
    numbers = [end.place for end in ends if end.place is not None]
    if not numbers:
        return ""
    first, last = numbers[0], numbers[-1]
    return f"{stands.word} {first}" if first == last else f"{stands.word}s {first} to {last}"


# --- where the warp stands ---------------------------------------------------------------------------------------


def heddle_sentence(answer: ThreadingPlan, *, imperial: bool) -> str:
    """The ends, the heddle and how it is sleyed, and the width to be measured in it."""
    stands = answer.in_heddle
    width = LENGTH.text(stands.width_cm, imperial=imperial)
    what = "reed" if answer.loom == "shaft" else "heddle"
    floats = f", and {counted(answer.floating, 'end')} floating beside them" if answer.floating else ""
    return (
        f"{counted(answer.counted, 'end')} in the {_named(stands.heddle, what)}, sleyed {stands.sleying}{floats}: "
        f"{width} wide. Measure it when the last end is in."
    )


def _named(heddle: str, what: str) -> str:
    """A heddle or reed by what is printed on it; what it is, where that does not say so."""
    name = literal(heddle)
    return name if name.endswith(what) else f"{name} {what}"


def standing_sentences(answer: ThreadingPlan, *, imperial: bool) -> Iterator[str]:
    """Where the first end goes, counted from the left edge and from the middle."""
    stands, where = answer.in_heddle, answer.in_heddle.standing
    if stands.count is not None:
        kinds = ", slots and holes one after the other," if stands.edge else ""
        yield f"It has {counted(stands.count, stands.word)}{kinds} counted from the left edge as you sit at the loom."
    if where is None:
        if stands.count is None and answer.threads[0].place is not None:
            yield f"Mark the middle. {counted(stands.to_left, stands.word)} left of it and {stands.to_right} right of it are filled."
        return
    yield f"Mark its middle: {_middle(stands)}."
    first, last = _first_and_last(answer)
    side = "left" if answer.first_edge == "left" else "right"
    yield f"The first end, at the {side}, goes into {_place(stands, first)}; the last into {_place(stands, last)}."
    yield (
        f"Counted from the middle: {counted(stands.to_left, stands.word)} to the left of it and "
        f"{stands.to_right} to the right lie between the first and the last end."
    )
    off = where.off_middle_cm
    if abs(off) > _NOT_SEEN_CM:
        way = "right" if off > 0 else "left"
        far = LENGTH.text(abs(off), imperial=imperial) if abs(off) >= _SMALL_CM else "less than 3 mm (⅛ in)"
        yield f"The warp then stands {far} {way} of the middle, the nearest it can."


def _first_and_last(answer: ThreadingPlan) -> tuple[int, int]:
    """The places of the first and the last end that stand in the heddle."""
    where = answer.in_heddle.standing
    assert where is not None
    return (where.first, where.last) if answer.first_edge == "left" else (where.last, where.first)


def _middle(stands: InHeddle) -> str:
    if len(stands.middle) == 1:
        return f"it is {_place(stands, stands.middle[0])}"
    return f"it lies between {stands.word}s {stands.middle[0]} and {stands.middle[-1]}"


def _place(stands: InHeddle, number: int) -> str:
    """A place by its number, and by its number among slots or holes: place 17, slot 9."""
    if not stands.edge:
        return f"{stands.word} {number}"
    own = stands.edge if number % 2 else "hole" if stands.edge == "slot" else "slot"
    return f"{stands.word} {number}, which is {own} {(number + 1) // 2 if number % 2 else number // 2}"


# --- the weave ---------------------------------------------------------------------------------------------------


def threading_sentence(answer: ThreadingPlan) -> str:
    """The threading as it is written, and how it goes on."""
    more = "" if "times" in answer.written or "once" in answer.written else ", over and over to the last end"
    return f"Threading, from the first end: {answer.written}{more}."


def shed_sentences(answer: ThreadingPlan) -> list[str]:
    """Pick by pick what is lifted; of very many the first, and how many there are."""
    told = [f"Pick {number}: {shed.words}" for number, shed in enumerate(answer.sheds[:MOST_PICKS_TOLD], 1)]
    more = len(answer.sheds) - MOST_PICKS_TOLD
    return [*told, f"and {more} picks more, as they are written in the draft"] if more > 0 else told


def stick_sentences(answer: ThreadingPlan) -> list[str]:
    """What each stick holds, charged behind the heddle while it is down."""
    return [
        f"Stick {name}: heddle down, and behind it pick up, of the ends in slots, {holds}, over and over from the first slot."
        for name, holds in answer.sticks
    ]


# --- sums --------------------------------------------------------------------------------------------------------


def check_sentence(check: CheckSum) -> str:
    """A sum written out: by shaft: shaft 1 37 + shaft 2 37 = 74."""
    told = " + ".join(f"{number} {literal(name)}" for name, number in check.parts).replace("+ -", "− ")
    total = sum(number for _, number in check.parts)
    right = "" if check.agrees else f"; there are {check.total}, so something is counted wrongly"
    return f"Ends {check.what}: {told} = {total}{right}."


def width_sentences(answer: ThreadingPlan, *, imperial: bool) -> Iterator[str]:
    """The width in the heddle twice over: filled places over places per cm, and ends over ends per cm."""
    stands = answer.in_heddle
    width = LENGTH.text(stands.width_cm, imperial=imperial)
    if stands.sett_per_cm is None:
        yield f"The width from the first {stands.word} to the last = {width}: measure it in the heddle or reed."
        return
    if answer.threads[0].place is not None:
        places = THREADS.text(stands.places_cm, imperial=imperial)
        yield f"{counted(stands.used, stands.word)} at {places} = {width}: measure it in the heddle or reed."
    sett = THREADS.text(stands.sett_per_cm, imperial=imperial)
    by_ends = LENGTH.text(answer.counted / stands.sett_per_cm, imperial=imperial)
    agree = f"the two agree to a {stands.word}" if answer.threads[0].place is not None else "measure it in the reed"
    yield f"{counted(answer.counted, 'end')} at {sett} = {by_ends}; {agree}."


def time_sentence(answer: ThreadingPlan) -> str:
    """How long it may take, as a band, and what that rests on."""
    minutes = answer.time.minutes
    own = answer.time.own_times
    rests = (
        f"from {counted(own, 'time')} of your own"
        if own
        else "by common practice, no source; note your own times and it becomes yours"
    )
    return f"Threading and sleying: about {_long(minutes.expected)}, most likely {_long(minutes.low)} to {_long(minutes.high)}, {rests}."


def _long(minutes: float) -> str:
    """Minutes to five, or hours and minutes from an hour and a half on."""
    fives = max(5, 5 * round(minutes / 5))
    return f"{fives} min" if fives < 90 else f"{fives // 60} h" + (f" {fives % 60} min" if fives % 60 else "")


def every_sum(answer: ThreadingPlan, *, imperial: bool) -> list[str]:
    """All check sums, the width first."""
    return [*width_sentences(answer, imperial=imperial), *map(check_sentence, answer.checks)]


def in_words(answer: ThreadingPlan) -> str:
    """The whole threading as sentences, for reading aloud: the ends, then yarn by yarn."""
    shafts = "; ".join(repeated([_spoken(end) for end in answer.threads], ", "))
    said = f"From the first end: {shafts}."
    yarns = [(yarn, len(list(same))) for yarn, same in groupby(end.yarn for end in answer.threads)]
    if all(yarn is not None for yarn, _ in yarns):
        said += f" Yarns: {', '.join(f'{many} {literal(str(yarn))}' for yarn, many in yarns)}."
    return said


def _spoken(end: EndThreaded) -> str:
    return end.short.replace("+", " and ")
