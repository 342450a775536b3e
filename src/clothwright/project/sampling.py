"""What a sample says beyond its typed sizes: outlines traced on paper, parts cut from it, drawings and photos it names."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any, Final

from clothwright.evidence import Outline, SampleMeasured
from clothwright.measure import Length
from clothwright.pattern import DrawingRefused, Piece, read_drawing
from clothwright.project.document import CutPart, Project, SamplePart
from clothwright.project.parts.corners import CornerPart, outline_of
from clothwright.project.problem import Path, Problem, ProblemsFound

#: What an outline of a tracing may be called in a drawing, by the state it shows.
STATE_WORDS: Final = {
    "off_loom": ("before", "before washing", "off loom", "off the loom", "unwashed"),
    "finished": ("after", "after washing", "finished", "washed"),
}
#: The pattern room lays pieces with the warp along x.
_FINE_CM: Final = 3


def outlines(part: SamplePart) -> dict[str, Outline]:
    """The outlines traced of a sample, by state: `off_loom`, `finished`."""
    typed = {"off_loom": part.traced.off_loom, "finished": part.traced.finished}
    return {state: outline_of(corners) for state, corners in typed.items() if corners}


def traced_sizes(part: SamplePart) -> dict[str, float]:
    """Mean width and length of each outline, cm, by the names evidence gives them."""
    found: dict[str, float] = {}
    for state, outline in outlines(part).items():
        found[f"traced_width_{state}"] = outline.mean_width_cm
        found[f"traced_length_{state}"] = outline.mean_length_cm
    return found


def finished_width_cm(part: SamplePart) -> float | None:
    """Finished width as measured, else as traced."""
    return part.width.finished.cm if part.width.finished else traced_sizes(part).get("traced_width_finished")


def finished_length_cm(part: SamplePart) -> float | None:
    """Finished length as measured, else as traced."""
    return part.length.finished.cm if part.length.finished else traced_sizes(part).get("traced_length_finished")


#: The sizes of a sample before it is washed, by side, the latest first.
_BEFORE: Final = {
    "width": ("width_off_loom", "traced_width_off_loom", "width_on_loom", "width_in_heddle"),
    "length": ("length_off_loom", "traced_length_off_loom", "length_on_loom", "warp_used"),
}


def cut_parts(part: SamplePart, whole: SampleMeasured) -> Iterator[SampleMeasured]:
    """What was measured of each part cut from a sample: a side not cut begins with the latest size of the whole."""
    for number, cut in enumerate(part.parts, 1):
        finish = cut.finish or whole.making.finish
        made = replace(whole.making, key=f"{whole.making.key} part {number}", finish=finish)
        sizes = _sizes(cut, whole)
        yield SampleMeasured(
            making=made, name=f"{whole.name}, {cut.name}", cut_from=whole, on_card=whole.on_card, **sizes
        )


def _sizes(cut: CutPart, whole: SampleMeasured) -> dict[str, Any]:
    """Sizes of a part by the names evidence gives them, with the spreads typed."""
    given: dict[str, float] = {}
    spreads: dict[str, float] = {}
    for side, earlier in _BEFORE.items():
        before, after = getattr(cut.before, side), getattr(cut.after, side)
        if after is None:
            continue
        for state, length in ((f"{side}_off_loom", before), (f"{side}_finished", after)):
            if length is not None:
                given[state] = length.cm
                spreads |= {state: length.log_sd} if length.has_spread else {}
        if before is None:
            latest = next((one for one in earlier if getattr(whole, one) is not None), None)
            if latest is None:
                why = f"{whole.name}, {cut.name}: {after} after washing, of what {side} before? No outline shows it"
                raise ProblemsFound(Problem(("sample",), why))
            given[latest] = getattr(whole, latest)
            spreads |= {latest: whole.typed_log_sd[latest]} if latest in whole.typed_log_sd else {}
    return given | {"typed_log_sd": spreads}


def with_drawn_outlines(project: Project, drawings: Mapping[str, bytes]) -> Project:
    """The project with the outlines of its samples' drawings as corners; ProblemsFound where a drawing shows none."""
    problems: list[Problem] = []
    samples = []
    for number, part in enumerate(project.sample):
        try:
            samples.append(_with_drawn(part, ("sample", number, "traced", "drawing"), drawings))
        except ProblemsFound as found:
            problems += found.problems
    if problems:
        raise ProblemsFound(*problems)
    if all(new is old for new, old in zip(samples, project.sample, strict=True)):
        return project
    return project.model_copy(update={"sample": samples})


