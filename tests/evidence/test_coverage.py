"""Forecast intervals hold on cloths simulated from the stated prior."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest

CLOTHS = 1000


def _benchmark() -> ModuleType:
    path = Path(__file__).parents[2] / "benchmarks" / "coverage.py"
    spec = importlib.util.spec_from_file_location("coverage_of_forecasts", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


def test_nine_truths_in_ten_lie_in_the_interval() -> None:
    """Within three standard errors, for width, length and weft; and the forecast is nearer than the rule of thumb."""
    benchmark, rng = _benchmark(), np.random.default_rng(12)
    outcomes = [benchmark.simulated(rng) for _ in range(CLOTHS)]
    for name in benchmark.FORECASTS:
        found = [one[name] for one in outcomes]
        coverage = np.mean([one.within for one in found])
        assert coverage == pytest.approx(0.9, abs=3 * np.sqrt(0.9 * 0.1 / CLOTHS)), name
        assert np.median([one.ours_off for one in found]) < 0.6 * np.median([one.rule_off for one in found])
