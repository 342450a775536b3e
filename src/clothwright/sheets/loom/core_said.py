"""What the core words itself at the loom, said in another language: each sentence by its shape, its figures filled in again.

The core knows no language. A sentence of it that a phone shows has its shape here, in the English of the core, with a name for each figure or
name in it; the catalogue has the shape. A sentence of no shape stays English. A test makes sentences by the core and holds the shapes to them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from typing import Final

from clothwright.sheets.translating import ENGLISH, Language, to_say

SHAPES: Final = (
    # how beat and width move
    to_say("The beat is about as it was: {now} g a cm from {start} to {end} cm, {before} before ({change})."),
    to_say("The beat has grown heavier: {now} g a cm from {start} to {end} cm, {before} before ({change})."),
    to_say("The beat has grown lighter: {now} g a cm from {start} to {end} cm, {before} before ({change})."),
    to_say(
        "The weft weighs heavier though the picks have hardly changed, so the yarn may be thicker here: {now} g a cm from {start} to {end} cm, {before} before ({change})."
    ),
    to_say(
        "The weft weighs lighter though the picks have hardly changed, so the yarn may be finer here: {now} g a cm from {start} to {end} cm, {before} before ({change})."
    ),
    to_say("{picks} picks per cm at {place} cm, closer than before ({change})."),
    to_say("{picks} picks per cm at {place} cm, more open than before ({change})."),
    to_say("{picks} picks per cm at {place} cm."),
    to_say("{width} cm wide at the fell at {place} cm, narrower than before ({change})."),
    to_say("{width} cm wide at the fell at {place} cm, wider than before ({change})."),
    to_say("{width} cm wide at the fell at {place} cm."),
    # what is asked
    to_say("{entry} came with other content than {other}: which is right? The first counts until you say."),
    to_say("{entry} has {woven} cm woven after {most} cm: taken as woven back. A slip of the tape?"),
    to_say(
        "{entry} has {woven} cm woven and came after {most} cm: taken as late in coming. If cloth was taken out, say woven back."
    ),
    to_say(
        "{yarn}: {before} g at {start} cm, and {after} g at {end} cm. Was more of it found, or is one a slip of the scale? That stretch is not reckoned with."
    ),
    to_say(
        "{what} lies {spreads} spreads from what was expected. A slip, or measured while slack? It is kept, with less weight until another bears it out."
    ),
    to_say(
        "{entry}: {off} off the loom, where the marks add up to {marks} cm and about {expected} cm was expected. Missed a mark, or counted one twice? Some of it goes when tension is let go."
    ),
    to_say(
        "{entry}: {off} off the loom, where the marks add up to {marks} cm and about {expected} cm was expected. Missed a mark, or counted one twice?"
    ),
    to_say("Nothing has been weighed yet, so whether the weft lasts is not known; weigh it at the next mark."),
    to_say(
        "The pieces as they are laid reach to about {reach} cm, and {end} cm are to be woven: search for layouts, or weave on."
    ),
    # what is done at a stop line
    to_say("take a way out there"),
    to_say("start the other yarn"),
    # why an entry of the log does not count
    to_say("came with other content than {other}; which is right?"),
    to_say("corrected by {entry}"),
    to_say("{entry} stands in its place"),
    to_say("taken back"),
    # ways out: what, what it changes, what it costs
    to_say("Beat lighter"),
    to_say("{share} fewer picks from here on, {now} picks per cm instead of {before}"),
    to_say("{share} fewer picks from here on"),
    to_say("the rest is more open, and may shrink a little more; beyond a tenth it would look like another cloth"),
    to_say("Go on with {yarn}"),
    to_say("where {yarn} ends, at about {place} cm"),
    to_say("it shows where the yarns differ; wash a piece of both first"),
    to_say("Another yarn over the last {length} cm before {end} cm"),
    to_say("Another yarn over the last {length} cm"),
    to_say("from {place} cm on, of like thickness; it falls on {pieces}"),
    to_say("from {place} cm on, of like thickness"),
    to_say("Stop sooner"),
    to_say("at {stop} cm instead of {end} on the loom, about {finished} cm finished instead of {before}"),
    to_say("at {stop} cm instead of {end} on the loom"),
    to_say("{length} cm of cloth"),
    to_say("Cut what does not show from another cloth"),
    to_say("Let pieces be turned end for end"),
    to_say("Smaller seam allowances"),
    to_say("Lay the pieces anew"),
    to_say("another cloth for them"),
    to_say("only where the cloth looks the same both ways up"),
    to_say("less cloth to let out, and more fraying; staystitch before cutting"),
    to_say("nothing"),
    to_say("on the cloth as it now is; stop at {stop} cm instead of {end} on the loom, {finished} cm finished"),
    to_say(
        "{less} less all round, where every edge carries an allowance of {allowance} or so; stop at {stop} cm instead of {end} on the loom, {finished} cm finished"
    ),
    to_say("{pieces}; stop at {stop} cm instead of {end} on the loom, {finished} cm finished"),
    to_say("A band at the foot of {piece}"),
    to_say("A band at the top of {piece}"),
    to_say(
        "{depth} cm finished in another yarn, on every copy alike, woven at {places}. The hem turns it under. It crosses {pieces}"
    ),
    to_say("{depth} cm finished in another yarn, on every copy alike, woven at {places}. It crosses {pieces}"),
    to_say(
        "{depth} cm finished in another yarn, on its one copy, woven at {start} to {end} cm. The hem turns it under. It crosses {pieces}"
    ),
    to_say("Beat lighter, and {way}"),
    to_say("{share} fewer picks from here on; {change}"),
    to_say("a more open rest; {costs}"),
    to_say("a more open rest"),
    to_say("{depth} cm finished in another yarn, on its one copy, woven at {start} to {end} cm. It crosses {pieces}"),
    to_say(
        "{depth} cm finished in another yarn, on its one copy, woven at {start} to {end} cm. It crosses nothing else"
    ),
    to_say("about {grams} g of another yarn, washed with a piece of this cloth first"),
)
_NAME: Final = re.compile(r"\\\{(\w+)\\\}")


def said_of_core(sentence: str, says: Language = ENGLISH) -> str:
    """A sentence of the core in a language; as it is where it has no shape, or the language is English."""
    if says == ENGLISH:
        return sentence
    for shape, found in shapes_of(SHAPES, sentence):
        return says(shape, **{name: _said_within(value, says) for name, value in found.items()})
    return sentence


def shapes_of(shapes: tuple[str, ...], sentence: str) -> Iterator[tuple[str, dict[str, str]]]:
    """The shapes that a sentence has, the first first, each with what stands in it for its names."""
    for shape, form in _forms(shapes):
        if found := form.fullmatch(sentence):
            yield shape, found.groupdict()


def _said_within(value: str, says: Language) -> str:
    """A figure or name within a sentence; a way out taken with another is said there too, and begins small."""
    whole = value[:1].upper() + value[1:]
    for one in (value, whole):
        if (said := said_of_core(one, says)) != one:
            return said
    return says.figure(value)


@cache
def _forms(shapes: tuple[str, ...]) -> tuple[tuple[str, re.Pattern[str]], ...]:
    """Each shape with what it is found by: a name stands for any figure or words."""
    return tuple((shape, re.compile(_NAME.sub(r"(?P<\1>.+?)", re.escape(shape)))) for shape in shapes)
