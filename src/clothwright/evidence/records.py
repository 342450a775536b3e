"""Finished cloths as a table: one row a cloth, lengths in cm, an empty cell where nothing was stated.

The columns are those of public collections of cloth records; only the ones named here are read, others may stand beside
them. A row with a cell that is no number is left out and told of, the rest are kept.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final
from urllib.parse import urlsplit

from clothwright.measure import CM_PER_INCH, as_text_cell, of_text_cell

WIDTHS: Final = ("reed_width_cm", "on_loom_width_cm", "off_loom_width_cm", "finished_width_cm")
LENGTHS: Final = ("warp_wound_cm", "on_loom_length_cm", "off_loom_length_cm", "finished_length_cm", "loom_waste_cm")
COUNTS: Final = ("yarn_grist_m_per_kg", "wpi", "epi", "ppi")
AMOUNTS: Final = ("warp_used_g", "weft_used_g", "total_used_g", "warp_used_m", "weft_used_m")
NUMBERS: Final = (*WIDTHS, *LENGTHS, *COUNTS, *AMOUNTS)
WORDS: Final = ("id", "fibre", "yarn_form", "structure", "finish", "loom_type", "source_address")
#: The weaver of a table that the tool wrote: the one whose projects they are.
OWN: Final = "own"
#: Columns of the tool's own export beside those of public collections.
WORDS_BESIDE: Final = ("ppi_where", "weaver", "loom", "warp_yarn", "weft_yarn", "finished_on")
#: Every column of the tool's own export, in order.
COLUMNS: Final = (
    *("id", "fibre", "yarn_form", "yarn_grist_m_per_kg", "wpi", "epi", "ppi", "ppi_where", "structure"),
    *WIDTHS,
    *LENGTHS,
    "finish",
    *AMOUNTS,
    *("loom_type", "what_was_stated", "source_address", "read_or_partial"),
    *("weaver", "loom", "warp_yarn", "weft_yarn", "finished_on"),
)
NEEDED: Final = ("id", "finished_width_cm", "finished_length_cm")

#: Structures meant to gap or draw together; they are no evidence for garment cloth.
MEANT_TO_MOVE: Final = ("collapse", "gap", "crepe")
_LARGEST: Final = 1e6


@dataclass(frozen=True)
class ClothRecord:
    """One finished cloth: `sizes` in cm and counts by column name, `words` by column name."""

    number: int
    sizes: Mapping[str, float]
    words: Mapping[str, str]

    @property
    def name(self) -> str:
        """What the cloth is called."""
        return self.words["id"] or f"row {self.number}"

    @property
    def weaver(self) -> str:
        """Who wove it, as the row says, else as far as its address tells; each row without either is somebody else."""
        return self.words.get("weaver") or urlsplit(self.words["source_address"]).netloc or f"somebody ({self.name})"

    @property
    def moves(self) -> bool:
        """Whether its structure is meant to gap or draw together."""
        return any(word in self.words["structure"].lower() for word in MEANT_TO_MOVE)


@dataclass(frozen=True)
class BadRow:
    """A row that could not be used: its line in the table, and why in one sentence."""

    line: int
    sentence: str


def read_records(text: str) -> tuple[tuple[ClothRecord, ...], tuple[BadRow, ...]]:
    """Every cloth of a CSV text, in its order, and the rows that could not be read; ValueError without the columns, or of no table."""
    reader = csv.DictReader(io.StringIO(text))
    try:
        return _read_records(reader)
    except csv.Error as error:
        raise ValueError(f"after line {reader.line_num} the table cannot be read: {error}") from None


def _read_records(reader: csv.DictReader[str]) -> tuple[tuple[ClothRecord, ...], tuple[BadRow, ...]]:
    missing = [name for name in NEEDED if name not in (reader.fieldnames or ())]
    if missing:
        raise ValueError(f"the table has no column {', '.join(missing)}; its first line must name the columns")
    records: list[ClothRecord] = []
    bad: list[BadRow] = []
    for row in reader:
        wrong = list(_wrong_cells(row))
        if wrong:
            bad.append(BadRow(reader.line_num, "; ".join(wrong)))
        else:
            records.append(_record(len(records) + 1, row))
    return tuple(records), tuple(bad)


def _wrong_cells(row: Mapping[str, str]) -> Iterator[str]:
    for name in NUMBERS:
        cell = (row.get(name) or "").strip()
        if cell and _number(cell) is None:
            yield f"{name} “{cell}” is not a number above nothing"


def _number(cell: str) -> float | None:
    try:
        value = float(cell)
    except ValueError:
        return None
    return value if 0 < value < _LARGEST else None


def _record(number: int, row: Mapping[str, str]) -> ClothRecord:
    sizes = {name: value for name in NUMBERS if (value := _number((row.get(name) or "").strip())) is not None}
    return ClothRecord(
        number, sizes, {name: of_text_cell((row.get(name) or "").strip()) for name in (*WORDS, *WORDS_BESIDE)}
    )


def written_records(rows: Iterable[Mapping[str, str]]) -> str:
    """The tool's own table of finished cloths, as CSV text; cells by column name, those left out stay empty."""
    text = io.StringIO()
    writer = csv.DictWriter(text, COLUMNS, restval="", lineterminator="\n")
    writer.writeheader()
    writer.writerows({name: as_text_cell(cell) for name, cell in row.items()} for row in rows)
    return text.getvalue()


def reading_error_cm(size_cm: float) -> float:
    """One standard deviation of a reported length: even within half an inch if it was told in half inches, else a mm."""
    halves = 2 * size_cm / CM_PER_INCH
    step = CM_PER_INCH / 2 if abs(halves - round(halves)) < 0.05 else 0.35
    return float(step / 12**0.5)
