"""What Clothwright rests on is compared with the list of known holes; without the list that is said, and nothing fails."""

from __future__ import annotations

import importlib.util
import json
import sys
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

TOOLS = Path(__file__).parents[1] / "tools"


def tool(name: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(f"tool_{name}", TOOLS / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    made = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = made
    spec.loader.exec_module(made)
    return made


audit = tool("audit")


def test_what_users_have_is_compared_and_what_the_tests_alone_need_is_not() -> None:
    """What the packages say of themselves, by the standard of their metadata (PEP 508 markers and extras)."""
    found = audit.rests_on("clothwright", audit.EXTRAS)
    assert {
        "django",
        "pydantic",
        "pydantic-core",
        "numpy",
        "psycopg",
        "psycopg-binary",
        "argon2-cffi",
        "pillow",
    } <= set(found)
    assert not {"pytest", "mypy", "clothwright", "playwright"} & set(found)
    assert "psycopg" not in audit.rests_on("clothwright", frozenset())


CLEAN = {"name": "kelp", "version": "1.0", "vulns": []}
PASSED_OVER = {"name": "dulse", "skip_reason": "Dependency not found on PyPI and could not be audited: dulse (1.0)"}
HOLED = {"name": "wrack", "version": "2.1", "vulns": [{"id": "PYSEC-0000-1", "fix_versions": ["2.2", "3.0"]}]}


@pytest.mark.parametrize(
    ("said", "status", "told"),
    [
        ([CLEAN, PASSED_OVER, HOLED], 1, "wrack 2.1 has a known hole, PYSEC-0000-1; mended in: 2.2, 3.0"),
        ([CLEAN, PASSED_OVER], 0, "since the list does not know them: dulse"),
        ([CLEAN], 0, "1 of 3 packages; none known"),
        ([PASSED_OVER], 3, "were NOT compared"),
        (None, 3, "were NOT compared"),
    ],
    ids=["a hole", "one passed over", "none", "all passed over", "no network"],
)
def test_a_hole_fails_and_a_list_that_cannot_be_asked_is_said(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], said: Any, status: int, told: str
) -> None:
    """A registry without the list passes every package over and says that nothing is known (seen of pip-audit 2.10, with status 0)."""
    printed = "" if said is None else json.dumps({"dependencies": said})
    monkeypatch.setattr(audit, "rests_on", lambda *_: {"kelp": "1.0", "dulse": "1.0", "wrack": "2.1"})
    answer = audit.subprocess.CompletedProcess([], 0, stdout=printed, stderr="")
    monkeypatch.setattr(audit.subprocess, "run", lambda *_, **__: answer)
    assert audit.main() == status
    assert told in capsys.readouterr().out


@pytest.mark.parametrize(("installed", "status", "came"), [(1, 0, 0), (0, 3, 0), (0, 0, 0), (0, 1, 1)])
def test_the_test_command_goes_on_without_the_list_and_stops_at_a_hole(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], installed: int, status: int, came: int
) -> None:
    run = tool("run")
    monkeypatch.setattr(run, "_install", lambda extras: installed if extras == "[audit]" else 0)
    monkeypatch.setattr(run, "_run", lambda *_, **__: status)
    assert run._audited() == came
    assert ("NOT compared" in capsys.readouterr().out) == bool(installed)
