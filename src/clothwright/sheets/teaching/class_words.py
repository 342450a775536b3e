"""A class sheet in words: a student's figures, their working and how to check them, in her units and her language.

Every number is as its sum was written, so that what is printed can be added up again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

from clothwright.measure import Interval
from clothwright.planning import Verdict
from clothwright.planning.teaching.class_needs import Room, StudentNeeds
from clothwright.planning.teaching.class_sums import ClassSum
from clothwright.sheets.both_units import in_both
from clothwright.sheets.glossary import TradeWord, named_words
from clothwright.sheets.translating import Language, to_say
from clothwright.sheets.wording import LENGTH, THREADS, WEIGHT, YARN, Rounding, plain_number

_NO_BREAK: Final = "\u00a0"
#: The words a student meets on her sheet.
CLASS_WORDS: Final = (
    "end", "fell", "heddle", "loom waste", "on the loom", "pick", "sett", "selvedge", "take-up", "warp", "weft",
    "wraps",
)  # fmt: skip
_SHAFT_WORDS: Final = ("reed", "dent", "sley")
#: What a student writes down of her own yarn.
OWN_YARN: Final = (
    to_say("Yarn, fibre, colour"),
    to_say("Wraps per cm or in"),
    to_say("Metres in 100 g, or yards in a pound"),
    to_say("How much of it"),
)
OWN_YARN_SUM: Final = to_say(
    "Grams = metres needed ÷ metres in 100 g × 100. Yarn thicker or thinner than the class yarn wants another heddle: ask."
)


@dataclass(frozen=True)
class StudentTold:
    """One student's sheet in words, as page and paper place them."""

    headline: tuple[str, ...]
    worth_knowing: tuple[str, ...]
    working: tuple[str, ...]
    checks: tuple[str, ...]
    to_fill: tuple[tuple[str, str], ...]
    own_yarn: tuple[tuple[str, str], ...]
    own_yarn_sum: tuple[str, ...]
    cautions: tuple[str, ...]
    words: tuple[tuple[str, str], ...]


def student_told(one: StudentNeeds, language: Language) -> StudentTold:
    """Everything that stands on a student's sheet."""
    saying = _Saying(one, language)
    return StudentTold(
        headline=tuple(saying.headline()),
        worth_knowing=tuple(saying.worth_knowing()),
        working=tuple(saying.working()),
        checks=tuple(saying.checks()),
        to_fill=tuple(saying.to_fill()),
        own_yarn=tuple(saying.own_yarn()),
        own_yarn_sum=tuple(saying.own_yarn_sum()),
        cautions=tuple(map(language, one.cautions)),
        words=tuple((word.said(language), word.explained(language)) for word in _words_of(one)),
    )


def _words_of(one: StudentNeeds) -> tuple[TradeWord, ...]:
    return named_words((*CLASS_WORDS, *(_SHAFT_WORDS if one.kind == "shaft" else ())))


