"""What earlier projects tell of the next: their records and samples as measured cloths, and what their looms wasted.

A project is evidence in pieces (`Seen`): each sample measured, and, once the project has a day on which it was finished, its
record. A piece may be set aside with a reason: it is kept and told, and not used. The same measurements in two places, word
for word, count once, and set aside in one place they are set aside in all. A copy of a sample stays the same sample where
the project around it changes what the sample leaves unsaid (a heddle, a finish), or where its notes differ.

A past cloth is measured by itself: weft that was weighed becomes metres by what is believed of its yarn, whose doubt is
added to the weighing's. What was used of a yarn is what there was less what is left; where warp and weft are of one yarn,
the weft is what the warp did not take.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import fmean, stdev
from typing import Any, Final

from clothwright.evidence import (
    MEASURED_LOG_SD,
    OWN,
    SIZES_MEASURED,
    STATES,
    ClothRecord,
    History,
    Making,
    SampleMeasured,
    WasteSeen,
    known_as,
    measured_of,
    metres_per_gram,
    table,
)
from clothwright.measure import CM_PER_INCH, Length
from clothwright.project.document import Project, RecordPart
from clothwright.project.domain import Yarns, advised_sett, making, samples, wraps_per_cm, yarns_sampled
from clothwright.project.problem import Path, ProblemsFound
from clothwright.yarn import Lot

#: What is woven and not cloth: header, joins, ends of bobbins, as a log spread of the weft. Common practice, no source.
_WEFT_ASIDE_LOG_SD: Final = 0.02
_RECORD: Final[Path] = ("record",)
#: What is said of a sample without being measured: two that differ in it alone are one. Its yarns are told by name.
_NOT_MEASURED: Final[dict[str, Any]] = dict.fromkeys(
    ("set_aside", "warp", "weft", "date", "purpose", "hand", "drape", "notes", "photos"), True
) | {"parts": {"__all__": {"hand", "notes"}}}
#: What is said of a garment and not measured of its cloth: two records that differ in it alone are one.
_NOT_OF_THE_CLOTH: Final = {"set_aside", "number", "garment", "remnant", "photo", "later"}
#: Decimals of what is reckoned from what was typed.
_FINE: Final = 2
#: What has no day comes last.
_NO_DAY: Final = "9999"


@dataclass(frozen=True)
class Seen:
    """One piece of evidence: where it stands in its project, what it is called, its day, its key, and what was measured.

    `set_aside`: the reason where it is; `idle`: why it tells nothing yet; `same`: what is equal for the same measurements.
    """

    place: Path
    name: str
    day: str
    key: str = ""
    cloth: SampleMeasured | None = None
    waste: WasteSeen | None = None
    set_aside: str = ""
    idle: str = ""
    same: str = ""

    @property
    def tells(self) -> bool:
        """Whether there is anything in it to go by."""
        return self.cloth is not None or self.waste is not None


@dataclass(frozen=True)
class ProjectSeen:
    """All evidence of one project (or of one sample kept by itself); `key` is its own among projects."""

    key: str
    name: str
    pieces: tuple[Seen, ...] = ()


def seen_of(project: Project, key: str) -> ProjectSeen:
    """The evidence of a project: its samples as they stand, then its record."""
    if not (project.sample or project.record):
        return ProjectSeen(key, project.name)
    try:
        cloth_yarns = yarns_sampled(project)
        cloths = samples(project, cloth_yarns, ends_per_cm(project, cloth_yarns))
    except ProblemsFound as found:
        return ProjectSeen(key, project.name, (Seen((), project.name, "", idle=str(found)),))
    pieces = [_sample_seen(project, one, cloth_yarns, key) for one in cloths]
    if project.record:
        pieces.append(_record_seen(project, project.record, cloth_yarns, key))
    return ProjectSeen(key, project.name, tuple(pieces))


def ends_per_cm(project: Project, cloth_yarns: Yarns) -> float:
    """The sett that was, or is to be, woven: of the heddle stated, the only one owned, or ends over width; else as advised."""
    return _sett_told(project) or advised_sett(project, cloth_yarns.warp[0])


def _sett_told(project: Project) -> float | None:
    record, owned = project.record, project.loom.heddles
    heddle = (record and record.heddle) or project.cloth.heddle or (owned[0] if len(owned) == 1 else None)
    if heddle:
        return heddle.per_cm
    if record and record.ends and record.width.in_heddle:
        return _in_heddle(project, record.ends) / record.width.in_heddle.cm
    return None


def _in_heddle(project: Project, ends: int) -> int:
    """Ends that stand in the heddle: floating selvedges do not."""
    return max(1, ends - 2 * project.cloth.floating_selvedges)


def _sample_seen(project: Project, measured: SampleMeasured, cloth_yarns: Yarns, key: str) -> Seen:
    """A sample, or a part cut from one: its key here is `sample 2`, and what comes after names the part."""
    number = int(measured.making.key.split()[1]) - 1
    part, made = project.sample[number], measured.making
    name, whole = f"{measured.name} of {project.name}", made.key == f"sample {number + 1}"
    typed = part.model_dump_json(exclude=_NOT_MEASURED)
    return Seen(
        place=("sample", number),
        name=name,
        day=part.date or (project.record.date if project.record else ""),
        key=f"{key} {made.key}",
        cloth=_by_itself(_of_weaver(project, measured), f"{key} {made.key}", cloth_yarns, name),
        waste=_waste_seen(project, part.length.waste, name) if whole and not _weaver(project) else None,
        set_aside=part.set_aside,
        same=f"{typed} {measured.name} {_yarns(made)}",
        idle="" if _tells(measured) else "too little was measured for it to tell anything",
    )


def _weaver(project: Project) -> str:
    """Who wove a project where that was somebody else."""
    return project.record.weaver if project.record else ""


def _of_weaver(project: Project, measured: SampleMeasured) -> SampleMeasured:
    """A cloth of a project by whoever wove it: her samples are of her hand, as her record is."""
    weaver = _weaver(project)
    return replace(measured, making=replace(measured.making, weaver=weaver)) if weaver else measured


def _yarns(made: Making) -> str:
    return f"{made.warp.casefold()}|{made.weft.casefold()}"


def _made_of(made: Making) -> str:
    return f"{_yarns(made)}|{made.structure}|{made.finish.casefold()}|{made.ends_per_cm:.4f}"


def _by_itself(measured: SampleMeasured, key: str, cloth_yarns: Yarns, name: str) -> SampleMeasured | None:
    """A sample as a past cloth: with a key of its own, its weft in metres; None where it tells nothing."""
    if not _tells(measured):
        return None
    made = replace(measured.making, key=key)
    if measured.weft_used_g is None or measured.weft_used_m is not None:
        return replace(measured, making=made, name=name, weft_grist_unknown=None)
    lot = next((lot for lot in (*cloth_yarns.weft, *cloth_yarns.warp) if lot.name == made.weft), None)
    metres, spread = _metres(lot, measured.weft_used_g) if lot and lot.has_grist else (None, 0.0)
    error = math.hypot(measured.weft_error_log, spread)
    return replace(
        measured,
        making=made,
        name=name,
        weft_used_m=metres,
        weft_used_g=None,
        weft_grist_unknown=None,
        weft_error_log=error,
    )


def _metres(lot: Lot, grams: float) -> tuple[float, float]:
    """Metres of so many grams, and the log spread of it that its metres per gram leave."""
    mean, spread = metres_per_gram(lot)
    return round(grams * math.exp(mean), _FINE), spread


def _tells(cloth: SampleMeasured) -> bool:
    """Whether a cloth was measured enough to tell a ratio: two sizes of a side, or its picks."""
    known = (sum(getattr(cloth, size) is not None for size in sizes) for sizes in SIZES_MEASURED.values())
    return max(known) >= 2 or bool(cloth.picks_count and cloth.picks_over)


def _waste_seen(project: Project, waste: Length | None, what: str) -> WasteSeen | None:
    if waste is None or waste.cm <= 0:
        return None
    loom = project.loom
    spread = waste.log_sd or MEASURED_LOG_SD
    return WasteSeen(known_as(loom.name, loom.kind), loom.kind, waste.cm, spread, f"waste of {what}: {waste}")


def sample_wastes(project: Project) -> tuple[WasteSeen, ...]:
    """What this project's own samples tell of its loom's waste."""
    seen = (_waste_seen(project, part.length.waste, part.name) for part in project.sample if not part.set_aside)
    return tuple(one for one in seen if one is not None)


def _record_seen(project: Project, record: RecordPart, cloth_yarns: Yarns, key: str) -> Seen:
    name = f"{project.name}, finished {record.date}" if record.finished else f"{project.name}, on the way"
    cloth = record_cloth(project, record, cloth_yarns, f"{key} record", name)
    told = _tells(cloth)
    waste = None if record.weaver else _waste_seen(project, record.waste, name)
    return Seen(
        place=_RECORD,
        name=name,
        day=record.date,
        key=cloth.making.key,
        cloth=cloth if told and record.finished else None,
        waste=waste if record.finished else None,
        set_aside=record.set_aside,
        same=f"{project.name} {record.model_dump_json(exclude=_NOT_OF_THE_CLOTH)} {_made_of(cloth.making)}",
        idle=_record_idle(record, told or waste is not None),
    )


def _record_idle(record: RecordPart, told: bool) -> str:
    if not told:
        return "too little was measured for it to tell anything"
    return "" if record.finished else "it has no day yet; it counts when the project is finished"


def record_cloth(project: Project, record: RecordPart, cloth_yarns: Yarns, key: str, name: str) -> SampleMeasured:
    """The cloth that a record tells of; heddle, finish and on-warp sample left out are as planned."""
    made = replace(
        making(project, cloth_yarns, ends_per_cm(project, cloth_yarns), key=key), sett_known=bool(_sett_told(project))
    )
    if record.finish is not None:
        made = replace(made, finish=record.finish)
    if record.weaver:
        made = replace(made, weaver=record.weaver)
    widths, lengths = _widths(project, record), _lengths(project, record)
    weft, error = _weft(project, record, cloth_yarns)
    picks = record.picks
    sizes: dict[str, Any] = {size: cm for size, (cm, _) in (widths | lengths).items()}
    return SampleMeasured(
        making=made,
        name=name,
        picks_count=picks.count if picks else None,
        picks_over=picks.over.cm if picks else None,
        picks_where=picks.where if picks else "on loom",
        weft_used_m=weft,
        weft_error_log=error,
        typed_log_sd={size: sd for size, (_, sd) in (widths | lengths).items() if sd is not None},
        **sizes,
    )


_Sizes = dict[str, tuple[float, float | None]]


def _widths(project: Project, record: RecordPart) -> _Sizes:
    """Widths in cm, each with a log spread where it is not the ruler's."""
    width = record.width
    found = _typed(
        {"width_in_heddle": width.in_heddle, "width_on_loom": width.on_loom, "width_off_loom": width.off_loom}
    )
    sett = _sett_told(project)
    if record.ends and sett and width.in_heddle is None:
        ends = _in_heddle(project, record.ends)
        found["width_in_heddle"] = (round(ends / sett, _FINE), 0.5 / ends)
    if width.finished.lengths:
        found["width_finished"] = _mean_width(width.finished.lengths)
    return found


