"""Setts side by side, in words and drawn: an answer of the planning room as the page and the paper show it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from clothwright.cloth import SettCandidate
from clothwright.measure import Interval
from clothwright.planning.setts.side_by_side import LeadsTo, SettAnswer, SettQuestion
from clothwright.sheets.pictures.sett import sett_svg
from clothwright.sheets.wording import CLOTH_WEIGHT, LENGTH, THREADS, YARN, percent

_CARDS: Final = 6
_LEAST_CARDS: Final = 3


@dataclass(frozen=True)
class ShownSett:
    """A heddle and what it leads to, in words; `sampled` says whether to sample it, and which first.

    `facts` are what and how much, `lost` what the loom and the wash take; `says` a sentence or two for the width asked for.
    """

    heddle: str
    sleying: str
    sett: str
    against: str
    share: str
    cloth: str
    hand: str
    sampled: str
    facts: tuple[tuple[str, str], ...]
    lost: tuple[tuple[str, str], ...]
    says: str
    picture: str


def shown_setts(answer: SettAnswer, *, imperial: bool = False) -> tuple[ShownSett, ...]:
    """Every candidate, the nearest to the advised sett first."""
    return tuple(_shown(answer, one, leads, imperial) for one, leads in answer.candidates)


def worth_drawing(shown: tuple[ShownSett, ...]) -> tuple[ShownSett, ...]:
    """The candidates to lay side by side: all of a few, else those worth a sample, or the nearest."""
    if len(shown) <= _CARDS:
        return shown
    near = tuple(one for one in shown if one.sampled)
    return near[:_CARDS] if len(near) >= _LEAST_CARDS else shown[:_LEAST_CARDS]


def _shown(answer: SettAnswer, one: SettCandidate, leads: LeadsTo, imperial: bool) -> ShownSett:
    thick = answer.question.thickness
    warp_mm, weft_mm = 10 / thick.warp_touching, 10 / thick.weft_touching
    return ShownSett(
        heddle=one.named,
        sleying="" if one.usual else one.sleying,
        sett=THREADS.text(one.ends_per_cm, imperial=imperial),
        against=against_in_words(one.against_advice),
        share=percent(round(one.share_of_closest, 2)),
        cloth=one.firmness,
        hand=leads.hand,
        sampled="first" if one in answer.sample else "yes" if one.sample_this else "",
        facts=tuple(_facts(answer.question, leads, imperial)),
        lost=_lost(leads),
        says=leads.says,
        picture=sett_svg(one.ends_per_cm, warp_mm=warp_mm, weft_mm=weft_mm, name=one.named),
    )


def against_in_words(factor: float) -> str:
    """How far a sett lies from the advised one: `as advised`, `11 % closer`, `9 % opener`."""
    off = round(abs(factor - 1), 2)
    if not off:
        return "as advised"
    return f"{percent(off)} {'closer' if factor > 1 else 'opener'} than advised"


def _facts(question: SettQuestion, leads: LeadsTo, imperial: bool) -> list[tuple[str, str]]:
    """What a heddle leads to: for the finished width asked for, else for the one that the label names."""
    asked = question.finished_width_cm is not None
    for_width = "" if asked else f" for {LENGTH.text(leads.for_width_cm, imperial=imperial)} finished"
    found = [
        (f"Ends{for_width}", _ends(leads)),
        ("Width in the heddle ↔", LENGTH.text(leads.width_in_heddle_cm, imperial=imperial)),
        ("Finished width ↔", LENGTH.range(leads.finished_width_cm, imperial=imperial)),
        ("Warp for a metre of cloth", YARN.range(leads.warp_m_per_m, imperial=imperial)),
        ("Weft for a metre of cloth", YARN.range(leads.weft_m_per_m, imperial=imperial)),
    ]
    if leads.g_per_m2 is not None:
        found.append(("Weight of the cloth", CLOTH_WEIGHT.range(leads.g_per_m2, imperial=imperial)))
    if leads.weight and leads.season:
        found.append(("Good for", f"{leads.weight}, {leads.season}"))
    return found


def _lost(leads: LeadsTo) -> tuple[tuple[str, str], ...]:
    return (
        ("Draws in on the loom", _shares(leads.draw_in)),
        ("Width lost in all ↔", _shares(leads.width_lost)),
        ("Length lost in all ↕", _shares(leads.length_lost)),
    )


def _shares(one: Interval) -> str:
    """A range of shares in whole hundredths."""
    low, high = round(100 * one.low), round(100 * one.high)
    return f"{low} to {high}\u00a0%" if low > 0 else f"up to {high}\u00a0%" if high > 0 else "nothing"


def _ends(leads: LeadsTo) -> str:
    if not leads.fits:
        return f"{leads.ends} of the {leads.ends_needed} needed go in"
    return f"{leads.ends}, in {leads.ends // 2} pairs" if leads.ends % 2 == 0 else str(leads.ends)
