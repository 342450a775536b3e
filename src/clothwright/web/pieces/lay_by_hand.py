"""The page “Lay by hand”: pieces are put by their places, or dragged, and what is wrong is said at once.

Every move posts the whole table of places, and the drawing comes back judged; nothing is kept until asked. A layout that is
kept is a change of the project like any other: it is undone, and brought back, by its history.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, Final
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from clothwright.library import store
from clothwright.library.models import Project, Revision
from clothwright.measure import CM_PER_INCH, Length, QuantityError
from clothwright.planning import Bench, HandPlace, bench_of, garment_of
from clothwright.sheets.wording import LENGTH, YARN, percent
from clothwright.web import planned, searching
from clothwright.web.answering import pressed
from clothwright.web.fetching import get_project
from clothwright.web.forms.typed import Tree, put
from clothwright.web.pieces.kept_layouts import kept_layouts, laid_as
from clothwright.web.showing import is_imperial

MOVED: Final = "This project was changed meanwhile, so nothing was kept. The layout below is yours as you left it."
#: Units of the drawing for a centimetre, and the room about the cloth.
SCALE: Final = 6.0
ROOM: Final = 14.0


@dataclass(frozen=True)
class ShownCopy:
    """A copy as the page shows it: its outline in units of the drawing, and its row in the table."""

    at: int
    name: str
    points: str
    middle: tuple[float, float]
    along: str
    across: str
    turned: bool
    locked: bool
    may_turn: bool
    problem: str = ""


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def page(request: HttpRequest, key: UUID) -> HttpResponse:
    """The bench; a post puts the pieces where it says and does what was pressed."""
    found = get_project(key)
    revision = store.head(found)
    bench = _bench(revision)
    if bench is None:
        return render(request, "clothwright/lay_by_hand.html", {"project": found, "nothing": True})
    if request.method != "POST":
        return _page(request, found, bench, {})
    if (do := pressed(request)) == "undo":
        store.undo(found)
        return redirect("lay_by_hand", key=found.pk)
    if do == "again":
        return _again(found, revision, request.POST.get("kept", ""))
    laid, problems = _posted(bench, request.POST, _unit(revision))
    if do == "swap" and not problems:
        laid = laid.swapped(*_chosen(laid, request.POST))
    if do in ("keep", "search") and not problems:
        if request.POST.get("rev") != str(revision.number):
            return _page(request, found, laid, {}, MOVED, status=409)
        return _kept(found, revision, laid, whole=do == "keep")
    return _page(request, found, laid, problems)


def _bench(revision: Revision) -> Bench | None:
    """The plan's layout for a hand; None where there is no plan, or no piece in it."""
    answer = planned.answer(revision)
    if answer.plan is None or answer.stale or answer.plan.layout is None:
        return None
    garment, _ = garment_of(planned.document(revision), store.drawings_of(revision))
    return bench_of(garment, answer.plan)


def _unit(revision: Revision) -> str:
    return "in" if is_imperial(revision) else "cm"


def _posted(bench: Bench, posted: Mapping[str, str], unit: str) -> tuple[Bench, dict[int, str]]:
    """The bench with the places that were typed; where one cannot be read its copy stays, and the sentence says why."""
    places, problems = [], {}
    for number, place in enumerate(bench.places):
        turned = posted.get(f"turned.{number}") == "yes" and bench.may_turn(place.piece)
        try:
            along, across = (
                Length.read(posted.get(f"{name}.{number}", "").strip()[:40], bare_unit=unit).cm
                for name in ("along", "across")
            )
        except QuantityError as error:
            problems[number] = str(error)
            continue
        locked = posted.get(f"locked.{number}") == "yes"
        places.append(replace(place, along_cm=along, across_cm=across, turned=turned, locked=locked))
    return bench.with_places(places), problems


def _chosen(bench: Bench, posted: Mapping[str, str]) -> tuple[tuple[str, int], tuple[str, int]]:
    """The two copies to swap; the first two where the page does not say."""
    names = [(place.piece, place.number) for place in bench.places]
    one, other = (posted.get(f"swap.{which}", "") for which in ("one", "other"))
    numbers = [int(text) if text.isdecimal() and int(text) < len(names) else 0 for text in (one, other)]
    return names[numbers[0]], names[numbers[1]]


# --- keeping -----------------------------------------------------------------------------------------------------


def _kept(found: Project, revision: Revision, bench: Bench, *, whole: bool) -> HttpResponse:
    """Keep the layout whole, or only what is locked and search on from there."""
    width, length = bench.cloth_cm
    tree = with_places(revision.tree, bench, whole=whole)
    if whole:
        store.change(found, tree, f"kept a layout of {length:.1f} cm on {width:.1f} cm")
        return redirect("lay_by_hand", key=found.pk)
    store.change(found, tree, f"locked {len(bench.locked)} pieces and searched on")
    searching.start(found)
    return redirect("project", key=found.pk)


