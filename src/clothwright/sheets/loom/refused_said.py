"""Why an entry of a phone could not be used, and why there is no forecast, said in another language by their shapes.

What is kept with an entry is the English of the core. Where a sentence, or a part of it, has no shape here, the phone is told in its own
language that it could not be used and where the reason stands: no English is left on a page in another language.
"""

from __future__ import annotations

import re
from typing import Final

from clothwright.sheets.loom.core_said import shapes_of
from clothwright.sheets.translating import ENGLISH, Language, to_say

#: What became of the entry, around why.
_FRAMES: Final = (
    to_say("“{way}” is not taken: {why}; it is kept as it came"),
    to_say("{why}; it is kept as it came, and is not in the log"),
    to_say("{why}; it is kept as it came, and not taken"),
    to_say("{why}; it is kept as it came"),
)
#: What stands in an entry, by its name there.
_FIELDS: Final = {
    "woven": to_say("Woven so far"),
    "weighed": to_say("Weigh a ball"),
    "weft_left": to_say("Weigh a ball"),
    "yarn": to_say("Yarn"),
    "gross": to_say("On the scale"),
    "core": to_say("Core"),
    "beside": to_say("Beside it"),
    "picks": to_say("Picks over a length"),
    "count": to_say("Picks counted"),
    "over": to_say("over, on the loom"),
    "width_at_fell": to_say("Width at the fell"),
    "happened": to_say("Knot, break, join"),
    "what": to_say("What"),
    "at": to_say("Where along the cloth"),
    "end": to_say("Which end"),
    "repeats": to_say("Repeats"),
    "panel": to_say("Panel"),
    "advances": to_say("Wound on, times"),
    "minutes": to_say("Minutes woven"),
    "corrects": to_say("Correction"),
}
_WHY: Final = (
    to_say("“{came}”: {text} what? Write {one} or {other}"),
    to_say("“{came}”: is that {one} or {other}? Write it without the comma"),
    to_say("“{name}”: no yarn has that name; there are {names}"),
    to_say(
        "“{name}”: no core has that name; there are {names}. Weigh an empty one and list it under [[core]], or leave core out and the weight is a band"
    ),
    to_say("“{key}”: no entry before this one has that key, and an entry corrects an earlier one"),
    to_say("“{came}”: {why}; write it as {form}, {forms} or {last}"),
    to_say("“{came}” came; write {least} or more"),
    to_say("“{came}” came; write more than 0"),
    to_say("“{came}” came; write a whole number"),
    to_say("“{came}” came; input should be a valid number, unable to parse string as a number"),
    to_say("{gross} of {yarn} with what core? Give core as a weight or by its name; 0 g where there is none"),
    to_say("the core of {core} weighs more than the {gross} it was weighed with"),
    to_say("{yarn} was weighed with how much woven? Add woven, as 60 cm"),
    to_say("an entry without a key of its own; entries carry one made on the phone"),
    to_say("an entry of more than {number} letters"),
    to_say("an entry with a sign in it that nothing can keep, of number 0"),
    to_say("an entry of this key belongs to another project"),
    to_say("another entry of the same key is here already; both stay where they are"),
    to_say("it speaks of a colour order that this project does not know"),
    to_say("ends {first} to {last} of an order of {number} ends"),
    to_say("what is to be woven was changed meanwhile, so look again at the ways out"),
    to_say("it begins at {place} cm, and {woven} cm are woven by now"),
    to_say("these entries are of “{other}”, not of “{project}”; bring them in there"),
    to_say("{number} entries came; at most {most} are taken in at once"),
)
#: Why a quantity could not be read.
_OF_A_QUANTITY: Final = (
    to_say("it is not a measure"),
    to_say("it must be more than nothing"),
    to_say("it is too large to be measured"),
    to_say("the low end is above the high end"),
    to_say("{text} has no unit that is known here"),
    to_say("{text} is not a number"),
    to_say("{text} divides by nothing"),
    to_say("{text} holds more than one measure; write one, or its sum"),
)
_NO_FORECAST: Final = (
    to_say("nothing has been weighed yet; log what is left of the weft"),
    to_say(
        "{yarn}: {grams} g at {place} cm says what is left and not how fast it goes; it takes two weighings with some grams used between them, one weighing is not enough: log what there was at 0 cm, or weigh at the next mark"
    ),
    to_say("how much is to be woven in all?"),
)
#: How a file would say it, which is of no use on a phone.
_IN_A_FILE: Final = re.compile(r", as weft_left = .*| Give to_weave = .*")
_PLACE: Final = re.compile(r"([a-z_]+(?: \d+)?(?:, [^:“]+)?): (.+)")


def refused_said(sentence: str, says: Language = ENGLISH) -> str:
    """Why an entry could not be used, in a language."""
    if says == ENGLISH or not sentence:
        return sentence
    for frame, found in shapes_of(_FRAMES, sentence):
        why = _problems(found.pop("why"), says) or says("there is something in it that does not fit")
        return says(frame, why=why, **found)
    return _problems(sentence, says) or says(
        "it could not be used; the page Phones of the project says why, in English"
    )


def no_forecast_said(why: str, says: Language = ENGLISH) -> str:
    """That there is no forecast yet, and why."""
    if says == ENGLISH:
        return f"No forecast yet: {why}."
    for shape, found in shapes_of(_NO_FORECAST, _IN_A_FILE.sub("", why)):
        return says("No forecast yet: {why}.", why=says(shape, **_figures(found, says)))
    return says("No forecast yet: the page of the project says what is still to be settled, in English.")


def _problems(text: str, says: Language) -> str:
    """Several problems parted by semicolons, or one, which may have semicolons too; nothing where one of them has no shape."""
    for parted in re.finditer("; ", text):
        first = _problem(text[: parted.start()], says)
        if first and (rest := _problems(text[parted.end() :], says)):
            return f"{first}; {rest}"
    return _problem(text, says)


def _problem(text: str, says: Language) -> str:
    """A problem with its place, or without; nothing where it has no shape."""
    if said := _why(text, says):
        return said
    placed = _PLACE.fullmatch(text)
    if placed is None or not (said := _why(placed[2], says)):
        return ""
    names = [re.sub(r" \d+$", "", step) for step in placed[1].split(", ")]
    where = [says(_FIELDS[name]) for name in names if name in _FIELDS]
    return f"{where[-1]}: {said}" if where else said


def _why(text: str, says: Language) -> str:
    for shape, found in shapes_of(_WHY, text):
        if "why" not in found:
            return says(shape, **_figures(found, says))
        for inner, within in shapes_of(_OF_A_QUANTITY, found["why"]):
            return says(shape, **_figures(found, says) | {"why": says(inner, **within)})
    return ""


def _figures(found: dict[str, str], says: Language) -> dict[str, str]:
    """What stands in a shape; what was typed stays as it was typed, and none in place of names is said."""
    as_typed = ("came", "text", "name", "key", "yarn", "other", "project")
    return {
        name: value if name in as_typed else says("none") if value == "none" else says.figure(value)
        for name, value in found.items()
    }
