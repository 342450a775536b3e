"""Whatever a file from elsewhere holds, a reader gives what it holds or says in a sentence why not; soon, and with little memory.

A few files in the suite; `python tools/fuzz.py` reads many, and writes docs/reports/hostile-files.md.
"""

from __future__ import annotations

import json
import os
import time
import tracemalloc
import zipfile
from collections import Counter
from pathlib import Path
from typing import Any

import hostile_files
import pytest
from hostile_files import READERS, Reader, spoiled
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from clothwright.library.files import read_bundle, read_uploads
from clothwright.project import ProblemsFound
from clothwright.project.reading import MOST_NESTED, read_toml

#: How many files for each reader, and where to write what came of them; `tools/fuzz.py` asks for many.
EXAMPLES = int(os.environ.get("CLOTHWRIGHT_FUZZ", "20"))
TOLD = os.environ.get("CLOTHWRIGHT_FUZZ_TOLD", "")


@pytest.fixture(autouse=True)
def data_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CLOTHWRIGHT_DATA", str(tmp_path / "data"))


@pytest.mark.django_db
@pytest.mark.parametrize("reader", READERS, ids=lambda one: one.name)
def test_a_spoiled_file_is_read_or_refused_in_a_sentence_and_soon(reader: Reader) -> None:
    """Nothing else is raised, no file takes longer than half of what a page gives it, and each sentence can be shown."""
    seeds, came, slowest = reader.seeds(), Counter[str](), [0.0]
    for seed in seeds:
        _read(reader, seed, came, slowest)
    assert came["read"] + came["refused"] == len(seeds)

    @settings(
        max_examples=max(1, round(EXAMPLES * reader.share)),
        deadline=None,
        database=None,
        suppress_health_check=list(HealthCheck),
        phases=(Phase.explicit, Phase.generate),
        report_multiple_bugs=False,
    )
    @given(data=spoiled(seeds))
    def spoil(data: bytes) -> None:
        _read(reader, data, came, slowest)

    spoil()
    if TOLD:
        told = {"reader": reader.name, **came, "slowest_s": round(slowest[0], 2)}
        with Path(TOLD).open("a", encoding="utf-8") as file:
            file.write(json.dumps(told) + "\n")


def _read(reader: Reader, data: bytes, came: Counter[str], slowest: list[float]) -> None:
    began = time.process_time()
    try:
        reader.read(data)
        came["read"] += 1
    except reader.refusals as refusal:
        came["refused"] += 1
        said = str(refusal)
        assert said.strip()
        said.encode("utf-8")
    took = time.process_time() - began
    slowest[0] = max(slowest[0], took)
    assert took < reader.longest_s, f"{took:.1f} s of work"


# --- what was made to hurt -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "text",
    [
        "a = " + "[" * 100_000,
        "a = " + "[" * 3000 + "]" * 3000,
        "a = " + "{a=" * 3000,
        ".".join("a" * 20_000) + " = 1",
        "[" + ".".join("a" * 20_000) + "]",
        "a = 1" + "0" * 5000,
        "a = 0x" + "f" * 50_000,
    ],
    ids=lambda text: text[:12],
)
def test_a_project_file_nested_deep_or_with_a_number_without_measure_is_one_sentence(text: str) -> None:
    """Python's reader of TOML falls over each of these in its own way."""
    with pytest.raises(ProblemsFound) as found:
        read_uploads({"deep.toml": text.encode()})
    (problem,) = found.value.problems
    assert len(problem.sentence) < 300


def test_a_project_file_as_deep_as_any_is_read() -> None:
    """The limit lies well above what a project file can use."""
    depth = MOST_NESTED - 2
    assert read_toml("a = " + "[" * depth + "]" * depth)


def test_a_zip_that_unpacks_to_gigabytes_is_read_no_further_than_its_limit(tmp_path: Path) -> None:
    """Four gigabytes of nothing in four megabytes: the sentence, with memory for the limit and no more."""
    bomb = tmp_path / "bomb.zip"
    with (
        zipfile.ZipFile(bomb, "w", zipfile.ZIP_DEFLATED) as out,
        out.open("project.toml", "w", force_zip64=True) as file,
    ):
        for _ in range(400):
            file.write(bytes(1_000_000))
    tracemalloc.start()
    try:
        with pytest.raises(ProblemsFound, match="is larger than 2 MB"):
            read_bundle(bomb.read_bytes())
        assert tracemalloc.get_traced_memory()[1] < 30_000_000
    finally:
        tracemalloc.stop()


def test_the_ways_to_spoil_a_file_do_spoil_it() -> None:
    """So that a walk without findings is one that met spoiled files: most differ from the good one, and archives still open."""

    @settings(max_examples=30, database=None)
    @given(data=spoiled((b"name = 'kelp'\n" * 20,)), other=st.just(None))
    def look(data: bytes, other: Any) -> None:
        seen.append(data)

    seen: list[bytes] = []
    look()
    assert len({*seen} - {b"name = 'kelp'\n" * 20}) > 15
    (packed, stored) = hostile_files._bundle_seeds()
    spoiled_inside = stored.replace(b"clothwright", b"clothwrong!", 1)
    with pytest.raises(zipfile.BadZipFile):
        _all_of(spoiled_inside)
    _all_of(hostile_files.summed_anew(spoiled_inside))
    _all_of(packed)


def _all_of(archive: bytes) -> None:
    import io

    with zipfile.ZipFile(io.BytesIO(archive)) as opened:
        for name in opened.namelist():
            opened.read(name)
