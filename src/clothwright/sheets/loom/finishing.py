"""How what is done off the loom is said: on the page, on paper and by the command alike."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from clothwright.finishing import (
    STAGES,
    Check,
    ClothAnswer,
    ClothWay,
    Costs,
    Finish,
    FlawSeen,
    MissedMark,
    RealCloth,
    Recipe,
    RecipeStep,
    Relaid,
    Sizes,
    done_words,
    in_words,
    untold,
)
from clothwright.project.parts.finishing_parts import DonePart
from clothwright.sheets.both_units import in_both
from clothwright.sheets.pieces.in_hand import uncut
from clothwright.sheets.wording import CLOTH_WEIGHT, LENGTH, NINE_IN_TEN, WEIGHT, Rounding, counted, literal, percent

MEASURED_HEAD: Final = ("State", "Width: start, middle, end", "Length", "Weight", "Rested")
_CM2_PER_DM2: Final = 100.0
_NO_BREAK: Final = "\u00a0"


def temperature(celsius: float, *, imperial: bool) -> str:
    """A temperature in both scales, the chosen one first."""
    both = [f"{celsius:.0f}{_NO_BREAK}°C", f"{celsius * 1.8 + 32:.0f}{_NO_BREAK}°F"]
    first, second = reversed(both) if imperial else both
    return f"{first} ({second})"


# --- measured -----------------------------------------------------------------------------------------------------


def measured_rows(found: Finish, *, imperial: bool) -> list[list[str]]:
    """What was measured, a row for each state."""
    return [_measured_row(one, imperial) for one in found.measured.sizes.values()]


def _measured_row(one: Sizes, imperial: bool) -> list[str]:
    widths = "; ".join(LENGTH.text(cm, imperial=imperial) for cm in one.widths_cm)
    length = LENGTH.text(one.length_cm, imperial=imperial) if one.length_cm else ""
    weight = WEIGHT.text(one.weight_g, imperial=imperial) if one.weight_g else ""
    return [one.state.capitalize(), widths, length, weight, literal(one.rested)]


def measured_sentences(found: Finish, *, imperial: bool) -> Iterator[str]:
    """What is still to be measured, what the finished cloth is expected to measure, and what it weighs."""
    measured = found.measured
    if not measured.sizes:
        yield "Nothing has been measured off the loom yet."
    expected = (("wide at its least", measured.expected_width_cm), ("long", measured.expected_length_cm))
    told = [f"{LENGTH.range(one, imperial=imperial)} {what}" for what, one in expected if one]
    if told and found.cloth is not None and found.cloth.expected:
        yield f"Finished it is expected to be, {NINE_IN_TEN}, {' and '.join(told)}."
    if found.grams_per_m2:
        yield f"The finished cloth weighs {CLOTH_WEIGHT.text(found.grams_per_m2, imperial=imperial)}."


def missed_sentences(missed: MissedMark, *, imperial: bool) -> Iterator[str]:
    """Missed a mark? What disagrees, by how much, and what it may be."""
    woven, measured = (LENGTH.text(cm, imperial=imperial) for cm in (missed.woven_cm, missed.measured_cm))
    more = "longer" if missed.share > 0 else "shorter"
    yield (
        f"Missed a mark? By the log {woven} were woven under tension, which leaves {LENGTH.range(missed.expected_cm, imperial=imperial)} "
        f"off the loom, {NINE_IN_TEN}. It measures {measured} {missed.state}: {percent(abs(missed.share))} {more} than expected."
    )
    if missed.steps and missed.step_cm:
        step = LENGTH.text(missed.step_cm, imperial=imperial)
        what = "a mark was left out of the log" if missed.share > 0 else "a mark was counted twice"
        what = what if missed.steps == 1 else f"{missed.steps} marks were left out or counted twice"
        yield f"That is about {counted(missed.steps, 'step')} of your marks, {step} each: {what}?"
    elif missed.likely:
        yield "It may be this cloth, which relaxes as it likes; or a tape that lay slack. Measure it once more, flat and slack."
    else:
        yield "Hardly any cloth does that by itself: measure it once more, flat and slack, and look through the log."


# --- the recipe ---------------------------------------------------------------------------------------------------


def recipe_sentences(recipe: Recipe) -> Iterator[str]:
    """Which treatment, in the weaver's own words, and why."""
    if recipe.finish:
        yield f"“{literal(recipe.finish)}”, {literal(recipe.because)}. Do to the cloth what was done to the sample: same water, same time, same drying."
    yield f"The steps: {recipe.name}. Where the sample had another time or warmth, the sample’s count."


def step_title(step: RecipeStep, *, imperial: bool) -> str:
    """A step with its water and its minutes."""
    told = (
        temperature(step.water_c, imperial=imperial) if step.water_c else "",
        f"{step.minutes}{_NO_BREAK}min" if step.minutes else "",
    )
    said = ", ".join(filter(None, told))
    return f"{step.title}: {said}" if said else step.title


