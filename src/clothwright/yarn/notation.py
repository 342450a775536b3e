"""Whole yarns as people and ISO 1139 write them, read and written.

Single to fold, in the order of making, each fold with its twist and at the end the resultant as measured:

    40 tex Z 660                                a single with 660 turns a metre
    34 tex S 600 x 2 Z 400; R 69.3 tex          two of them folded
    20 tex Z 700 x 2 S 400 x 3 Z 200            three such folded yarns cabled
    (25 tex S 420 + 60 tex Z 80) S 360          unlike strands in brackets

Fold to single, from the finished yarn inwards:

    R 69.3 tex Z 400 / 2 S 600; 34 tex
    R 132 tex Z 200 / 3 S 400 / 2 Z 700; 20 tex

Any count with its system may stand where tex stands: 8/2 cotton, (60s cotton + 40s cotton) x 3, 2/16 worsted; R 115 tex.
Mills that count in hanks write folds with a stroke after the system: 24 Ne Z 15 tpi / 5 S 9 tpi / 3 Z 5 tpi; R 1.4 Ne.

*Source*: ISO 1139:2025 names the two orders; the examples are from memory of ISO 1139:1973.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby
from typing import Final

from clothwright.measure import CM_PER_INCH, Grist, QuantityError
from clothwright.measure.numbers import PLAIN, Ask, NumberError, plainly, read_number
from clothwright.yarn.construction import Construction, Folded, Single, Twist, YarnNumber, measured_at, singles
from clothwright.yarn.numbering import LENGTH_PER_WEIGHT, MOST_STRANDS, read_count, system_named

ACCEPTED: Final = "220 m/100 g, 1700 yd/lb, 8/2 cotton, 2/16 worsted, 2/17 Nm, R 69.3 tex, 34 tex x 2 or 15 cut (300)"
#: What is measured lies between these shares of what the strands weigh together, or one of the two is a slip.
_RESULTANT_OF_NOMINAL: Final = (0.9, 2.0)
#: Marks singles that were not numbered: R 74 tex / 2.
_UNNUMBERED: Final = "not numbered"
_LONGEST: Final = 600
_MOST_BRACKETS: Final = 12

_TURNS: Final = rf"{PLAIN}\s*(?:(?:turns\s*)?(?:/|per)\s*(?:metre|m|inch|in)\b|t/m|t/in|tpm|tpi)?"
_TWIST: Final = rf"(?:[SZ](?:\s*{_TURNS})?|[sz]\s*{_TURNS}|t\s*0)"
_FOLDS: Final = rf"(?P<inner>.+?)(?:\s+x|(?<=\))\s*x|\s*×)\s*(?P<times>\d+)(?:\s*(?P<twist>{_TWIST}))?"
_STROKE: Final = rf"(?P<inner>.*(?:[A-Za-z)]|\s{_TWIST}))\s*/\s*(?P<times>\d+)(?:\s*(?P<twist>{_TWIST}))?"
_RESULTANT: Final = r"(?P<body>.+?)\s*;\s*R\s*(?P<resultant>[^;]+)"
_FROM_FOLD: Final = rf"R\s*(?P<resultant>{PLAIN}\s*(?:d|k)?tex)(?:\s*(?P<twist>{_TWIST}))?\s*/\s*(?P<inner>.+)"
_FROM_SINGLE: Final = rf"R\s*(?P<resultant>{PLAIN}\s*(?:d|k)?tex)(?P<rest>[^;/]*);\s*(?P<inner>[^;/]+)"


def read_yarn(text: str) -> YarnNumber:
    """The number of a yarn, single, folded or cabled, as typed; QuantityError, with the question, when unclear."""
    text = text.strip()
    try:
        if len(text) > _LONGEST or text.count("(") > _MOST_BRACKETS:
            raise NumberError("it is too long for a yarn number")
        return _yarn(text)
    except NumberError as error:
        raise QuantityError.because(text, error, ACCEPTED) from None


def read_grist(text: str) -> Grist:
    """Metres per gram from a label, a ratio with or without a spread, or a count; the text is kept."""
    try:
        return Grist.read(text)
    except QuantityError as refusal:
        if not refusal.other_kind:
            raise
    return Grist.exactly(read_yarn(text).m_per_g, text.strip())


def leaves_out_folding(text: str) -> bool:
    """Whether a text is the number of a folded yarn that says nothing of what folding took up, as 8/2 cotton."""
    try:
        return read_yarn(text).leaves_out_folding
    except QuantityError:
        return False


def _yarn(text: str) -> YarnNumber:
    if found := re.fullmatch(_FROM_FOLD, text):
        return _from_fold(text, found["resultant"], found["twist"], found["inner"])
    if found := re.fullmatch(_FROM_SINGLE, text):
        return _measured(_number(text, _made(found["inner"] + found["rest"])), _resultant(found["resultant"]))
    if found := re.fullmatch(_RESULTANT, text):
        return _measured(_number(text, _made(found["body"])), _resultant(found["resultant"]))
    return _number(text, _made(text))


def _number(text: str, made: Construction) -> YarnNumber:
    every = singles(made)
    if len({(strand.system, strand.m_per_g) for strand in every}) > 1:
        system = "folded"
    else:
        system = every[0].system
    return YarnNumber(text, made.m_per_g, tuple(strand.m_per_g for strand in every), system, made)


def _resultant(text: str) -> float:
    made = read_count(text.strip())
    if isinstance(made, Folded):
        raise NumberError("the resultant is one number: write ; R 69.3 tex")
    return made.m_per_g


def _measured(yarn: YarnNumber, measured_m_per_g: float) -> YarnNumber:
    least, most = _RESULTANT_OF_NOMINAL
    nominal, measured = 1000 / yarn.nominal_m_per_g, 1000 / measured_m_per_g
    if not least <= measured / nominal <= most:
        raise Ask(
            f"the strands come to {nominal:.4g} tex and the resultant to {measured:.4g}: which is right? "
            "R is the whole yarn, as 34 tex x 2; R 69.3 tex"
        )
    return measured_at(yarn, measured_m_per_g)


def _made(text: str) -> Construction:
    """A yarn of the single-to-fold order: strands with a + between, folds with an x, brackets, twist."""
    text = text.strip()
    parts = _split(text)
    if len(parts) > 1:
        if not all(part.strip() for part in parts):
            raise Ask("a + stands between two strands: write 60s cotton + 40s cotton")
        return _folded([_made(part) for part in parts], None)
    if found := re.fullmatch(_FOLDS, text):
        return _times(_made(found["inner"]), int(found["times"][:6]), found["twist"])
    if found := re.fullmatch(rf"\((.+)\)(?:\s*({_TWIST}))?", text):
        return _twisted(_made(found[1]), found[2])
    if re.fullmatch(r"\d+\s*[x×]\s*.+", text):
        raise Ask("write how many strands after the yarn: 34 tex x 2")
    return _plain(text)


def _plain(text: str) -> Construction:
    """A count with its filaments and its twist, or a count in hanks folded with a stroke after its system."""
    stroke = re.fullmatch(_STROKE, text)
    if stroke and (inner := _before_stroke(stroke["inner"])) is not None:
        return _times(inner, int(stroke["times"][:6]), stroke["twist"])
    found = re.fullmatch(rf"(.+?)(?:\s+f\s*(\d{{1,6}}))?(?:\s+({_TWIST}))?", text)
    count, filaments, twist = (found[1], found[2], found[3]) if found else (text, None, None)
    made = read_count(count.strip())
    if filaments and isinstance(made, Single):
        made = replace(made, filaments=int(filaments))
    return _twisted(made, twist)


def _before_stroke(inner: str) -> Construction | None:
    """What stands before a stroke, if it is a whole yarn: 24 Ne Z 15 tpi. Of tex it is a question."""
    try:
        made = _plain(inner.strip())
    except (NumberError, QuantityError):
        return None
    of = system_named(singles(made)[0].system)
    if of is None and singles(made)[0].system == LENGTH_PER_WEIGHT:
        return None
    if of is not None and of.direct:
        raise Ask("is that the number of one strand or of the folded yarn? Write 34 tex x 2, or R 68 tex / 2")
    return made


def _twisted(made: Construction, twist: str | None) -> Construction:
    return replace(made, twist=_twist(twist)) if twist else made


def _times(made: Construction, times: int, twist: str | None) -> Folded:
    _not_too_many(times, made)
    return _folded([made] * times, twist)


def _folded(parts: Sequence[Construction], twist: str | None) -> Folded:
    return Folded(tuple(parts), _twist(twist) if twist else None)


def _twist(text: str) -> Twist:
    if text[0] == "t":
        return Twist("")
    direction, turns = text[0].upper(), re.match(PLAIN, text[1:].strip())
    if not turns:
        return Twist(direction)
    per_inch = re.search(r"in|tpi", text[1:])
    number = read_number(turns[0]) * (100 / CM_PER_INCH if per_inch else 1)
    if not 0 < number < 1e6:
        raise NumberError("a twist has some turns to the metre; write t 0 for none")
    return Twist(direction, number)


def _split(text: str) -> list[str]:
    """Strands of a text, split at each + outside brackets; the + of +/- is a spread."""
    found, depth, start = [], 0, 0
    for place, sign in enumerate(text):
        depth += (sign == "(") - (sign == ")")
        if sign == "+" and depth == 0 and text[place + 1 : place + 2] not in ("/", "-"):
            found.append(text[start:place])
            start = place + 1
    return [*found, text[start:]]


def _from_fold(text: str, resultant: str, twist: str | None, inner: str) -> YarnNumber:
    """A yarn of the fold-to-single order; where the singles are not numbered, they share the resultant."""
    measured = _resultant(resultant)
    parts = _components(inner, measured)
    if sum(len(singles(part)) for part in parts) > MOST_STRANDS:
        raise NumberError("so many strands cannot be folded together")
    made = _folded(parts, twist)
    unnumbered = {strand.system == _UNNUMBERED for strand in singles(made)}
    if unnumbered == {False}:
        return _measured(_number(text, made), measured)
    if unnumbered == {True}:
        return _number(text, _shared(replace(made, counted_whole=True), measured / made.m_per_g))
    raise NumberError("some strands have their number and some not; write all, as R 69.3 tex / 2; 34 tex")


def _shared(made: Construction, times: float) -> Construction:
    """The yarn with singles so many times finer, so that together they come to the resultant."""
    if isinstance(made, Single):
        return replace(made, m_per_g=made.m_per_g * times, system="tex")
    return replace(made, parts=tuple(_shared(part, times) for part in made.parts))


def _components(text: str, unknown_m_per_g: float) -> tuple[Construction, ...]:
    """What stands after a stroke: how many, their twist, then a stroke and what they are made of, or ; and the single."""
    text = text.strip()
    if bracket := re.fullmatch(r"\((.+)\)", text):
        return tuple(one for part in _split(bracket[1]) for one in _components(part, unknown_m_per_g))
    if len(parts := _split(text)) > 1:
        return tuple(one for part in parts for one in _components(part, unknown_m_per_g))
    found = re.fullmatch(rf"(\d+)?\s*({_TWIST})?\s*(?:([/;])\s*(.+))?", text)
    if not found or not text:
        return (_made(text),)
    times, twist, mark, rest = found.groups()
    if mark == "/":
        one: Construction = _folded(_components(rest, unknown_m_per_g), twist)
    else:
        one = _twisted(_made(rest) if mark else Single(unknown_m_per_g, system=_UNNUMBERED), twist)
    number = int((times or "1")[:6])
    _not_too_many(number, one)
    return (one,) * number


def _not_too_many(times: int, made: Construction) -> None:
    if times < 1:
        raise NumberError("a yarn is folded of one strand or more")
    if times * len(singles(made)) > MOST_STRANDS:
        raise NumberError(f"{times} strands cannot be folded together")


def single_to_fold(yarn: YarnNumber) -> str:
    """The yarn in the order of its making, in tex: 34 tex S 600 x 2 Z 400; R 69.3 tex."""
    made = yarn.construction or Single(yarn.m_per_g)
    resultant = f"; R {_tex(yarn.m_per_g)} tex" if yarn.take_up is not None else ""
    return _written(made) + resultant


def fold_to_single(yarn: YarnNumber) -> str:
    """The yarn from the finished yarn inwards: R 69.3 tex Z 400 / 2 S 600; 34 tex. Unmeasured, R is the strands' sum."""
    made = yarn.construction or Single(yarn.m_per_g)
    if isinstance(made, Single):
        resultant = f"R {_tex(yarn.m_per_g)} tex{_twist_written(made.twist)}; " if yarn.take_up is not None else ""
        return f"{resultant}{_written(replace(made, twist=None) if resultant else made)}"
    tex = _tex(yarn.m_per_g) if yarn.take_up is not None else plainly(_sum_as_written(made), 6)
    return f"R {tex} tex{_twist_written(made.twist)} / {_components_written(made.parts)}"


