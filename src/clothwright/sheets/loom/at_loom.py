"""How the forecast at the loom is said: on the page, on paper and by the command alike."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from clothwright.measure import CM_PER_INCH, Interval
from clothwright.planning import Verdict
from clothwright.project.loom.log_growing import Entry
from clothwright.sheets.loom.core_said import said_of_core
from clothwright.sheets.translating import ENGLISH, Language, to_say
from clothwright.sheets.wording import (
    LENGTH,
    NINE_IN_TEN,
    THREADS,
    VERDICTS,
    WEIGHT,
    Rounding,
    chances,
    counted,
    in_hundred,
    literal,
)
from clothwright.weaving import (
    LookedBack,
    LoomForecast,
    PanelCount,
    RepeatsTold,
    Sessions,
    StopLine,
    WarpAtLoom,
    WayThrough,
    YarnAtLoom,
)

_BY_HAND = {
    Verdict.ENOUGH: to_say("reckoned by hand, it lasts even if the beat grows a twentieth heavier."),
    Verdict.TOO_CLOSE: to_say("reckoned by hand, whether it lasts hangs on how even the beat stays. Watch it."),
    Verdict.NOT_ENOUGH: to_say("reckoned by hand, it does not last even at the better of the two rates."),
}


def headline(told: LoomForecast, says: Language = ENGLISH) -> str:
    """Whether the weft lasts to the end, and how sure that is."""
    if not told.yarns:
        return says("Whether the weft lasts is not known: nothing of it has been weighed.")
    verdict = verdict_words(told.verdict, says)
    if told.chance_enough is None:
        return f"{verdict}: {says(_BY_HAND[told.verdict])}"
    sure = chances_said(told.chance_enough, says)
    return says(
        "{verdict}: {sure} that the weft lasts to the end; you asked for {asked}.",
        verdict=verdict,
        sure=sure,
        asked=in_hundred(told.trust),
    )


def warning_sentence(told: LoomForecast, says: Language = ENGLISH) -> str:
    """What to do where the weaving log speaks against its lasting."""
    if told.verdict is Verdict.NOT_ENOUGH:
        return says("Choose a way out now.")
    if told.chance_at_first is None:
        return says("It is more likely to run out than to last: choose a way out now.")
    return says(
        "What was weighed speaks against it: before the first pick it was {before}. Choose a way out now.",
        before=chances_said(told.chance_at_first, says),
    )


def woven_sentence(told: LoomForecast, *, imperial: bool) -> str:
    """How much is woven, and how much is still to come."""
    woven, rest, end = (
        LENGTH.text(cm, imperial=imperial) for cm in (told.woven_cm, told.still_to_weave_cm, told.to_weave_cm)
    )
    return f"{woven} woven of {end}, {rest} still to weave, on the loom under tension."


def grams(value: float, *, imperial: bool) -> str:
    """A weight to the gram, as a kitchen scale shows it."""
    return WEIGHT.text(float(round(value)), imperial=imperial)


def yarn_sentences(one: YarnAtLoom, *, imperial: bool, says: Language = ENGLISH) -> tuple[str, ...]:
    """What is left of a weft, what the rest takes, and what is to spare or short."""
    place = says.figure(LENGTH.text(one.weighed_at_cm, imperial=imperial))
    left, need = (says.figure(grams(value, imperial=imperial)) for value in (one.left_g, one.need_g.expected))
    spread = says.figure(WEIGHT.range(one.need_g, imperial=imperial))
    sure = f", {says(NINE_IN_TEN)} {spread}" if one.chance_enough is not None else ""
    said = says(
        "{yarn}: {left} left at {place}; {need} needed from there to the end{sure}; {spare}.",
        yarn=literal(one.name),
        left=left,
        place=place,
        need=need,
        sure=sure,
        spare=_spare(one, imperial, says),
    )
    ends = ends_sentence(one.ends_at_cm, imperial=imperial, says=says)
    return (said, says("It would be used up {where}.", where=ends)) if ends else (said,)


def _spare(one: YarnAtLoom, imperial: bool, says: Language) -> str:
    over = one.spare_g.expected
    weight = says.figure(grams(abs(over), imperial=imperial))
    if over >= 0:
        return says("{weight} to spare", weight=weight)
    cm = says.figure(LENGTH.text(one.short_cm, imperial=imperial, rounding=Rounding.UP))
    return says("short by {weight}, about {cm} on the loom", weight=weight, cm=cm)


def ends_sentence(ends: Interval | None, *, imperial: bool, says: Language = ENGLISH) -> str:
    """Where it would run out; nothing where it surely does not."""
    if ends is None:
        return ""
    return says(
        "at about {expected} woven, at the earliest at {earliest}",
        expected=says.figure(LENGTH.text(ends.expected, imperial=imperial)),
        earliest=says.figure(LENGTH.text(ends.low, imperial=imperial, rounding=Rounding.DOWN)),
    )


def warp_sentence(warp: WarpAtLoom, *, imperial: bool) -> str:
    """Whether the warp reaches."""
    could = LENGTH.range(warp.could_weave_cm, imperial=imperial)
    if warp.chance_enough is None:
        return f"The warp weaves about {could} in all: {VERDICTS[warp.verdict].lower()}."
    return f"The warp weaves {could} in all; {chances(warp.chance_enough)} that it reaches the end."


def _warp_short(warp: WarpAtLoom, imperial: bool) -> str:
    """Said at the top where the warp does not reach, whatever the weft does."""
    return f"But the warp does not reach to the end. {warp_sentence(warp, imperial=imperial)}"


def so_far_sentence(told: LoomForecast, *, imperial: bool) -> str:
    """What is woven so far finishes at this size; nothing without a plan."""
    if told.so_far is None or not told.woven_cm:
        return ""
    width, length = (LENGTH.range(one, imperial=imperial) for one in (told.so_far.width_cm, told.so_far.length_cm))
    return f"What is woven finishes at {width} wide and {length} long."


def weigh_next_sentence(told: LoomForecast, *, imperial: bool, says: Language = ENGLISH) -> str:
    """When to weigh again."""
    if told.weigh_next_at_cm is None:
        return says("The cloth is nearly done; there is no more to weigh for.")
    place = says.figure(LENGTH.text(told.weigh_next_at_cm, imperial=imperial))
    return says("Weigh next at {place} woven.", place=place)


def stop_sentence(one: StopLine, *, imperial: bool, says: Language = ENGLISH) -> str:
    """A stop line."""
    return says(
        "If under {weight} of {yarn} at the {place} mark: {then}.",
        weight=says.figure(WEIGHT.text(one.grams, imperial=imperial, rounding=Rounding.UP)),
        yarn=literal(one.yarn),
        place=says.figure(LENGTH.text(one.at_cm, imperial=imperial)),
        then=_then(one, imperial, says),
    )


def stop_in_short(one: StopLine, *, imperial: bool) -> str:
    """A stop line where it stands at its place already."""
    weight = WEIGHT.text(one.grams, imperial=imperial, rounding=Rounding.UP)
    return f"If under {weight} of {literal(one.yarn)}: {_then(one, imperial)}"


def _then(one: StopLine, imperial: bool, says: Language = ENGLISH) -> str:
    then = said_of_core(one.then, says)
    if one.begins_at_cm is None:
        return then
    where = says.figure(LENGTH.text(one.begins_at_cm, imperial=imperial, rounding=Rounding.DOWN))
    if not one.pieces:
        return says("{then} at {where}, or take another way out", then=then, where=where)
    pieces = literal(f" {says('and')} ".join(one.pieces))
    return says("{then} at {where}, for {pieces}, or take another way out", then=then, where=where, pieces=pieces)


def sessions_sentence(one: Sessions) -> str:
    """How much longer it takes."""
    hours, minutes = divmod(round(one.minutes_left), 60)
    left = f"{hours} h {minutes} min" if hours else f"{minutes} min"
    return (
        f"About {left} of weaving left, {counted(one.sessions_left, 'sitting')} of {one.minutes_a_session:.0f} minutes."
    )


def repeats_sentences(told: RepeatsTold, *, imperial: bool) -> Iterator[str]:
    """The repeat as settled on, and how each panel runs."""
    plan = told.plan
    exact = f"{plan.exact_picks:.1f} picks reckoned, " if plan.exact_picks is not None else ""
    finished = (
        f", finishing at {plan.finished_cm:.2f} cm ({plan.finished_cm / CM_PER_INCH:.2f} in)"
        if plan.finished_cm is not None
        else ""
    )
    panel = ""
    if plan.in_panel and plan.panel_cm:
        panel = f"; {counted(plan.in_panel, 'repeat')} make a panel of {LENGTH.text(plan.panel_cm, imperial=imperial)}"
    yield f"A repeat is {exact}{plan.picks} picks as settled{finished}{panel}."
    yield from map(_panel_sentence, told.panels)


def _panel_sentence(one: PanelCount) -> str:
    picks = ", ".join(map(str, one.picks))
    running = ", ".join(f"{run:+d}".replace("-", "−") if run else "0" for run in one.running)
    name = f"{literal(one.panel)}: " if one.panel else ""
    return f"{name}repeats of {picks} picks, running {running}: {one.words}."


def first_plan_sentence(told: LoomForecast, *, imperial: bool) -> str:
    """What the plan took the weaving to be, beside what it is; nothing without a plan."""
    plan = told.first_plan
    if plan is None:
        return ""
    parts = [f"weave to {LENGTH.text(plan.weave_to_cm, imperial=imperial)}"]
    if plan.picks_per_cm:
        parts.append(f"{THREADS.text(plan.picks_per_cm, imperial=imperial)} picks")
    if plan.weft_g_per_cm:
        parts.append(f"{plan.weft_g_per_cm:.2f} g of weft a cm")
    if plan.finished_width_cm and plan.finished_length_cm:
        width, length = (LENGTH.text(cm, imperial=imperial) for cm in (plan.finished_width_cm, plan.finished_length_cm))
        parts.append(f"{width} by {length} finished")
    whose = "The plan the warp was put on by" if plan.kept else "The plan, as the project now stands"
    verdict = f"; it said “{literal(plan.verdict)}”" if plan.verdict else ""
    return f"{whose}: {', '.join(parts)}{verdict}."


def way_sentence(one: WayThrough, *, imperial: bool, says: Language = ENGLISH) -> str:
    """A way out: what to do, what it changes, costs and gains."""
    weight = says.figure(grams(abs(one.spare_g), imperial=imperial))
    spare = (
        says("{weight} to spare", weight=weight) if one.spare_g >= 0 else says("{weight} short still", weight=weight)
    )
    sure = (
        f"{says('{sure} that it lasts', sure=chances_said(one.chance_enough, says))}, "
        if one.chance_enough is not None
        else ""
    )
    what, change, costs = (said_of_core(part, says) for part in (one.what, one.change, one.costs))
    return says(
        "{what}: {change}. {sure}. Costs: {costs}.",
        what=what,
        change=change,
        sure=f"{(sure + spare)[0].upper()}{(sure + spare)[1:]}",
        costs=costs,
    )


LOOKED_BACK_HEAD = ("At", "Yarn", "Forecast from there to the last weighing", "Used", "")


def looked_back_rows(found: Sequence[LookedBack], *, imperial: bool) -> list[tuple[str, ...]]:
    """What the forecast said at each mark beside what was used, a row each."""
    return [
        (
            LENGTH.text(one.at_cm, imperial=imperial),
            literal(one.yarn),
            f"{grams(one.said_g.expected, imperial=imperial)}, {NINE_IN_TEN} {WEIGHT.range(one.said_g, imperial=imperial)}",
            grams(one.used_g, imperial=imperial),
            "held" if one.held else "more than forecast" if one.used_g > one.said_g.high else "less than forecast",
        )
        for one in found
    ]


def sections(told: LoomForecast, *, imperial: bool) -> Iterator[tuple[str, list[str]]]:
    """The whole forecast as headings with their sentences, verdict first."""
    yield (
        "",
        [
            headline(told),
            *([warning_sentence(told)] if told.warned else []),
            *([_warp_short(told.warp, imperial)] if told.warp and told.warp.verdict is Verdict.NOT_ENOUGH else []),
            woven_sentence(told, imperial=imperial),
            *(sentence for one in told.yarns for sentence in yarn_sentences(one, imperial=imperial)),
        ],
    )
    yield "Asked", list(map(literal, told.asked))
    yield "Along the cloth", [literal(one.words) for one in told.trends]
    warp = [warp_sentence(told.warp, imperial=imperial)] if told.warp else []
    size = [one for one in (so_far_sentence(told, imperial=imperial),) if one]
    yield "Warp and size", [*warp, *size]
    watch = [stop_sentence(one, imperial=imperial) for one in told.stop_lines]
    time = [sessions_sentence(told.sessions)] if told.sessions else []
    yield "What to do next", [weigh_next_sentence(told, imperial=imperial), *watch, *time]
    yield "Repeats", list(repeats_sentences(told.repeats, imperial=imperial)) if told.repeats else []
    yield "Ways out", [way_sentence(one, imperial=imperial) for one in told.ways_out]
    first = first_plan_sentence(told, imperial=imperial)
    yield "The first plan", [first] if first else []
    yield "Notes", list(map(literal, told.notes))


def entry_words(one: Entry, says: Language = ENGLISH) -> str:
    """What an entry of the log tells, in a line."""
    part = one.part
    weights = [f"{literal(yarn)} {left}" for yarn, left in part.weft_left.items()]
    weights += [
        says("{yarn} {gross} with a core of {core}", yarn=literal(w.yarn), gross=w.gross, core=w.core)
        + (f", {says('{beside} beside', beside=w.beside)}" if w.beside else "")
        for w in part.weighed
    ]
    off = part.off_loom
    said = [
        says("left: {weights}", weights=", ".join(weights)) if weights else "",
        says("{count} picks over {over}", count=f"{part.picks.count:g}", over=part.picks.over) if part.picks else "",
        says("{width} wide at the fell", width=part.width_at_fell) if part.width_at_fell else "",
        says("repeats of {picks} picks", picks=", ".join(map(str, part.repeats))) if part.repeats else "",
        *(_happened(h.what, h.at, h.end, h.from_selvedge, h.mended, h.note, says) for h in part.happened),
        says.several("wound on {number} time", "wound on {number} times", part.advances) if part.advances else "",
        says("{length} of warp left", length=part.warp_left) if part.warp_left else "",
        says("{number} min", number=part.minutes) if part.minutes else "",
        says("changed my mind: {what}", what=literal(part.changed_mind)) if part.changed_mind else "",
        says("off the loom: {length} long, {width} wide", length=off.length or "–", width=off.width or "–")
        if off
        else "",
        says("photo {name}", name=literal(part.photo)) if part.photo else "",
        literal(part.note),
    ]
    return "; ".join(filter(None, said)) or (says("takes back") if part.corrects else "")


_HAPPENED = {
    "knot": to_say("knot"),
    "break": to_say("break"),
    "join": to_say("join"),
    "floats": to_say("floats"),
    "other": to_say("other"),
}


def _happened(what: str, at: object, end: int | None, across: object, mended: bool, note: str, says: Language) -> str:
    place = [
        says("at {place}", place=at) if at else "",
        says("end {number} from the left", number=end) if end else "",
        says("{length} from the selvedge", length=across) if across else "",
    ]
    where = ", ".join(filter(None, place))
    return " ".join(
        filter(None, (says(_HAPPENED.get(what, what)), where, says("mended") if mended else "", literal(note)))
    )


def verdict_words(verdict: Verdict, says: Language) -> str:
    """A verdict in a language, as a heading has it."""
    return says(VERDICTS[verdict])


def chances_said(share: float, says: Language) -> str:
    """A chance in a language: `71 chances in 100`; never none and never certain."""
    english = chances(share)
    if english.startswith("less"):
        return says("less than 1 chance in 100")
    if english.startswith("more"):
        return says("more than 99 chances in 100")
    return says.several("{number} chance in 100", "{number} chances in 100", in_hundred(share))