def step_looks(step: RecipeStep) -> str:
    """When to stop and look; empty where it need not be watched."""
    if not step.looks:
        return ""
    *most, last = map(str, step.looks)
    after = f"{', '.join(most)} and {last}" if most else last
    return f"Stop and look after {after}{_NO_BREAK}min."


def step_lines(step: RecipeStep) -> list[str]:
    """What to do in a step, when to stop and look, and when it is enough."""
    return [*filter(None, (step.do, step_looks(step), step.stop))]


def step_untold(step: RecipeStep) -> str:
    """What is still to be written down of a step that was done; empty where nothing is."""
    asked = " and ".join(untold(step))
    return f"Done; write down its {asked}, for the next cloth." if asked else ""


# --- the cloth ----------------------------------------------------------------------------------------------------


def cloth_sentences(cloth: RealCloth, answer: ClothAnswer | None, *, imperial: bool) -> Iterator[str]:
    """How much of the cloth can be used, and whether the widest piece goes on it."""
    widths = "; ".join(LENGTH.text(cm, imperial=imperial) for cm in cloth.widths_cm)
    least = f"the least of {widths}" if len(cloth.widths_cm) > 1 else "as measured"
    width, length = (_down(cm, imperial) for cm in (cloth.usable_width_cm, cloth.usable_length_cm))
    if cloth.expected:
        yield "Expected sizes, not measured ones: lay out by them to see what may come, and cut nothing by them."
        least = "as expected"
    trims = (("at each selvedge (selvage)", cloth.trim_cm), ("at each end", cloth.squaring_cm))
    less = [f"{LENGTH.text(cm, imperial=imperial)} {where}" for where, cm in trims if cm > 0]
    yield f"Usable: {width} wide, {least}, by {length}{f'; taken off: {chr(44).join(less)}' if less else ''}."
    if answer and answer.widest_cm > cloth.usable_width_cm + 0.005:
        over = LENGTH.text(answer.widest_cm - cloth.usable_width_cm, imperial=imperial, rounding=Rounding.UP)
        need = LENGTH.text(answer.widest_cm, imperial=imperial, rounding=Rounding.UP)
        yield f"The pattern needs {need} for {literal(answer.widest)}: {over} more than there is."


def _down(cm: float, imperial: bool) -> str:
    return LENGTH.text(cm, imperial=imperial, rounding=Rounding.DOWN)


def outcome(relaid: Relaid, *, imperial: bool) -> str:
    """Whether all is cut from the cloth, and what is left or missing."""
    if relaid.fits:
        return f"All pieces are cut from it; {_down(relaid.left_cm, imperial)} left at its end."
    if relaid.short_cm is None:
        return f"Not all pieces go on it: {literal(relaid.why_not)}."
    return f"Not all pieces were made to fit: {LENGTH.text(relaid.short_cm, imperial=imperial, rounding=Rounding.UP)} of length missing."


def answer_sentences(answer: ClothAnswer, *, imperial: bool) -> Iterator[str]:
    """How the pieces lie on it, what of them does not, and rules of the project that are not kept."""
    if answer.relaid.short_cm is None:
        yield "Not all pieces go on this cloth as they are."
    else:
        yield outcome(answer.relaid, imperial=imperial)
    if answer.partly and answer.partly.uncut:
        yield f"Left over: {uncut(answer.partly)}."
    yield from map(literal, answer.relaid.told)


def flaw_sentence(seen: FlawSeen, *, imperial: bool) -> str:
    """A flaw with its place and where that is known from."""
    flaw = seen.flaw
    at = LENGTH.text(flaw.x_cm + flaw.length_cm / 2, imperial=imperial)
    across = (
        f", {LENGTH.text(flaw.y_cm + flaw.width_cm / 2, imperial=imperial)} from the near selvedge"
        if flaw.width_cm
        else ", anywhere across"
    )
    about = (
        f", as the log has it ({in_both(literal(seen.called))} under tension): look for it, and type where it lies"
        if seen.called
        else f", {seen.origin}"
    )
    return f"{literal(flaw.what).capitalize()} at {at}{across}{about}."


def cost_words(costs: Costs, *, imperial: bool) -> str:
    """What a way gives up, in words."""
    left = costs.allowance_left_cm
    told = (
        f"{LENGTH.text(costs.allowance_less_cm, imperial=imperial)} less allowance on a side"
        + (f", {LENGTH.text(left, imperial=imperial)} left" if left is not None else "; look that enough is left")
        if costs.allowance_less_cm
        else "",
        f"{LENGTH.text(costs.seams_cm, imperial=imperial, rounding=Rounding.UP)} more to sew" if costs.seams_cm else "",
        f"the garment is {LENGTH.text(costs.shorter_cm, imperial=imperial)} shorter" if costs.shorter_cm else "",
        f"{costs.other_cloth_cm2 / _CM2_PER_DM2:.0f} dm² of other cloth" if costs.other_cloth_cm2 else "",
        *costs.words,
    )
    return "; ".join(filter(None, told))