@dataclass(frozen=True)
class _Saying:
    """Says one student's figures in one language."""

    one: StudentNeeds
    says: Language

    @property
    def sums(self) -> ClassSum:
        return self.one.sums

    def length(self, value: float) -> str:
        """A length with the other unit beside it, each as a ruler shows it."""
        return self.says.figure(LENGTH.text(value * self.sums.units.cm, imperial=self.one.imperial))

    def warp(self, wound: float) -> str:
        """A warp length up to the next step of each unit, both from what was reckoned."""
        mine = LENGTH.short(self.sums.units.warp(wound) * self.sums.units.cm, imperial=self.one.imperial)
        other = LENGTH.short(wound * self.sums.units.cm, imperial=not self.one.imperial, rounding=Rounding.UP)
        return self.says.figure(f"{mine} ({other})")

    def yarn(self, value: float) -> str:
        """Yarn with the other unit beside it."""
        metres = value * self.sums.units.yarn_m
        return self.says.figure(YARN.text(metres, imperial=self.one.imperial, rounding=Rounding.UP))

    def number(self, value: float) -> str:
        return self.says.figure(plain_number(value))

    def in_unit(self, value: float) -> str:
        """A length in her unit alone, as the working writes it."""
        return self.says.figure(f"{plain_number(value)}{_NO_BREAK}{LENGTH.unit(self.one.imperial)}")

    def of_yarn(self, value: float) -> str:
        return self.says.figure(f"{plain_number(value)}{_NO_BREAK}{YARN.unit(self.one.imperial)}")

    def to_the_unit(self, value: float) -> str:
        return self.says.figure(f"{plain_number(value)}{_NO_BREAK}{THREADS.unit(self.one.imperial)}")

    # --- what she needs --------------------------------------------------------------------------------------------

    def headline(self) -> Iterator[str]:
        says, sums = self.says, self.sums
        yield says("{ends} ends, heddle (reed): {heddle}", ends=sums.all_ends, heddle=self.one.heddle)
        yield self._ranged(says("Warp length"), sums.wound, self.warp)
        yield self._ranged(says("Warp yarn"), sums.warp_yarn, self.yarn)
        yield self._ranged(says("Weft yarn"), sums.weft_yarn, self.yarn)

    def _ranged(self, what: str, value: Interval, write: Callable[[float], str]) -> str:
        """A figure with its low and high, where it has them."""
        if value.low == value.high:
            return self.says("{what}: {value}", what=what, value=write(value.expected))
        low, high = write(value.low), write(value.high)
        return self.says(
            "{what}: {value}; low {low}, high {high}", what=what, value=write(value.expected), low=low, high=high
        )

    def worth_knowing(self) -> Iterator[str]:
        """What is different on her loom, said to her."""
        says, one = self.says, self.one
        if one.room == Room.TOO_NARROW:
            narrower = says.figure(LENGTH.text(one.narrower_cm, imperial=one.imperial))
            yield says(
                "Your loom is narrower than this piece asks: these are the ends that fit, and the cloth finishes {narrower} "
                "narrower. Ask your teacher whether to weave it so, or to borrow a wider loom.",
                narrower=narrower,
            )
        if one.room == Room.CLOSE:
            yield says("The warp fills your loom almost to its frame. Look that the outer ends run free.")
        if one.room == Room.NOT_SAID:
            yield says("The weaving width of your loom was not known. Measure it before you wind the warp.")
        if not one.same_sett:
            yield says(
                "Your heddle has another sett than the piece was planned at, so this is another cloth. Ask your teacher "
                "before you wind the warp, and weave a sample first."
            )
        if not one.waste_said:
            yield says("The loom waste of your loom was not known; it is taken as usual. Measure it at your next warp.")
        yield from self._own_yarn_lasts()
        if self.sums.weft_yarn.low < self.sums.weft_yarn.high:
            yield says("Low and high are for the lightest and the heaviest beat; have enough for the high one.")

    def _own_yarn_lasts(self) -> Iterator[str]:
        own, says = self.one.own_yarn, self.says
        if own is None or own.verdict is None:
            return
        verdict = {
            Verdict.ENOUGH: to_say("Your own yarn is enough, also for the high figure."),
            Verdict.TOO_CLOSE: to_say("Your own yarn is too close to call: it may not be enough for a heavy beat."),
            Verdict.NOT_ENOUGH: to_say("Your own yarn is not enough."),
        }[own.verdict]
        yield says(verdict)

    # --- how that comes about --------------------------------------------------------------------------------------

    def working(self) -> Iterator[str]:
        """Every sum, written as she would with a calculator."""
        yield from self._width_sums()
        yield from self._warp_sums()
        yield from self._weft_sums()

    def _width_sums(self) -> Iterator[str]:
        says, sums = self.says, self.sums
        up_to = {1: to_say("up to a whole end"), 2: to_say("up to a whole pair")}.get(
            sums.end_step, to_say("up to a whole repeat")
        )
        if self.one.room == Room.TOO_NARROW:
            yield says("Ends that fit your loom: {ends}", ends=sums.ends)
        else:
            yield says(
                "Ends: {width} finished ÷ {ratio} × {sett} = {ends}, {up_to}",
                width=self.in_unit(sums.cloth_width),
                ratio=self.number(sums.width_ratio),
                sett=self.to_the_unit(sums.sett),
                ends=sums.ends,
                up_to=says(up_to),
            )
        if sums.extra_ends:
            yield says("With a floating end at each edge: {ends} ends", ends=sums.all_ends)
        yield says(
            "Width in the heddle: {ends} ends ÷ {sett} = {width}",
            ends=sums.ends,
            sett=self.to_the_unit(sums.sett),
            width=self.in_unit(sums.width_in_heddle),
        )

    def _warp_sums(self) -> Iterator[str]:
        says, sums = self.says, self.sums
        yield says(
            "Weave, under tension: {length} finished ÷ {ratio} = {woven}",
            length=self.in_unit(sums.cloth_length),
            ratio=self.number(sums.length_ratio.expected),
            woven=self.in_unit(sums.woven),
        )
        if sums.sample:
            yield says(
                "With the sample before it: {woven} + {sample} = {weave}",
                woven=self.in_unit(sums.woven),
                sample=self.in_unit(sums.sample),
                weave=self.in_unit(sums.weave),
            )
        if sums.woven_of_warp != 1:
            yield says(
                "Warp the weaving takes: {weave} ÷ {ratio} = {used}",
                weave=self.in_unit(sums.weave),
                ratio=self.number(sums.woven_of_warp),
                used=self.in_unit(sums.used),
            )
        yield says(
            "Warp length: {used} + {waste} loom waste, rounded up = {warp}",
            used=self.in_unit(sums.used),
            waste=self.in_unit(sums.waste.expected),
            warp=self.in_unit(sums.warp_length.expected),
        )
        yield says(
            "Warp yarn: {ends} ends × {warp} ÷ {per}, rounded up = {yarn}",
            ends=sums.all_ends,
            warp=self.in_unit(sums.warp_length.expected),
            per=self.number(sums.units.per_yarn),
            yarn=self.of_yarn(sums.warp_yarn.expected),
        )

    def _weft_sums(self) -> Iterator[str]:
        says, sums = self.says, self.sums
        yield says(
            "One pick: {width} × {ratio} = {pick}",
            width=self.in_unit(sums.width_in_heddle),
            ratio=self.number(sums.pick_length),
            pick=self.in_unit(sums.pick),
        )
        yield says(
            "Weft yarn: {picks} × {pick} × {weave} ÷ {per}, rounded up = {yarn}",
            picks=self.to_the_unit(sums.picks.expected),
            pick=self.in_unit(sums.pick),
            weave=self.in_unit(sums.weave),
            per=self.number(sums.units.per_yarn),
            yarn=self.of_yarn(sums.weft_yarn.expected),
        )

    # --- how she checks herself ------------------------------------------------------------------------------------

    def checks(self) -> Iterator[str]:
        says, sums = self.says, self.sums
        warp = self.warp(sums.wound.expected)
        if self.one.direct:
            yield says("Before you wind, measure from the peg to the back rod: it should be {warp}.", warp=warp)
        else:
            yield says("Before you wind, measure the path on the board with a tape: it should be {warp}.", warp=warp)
        yield says(
            "Count your ends. Your ends ÷ your sett should be your width in the heddle: {ends} ÷ {sett} = {width}, on a ruler "
            "{ruler}.",
            ends=sums.ends,
            sett=self.to_the_unit(sums.sett),
            width=self.in_unit(sums.width_in_heddle),
            ruler=self.length(sums.width_in_heddle),
        )
        yield says(
            "Weave to {weave} from the first pick, under tension, measured at the fell.", weave=self.length(sums.weave)
        )

    def to_fill(self) -> Iterator[tuple[str, str]]:
        """What was reckoned, to write beside it what came out."""
        says, sums = self.says, self.sums
        yield says("Ends"), str(sums.all_ends)
        yield says("Width in the heddle"), self.length(sums.width_in_heddle)
        yield says("Warp length"), self.warp(sums.wound.expected)
        yield says("Picks on the loom"), self._picks()
        yield says("Woven, under tension"), self.length(sums.weave)
        yield says("Loom waste"), self.length(sums.waste.expected)
        yield says("Finished width"), self.length(sums.finished_width)
        yield says("Finished length"), self.length(sums.cloth_length)

    def _picks(self) -> str:
        low, high = (plain_number(end) for end in (self.sums.picks.low, self.sums.picks.high))
        span = low if low == high else f"{low} to {high}"
        return self.says.figure(in_both(f"{span}{_NO_BREAK}{THREADS.unit(self.one.imperial)}"))

    def own_yarn(self) -> Iterator[tuple[str, str]]:
        """The box for her own yarn, filled in with what is known of it."""
        own = self.one.own_yarn
        known = ("", "", "", "")
        if own is not None:
            grist = (
                ""
                if own.m_per_g is None
                else self.says.figure(in_both(f"{plain_number(own.m_per_g * 100)}{_NO_BREAK}m/100\u00a0g"))
            )
            have = "" if own.have_m is None else self._have(own.have_m)
            known = (own.name, "", grist, have)
        yield from zip(map(self.says, OWN_YARN), known, strict=True)

    def _have(self, metres: Interval) -> str:
        write = (
            YARN.text(one, imperial=self.one.imperial, rounding=Rounding.DOWN) for one in (metres.low, metres.high)
        )
        low, high = map(self.says.figure, write)
        return low if metres.low == metres.high else self.says("{low} to {high}", low=low, high=high)

    def own_yarn_sum(self) -> Iterator[str]:
        """How much of her own yarn is wanted, in weight where its metres are known."""
        own, says = self.one.own_yarn, self.says
        if own is not None:
            need = says.figure(YARN.text(own.need_m.high, imperial=self.one.imperial, rounding=Rounding.UP))
            yield says("Needed of it, at the high figure: {need}", need=need)
            if own.m_per_g:
                grams = WEIGHT.text(own.need_m.high / own.m_per_g, imperial=self.one.imperial, rounding=Rounding.UP)
                yield says("That is {grams}.", grams=says.figure(grams))
        yield says(OWN_YARN_SUM)
