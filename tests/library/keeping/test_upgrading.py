"""The library brought up to date: from every state it was ever in, with a copy first, and never backwards."""

from __future__ import annotations

import uuid
import zipfile
from datetime import UTC, date, datetime
from importlib import resources
from pathlib import Path
from typing import Any

import pytest
from django.apps.registry import Apps
from django.db import connection, models
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.recorder import MigrationRecorder

from clothwright.library import store
from clothwright.library.keeping import upgrading
from clothwright.library.keeping.upgrading import bring_up_to_date
from clothwright.library.models import Project, Revision
from clothwright.library.typed_json import TypedJSON
from clothwright.project import ProblemsFound

STATES = sorted(
    one.name.removesuffix(".py")
    for one in resources.files("clothwright.library.migrations").iterdir()
    if one.name[:4].isdigit()
)
LATEST = STATES[-1]
#: What stands in a field of each kind, in a library of any age.
FILLED: dict[type[models.Field], Any] = {
    models.UUIDField: uuid.UUID(int=7),
    models.DateTimeField: datetime(2026, 3, 1, 8, 30, tzinfo=UTC),
    models.DateField: date(2026, 3, 1),
    models.CharField: "glasswort",
    models.EmailField: "glasswort@saltmarsh.example",
    models.TextField: "typed in",
    models.PositiveIntegerField: 1,
    TypedJSON: {"name": "Glasswort bag", "yarn": [{"name": "sandbar, ½ washed"}]},
    models.JSONField: {"name": "Glasswort bag", "yarn": [{"name": "sandbar, ½ washed"}]},
    models.BinaryField: b"\x00\xff<svg/>",
    models.BooleanField: True,
    models.FloatField: 0.5,
}

#: Of fields that may be empty but one, the one that is filled.
ONE_OF = {"library.share": "project"}


def filled(apps: Apps) -> dict[tuple[str, Any], dict[str, Any]]:
    """One row in every table of that time, each field with something in it; what was put there."""
    made: dict[str, models.Model] = {}
    for model in apps.get_app_config("library").get_models():
        _row(model, made)
    for label, row in made.items():
        for field in row._meta.fields:
            if label in ONE_OF or not isinstance(field, models.ForeignKey):
                continue
            if field.null and _label(field.related_model) != label:
                setattr(row, field.attname, made[_label(field.related_model)].pk)
        row.save()
    return {(type(one).__name__, one.pk): _values(one) for one in made.values()}


def _label(model: Any) -> str:
    """The table of a model; a model of an earlier state may be there as two classes of one table."""
    return str(model._meta.label_lower)


def _row(model: type[models.Model], made: dict[str, models.Model]) -> models.Model:
    """The row of a table; what it must belong to is made first, what it may point at comes after."""
    if _label(model) in made:
        return made[_label(model)]
    given: dict[str, Any] = {}
    for field in model._meta.fields:
        if isinstance(field, models.ForeignKey):
            if not field.null or ONE_OF.get(_label(model)) == field.name:
                given[field.attname] = _row(field.related_model, made).pk
        elif not isinstance(field, models.AutoField):
            given[field.name] = FILLED[type(field)]
    made[_label(model)] = model._base_manager.create(**given)
    return made[_label(model)]


def _values(row: models.Model) -> dict[str, Any]:
    return {field.attname: getattr(row, field.attname) for field in row._meta.concrete_fields}


def taken_back_to(state: str) -> Apps:
    """The database as a program of that time left it, with nothing in it."""
    MigrationExecutor(connection).migrate([("library", None)])
    executor = MigrationExecutor(connection)
    return executor.migrate([("library", state)]).apps


@pytest.fixture
def other_ages(transactional_db: None) -> Any:
    """A database that is taken back, and is as it was afterwards."""
    yield
    MigrationExecutor(connection).migrate([("library", None)])
    MigrationExecutor(connection).migrate([("library", LATEST)])


@pytest.mark.parametrize("state", STATES)
def test_a_library_of_every_earlier_state_keeps_every_row_and_every_value(
    state: str, other_ages: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Tables of that time are filled row by row, and read again after the upgrade; the copy is asked for once, where due."""
    copies: list[int] = []
    monkeypatch.setattr(upgrading, "back_up", lambda: copies.append(1))
    before = filled(taken_back_to(state))
    bring_up_to_date()
    now = MigrationExecutor(connection).loader.project_state([("library", LATEST)]).apps
    for (name, key), values in before.items():
        row = now.get_model("library", name).objects.get(pk=key)
        kept = _values(row)
        assert {field: kept[field] for field in values} == values, f"{name} of {state}"
    assert copies == ([1] if state != LATEST else [])
    project = Project.objects.get()
    assert store.shown_name(store.head(project).tree) == "Glasswort bag"
    assert store.change(project, {"name": "Glasswort sack"}, "name").number == 2
    assert Revision.objects.count() == 2


@pytest.mark.django_db
def test_a_library_of_a_newer_program_is_refused_and_left_as_it_is() -> None:
    """The sentence names the step that is not known here."""
    MigrationRecorder(connection).record_applied("library", "9999_of_tomorrow")
    with pytest.raises(ProblemsFound, match=r"used by a newer Clothwright \(library 9999_of_tomorrow"):
        bring_up_to_date()


def test_the_copy_made_before_an_upgrade_holds_the_library_as_it_was(tmp_path: Path) -> None:
    """The real command on a library that lacks the last step."""
    import os
    import sqlite3
    import subprocess
    import sys

    folder = tmp_path / "data"
    run = [sys.executable, "-m", "clothwright", "export", "-o"]
    environment = {**os.environ, "CLOTHWRIGHT_DATA": str(folder)}
    subprocess.run([*run, tmp_path / "one.zip"], env=environment, check=True, capture_output=True)
    assert not (folder / "backups").exists()
    back = (
        "from clothwright.web.serve import ready; from django.core.management import call_command; "
        "ready(); call_command('migrate', 'library', '0003_photo', verbosity=0)"
    )
    subprocess.run([sys.executable, "-c", back], env=environment, check=True, capture_output=True)
    subprocess.run([*run, tmp_path / "two.zip"], env=environment, check=True, capture_output=True)
    (copy,) = (folder / "backups").iterdir()
    with zipfile.ZipFile(copy) as whole:
        (tmp_path / "was.sqlite3").write_bytes(whole.read("library.sqlite3"))
    was = sqlite3.connect(tmp_path / "was.sqlite3")
    assert was.execute("SELECT MAX(name) FROM django_migrations WHERE app = 'library'").fetchone() == ("0003_photo",)
    assert not was.execute("SELECT 1 FROM sqlite_master WHERE name = 'library_phoneentry'").fetchall()