def way_sentences(way: ClothWay, *, imperial: bool) -> list[str]:
    """A way with what it changes, what it costs, and what comes of it."""
    costs = cost_words(way.costs, imperial=imperial)
    return [
        f"{literal(way.what)}: {literal(way.change)}.",
        *([f"Costs: {literal(costs)}."] if costs else []),
        f"Then: {outcome(way.relaid, imperial=imperial)}",
    ]


def tried_sentence(answer: ClothAnswer) -> str:
    """How many ways were laid anew; empty where none had to be."""
    if not answer.tried:
        return ""
    more = f"; {answer.left_out} more were not, for time" if answer.left_out else ""
    return f"{counted(answer.tried, 'way')} laid anew{more}. What is told to fit does fit; what did not may yet fit in a layout nobody found."


# --- checks -------------------------------------------------------------------------------------------------------


def checks_by_stage(found: Finish) -> list[tuple[str, list[Check]]]:
    """The checks, stage by stage of the work."""
    return [(stage.capitalize(), [one for one in found.checks if one.stage == stage]) for stage in STAGES]


def check_state(check: Check) -> str:
    """How a check stands, in words."""
    if check.not_needed:
        return f"not needed: {literal(check.not_needed)}"
    if check.ticked:
        return f"seen to{f', {check.day}' if check.day else ''}{f'; {literal(check.note)}' if check.note else ''}"
    return "to be seen to"


def headline(found: Finish) -> str:
    """Where the cloth stands, in a sentence."""
    steps = [step for step in found.recipe.steps if not found.is_done(step)]
    open_checks = [one for one in found.checks if not one.settled]
    if not found.measured.sizes:
        return "Off the loom: let it rest, and measure it."
    if found.cloth is None or found.cloth.expected:
        return f"Next: {steps[0].title.lower()}." if steps else "Finished: measure it."
    if found.on_cloth and not found.on_cloth.relaid.fits:
        return "The finished cloth does not take all pieces as they are; there are ways below."
    if open_checks:
        return f"Next: {open_checks[0].do[:1].lower()}{open_checks[0].do[1:]}"
    return "All checks are settled."


def sections(found: Finish, *, imperial: bool) -> Iterator[tuple[str, list[str]]]:
    """The whole answer as headings with their sentences."""
    yield "", [headline(found)]
    yield (
        "Asked",
        [
            *(missed_sentences(found.measured.missed, imperial=imperial) if found.measured.missed else ()),
            *map(literal, found.asked),
        ],
    )
    rows = [": ".join((row[0], "; ".join(filter(None, row[1:])))) for row in measured_rows(found, imperial=imperial)]
    yield "Measured off the loom", [*rows, *measured_sentences(found, imperial=imperial)]
    yield "The recipe", [*recipe_sentences(found.recipe), *(_step(found, one, imperial) for one in found.recipe.steps)]
    yield "As it was done", list(map(literal, done_words(found.recipe)))
    cloth = found.cloth
    yield (
        "The cloth that there is",
        [
            *(literal(one.sentence) for one in found.to_settle),
            *(cloth_sentences(cloth, found.on_cloth, imperial=imperial) if cloth else ()),
            *(answer_sentences(found.on_cloth, imperial=imperial) if found.on_cloth else ()),
            *(flaw_sentence(one, imperial=imperial) for one in (cloth.flaws if cloth else ())),
        ],
    )
    if found.on_cloth:
        ways = [" ".join(way_sentences(way, imperial=imperial)) for way in found.on_cloth.ways]
        yield "These ways, least given up first", [*ways, *filter(None, [tried_sentence(found.on_cloth)])]
    for stage, checks in checks_by_stage(found):
        yield stage, [f"{one.key}: {one.do} [{check_state(one)}]" for one in checks]
    yield "Take care", cautions(found)


def cautions(found: Finish) -> list[str]:
    """What to take care of in finishing, and at the checks that are not settled."""
    return [*found.cautions, *(one.caution for one in found.checks if one.caution and not one.settled)]


def done_in_words(step: RecipeStep, one: DonePart) -> str:
    """A step as it was done: only that it was, where nothing more was written down."""
    _, _, told = in_words(step.title, one).partition(": ")
    return f"Done: {told}." if told else "Done."


def _step(found: Finish, step: RecipeStep, imperial: bool) -> str:
    done = " [done]" if found.is_done(step) else ""
    return f"{step_title(step, imperial=imperial)}{done}. {' '.join(step_lines(step))}"
