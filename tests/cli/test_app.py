"""Every command stands in the file of its subject, and every such file is loaded."""

from __future__ import annotations

from pathlib import Path

from clothwright.cli import commands as by_subject
from clothwright.cli.app import SUBJECTS, commands


def test_every_file_of_commands_has_registered_some_and_no_other_place_has() -> None:
    written = {path.stem for path in Path(by_subject.__file__).parent.glob("*.py")} - {"__init__"}
    assert {subject.__name__.rsplit(".", 1)[1] for subject in SUBJECTS} == written
    homes = {command.callback.__module__ for command in commands.commands.values() if command.callback}
    assert homes == {f"{by_subject.__name__}.{name}" for name in written}
    assert len(commands.commands) > 30
