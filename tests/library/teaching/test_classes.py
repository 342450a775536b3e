"""Classes in the library: every state kept, undone, redone; in nothing that carries the project; deleted for good."""

from __future__ import annotations

import io
import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from django.core.management import call_command

from clothwright.library import export_bundle, export_toml, store
from clothwright.library.keeping import archive
from clothwright.library.models import ClassOfProject, ClassState
from clothwright.library.teaching import classes

pytestmark = pytest.mark.django_db
TREE = {"name": "Saturday", "student": [{"name": "Zostera Nameless", "loom": {"heddles": ["30/10 cm"]}}]}


def test_every_state_is_kept_and_undone_one_by_one() -> None:
    """A change after an undo is a branch; what was there before is undone to, and redone."""
    project = store.new_project({"name": "p"}, "made")
    assert classes.head_of_class(project) is None
    assert not classes.can_undo_class(project)
    classes.undo_class(project)
    classes.keep_class(project, TREE, "one")
    assert classes.keep_class(project, dict(TREE), "the same").number == 1
    classes.keep_class(project, TREE | {"day": "2026-05-16"}, "two")
    classes.undo_class(project)
    head = classes.head_of_class(project)
    assert head is not None
    assert (head.tree, classes.can_undo_class(project), classes.can_redo_class(project)) == (TREE, False, True)
    classes.redo_class(project)
    head = classes.head_of_class(project)
    assert head is not None
    assert head.number == 2
    assert ClassState.objects.count() == 2


def test_nothing_that_carries_a_project_carries_its_class() -> None:
    """Project file, bundle, and the archive of everything; the backup is a whole copy and does."""
    tree = {"clothwright": 1, "name": "p"}
    project = store.new_project(tree, "made")
    classes.keep_class(project, TREE, "typed")
    head = store.head(project)
    assert "Zostera" not in export_toml(head.tree)
    for content in (export_bundle(head.tree, {}), archive.exported()):
        with zipfile.ZipFile(io.BytesIO(content)) as whole:
            assert whole.namelist()
            assert not [name for name in whole.namelist() if b"Zostera" in whole.read(name) or "Zostera" in name]


def test_a_class_is_written_as_tables_that_read_as_the_same_class() -> None:
    """A student stands under a heading of her own."""
    assert "[[student]]" in export_toml(TREE)


def test_a_class_that_is_deleted_is_gone_with_every_state() -> None:
    """Its project stays, and deleting what is not there is no fault."""
    project, other = store.new_project({"name": "p"}, "made"), store.new_project({"name": "o"}, "made")
    for one in (project, other):
        classes.keep_class(one, TREE, "one")
        classes.keep_class(one, TREE | {"name": "x"}, "two")
    assert classes.delete_class(project)
    assert not classes.delete_class(project)
    assert ClassOfProject.objects.count() == 1
    assert ClassState.objects.count() == 2
    assert store.project(project.pk).name == "p"


_DELETES = """
import django
django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0)
from django.db import connection
from clothwright.library import store
from clothwright.library.teaching import classes
project = store.new_project({"name": "p"}, "made")
classes.keep_class(project, {"student": [{"name": "Zostera Nameless" + "x" * 9000}]}, "typed")
from clothwright.library.folder import database_file
def there():
    return any(b"Zostera" in one.read_bytes() for one in database_file().parent.glob(database_file().name + "*"))
before = there()
classes.delete_class(project)
print(before, there())
"""


def test_what_is_deleted_is_written_over_in_the_file(tmp_path: Path) -> None:
    """Neither the library's file nor its log holds the name any longer; a process of its own, since tests keep theirs in memory."""
    env = os.environ | {"CLOTHWRIGHT_DATA": str(tmp_path), "DJANGO_SETTINGS_MODULE": "clothwright.web.settings"}
    done = subprocess.run([sys.executable, "-c", _DELETES], env=env, capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["True", "False"]


def test_the_migrations_are_those_of_the_models() -> None:
    """Nothing is left to be made."""
    call_command("makemigrations", "--check", "--dry-run", verbosity=0)