def _typed(lengths: Mapping[str, Length | None]) -> _Sizes:
    return {
        name: (length.cm, length.log_sd if length.has_spread else None)
        for name, length in lengths.items()
        if length is not None
    }


def _mean_width(places: Sequence[Length]) -> tuple[float, float | None]:
    """The mean of the widths measured, and how well it is known: by the ruler, and by how they differ."""
    cms = [one.cm for one in places]
    if len(cms) == 1:
        return cms[0], places[0].log_sd if places[0].has_spread else None
    ruler = float(table()["error"]["ruler_cm"])
    return round(fmean(cms), _FINE), math.hypot(ruler, stdev(cms)) / math.sqrt(len(cms)) / fmean(cms)


def _lengths(project: Project, record: RecordPart) -> _Sizes:
    length = record.length
    found = _typed(
        {"length_on_loom": length.on_loom, "length_off_loom": length.off_loom, "length_finished": length.finished}
    )
    if record.warp_wound and record.waste:
        used = (record.warp_wound.cm - record.waste.cm) * _share_of_cloth(project, record)
        if used > 0:
            found["warp_used"] = (round(used, _FINE), None)
    return found


def _sample_woven_cm(project: Project, record: RecordPart) -> float:
    """What was woven first on the warp, by the record, else as planned."""
    sample = record.on_warp_sample or project.cloth.on_warp_sample
    return sample.cm if sample else 0.0


