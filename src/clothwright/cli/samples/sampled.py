"""What the samples of a project tell: the file read, the question asked, the answer shown."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from clothwright.cli.past import history_from
from clothwright.cli.planned import project_in
from clothwright.cli.searching import MAIN_SHARE, searches
from clothwright.layout import Effort
from clothwright.planning import SamplesTold, SampleTold, tell_samples
from clothwright.sheets.sampling.samples import (
    advice_sentence,
    forecast_sentences,
    good_for_sentence,
    neighbour_sentences,
    ratio_sentence,
)


def told(file: Path, *, past: Sequence[Path], seconds: float, seed: int | None) -> tuple[SamplesTold, bool]:
    """What the samples of a project file tell, and whether it is in inches."""
    project, drawings = project_in(file)
    history = history_from(past, file, project)
    with searches(project, Effort(seconds), seed) as search:
        answer = tell_samples(project, drawings=drawings, layouts=search(MAIN_SHARE), history=history)
    return answer, project.units == "imperial"


def show_samples(answer: SamplesTold, *, imperial: bool) -> None:
    """Show every sample, then where they do not agree."""
    from rich.console import Console

    console = Console(highlight=False, soft_wrap=True, markup=False)
    for one in answer.conflicts:
        console.print(f"Question: {one.says}")
    for sample in answer.samples:
        console.print(
            f"\n{sample.name}: {sample.structure}, {sample.heddle}, {sample.finish or 'finish not said'}", style="bold"
        )
        for line in _lines(sample, imperial):
            console.print(line)
    for note in answer.notes:
        console.print(f"\n{note}")


def _lines(sample: SampleTold, imperial: bool) -> Iterator[str]:
    yield f"  Sett: {advice_sentence(sample.sett)}"
    yield from (f"    {sentence}" for sentence in neighbour_sentences(sample, imperial=imperial))
    yield from (f"  Width: {sentence}" for sentence in forecast_sentences(sample.width_forecast, imperial=imperial))
    yield f"  Good for: {good_for_sentence(sample)}"
    yield from (f"    {limit}" for limit in sample.limits)
    yield from (f"  {one.side.capitalize()}: {ratio_sentence(one, imperial=imperial)}" for one in sample.ratios)
    for part in sample.parts:
        yield f"  Part {part.name}: {part.finish or 'finish not said'}{f'; {part.hand}' if part.hand else ''}"
        yield from (f"    {one.side}: {ratio_sentence(one, imperial=imperial)}" for one in part.ratios)
    yield from (f"  {note}" for note in sample.notes)
