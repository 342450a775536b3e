"""What is believed before measuring, and the script that fitted it."""

from __future__ import annotations

import importlib.util
import sys
import tomllib
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest

from clothwright.evidence import fibre_group, finish_group, ratio_prior, read_records
from clothwright.evidence.priors import STEPS, step_covariance, table

ROOT = Path(__file__).parents[2]
RECORDS = ROOT / "tests" / "published" / "cloths" / "records.csv"


def fitting() -> ModuleType:
    """The script as a module."""
    spec = importlib.util.spec_from_file_location("fit_priors", ROOT / "tools" / "fit_priors.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


def test_the_table_is_what_the_script_makes_of_the_public_records() -> None:
    """Every middle and spread to a thousandth or so, and every source word for word."""
    script = fitting()
    records, _ = read_records(RECORDS.read_text(encoding="utf-8"))
    reports = script.reports_of(records)
    kept = table()["across_weavers"]
    try:
        spreads, _ = reports.fitted()
        made = tomllib.loads(script.as_toml(script.rows_of(reports, spreads), spreads))
    finally:
        table()["across_weavers"] = kept
    shipped = table()
    assert made["across_weavers"] == pytest.approx(shipped["across_weavers"], abs=0.021)
    for ours, fitted in zip(shipped["ratio"], made["ratio"], strict=True):
        assert (ours["fibre"], ours["finish"], ours["source"]) == (fitted["fibre"], fitted["finish"], fitted["source"])
        for step in map(str, script.FITTED):
            assert ours[step]["mean"] == pytest.approx(fitted[step]["mean"], abs=0.0021)
            assert ours[step]["sd"] == pytest.approx(fitted[step]["sd"], abs=0.0021)


@pytest.mark.parametrize(
    ("words", "group"),
    [
        ("hand wash, dried flat", "gentle"),
        ("", "gentle"),
        ("machine wash cool, tumble dry low", "machine"),
        ("fulled by hand in hot water", "fulled"),
        ("machine fulled", "fulled"),
    ],
)
def test_a_recipe_is_known_by_its_strongest_word(words: str, group: str) -> None:
    assert finish_group(words) == group


def test_an_unknown_fibre_has_the_pooled_row() -> None:
    """A mixture, or a word nobody knows, is pooled: its spreads are no narrower than any known fibre's."""
    assert fibre_group("merino and silk") == fibre_group("milkweed") == fibre_group("") == "unknown"
    pooled = ratio_prior("milkweed", "hand wash")
    for fibre in ("wool", "cotton", "silk", "linen"):
        known = ratio_prior(fibre, "hand wash")
        assert all(pooled.sd[step] >= known.sd[step] - 1e-9 for step in pooled.sd)


@pytest.mark.parametrize("fibre", ["wool", "cotton", "silk", "linen", "milkweed"])
@pytest.mark.parametrize("finish", ["hand wash", "machine wash", "fulled"])
def test_every_row_is_a_covariance(fibre: str, finish: str) -> None:
    covariance = step_covariance(ratio_prior(fibre, finish))
    assert covariance.shape == (len(STEPS), len(STEPS))
    assert np.linalg.eigvalsh(covariance).min() > 0


def test_harder_finishing_takes_more() -> None:
    """Gentle, machine and fulled lose more width in that order, as the public reports say of wool and hair."""
    lost = [ratio_prior("wool", finish).mean["width_finishing"] for finish in ("hand wash", "machine", "fulled")]
    assert lost[0] > lost[1] > lost[2]
