"""How joins, and pieces of other cloth, are said: on the page and by the command alike."""

from __future__ import annotations

from clothwright.planning import JoinProposal, JoinsAnswer, Movable, OtherCloth, OtherLay
from clothwright.sheets.wording import LENGTH, WEIGHT, YARN, Rounding, chances, counted, literal, spare


def opening(answer: JoinsAnswer, *, imperial: bool) -> list[str]:
    """The cloth reckoned with, what is too wide for it, and what the garment takes as it is."""
    of = "as asked" if answer.asked else "the widest the loom finishes at the trust asked"
    usable = LENGTH.text(answer.usable_cm, imperial=imperial, rounding=Rounding.DOWN)
    said = [f"The cloth has {usable} of usable width, {of}."]
    for name, width in answer.too_wide:
        said.append(f"{literal(name)} is {LENGTH.text(width, imperial=imperial, rounding=Rounding.UP)} wide: too wide.")
    if not answer.too_wide:
        said.append("Every piece fits on it.")
    if answer.as_it_is:
        yarn = YARN.text(answer.as_it_is.yarn_m, imperial=imperial, rounding=Rounding.UP)
        said.append(
            f"As it stands the garment takes {yarn}; {chances(answer.as_it_is.chance_enough)} that the yarn lasts."
        )
        if not answer.savings:
            said.append("No join was found that saves yarn.")
    return said


def what(one: JoinProposal) -> str:
    """What is joined how, beginning with a capital."""
    said = literal(one.what)
    return said[:1].upper() + said[1:]


def facts(one: JoinProposal, *, imperial: bool) -> list[tuple[str, str]]:
    """What a proposal takes, each with its name."""
    took = one.takes
    yarn = YARN.text(took.yarn_m, imperial=imperial, rounding=Rounding.UP)
    grams = WEIGHT.text(took.yarn_g, imperial=imperial, rounding=Rounding.UP)
    width, length, warp = (
        LENGTH.text(cm, imperial=imperial, rounding=Rounding.UP)
        for cm in (took.cloth_width_cm, took.cloth_length_cm, took.warp_cm)
    )
    saves = [("Against as it stands", _saves(one.saves_m, imperial))] if one.saves_m is not None else []
    return [
        ("Yarn", f"{yarn}, {grams}"),
        *saves,
        ("Lasts", f"{chances(took.chance_enough)}; {spare(took.spare_m, YARN, imperial=imperial)}"),
        ("Warp", f"{took.ends} ends, {warp} long"),
        ("Finished cloth", f"{width} wide, {length} long"),
        ("To sew", f"{LENGTH.text(one.seams_cm, imperial=imperial, rounding=Rounding.UP)} of joins"),
        *([("Beside the others", "as good as the best, as far as layouts tell")] if one.as_good else []),
    ]


def _saves(m: float, imperial: bool) -> str:
    if m >= 0:
        return f"{YARN.text(m, imperial=imperial, rounding=Rounding.DOWN)} less"
    return f"{YARN.text(-m, imperial=imperial, rounding=Rounding.UP)} more"


def saves(one: Movable, *, imperial: bool) -> str:
    """What moving a piece to another cloth saves, in a sentence."""
    if one.saves_m < 0.5:
        return f"Moving {_it(one)} saves no yarn: cloth would be left over there instead."
    yarn, grams, cloth = (
        kind.text(value, imperial=imperial, rounding=Rounding.DOWN)
        for kind, value in ((YARN, one.saves_m), (WEIGHT, one.saves_g), (LENGTH, one.saves_cm))
    )
    return f"Moving {_it(one)} saves {yarn}, {grams}, as much as {cloth} of the finished cloth takes."


def _it(one: Movable) -> str:
    return "it" if len(one.moved) + len(one.hems) == 1 else "them"


def needs(one: Movable, *, imperial: bool) -> str:
    """What is needed of the other cloth, in a sentence."""
    return f"Needed of the other cloth: {_lay(one.needs, imperial)}."


def why(one: Movable) -> str:
    """What speaks for moving it, and that its name is all that was gone by."""
    reason = one.why[:1].upper() + one.why[1:]
    return f"{reason}. Found by its name: confirm." if one.guess else f"{reason}."


def already(other: OtherCloth, *, imperial: bool) -> list[str]:
    """What comes from another cloth already, a sentence for each cloth."""
    return [
        f"From {literal(material)} already: {literal(', '.join(pieces))}; needed of it: {_lay(lay, imperial)}."
        for material, pieces, lay in other.already
    ]


def _lay(lay: OtherLay | None, imperial: bool) -> str:
    if lay is None:
        return "a wider one, a piece does not fit on it"
    width, length = (LENGTH.text(cm, imperial=imperial, rounding=Rounding.UP) for cm in (lay.width_cm, lay.length_cm))
    return f"{length} of cloth {width} wide"


def panels_counted(one: JoinProposal) -> str:
    """How many panels there are to cut in all."""
    return counted(sum(panel.cut for panel in one.panels), "panel")