def _share_of_cloth(project: Project, record: RecordPart) -> float:
    """The share of all that was woven on this warp which is the cloth, not its sample."""
    sample = _sample_woven_cm(project, record)
    if record.length.on_loom:
        return record.length.on_loom.cm / (record.length.on_loom.cm + sample)
    if record.warp_wound and record.waste:
        used = record.warp_wound.cm - record.waste.cm
        return max(0.0, used - sample) / used
    return 1.0


def _weft(project: Project, record: RecordPart, cloth_yarns: Yarns) -> tuple[float | None, float]:
    """Metres of weft in the cloth, and the log spread; None where it was not measured."""
    used = record.weft_used
    if used and used.length:
        return used.length.cm / 100, math.hypot(used.length.log_sd, _WEFT_ASIDE_LOG_SD)
    if used and used.weight and cloth_yarns.weft[0].has_grist:
        metres, spread = _metres(cloth_yarns.weft[0], used.weight.grams)
        return metres, math.hypot(spread, used.weight.log_sd, _WEFT_ASIDE_LOG_SD)
    gone, error_m = _weft_by_what_is_left(record, cloth_yarns)
    if gone is None or gone <= 0:
        return None, _WEFT_ASIDE_LOG_SD
    return round(gone * _share_of_cloth(project, record), _FINE), math.hypot(error_m / gone, _WEFT_ASIDE_LOG_SD)


