"""A layout made to keep as many rules as can be, and in words those that cannot be kept."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from clothwright.layout.arrangement import Copy, Layout
from clothwright.layout.judge import faults
from clothwright.layout.ruled import made_to_keep, ruled_guess
from clothwright.layout.rules import NO_RULES, Rules

#: Kinds of rules in the order they are given up in, with the words for it.
GIVEN_UP = (
    ("matches", "stripes are not matched"),
    ("selvedges", "edges are not all laid on a selvedge"),
    ("selvedge_cm", "pieces lie nearer to the selvedges than asked"),
    ("lots", "pieces do not follow the order of the lots"),
    ("whole_width", "other pieces lie beside those over the whole width"),
    ("stripes", "stripes are not looked at, turned and mirrored pieces included"),
    ("flaws", "flaws are covered"),
    ("gap_cm", "the gap between pieces is not kept"),
    ("locked", "locked pieces are moved"),
)


@dataclass(frozen=True)
class Kept:
    """A layout without faults under the rules it `kept`, and in words those it could not."""

    layout: Layout
    kept: Rules
    unkept: tuple[str, ...]


def with_rules(copies: tuple[Copy, ...], layout: Layout, rules: Rules, *, tries: int = 2, seed: int = 1) -> Kept:
    """A layout found without rules, as it is where it keeps them, else laid again so that it keeps as many as can be.

    `tries`: how many orders are tried beside its own. The layout must have no fault without rules.
    """
    unheard = tuple(about_nothing(copies, rules))
    if not faults(copies, layout, rules=rules):
        return Kept(layout, rules, unheard)
    for kept, words in fewer_and_fewer(rules):
        again = (
            (layout,)
            if kept == NO_RULES
            else (
                layout,
                made_to_keep(copies, layout, kept),
                ruled_guess(copies, layout.width_cm, kept, seed=seed, tries=tries),
            )
        )
        sound = [one for one in again if one is not None and not faults(copies, one, rules=kept)]
        if sound:
            return Kept(min(sound, key=lambda one: one.length_cm), kept, (*unheard, *words))
    raise ValueError("a layout with faults of its own was to be made to keep rules")


def fewer_and_fewer(rules: Rules) -> Iterator[tuple[Rules, tuple[str, ...]]]:
    """All rules, then each kind left out alone, then one after the other as well as those before it."""
    yield rules, ()
    asked = [(name, words) for name, words in GIVEN_UP if getattr(rules, name) != getattr(NO_RULES, name)]
    for name, words in asked:
        yield _without(rules, name), (words,)
    left = rules
    for number, (name, _) in enumerate(asked):
        left = _without(left, name)
        if number:
            yield left, tuple(words for _, words in asked[: number + 1])
    yield NO_RULES, (*(words for _, words in asked), "pieces are turned end for end or off the grain as drawn")


def _without(rules: Rules, name: str) -> Rules:
    return replace(rules, **{name: getattr(NO_RULES, name)})


def about_nothing(copies: tuple[Copy, ...], rules: Rules) -> Iterator[str]:
    """Rules that name a piece which is not cut."""
    pieces = {copy.piece for copy in copies}
    named = [
        *(p.piece for p in rules.locked),
        *(edge.piece for edge in rules.selvedges),
        *(point.piece for point in rules.matches),
        *rules.whole_width,
        *(piece for lot in rules.lots for piece in lot),
    ]
    yield from (
        f"a rule is about {name}, which is not among the pieces" for name in dict.fromkeys(named) if name not in pieces
    )
