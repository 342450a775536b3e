"""Which heddles suit a yarn, and what each leads to: the texts read, the question asked, the answer shown."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Never, TypeVar

from clothwright.cloth import (
    Structure,
    Wraps,
    firmness_named,
    read_heddles,
    read_threadings,
    read_wraps,
    structure,
    usual_heddles,
)
from clothwright.evidence import fibre_group
from clothwright.measure import CM_PER_INCH, Interval, Length, QuantityError, Ratio, ThreadsPerLength
from clothwright.planning.setts.side_by_side import LeadsTo, SettAnswer, SettQuestion, compare_setts
from clothwright.planning.setts.thickness_told import (
    ThicknessTold,
    by_number,
    by_pattern,
    by_wrapping_together,
    by_wraps,
    tex_with_folding,
)
from clothwright.planning.working import WorkingLine
from clothwright.yarn import (
    DiameterRule,
    YarnNumber,
    diameter_rule,
    read_yarn,
)

if TYPE_CHECKING:
    from rich.console import Console

    from clothwright.cloth import SettCandidate

_T = TypeVar("_T")


@dataclass(frozen=True)
class _Given:
    """What was typed of the yarns."""

    wraps: str | None
    warp_wraps: str | None
    weft_wraps: str | None
    together_wraps: str | None
    like: str | None
    wraps_taken: str | None
    yarn: YarnNumber | None
    weft_yarn: YarnNumber | None
    rule: DiameterRule
    weave: Structure


def compared(
    *,
    wraps: str | None = None,
    warp_wraps: str | None = None,
    weft_wraps: str | None = None,
    together_wraps: str | None = None,
    wraps_taken: str | None = None,
    like: str | None = None,
    yarn_text: str | None = None,
    weft_yarn: str | None = None,
    weave: str = "plain",
    heddles: Iterable[str] = (),
    fibre: str = "",
    finish: str = "",
    firmness_text: str | None = None,
    width: str | None = None,
    loom_width: str | None = None,
    width_ratio: str | None = None,
    ends: int | None = None,
) -> SettAnswer:
    """The heddles side by side; ProblemsFound or QuantityError when what was given does not tell."""
    typed = read_threadings(heddles)
    owned = tuple(dict.fromkeys(one.heddle for one in typed))
    of = _or_wrong("structure", lambda: structure(weave))
    yarn = read_yarn(yarn_text) if yarn_text else None
    weft = read_yarn(weft_yarn) if weft_yarn else yarn
    fibre = fibre or _fibre_of(yarn_text or "")
    given = _Given(
        wraps, warp_wraps, weft_wraps, together_wraps, like, wraps_taken, yarn, weft, diameter_rule(fibre, "mill"), of
    )
    thickness, told = _thickness(given)
    warp_tex, lines = _tex(yarn_text, yarn)
    another_weft = bool(weft_wraps or together_wraps)
    weft_tex, more = _tex(weft_yarn, weft) if weft_yarn else (None if another_weft else warp_tex, ())
    return compare_setts(
        SettQuestion(
            structure=of,
            thickness=thickness,
            heddles=owned or read_heddles(usual_heddles()),
            fibre=fibre,
            finish=finish,
            warp_tex=warp_tex,
            weft_tex=weft_tex,
            wanted=_or_wrong("firmness", lambda: firmness_named(firmness_text)) if firmness_text else None,
            finished_width_cm=_some_length(width),
            loom_cm=_some_length(loom_width),
            width_ratio=Ratio.read(width_ratio).expected if width_ratio else None,
            pattern_ends=ends,
            told=(*told, *lines, *more),
            other_ways=bool(owned),
            typed=typed,
        )
    )


def _tex(text: str | None, yarn: YarnNumber | None) -> tuple[float | None, tuple[WorkingLine, ...]]:
    return tex_with_folding(text or "", yarn.tex, yarn.leaves_out_folding) if yarn else (None, ())


def _or_wrong(field: str, read: Callable[[], _T]) -> _T:
    """What is read, or the sentence of the KeyError that it is not known."""
    try:
        return read()
    except KeyError as error:
        _wrong(str(error.args[0]), field)


def _wrong(sentence: str, *path: str) -> Never:
    from clothwright.project import Problem, ProblemsFound

    raise ProblemsFound(Problem(path, sentence)) from None


def _fibre_of(yarn_text: str) -> str:
    """The fibre that a yarn's text names, as 8/2 cotton does."""
    group = fibre_group(yarn_text)
    return "" if group == "unknown" else group


def _some_length(text: str | None) -> float | None:
    if text is None:
        return None
    length = Length.read(text)
    if length.cm <= 0:
        raise QuantityError(text, "it must be more than nothing", Length.accepted)
    return length.cm


def _thickness(given: _Given) -> ThicknessTold:
    """Warp and weft on both scales, and how they were come by."""
    _one_way_only(given)
    taken, alone = given.wraps_taken, read_wraps(given.warp_wraps) if given.warp_wraps else None
    if given.like:
        return by_pattern(ThreadsPerLength.read(given.like), given.weave)
    if given.together_wraps:
        return _together(given, alone)
    numbers = (given.yarn, given.weft_yarn) if given.yarn and given.weft_yarn else None
    if given.wraps or alone:
        warp = read_wraps(given.wraps) if given.wraps else alone
        assert warp is not None  # one of the two came
        weft = read_wraps(given.weft_wraps) if given.weft_wraps else None
        return by_wraps(warp, weft, taken=taken, numbers=numbers, rule=given.rule)
    assert numbers is not None  # asked before
    return by_number(*numbers, given.rule)