def _weft_by_what_is_left(record: RecordPart, cloth_yarns: Yarns) -> tuple[float | None, float]:
    """Metres of weft by what is left of each yarn, and their spread: all that is gone, less what the warp took."""
    left = {one.yarn: 0.0 for one in record.left}
    for one in record.left:
        left[one.yarn] += one.weight.grams
    in_warp, in_weft = ({lot.name: lot for lot in side} for side in (cloth_yarns.warp, cloth_yarns.weft))
    shared = bool(in_warp.keys() & in_weft.keys())
    asked = in_warp | in_weft if shared else in_weft
    if not asked or any(name not in left or not lot.has_grist or not lot.balls for name, lot in asked.items()):
        return None, 0.0
    gone = [_metres(lot, lot.grams - left[name]) for name, lot in asked.items()]
    metres, error = sum(one for one, _ in gone), math.hypot(*(one * spread for one, spread in gone))
    if not shared:
        return metres, error
    if not (record.ends and record.warp_wound):
        return None, 0.0
    return metres - record.ends * record.warp_wound.cm / 100, error


def record_seen(record: ClothRecord, key: str) -> Seen:
    """A row of a table of cloths as evidence; one whose weaver is `OWN` is by the one who plans."""
    cloth = measured_of(record, counted=True)
    own = cloth.making.weaver == OWN
    made = replace(cloth.making, key=f"{key} {cloth.making.key}", weaver="" if own else cloth.making.weaver)
    cloth, told = replace(cloth, making=made), not record.moves and _tells(cloth)
    waste = record.sizes.get("loom_waste_cm")
    kind = "rigid heddle" if "rigid" in record.words["loom_type"] else "shaft"
    seen = WasteSeen(made.loom, kind, waste, MEASURED_LOG_SD, f"waste of {record.name}") if waste and own else None
    idle = "cloth meant to gap or draw together" if record.moves else "too little was measured for it to tell anything"
    return Seen(
        place=("row", record.number),
        name=record.name,
        day=record.words.get("finished_on", ""),
        key=made.key,
        cloth=cloth if told else None,
        waste=seen,
        idle="" if told or seen else idle,
        same=f"{sorted(record.sizes.items())} {_made_of(made)} {record.name}",
    )


def history_of(projects: Iterable[Project], planned: Project | None = None) -> History:
    """What some projects tell of the one planned (see `pooled`)."""
    return pooled([seen_of(one, f"past {number}") for number, one in enumerate(projects, 1)], planned)