def _with_drawn(part: SamplePart, where: Path, drawings: Mapping[str, bytes]) -> SamplePart:
    """A sample with the outlines its drawing shows; corners that were typed stay, since they win over the drawing."""
    name = part.traced.drawing
    if name is None:
        return part
    if name not in drawings:
        raise ProblemsFound(Problem(where, f"“{name}” was not found beside the project file"))
    drawn = _drawn(name, drawings[name], where)
    typed = {state: corners for state in STATE_WORDS if (corners := getattr(part.traced, state))}
    return part.model_copy(update={"traced": part.traced.model_copy(update={"drawing": None} | drawn | typed)})


def _drawn(name: str, content: bytes, where: Path) -> dict[str, list[CornerPart]]:
    try:
        pieces = read_drawing(content, name=name).pieces
    except DrawingRefused as refusal:
        raise ProblemsFound(*(Problem(where, sentence) for sentence in refusal.problems)) from None
    found: dict[str, list[CornerPart]] = {}
    for piece in pieces:
        state = _state_named(piece.name)
        if state is None or state in found:
            raise ProblemsFound(Problem(where, _unnamed(name, piece.name, state)))
        found[state] = _corners(piece, where)
    return found


def _state_named(said: str) -> str | None:
    word = said.strip().lower()
    return next((state for state, words in STATE_WORDS.items() if word in words), None)


def _unnamed(drawing: str, outline: str, state: str | None) -> str:
    if state is not None:
        return f"“{drawing}” shows the sample {outline} more than once; keep one outline of it"
    accepted = " and ".join(f"“{words[0]}”" for words in STATE_WORDS.values())
    return f"“{drawing}”: an outline is called “{outline}”; call the outlines {accepted}"


def _corners(piece: Piece, where: Path) -> list[CornerPart]:
    """The corners of an outline, across and along; the pattern room has its warp along x."""
    corners = [
        CornerPart(across=_length(across), along=_length(along))
        for along, across in _mirrored(piece.outline, piece.width_cm)
    ]
    try:
        outline_of(corners)
    except ValueError as error:
        raise ProblemsFound(Problem(where, f"{piece.name}: {error}")) from None
    return corners


def _mirrored(outline: tuple[tuple[float, float], ...], width: float) -> Iterator[tuple[float, float]]:
    """The outline seen as it was drawn: along points up the page, across to the right."""
    return ((along, width - across) for along, across in outline)


def _length(cm: float) -> Length:
    return Length.read(f"{max(cm, 0.0):.{_FINE_CM}f} cm")


def corners_drawn(name: str, content: bytes) -> dict[str, list[dict[str, str]]]:
    """The corners of the outlines in a drawing, as the page and the file write them; ProblemsFound where it shows none."""
    drawn = _drawn(name, content, ("traced", "drawing"))
    return {
        state: [{"across": str(one.across), "along": str(one.along)} for one in corners]
        for state, corners in drawn.items()
    }


def files_named(tree: Mapping[str, Any]) -> Iterator[tuple[Path, str]]:
    """The drawings of tracings that a tree as typed names, each with its place."""
    samples = tree.get("sample")
    for number, part in enumerate(samples if isinstance(samples, list) else []):
        traced = part.get("traced") if isinstance(part, Mapping) else None
        name = traced.get("drawing") if isinstance(traced, Mapping) else None
        if isinstance(name, str) and name:
            yield ("sample", number, "traced", "drawing"), name


def photos_named(tree: Mapping[str, Any]) -> Iterator[tuple[Path, str]]:
    """The photos that the samples of a tree as typed name, each with its place."""
    samples = tree.get("sample")
    for number, part in enumerate(samples if isinstance(samples, list) else []):
        photos = part.get("photos") if isinstance(part, Mapping) else None
        for place, name in enumerate(photos if isinstance(photos, list) else []):
            if isinstance(name, str) and name:
                yield ("sample", number, "photos", place), name