def _tex(m_per_g: float) -> str:
    """Tex to four figures, without an exponent."""
    return plainly(1000 / m_per_g, 4)


def _sum_as_written(made: Construction) -> float:
    return sum(float(_tex(strand.m_per_g)) for strand in singles(made))


def _twist_written(twist: Twist | None) -> str:
    if twist is None:
        return ""
    if not twist.direction:
        return " t 0"
    return f" {twist.direction}" + (f" {twist.per_metre:.4g}" if twist.per_metre else "")


def _written(made: Construction) -> str:
    if isinstance(made, Single):
        filaments = f" f {made.filaments}" if made.filaments else ""
        return f"{_tex(made.m_per_g)} tex{filaments}{_twist_written(made.twist)}"
    if len(set(made.parts)) == 1:
        return f"{_written(made.parts[0])} x {len(made.parts)}{_twist_written(made.twist)}"
    return f"({' + '.join(map(_written, made.parts))}){_twist_written(made.twist)}"


def _components_written(parts: tuple[Construction, ...]) -> str:
    if len(set(parts)) == 1:
        return _component(parts[0], len(parts))
    runs = [(part, len(list(same))) for part, same in groupby(parts)]
    return f"({' + '.join(_component(part, times) for part, times in runs)})"


def _component(part: Construction, times: int) -> str:
    head = f"{times if times > 1 else ''}{_twist_written(part.twist)}".strip()
    if isinstance(part, Folded):
        return f"{head or 1} / {_components_written(part.parts)}"
    single = _written(replace(part, twist=None))
    return f"{head}; {single}" if head else single