def pooled(seen: Sequence[ProjectSeen], planned: Project | None = None) -> History:
    """The history that pieces of evidence make, in the order of their days.

    What the project planned holds itself is not counted again. A project that is finished itself is planned from what is
    sure to have been known before its day.
    """
    used, aside = sorted_out(seen, planned)
    respelt = _spellings(planned)
    cloths = tuple(_respelt(one.cloth, respelt) for one in used if one.cloth)
    notes = [f"{one.name} is set aside and not used: {one.set_aside}." for one in aside]
    late = sum(one.tells for project in seen for one in project.pieces) - len(_known_before(seen, planned))
    if late:
        notes.append(f"This project is finished, so what was measured later, or on no known day, is not used ({late}).")
    return History(cloths, tuple(one.waste for one in used if one.waste), tuple(notes))


def sorted_out(seen: Sequence[ProjectSeen], planned: Project | None = None) -> tuple[list[Seen], list[Seen]]:
    """The pieces used for a project in the order of their days, each once, and those set aside that would be."""
    own = {one.same for one in (seen_of(planned, "planned").pieces if planned else ())}
    pieces = _known_before(seen, planned)
    reasons = {one.same: one.set_aside for one in pieces if one.set_aside}
    once: dict[str, Seen] = {}
    for one in sorted(pieces, key=lambda one: one.day or _NO_DAY):
        if one.same not in own:
            once.setdefault(one.same, one)
    return (
        [one for one in once.values() if one.same not in reasons],
        [replace(one, set_aside=reasons[one.same]) for one in once.values() if one.same in reasons],
    )


def _known_before(seen: Sequence[ProjectSeen], planned: Project | None) -> list[Seen]:
    """The pieces that tell something; for a project that is finished, those sure to be from before its day."""
    day = planned.record.date if planned and planned.record else ""
    return [one for project in seen for one in project.pieces if one.tells and (not day or "" < one.day < day)]


def _spellings(planned: Project | None) -> dict[str, str]:
    """How the project planned writes its yarns' names, by the names whatever their capitals."""
    return {part.name.casefold(): part.name for part in (planned.yarn if planned else ())}


def _respelt(cloth: SampleMeasured, names: Mapping[str, str]) -> SampleMeasured:
    """A past cloth with yarns as the project planned writes them."""
    made = cloth.making
    warp, weft = (names.get(name.casefold(), name) for name in (made.warp, made.weft))
    return (
        cloth if (warp, weft) == (made.warp, made.weft) else replace(cloth, making=replace(made, warp=warp, weft=weft))
    )


def record_gaps(project: Project) -> tuple[str, ...]:
    """What a project's record leaves out so that something typed in it tells nothing, a sentence each."""
    record = project.record
    if record is None or not project.yarn:
        return ()
    cloth = record_cloth(project, record, yarns_sampled(project), "", "")
    first_width = cloth.width_in_heddle or cloth.width_on_loom or cloth.width_off_loom
    first_length = cloth.warp_used or cloth.length_on_loom or cloth.length_off_loom
    gaps = {
        "The record's finished width tells nothing without the ends put on, or a width before washing.": (
            cloth.width_finished and not first_width
        ),
        "The record's finished length tells nothing without the woven length, or the warp wound and the waste.": (
            cloth.length_finished and not first_length
        ),
        "The warp wound and the waste go together: with both, the record tells the take-up.": (
            (record.warp_wound is None) != (record.waste is None)
        ),
        f"What is left of the yarn does not tell the weft: {_left_gap(record, yarns_sampled(project))}.": (
            record.left and not record.weft_used and cloth.weft_used_m is None
        ),
    }
    return tuple(sentence for sentence, holds in gaps.items() if holds)


def _left_gap(record: RecordPart, cloth_yarns: Yarns) -> str:
    """Why what is left over does not tell the weft used."""
    left = {one.yarn for one in record.left}
    every = {lot.name: lot for lot in (*cloth_yarns.warp, *cloth_yarns.weft)}
    missing = [name for name in every if name not in left]
    if missing:
        return f"weigh what is left of {', '.join(missing)} too"
    unmeasured = [name for name, lot in every.items() if not lot.balls or not lot.has_grist]
    if unmeasured:
        return f"how much there was of {', '.join(unmeasured)} is not known"
    if not (record.ends and record.warp_wound):
        return "the ends put on and the warp wound are needed to take off what the warp used"
    return "more is left than was there before, or the warp alone took more than is gone"


