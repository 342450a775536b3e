"""What was entered on phones: every entry kept as it came, once, and the colour orders that entries speak of.

Nothing here is changed or taken away. A later entry says what an earlier one was wrong about.
"""

from __future__ import annotations

import hashlib
import json
import uuid
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.db import transaction

from clothwright.library import numbered
from clothwright.library.models import KeptOrder, PhoneEntry, Project

#: A run of a colour order as it is kept: yarn, ends, ball (0 where the yarn has but one) and colour.
Run = Mapping[str, Any]


@dataclass(frozen=True)
class NewEntry:
    """An entry that came; `sentence` says why it cannot be used as it is."""

    key: uuid.UUID
    phone: str
    kind: str
    content: Mapping[str, Any]
    sentence: str = ""


def digest_of(runs: Sequence[Run]) -> str:
    """Sixteen letters that stand for an order: its yarns, ends and balls in turn; colours do not count."""
    said = [[run["yarn"], run["ends"], run.get("ball") or 0] for run in runs]
    return hashlib.sha256(json.dumps(said, ensure_ascii=False).encode()).hexdigest()[:16]


def keep_order(project: Project, runs: Sequence[Run]) -> KeptOrder:
    """Keep an order of a project; one that is kept already is given back."""
    digest = digest_of(runs)
    return KeptOrder.objects.get_or_create(project=project, digest=digest, defaults={"runs": list(runs)})[0]


def orders(project: Project) -> dict[str, list[dict[str, Any]]]:
    """Every order of a project that is kept, by its digest."""
    return {one.digest: one.runs for one in KeptOrder.objects.filter(project=project)}


@transaction.atomic
def keep_entry(project: Project, new: NewEntry, use: Callable[[], str] = lambda: "") -> tuple[PhoneEntry, bool]:
    """Keep an entry of a project, and whether it is new; PhoneEntry.DoesNotExist if its key is that of another project's.

    `use` does with a new entry what it is for, in the same step, and says why it could not.
    """
    # Numbers of a project's entries must come in the order in which others can see them.
    Project.objects.select_for_update().get(pk=project.pk)
    there = PhoneEntry.every.filter(key=new.key).first()
    if there is not None:
        if there.project_id != project.pk:
            raise PhoneEntry.DoesNotExist
        return there, False
    made = PhoneEntry.objects.create(
        key=new.key,
        project=project,
        number=last_number(project) + 1,
        phone=new.phone,
        kind=new.kind,
        content=dict(new.content),
        sentence=new.sentence or use(),
    )
    return made, True


def entries(project: Project, since: int = 0) -> list[PhoneEntry]:
    """The entries of a project that came after a number, oldest first."""
    return list(PhoneEntry.objects.filter(project=project, number__gt=since))


def last_number(project: Project) -> int:
    """The number of the newest entry of a project; 0 where there is none."""
    return numbered.last_number(PhoneEntry.objects.filter(project=project))


def how_many(project: Project, phone: str) -> int:
    """How many entries of a project came from a phone."""
    return PhoneEntry.objects.filter(project=project, phone=phone).count()
