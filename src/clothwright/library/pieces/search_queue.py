"""Searches that wait for their turn in a shared studio: who is next, where each stands, and what a stop or a restart leaves.

What was asked for stands in the library before a page says so, and stays there until it has ended, so a restart forgets nothing.

The order. So many searches run at once; the others wait. The next is of the member who has fewest running, then of her whose last
one began longest ago, then of her who asked first: one of each member in turn, however many somebody asks for. Of one member's own
the one asked first comes first.

A project has one search waiting at most, and it looks at the project as it is when its turn has come.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from django.db import transaction
from django.utils import timezone

from clothwright.library import store
from clothwright.library.models import LayoutRun, Project

#: So many searches of one member wait at most; the next is refused in a sentence.
MOST_WAITING: Final = 5
#: A search that a stop of the program cut off is begun anew, so often in all.
MOST_BEGUN: Final = 3
FULL: Final = f"not begun: {MOST_WAITING} searches of yours wait already; stop one of them, or wait"
STOPPED_WAITING: Final = "stopped before its turn came"
DIED: Final = "its process ended before it was done, perhaps for want of memory; nothing of yours was changed, and it can be started again"
CUT_OFF: Final = f"cut off {MOST_BEGUN} times by a stop of the studio’s program; it can be started again"

Who = int | None


@dataclass(frozen=True)
class Asked:
    """A search that waits: its number, whose it is, when it was asked for."""

    number: int
    who: Who
    at: datetime


@dataclass(frozen=True)
class Place:
    """Where a search stands: so many others begin before it, so many run now, and about so many seconds pass until it begins."""

    before: int
    under_way: int
    seconds: float


def in_turn(waiting: Sequence[Asked], under_way: Sequence[Who], last_begun: Mapping[Who, datetime]) -> list[Asked]:
    """Those that wait in the order they will begin; `under_way`: whose searches run now, `last_begun`: when each one's last began."""
    running, turns, order = Counter(under_way), dict[Who, list[Asked]](), list[Asked]()
    for one in sorted(waiting, key=lambda one: (one.at, one.number)):
        turns.setdefault(one.who, []).append(one)

    def sooner(who: Who) -> tuple[int, float, datetime, int]:
        began = last_begun.get(who)
        return running[who], began.timestamp() if began else 0.0, turns[who][0].at, turns[who][0].number

    while turns:
        who = min(turns, key=sooner)
        order.append(turns[who].pop(0))
        running[who] += 1
        turns = {each: asked for each, asked in turns.items() if asked}
    return order


@transaction.atomic
def ask(project: Project, seconds: float, *, of_leaflet: bool = False) -> LayoutRun:
    """Ask for a search: the one of the project that waits already, or the one under way where it looks at it as it is now.

    One under way that looks at the project as it was before a change is stopped, its best kept, and the new one waits.
    """
    store.lock(project)
    same = LayoutRun.objects.filter(project=project, of_leaflet=of_leaflet, ended=False)
    if (waits := same.filter(waits=True).first()) is not None:
        return waits
    now = same.filter(stop_asked=False).first()
    if now is not None and now.revision == store.head(project).number:
        return now
    same.update(stop_asked=True)
    asked = LayoutRun(project=project, seconds=seconds, of_leaflet=of_leaflet, waits=True)
    if LayoutRun.objects.filter(waits=True, ended=False).count() >= MOST_WAITING:
        asked.waits, asked.ended, asked.outcome = False, True, FULL
    asked.save()
    return asked


def stop(project: Project, *, of_leaflet: bool | None = None) -> None:
    """Take the project's searches out of the queue, and have one under way stop and keep its best; all, or of one kind."""
    kind = {} if of_leaflet is None else {"of_leaflet": of_leaflet}
    mine = LayoutRun.objects.filter(project=project, ended=False, **kind)
    mine.filter(waits=True).update(waits=False, ended=True, ended_at=timezone.now(), outcome=STOPPED_WAITING)
    mine.update(stop_asked=True)


def waiting_in_turn() -> list[LayoutRun]:
    """All that wait, whoever's, in the order they will begin."""
    waiting = LayoutRun.every.filter(waits=True, ended=False).select_related("project__head")
    found = {run.pk: run for run in waiting}
    asked = [Asked(run.pk, run.project.owner_id, run.started_at) for run in found.values()]
    begun = LayoutRun.every.filter(project__owner__in={one.who for one in asked} - {None}, begun_at__isnull=False)
    last: dict[Who, datetime] = {
        who: at for who, at in begun.order_by("begun_at").values_list("project__owner", "begun_at") if at
    }
    under_way = LayoutRun.every.filter(waits=False, ended=False).values_list("project__owner", flat=True)
    return [found[one.number] for one in in_turn(asked, list(under_way), last)]


def place_of(run: LayoutRun, at_once: int) -> Place:
    """Where a search that waits stands, where so many run at once."""
    order = waiting_in_turn()
    first = order[: next((place for place, one in enumerate(order) if one.pk == run.pk), 0)]
    now = timezone.now()
    under_way = LayoutRun.every.filter(waits=False, ended=False)
    left = [max(0.0, one.seconds - (now - (one.begun_at or now)).total_seconds()) for one in under_way]
    return Place(len(first), len(left), (sum(left) + sum(one.seconds for one in first)) / at_once)


def begin_next() -> LayoutRun | None:
    """The search whose turn it is, written down as begun; None where none waits."""
    for run in waiting_in_turn():
        head = run.project.head
        begun = {"waits": False, "begun_at": timezone.now(), "begun_times": run.begun_times + 1}
        mine = LayoutRun.every.filter(pk=run.pk, waits=True, ended=False)
        if mine.update(**begun, revision=head.number if head else None):
            return run
    return None


def say_ended(number: int, outcome: str) -> bool:
    """Write down what came of a search that has not ended yet; whether there was one."""
    return bool(
        LayoutRun.every.filter(pk=number, ended=False).update(ended=True, ended_at=timezone.now(), outcome=outcome)
    )


def put_back() -> int:
    """Have every search that was under way wait again, as when its program was stopped; say how many."""
    under_way = LayoutRun.every.filter(waits=False, ended=False)
    over = {"ended": True, "ended_at": timezone.now()}
    under_way.filter(stop_asked=True).update(**over, outcome="stopped")
    under_way.filter(begun_times__gte=MOST_BEGUN).update(**over, outcome=CUT_OFF)
    return under_way.update(waits=True, share_done=0, outcome="")


def end_those_cut_off() -> None:
    """At one table: mark searches as ended that a stop of the program cut off."""
    cut_off = "cut off when the program was stopped"
    LayoutRun.every.filter(ended=False).update(ended=True, ended_at=timezone.now(), outcome=cut_off)