def in_use(project: Project) -> Project:
    """The project without the samples that are set aside."""
    if not any(part.set_aside for part in project.sample):
        return project
    return project.model_copy(update={"sample": [part for part in project.sample if not part.set_aside]})


def set_aside_notes(project: Project) -> tuple[str, ...]:
    """What a plan says of the project's own samples that are set aside."""
    return tuple(
        f"{part.name} is set aside and not used: {part.set_aside}." for part in project.sample if part.set_aside
    )


def table_rows(projects: Iterable[Project], *, with_samples: bool = False) -> list[dict[str, str]]:
    """The finished cloths of projects as rows of the tool's own table; `with_samples`, their samples before them.

    Nothing that is set aside, or that tells nothing, is a row; the same measurements are one. Other weavers go by a number: a table is
    given to others, and their names are not the weaver's to give.
    """
    rows: dict[str, dict[str, str]] = {}
    numbered: dict[str, str] = {}
    for project in projects:
        name = _weaver(project).strip()
        if name:
            numbered.setdefault(name, f"weaver {len(numbered) + 1}")
        for one in seen_of(project, "").pieces:
            if one.cloth and not one.set_aside and (with_samples or one.place == _RECORD):
                row = _table_row(project, one, one.cloth)
                rows.setdefault(one.same, _without_name(row, name, numbered[name]) if name else row)
    return list(rows.values())


def _without_name(row: dict[str, str], name: str, number: str) -> dict[str, str]:
    """A row in which a weaver goes by her number wherever her name stands, as in that of her loom."""
    hers = re.compile(rf"(?<!\w){re.escape(name)}(?!\w)", re.IGNORECASE)
    return row | {column: hers.sub(number, row[column]) for column in ("id", "loom", "weaver")}


def _table_row(project: Project, seen: Seen, cloth: SampleMeasured) -> dict[str, str]:
    made, cloth_yarns = cloth.making, yarns_sampled(project)
    every = {lot.name: lot for lot in (*cloth_yarns.warp, *cloth_yarns.weft)}
    warp = every.get(made.warp, cloth_yarns.warp[0])
    picks = cloth.picks_count / cloth.picks_over * CM_PER_INCH if cloth.picks_count and cloth.picks_over else None
    numbers = {
        "yarn_grist_m_per_kg": 1000 * math.exp(metres_per_gram(warp)[0]) if warp.has_grist else None,
        "wpi": wraps_per_cm(warp) * CM_PER_INCH if warp.wraps_per_cm else None,
        "epi": made.ends_per_cm * CM_PER_INCH if made.sett_known else None,
        "ppi": picks,
        "weft_used_m": cloth.weft_used_m,
        **{column: getattr(cloth, size) for column, size in STATES.items()},
        **_warp_columns(seen),
    }
    words = {
        "id": seen.name,
        "fibre": made.fibre,
        "yarn_form": warp.made,
        "ppi_where": {"on loom": "loom"}.get(cloth.picks_where, cloth.picks_where) if picks else "",
        "structure": made.structure,
        "finish": made.finish,
        "loom_type": project.loom.kind,
        "what_was_stated": "exported by the tool",
        "read_or_partial": "read",
        "weaver": made.weaver or OWN,
        "loom": project.loom.name,
        "warp_yarn": made.warp,
        "weft_yarn": made.weft,
        "finished_on": seen.day,
    }
    return words | {name: f"{value:.6g}" for name, value in numbers.items() if value}


def _warp_columns(seen: Seen) -> dict[str, float | None]:
    """Wound and wasted; of a sample, or where a sample came first, what the cloth itself used stands as wound less waste."""
    cloth, waste = seen.cloth, seen.waste.waste_cm if seen.waste else None
    if cloth is None or cloth.warp_used is None:
        return {"loom_waste_cm": waste}
    return {"loom_waste_cm": waste, "warp_wound_cm": cloth.warp_used + waste if waste else None}