def _again(found: Project, revision: Revision, number: str) -> HttpResponse:
    """Lay the pieces as a revision kept them; nothing where there is no such revision, or it keeps no layout."""
    earlier = next((one for one in store.history(found) if str(one.number) == number), None)
    if earlier is not None and (tree := laid_as(revision.tree, earlier.tree)) is not None:
        store.change(found, tree, f"laid the pieces as layout {earlier.number}")
    return redirect("lay_by_hand", key=found.pk)


def with_places(tree: Tree, bench: Bench, *, whole: bool) -> Tree:
    """The tree with the places of the bench: all and the width they are for, or of the locked copies alone."""
    layout = dict(tree.get("layout") or {})
    layout["place"] = [_written(place) for place in bench.places if whole or place.locked]
    layout["kept_width"] = _text(bench.cloth_cm[0], "cm") if whole else None
    changed: Tree = dict(tree)
    put(changed, ("layout",), {name: value for name, value in layout.items() if value})
    return changed


def _written(place: HandPlace) -> dict[str, Any]:
    at = {"along": _text(place.along_cm, "cm"), "across": _text(place.across_cm, "cm")}
    said = {name: True for name in ("turned", "locked") if getattr(place, name)}
    return {"piece": place.piece, "number": place.number, **at, **said}


def _text(cm: float, unit: str) -> str:
    """A length to a thousandth of a millimetre, so that pieces that touch do not overlap."""
    value = cm / CM_PER_INCH if unit == "in" else cm
    return f"{round(value, 4) + 0.0:.4f}".rstrip("0").rstrip(".") + f" {unit}"


# --- showing -----------------------------------------------------------------------------------------------------


def _page(
    request: HttpRequest, found: Project, bench: Bench, problems: Mapping[int, str], moved: str = "", status: int = 200
) -> HttpResponse:
    revision = store.head(found)
    imperial, (width, length) = is_imperial(revision), bench.cloth_cm
    typed = request.POST if problems else {}
    context = {
        "project": found,
        "revision": revision,
        "copies": list(_copies(bench, _unit(revision), problems, typed)),
        "wrong": bench.wrong,
        "moved": moved,
        "size": f"{LENGTH.text(length, imperial=imperial)} of cloth, {LENGTH.text(width, imperial=imperial)} wide",
        "used": percent(round(bench.layout.used_share, 2)),
        "yarn": _yarn(bench.more_yarn_m, imperial),
        "cloth": (round(length * SCALE, 1), round(width * SCALE, 1)),
        "box": f"{-ROOM:g} {-ROOM:g} {length * SCALE + 2 * ROOM:.1f} {width * SCALE + 2 * ROOM:.1f}",
        "box_size": (round(length * SCALE + 2 * ROOM), round(width * SCALE + 2 * ROOM)),
        "scale": SCALE * (CM_PER_INCH if imperial else 1),
        "unit": _unit(revision),
        "can_undo": store.can_undo(found),
        "kept": kept_layouts(found, imperial=imperial),
    }
    return render(request, "clothwright/lay_by_hand.html", context, status=status)


def _yarn(more_m: float, imperial: bool) -> str:
    if abs(more_m) < 0.05:
        return "as much yarn as the plan"
    return f"about {YARN.text(abs(more_m), imperial=imperial)} {'more' if more_m > 0 else 'less'} yarn than the plan"


def _copies(bench: Bench, unit: str, problems: Mapping[int, str], typed: Mapping[str, str]) -> Iterator[ShownCopy]:
    for number, ((copy, ring), place) in enumerate(zip(bench.outlines(), bench.places, strict=True)):
        xs, ys = [x * SCALE for x, _ in ring], [y * SCALE for _, y in ring]
        name = f"{copy.piece} {copy.number}{' (mirrored)' if copy.mirrored else ''}"
        along, across = _text(place.along_cm, unit), _text(place.across_cm, unit)
        yield ShownCopy(
            number,
            name,
            " ".join(f"{x:.2f},{y:.2f}" for x, y in zip(xs, ys, strict=True)),
            (round((min(xs) + max(xs)) / 2, 1), round((min(ys) + max(ys)) / 2, 1)),
            typed.get(f"along.{number}", along),
            typed.get(f"across.{number}", across),
            place.turned,
            place.locked,
            bench.may_turn(copy.piece),
            problems.get(number, ""),
        )
