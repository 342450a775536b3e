"""From a photograph of a paper piece to a drawing of it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from clothwright.measure import CM_PER_INCH
from clothwright.project import Problem, ProblemsFound

if TYPE_CHECKING:
    from clothwright.pattern.photographs.tracing import Tracing


def traced(photo: Path, *, sheet: str) -> Tracing:
    """The piece in a photograph; ProblemsFound where it cannot be read or is not good enough."""
    from clothwright.pattern import DrawingRefused
    from clothwright.pattern.photographs.seeing import MAX_BYTES
    from clothwright.pattern.photographs.tracing import trace

    try:
        with photo.open("rb") as file:
            data = file.read(MAX_BYTES + 1)
    except OSError as error:
        raise ProblemsFound(Problem((), f"the photograph cannot be read: {error.strerror}")) from None
    try:
        return trace(data, sheet=sheet)
    except DrawingRefused as refusal:
        raise ProblemsFound(*(Problem((), sentence) for sentence in refusal.problems)) from None


def write_traced(tracing: Tracing, out: Path, *, name: str, flat: Path | None) -> list[Path]:
    """Write the drawing, and the corrected photograph where it is asked for; say which."""
    from clothwright.pattern.photographs.tracing import outline_svg

    written = {out: outline_svg(tracing.outline, name)} | ({flat: tracing.flat} if flat else {})
    for path, content in written.items():
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    return list(written)


def remnant_lines(tracing: Tracing, name: str) -> str:
    """What was traced as a remnant, in lines for the record of a project file."""
    from clothwright.library.files import export_toml
    from clothwright.project.parts.remnant_shape import corners_kept

    return export_toml({"record": {"remnant": [{"name": name, "outline": corners_kept(tracing.outline)}]}})


def traced_answer(tracing: Tracing, written: list[Path]) -> dict[str, Any]:
    """What was measured, as JSON has it."""
    width, height = tracing.size_cm
    return {
        "width_cm": width,
        "height_cm": height,
        "area_cm2": tracing.area_cm2,
        "around_cm": tracing.around_cm,
        "residual_mm": tracing.residual_mm,
        "strips": tracing.strips,
        "points": len(tracing.outline),
        "notes": list(tracing.notes),
        "written": [str(path) for path in written],
    }


def show_traced(answer: dict[str, Any]) -> None:
    """What was measured, in words."""
    sides = (f"{answer[key]:.1f} cm ({answer[key] / CM_PER_INCH:.1f} in)" for key in ("width_cm", "height_cm"))
    click.echo(f"The piece is {' wide and '.join(sides)} high, {answer['area_cm2']:.0f} cm² (sq cm), as photographed.")
    click.echo("\n".join(answer["notes"]))
    click.echo("\n".join(f"Written: {path}" for path in answer["written"]))
