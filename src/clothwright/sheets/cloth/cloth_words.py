"""How a cloth's picture is said: its stripes, what looks alike to whom, and what meets where pieces are sewn."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from clothwright.colours import Likeness, Sight
from clothwright.measure import CM_PER_INCH
from clothwright.planning.cloth.cloth_on_pieces import CutPiece, Meeting
from clothwright.planning.cloth.cloth_picture import ClothPicture, ClothState, Contrast, Stripe, stripes_of
from clothwright.sheets.wording import LENGTH, THREADS, counted, literal, percent

#: So many stripes are told one by one; of more, each yarn's share.
MOST_TOLD: Final = 14
_STATES: Final = {
    ClothState.FINISHED: "finished",
    ClothState.ON_LOOM: "on the loom, at the sett of the heddle and the picks under tension",
}
CARD_CHECK: Final = "This patch is as large as a bank card, 85.6 by 54.0 mm (ISO/IEC 7810, size ID-1)"
KEY_HEAD: Final = ("Yarn", "Colour", "Thickness", "Ends", "Picks")
SIGHT_NOTE: Final = (
    "Views by Machado and others (2009) and, without blue cones, Brettel and others (1997); differences by CIEDE2000. Nobody’s eyes "
    "are a model’s: ask the person who is to wear it."
)
THREADS_NOTE: Final = (
    "Drawn from ends and picks, each yarn even and as wide as it wraps round a ruler: wool that blooms or is fulled covers more. No "
    "screen or printer shows colours as they are in daylight. Weave a sample."
)


def summary(picture: ClothPicture, *, imperial: bool) -> str:
    """What is drawn, in a sentence."""
    ends, picks = (THREADS.text(one, imperial=imperial) for one in (picture.ends_per_cm, picture.picks_per_cm))
    woven = "The draft of the project" if picture.drawdown is not None else picture.structure.name.capitalize()
    return (
        f"{woven}, {_STATES[picture.state]}: {ends} across, {picks} along; "
        f"{LENGTH.text(picture.face.width_cm, imperial=imperial)} wide, "
        f"{LENGTH.text(picture.face.length_cm, imperial=imperial)} long."
    )


def lies_as_woven(picture: ClothPicture) -> str:
    """Which way round a patch is, in a sentence."""
    side = "left" if picture.first_end_left else "right"
    return f"As the weaver sees it: the warp runs up, the first end is at the {side}, the first pick at the bottom."


def lies_on_the_table(picture: ClothPicture) -> str:
    """Which way round the whole cloth is, in a sentence."""
    side = "top" if picture.first_end_left else "bottom"
    return f"As it lies on the table, right side up: the first pick is at the left, the first end at the {side}."


def stripes_in_words(picture: ClothPicture, *, imperial: bool) -> list[str]:
    """Warp and weft as stripes, in sentences."""
    sides = (
        ("Warp, from the first selvedge", picture.warp_stripes, picture.ends_per_cm, "end"),
        ("Weft, from the first pick", picture.weft_stripes, picture.picks_per_cm, "pick"),
    )
    return [_stripes(*side, imperial=imperial) for side in sides]


def _stripes(start: str, stripes: Sequence[Stripe], per_cm: float, thread: str, *, imperial: bool) -> str:
    if len(stripes) == 1:
        return f"{start.split(',')[0]}: all {counted(stripes[0].threads, thread)} are {literal(stripes[0].yarn)}."
    if len(stripes) <= MOST_TOLD:
        told = (
            f"{literal(one.yarn)} {LENGTH.text(one.threads / per_cm, imperial=imperial)} ({counted(one.threads, thread)})"
            for one in stripes
        )
        return f"{start}: {', '.join(told)}."
    many: Counter[str] = Counter()
    for one in stripes:
        many[one.yarn] += one.threads
    total, widest = sum(many.values()), max(stripes, key=lambda one: one.threads)
    shares = ", ".join(f"{literal(yarn)} {percent(count / total)}" for yarn, count in many.most_common())
    first = ", ".join(literal(one.yarn) for one in stripes[:4])
    return (
        f"{start}: {len(stripes)} stripes, beginning {first}; {shares}; the widest is {literal(widest.yarn)}, "
        f"{LENGTH.text(widest.threads / per_cm, imperial=imperial)}."
    )


def alt(picture: ClothPicture, sight: Sight = Sight.ALL_CONES, *, imperial: bool) -> str:
    """The picture of the cloth in words, for who does not see it."""
    seen = "" if sight is Sight.ALL_CONES else f" As {sight.who} is thought to see it."
    return f"{summary(picture, imperial=imperial)} {' '.join(stripes_in_words(picture, imperial=imperial))}{seen}"


def piece_alt(piece: CutPiece, picture: ClothPicture, *, imperial: bool) -> str:
    """The stripes that a piece is cut from, in words."""
    xs, ys = [x for x, _ in piece.outline], [y for _, y in piece.outline]
    across, along = picture.trim_cm, picture.squaring_cm
    warp = _between(picture.ends_from_near, min(ys) + across, max(ys) + across, picture.ends_per_cm)
    weft = _between(picture.threads.weft, min(xs) + along, max(xs) + along, picture.picks_per_cm)
    told = (
        _stripes(
            "Warp, from the edge below",
            stripes_of(warp),
            picture.ends_per_cm,
            "end",
            imperial=imperial,
        ),
        _stripes("Weft, from the edge woven first", stripes_of(weft), picture.picks_per_cm, "pick", imperial=imperial),
    )
    return f"{literal(piece.name)}. {' '.join(told)}"


def _between(names: Sequence[str], start: float, end: float, per_cm: float) -> Sequence[str]:
    """The threads between two places, one at least."""
    first = min(max(0, int(start * per_cm)), len(names) - 1)
    return names[first : max(first + 1, round(end * per_cm))]


def key_rows(picture: ClothPicture) -> list[tuple[str, ...]]:
    """Every yarn with its colour as written, its thickness, and how many ends and picks of it there are."""
    warp, weft = Counter(picture.threads.warp), Counter(picture.threads.weft)
    return [
        (
            literal(name),
            f"{picture.threads.hex_of[name]}{', stands in' if name in picture.stand_ins else ''}",
            f"{picture.thickness_mm[name]:.2f} mm ({picture.thickness_mm[name] / 10 / CM_PER_INCH:.3f} in)",
            str(warp[name]),
            str(weft[name]),
        )
        for name in picture.threads.yarns
    ]


# --- what looks alike --------------------------------------------------------------------------------------------


def contrast_sentences(contrasts: Iterable[Contrast], made_up: Sequence[str] = ()) -> list[str]:
    """For yarns that look the same or nearly so to somebody, a sentence; one that all are apart where they are."""
    every = [one for one in contrasts if not set(made_up) & {one.one, one.other}]
    told = [sentence for one in every for sentence in _alike(one)]
    if told or not every:
        return told
    return ["Yarns that meet look different to all of these."]


def _alike(contrast: Contrast) -> Iterator[str]:
    groups: dict[Likeness, list[Sight]] = {}
    for sight in Sight:
        groups.setdefault(contrast.looks(sight), []).append(sight)
    names = f"{literal(contrast.one)} and {literal(contrast.other)}"
    for looks in (Likeness.SAME, Likeness.NEARLY):
        if sights := groups.get(looks):
            yield f"{names} look {looks} to {_whom(sights)} ({_where(contrast)})."


def _whom(sights: Sequence[Sight]) -> str:
    if Sight.ALL_CONES in sights:
        return "everybody" if len(sights) == len(Sight) else _listed([sight.who for sight in sights])
    return _listed([sight.who for sight in sights])


def _where(contrast: Contrast) -> str:
    return _listed(list(contrast.where))


def _listed(parts: Sequence[str]) -> str:
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"


# --- where pieces are sewn together ------------------------------------------------------------------------------


def meeting_sentences(meetings: Iterable[Meeting]) -> list[str]:
    """What lies at each named notch of the copies that are sewn together there."""
    return [_meeting(one) for one in meetings]


def _meeting(meeting: Meeting) -> str:
    by_yarns: dict[tuple[str, str], list[str]] = {}
    for at in meeting.at:
        copies = by_yarns.setdefault((at.end_yarn, at.pick_yarn), [])
        copies += [at.copy] if at.copy not in copies else []
    sides = [f"{_crossing(yarns)} on {_listed(list(map(literal, copies)))}" for yarns, copies in by_yarns.items()]
    match = "meets, " if meeting.alike else "does not match, "
    return f"{literal(meeting.name)}: {match}{'; '.join(sides)}."


def _crossing(yarns: tuple[str, str]) -> str:
    warp, weft = map(literal, yarns)
    return warp if warp == weft else f"{warp} crossed by {weft}"