def _together(given: _Given, alone: Wraps | None) -> ThicknessTold:
    try:
        return by_wrapping_together(read_wraps(given.together_wraps or ""), alone, taken=given.wraps_taken)
    except QuantityError:
        raise
    except ValueError as error:
        _wrong(f"{error}: {given.warp_wraps} alone, {given.together_wraps} together; count again", "together-wraps")


def _one_way_only(given: _Given) -> None:
    ways = {
        "--wraps": given.wraps,
        "--warp-wraps": given.warp_wraps if not given.together_wraps else None,
        "--together-wraps": given.together_wraps,
        "--like": given.like,
    }
    came = [name for name, text in ways.items() if text]
    if len(came) > 1:
        _wrong(f"{' and '.join(came)} came; give one of them")
    if not came and not given.yarn:
        _wrong("nothing came to tell how thick the yarn is; give --wraps, --yarn, --together-wraps or --like")
    if given.weft_wraps and not given.warp_wraps:
        _wrong("--weft-wraps came alone; give --warp-wraps with it")
    if given.weft_wraps and given.together_wraps:
        _wrong("--together-wraps and --weft-wraps came; the weft's own wraps follow from the two together")


def show_sett(answer: SettAnswer) -> None:
    """Show the candidates as tables, then advice, cautions and working."""
    from rich.console import Console

    console = Console(highlight=False)
    advised, closest = answer.advised_per_cm, answer.closest_per_cm
    console.print(
        f"{answer.question.structure.name}: about {advised:.2f} ends per cm ({advised * CM_PER_INCH:.1f} per inch), "
        f"{closest:.2f} ({closest * CM_PER_INCH:.1f}) where the threads touch."
    )
    _show_cloths(console, answer)
    _show_leads(console, answer)
    for sentence in (*answer.advice, *answer.cautions):
        console.print(sentence, markup=False, soft_wrap=True)
    console.print("\nWorking")
    for line in answer.working:
        console.print(
            f"  {line.step}: {line.sum} = {line.value:g} {line.unit} ({line.source})", markup=False, soft_wrap=True
        )


def _show_cloths(console: Console, answer: SettAnswer) -> None:
    from rich.table import Table

    table = Table("heddle", "per cm", "per inch", "of closest", "covers", "cloth", "sample it?", box=None)
    for one, _ in answer.candidates:
        sample = "first" if one in answer.sample else "yes" if one.sample_this else ""
        share, cover = _percent(one.share_of_closest), _percent(one.cover or 0.0)
        table.add_row(
            one.named, f"{one.ends_per_cm:.2f}", f"{one.ends_per_inch:.2f}", share, cover, one.firmness, sample
        )
    console.print(table)


def _show_leads(console: Console, answer: SettAnswer) -> None:
    """What each leads to; in words, those to sample first and the ones sleyed in a way of their own."""
    from rich.table import Table

    asked = answer.question.finished_width_cm
    per = f"{asked:g} cm ({asked / CM_PER_INCH:.1f} in)" if asked else "10 cm (3.9 in)"
    console.print(f"\nFor {per} finished, warp and weft in metres of yarn for a metre of cloth:")
    table = Table("heddle", "ends", "in heddle", "finished", "warp", "weft", "g/m²", box=None)
    for one, leads in answer.candidates:
        table.add_row(one.named, *_figures(leads))
    console.print(table)
    for one, leads in answer.candidates:
        if one in answer.sample or not one.usual or not leads.fits:
            console.print(f"{one.named}: {_in_words(one, leads)}", markup=False, soft_wrap=True)


def _figures(leads: LeadsTo) -> tuple[str, ...]:
    ends = str(leads.ends) if leads.fits else f"{leads.ends} of {leads.ends_needed}"
    return (
        ends,
        f"{leads.width_in_heddle_cm:.1f} cm",
        _spread(leads.finished_width_cm, 0),
        _spread(leads.warp_m_per_m, 0),
        _spread(leads.weft_m_per_m, 0),
        _spread(leads.g_per_m2, 0) if leads.g_per_m2 else "",
    )


def _spread(one: Interval, places: int) -> str:
    return f"{one.expected:.{places}f} ({one.low:.{places}f}–{one.high:.{places}f})"


def _in_words(one: SettCandidate, leads: LeadsTo) -> str:
    weight = f"{leads.weight}, {leads.season}" if leads.weight else ""
    lost = (
        f"draws in {leads.draw_in.expected:.0%}, loses {leads.width_lost.expected:.0%} of the width in the heddle and "
    )
    lost += f"{leads.length_lost.expected:.0%} of the woven length in all"
    said = (one.sleying, leads.says.rstrip("."), leads.hand, weight, lost)
    return "; ".join(filter(None, said)) + "."


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %"
