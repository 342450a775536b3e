"""How the choices of a garment are said: on the page and by the command alike."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from clothwright.planning import Choice, Choices
from clothwright.sheets.wording import LENGTH, YARN, Rounding, chances, counted, literal, spare

_GIVEN_UP: Final = {
    "one way": "One way given up: pieces are turned end for end, if the cloth looks the same both ways up",
    "a join": "A join more to sew",
    "other cloth": "Pieces from other cloth",
    "one warp": "Two warps instead of one",
    "this loom": "Woven on another loom",
}
_THREE: Final = "Three warps instead of one"


def given_up(one: Choice) -> str:
    """What is given up, in words, with how."""
    return "Nothing given up" if not one.given_up else how(one)


def how(one: Choice) -> str:
    """How it is done, at which heddle."""
    said = literal(one.how)
    return f"{said[:1].upper()}{said[1:]}, {literal(one.heddle)} heddle"


def takes(one: Choice, *, imperial: bool) -> str:
    """Yarn, against the plan as it stands, and the chance that it lasts, in a sentence."""
    yarn = YARN.text(one.yarn_m, imperial=imperial, rounding=Rounding.UP)
    good = "; as good as the best of its kind, as far as layouts tell" if one.as_good else ""
    lasts = f"{chances(one.chance_enough)} that it lasts, {spare(one.spare_m, YARN, imperial=imperial)}"
    return f"{yarn} of yarn{_against(one, imperial)}; {lasts}{good}."


def _against(one: Choice, imperial: bool) -> str:
    if abs(one.saves_m) < 0.5:
        return ""
    if one.saves_m > 0:
        return f", {YARN.text(one.saves_m, imperial=imperial, rounding=Rounding.DOWN)} less"
    return f", {YARN.text(-one.saves_m, imperial=imperial, rounding=Rounding.UP)} more"


def warps(one: Choice, *, imperial: bool) -> list[str]:
    """Each warp: ends, length, the finished cloth; what is cut from it where there are several."""
    return [
        f"{warp.ends} ends, {_up(warp.warp_cm, imperial)} long; finished {_up(warp.cloth_width_cm, imperial)} by "
        f"{_up(warp.cloth_length_cm, imperial)}{_on(warp.loom)}{_cut_from(one, warp.pieces)}"
        for warp in one.warps
    ]


def _on(loom: str) -> str:
    return f", on the {literal(loom)}" if loom else ""


def _cut_from(one: Choice, pieces: tuple[str, ...]) -> str:
    return f": {literal(', '.join(pieces))}" if len(one.warps) > 1 else ""


def _up(cm: float, imperial: bool) -> str:
    return LENGTH.text(cm, imperial=imperial, rounding=Rounding.UP)


def by_kind(answer: Choices) -> Iterator[tuple[str, list[Choice]]]:
    """The choices by what is given up, nothing first."""
    for kind in dict.fromkeys(one.given_up for one in answer.choices):
        title = _THREE if kind[:2] == ("one warp", "two warps") else "; ".join(_GIVEN_UP[what] for what in kind)
        title = title or "Nothing given up"
        yield title, [one for one in answer.choices if one.given_up == kind]


def notes(answer: Choices) -> list[str]:
    """How many plans were made, what came to nothing, and how exact it is."""
    more = f" {counted(answer.left_out, 'way')} more not planned, for time." if answer.left_out else ""
    said = [
        f"{counted(answer.planned, 'plan')} made, by first guesses of layouts; within 2 % of each other they count as equal.{more}"
    ]
    return said + [f"Comes to nothing: {literal(one)}." for one in answer.not_laid]
