"""Projects and their history: every change is a new revision, undo and redo move the head, nothing is lost.

Revisions of a project form a tree by `parent`. A change after an undo starts a new branch; the old one stays
readable in the history, and any of its revisions can be made the head again.
"""

from __future__ import annotations

import datetime
import hashlib
import uuid
from collections.abc import Mapping
from typing import Any

from django.db import transaction
from django.db.models import QuerySet

from clothwright.library.models import Drawing, Project, Revision
from clothwright.library.numbered import last_number

Tree = dict[str, Any]
Drawings = Mapping[str, bytes]

NAMELESS = "untitled"
_LARGEST = 2**31 - 1


@transaction.atomic
def new_project(tree: Tree, what: str, drawings: Drawings | None = None) -> Project:
    """A new project that starts with a tree and its drawings."""
    project = Project.objects.create(name=shown_name(tree))
    kept = {name: _keep(project, name, content) for name, content in (drawings or {}).items()}
    _add(project, tree, what, kept)
    return project


@transaction.atomic
def begun_project(key: uuid.UUID, tree: Tree, what: str) -> Project:
    """The project of that key, made with a tree where there is none that can be seen; another's key makes one of another key.

    Sent twice, the same page makes one project.
    """
    there = Project.objects.filter(pk=key).first()
    if there is not None:
        return project(key)
    taken = Project.every.filter(pk=key).exists()
    made = Project.objects.create(id=uuid.uuid4() if taken else key, name=shown_name(tree))
    _add(made, tree, what, {})
    return made


def begun_since(when: datetime.datetime, what: str) -> QuerySet[Project]:
    """The projects on the table that began since then, their first change in these words, newest first."""
    return projects().filter(created__gte=when, revisions__parent=None, revisions__what=what)


def shown_name(tree: Tree) -> str:
    """The name to show for a tree, whatever was typed."""
    return str(tree.get("name") or "").strip()[:200] or NAMELESS


def project(key: uuid.UUID | str) -> Project:
    """The project with that key, its head loaded; Project.DoesNotExist if there is none."""
    return Project.objects.select_related("head").get(pk=key)


def projects(*, put_away: bool = False) -> QuerySet[Project]:
    """The projects on the table, or those put away, newest first."""
    return Project.objects.select_related("head").filter(put_away=put_away).order_by("-created")


def head(project: Project) -> Revision:
    """The revision that counts now."""
    assert project.head is not None  # a project is made with its first revision
    project.head.project = project  # which is known, and need not be asked for again
    return project.head


@transaction.atomic
def change(project: Project, tree: Tree, what: str) -> Revision:
    """Save a tree as the new head; a tree that changes nothing saves nothing."""
    lock(project)
    before = head(project)
    return before if before.tree == tree else _add(project, tree, what, before.drawings)


@transaction.atomic
def save_drawing(project: Project, name: str, content: bytes, tree: Tree, what: str) -> Revision:
    """Keep a drawing and save the tree that names it."""
    lock(project)
    kept = {**head(project).drawings, name: _keep(project, name, content)}
    return _add(project, tree, what, kept)


@transaction.atomic
def undo(project: Project) -> Revision:
    """Go back to what the head was changed from; at the first revision nothing happens."""
    lock(project)
    now = head(project)
    return _move(project, now.parent or now)


@transaction.atomic
def redo(project: Project) -> Revision:
    """Go forward again to the newest change made from the head, if there is one."""
    lock(project)
    return _move(project, _newest_child(head(project)) or head(project))


def can_undo(project: Project) -> bool:
    """Whether something was changed before the head."""
    return head(project).parent_id is not None


def can_redo(project: Project) -> bool:
    """Whether something was changed after the head."""
    return head(project).children.exists()


@transaction.atomic
def go_to(project: Project, number: int) -> Revision:
    """Make any revision the head again; Revision.DoesNotExist if there is none of that number."""
    lock(project)
    return _move(project, revision(project, number))


def revision(project: Project, number: int) -> Revision:
    """The revision of that number; Revision.DoesNotExist if there is none."""
    return Revision.objects.get(project=project, number=min(number, _LARGEST))


def history(project: Project) -> list[Revision]:
    """Every revision, newest first, on whatever branch."""
    return list(Revision.objects.filter(project=project).order_by("-number"))


def put_away(project: Project) -> None:
    """Take a project off the table; it is kept."""
    Project.objects.filter(pk=project.pk).update(put_away=True)


def bring_back(project: Project) -> None:
    """Put a project back on the table."""
    Project.objects.filter(pk=project.pk).update(put_away=False)


def drawings_of(revision: Revision) -> dict[str, bytes]:
    """The drawings as they were at a revision, by name."""
    if not revision.drawings:
        return {}
    stored = Drawing.objects.filter(project=revision.project_id, name__in=list(revision.drawings))
    return {one.name: bytes(one.content) for one in stored if revision.drawings[one.name] == one.sha256}


def lock(project: Project) -> None:
    """Hold the project's row until the end of the transaction, and take its head as it is now."""
    fresh = Project.objects.select_for_update(of=("self",)).get(pk=project.pk)
    # Asked for by itself: joined, a server would still answer with the head from before it waited for the row.
    project.head = Revision.objects.get(pk=fresh.head_id) if fresh.head_id else None


def _add(project: Project, tree: Tree, what: str, drawings: Mapping[str, str]) -> Revision:
    added = Revision.objects.create(
        project=project,
        number=last_number(Revision.objects.filter(project=project)) + 1,
        parent=project.head,
        tree=tree,
        drawings=dict(drawings),
        what=what,
    )
    return _move(project, added)


def _move(project: Project, to: Revision) -> Revision:
    project.head, project.name = to, shown_name(to.tree)
    project.save(update_fields=["head", "name"])
    return to


def _newest_child(of: Revision) -> Revision | None:
    return of.children.order_by("-number").first()


def _keep(project: Project, name: str, content: bytes) -> str:
    sha256 = hashlib.sha256(content).hexdigest()
    Drawing.objects.get_or_create(project=project, name=name, sha256=sha256, defaults={"content": content})
    return sha256


#: The name that what is being drawn is kept under; no drawing of a project can be called so.
_SKETCH = "being drawn"


def sketch(project: Project) -> bytes | None:
    """What is being drawn by hand in a project and no revision names yet; None where nothing is."""
    kept = Drawing.objects.filter(project=project, name=_SKETCH).order_by("-pk").first()
    return None if kept is None else bytes(kept.content)


@transaction.atomic
def keep_sketch(project: Project, content: bytes) -> None:
    """Keep what is being drawn by hand in place of what was kept of it before."""
    lock(project)
    Drawing.objects.filter(project=project, name=_SKETCH).delete()
    _keep(project, _SKETCH, content)
