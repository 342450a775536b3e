"""The class that weaves a project: every state as typed, undo and redo, and deletion for good.

A class is about people. It stands beside its project and in nothing that carries the project: no bundle, no archive. It can
be deleted, which takes every state out of the library's file, not only out of sight.
"""

from __future__ import annotations

from typing import Any

from django.db import connection, transaction

from clothwright.library.models import ClassOfProject, ClassState, Project
from clothwright.library.numbered import last_number

Tree = dict[str, Any]


def head_of_class(project: Project) -> ClassState | None:
    """The state of a project's class that counts now; None where it has none."""
    found = ClassOfProject.objects.select_related("head").filter(project=project).first()
    return found.head if found else None


def state_of_class(project: Project, number: int) -> ClassState | None:
    """The state of that number; None where there is none."""
    return ClassState.objects.filter(of__project=project, number=number).first()


@transaction.atomic
def keep_class(project: Project, tree: Tree, what: str) -> ClassState:
    """Save a tree as the state that counts now; one that changes nothing saves nothing."""
    of, _ = ClassOfProject.objects.select_for_update().get_or_create(project=project)
    if of.head is not None and of.head.tree == tree:
        return of.head
    number = last_number(of.states.all()) + 1
    return _move(of, ClassState.objects.create(of=of, number=number, parent=of.head, tree=tree, what=what))


@transaction.atomic
def undo_class(project: Project) -> None:
    """Go back to what was there before the last change; at the first state nothing happens."""
    _lock(project)
    head = head_of_class(project)
    if head is not None and head.parent is not None:
        _move(head.of, head.parent)


@transaction.atomic
def redo_class(project: Project) -> None:
    """Go forward to the newest change made from here, if there is one."""
    _lock(project)
    head = head_of_class(project)
    if head is not None and (newest := _newest_child(head)) is not None:
        _move(head.of, newest)


def can_undo_class(project: Project) -> bool:
    """Whether something was changed before."""
    head = head_of_class(project)
    return head is not None and head.parent_id is not None


def can_redo_class(project: Project) -> bool:
    """Whether something was taken back."""
    head = head_of_class(project)
    return head is not None and _newest_child(head) is not None


def delete_class(project: Project) -> bool:
    """Take a project's class with all its states out of the library for good; False where there was none.

    SQLite is told to write over what is deleted, and to take it out of its log as well. A database server writes over it in its own
    time.
    *Source:* SQLite's documentation of PRAGMA secure_delete and of the write-ahead log (https://www.sqlite.org/pragma.html).
    """
    in_a_file = connection.vendor == "sqlite"
    if in_a_file:
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA secure_delete = ON")
    with transaction.atomic():
        _lock(project)
        gone, _ = ClassOfProject.objects.filter(project=project).delete()
        if in_a_file:
            transaction.on_commit(_empty_log)
    return gone > 0


def _lock(project: Project) -> None:
    """Hold the row of a project's class, if it has one, until the end of the transaction."""
    ClassOfProject.objects.select_for_update(of=("self",)).filter(project=project).first()


def _empty_log() -> None:
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")


def _newest_child(head: ClassState) -> ClassState | None:
    return head.children.order_by("-number").first()


def _move(of: ClassOfProject, to: ClassState) -> ClassState:
    of.head = to
    of.save(update_fields=["head"])
    return to
