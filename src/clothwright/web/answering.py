"""How a page takes what was posted and answers it: whole, in part for the script of our pages, by going back, or with a file."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from clothwright.library import store
from clothwright.library.models import Project, Revision


def posted_base(request: HttpRequest, project: Project) -> Revision:
    """The revision a posted page was showing; the head where it does not say."""
    number = request.POST.get("rev", "")
    try:
        return store.revision(project, int(number))
    except (ValueError, Revision.DoesNotExist):
        return store.head(project)


def fragment_asked(request: HttpRequest) -> bool:
    """Whether the script of our page asks, which swaps a part of the page."""
    return request.headers.get("HX-Request") == "true"


def pressed(request: HttpRequest) -> str:
    """The button that was pressed. The script also sends one that only has the focus as `do`, so it says `press`."""
    return request.POST.get("press" if fragment_asked(request) else "do", "save")


@dataclass(frozen=True)
class Shown:
    """A page to show: its template, that of the part which a change of one field changes, and its address.

    `context` is asked for only where something is shown.
    """

    template: str
    part: str
    back: str
    context: Callable[[], dict[str, Any]]


def show(
    request: HttpRequest, page: Shown, *, notice: str = "", focus: str = "", whole: bool = False, status: int = 200
) -> HttpResponse:
    """The page, or after a change of one field only what changes; a post without script and without a notice goes back to it.

    `focus`: the id of the place to go to; `status` is of the page, a part always comes as answered.
    """
    posted = request.method == "POST"
    fragment = posted and fragment_asked(request)
    if posted and not fragment and not notice:
        return HttpResponse(status=303, headers={"Location": page.back + (f"#{focus}" if focus else "")})
    template = page.part if fragment and not whole else page.template
    context = page.context() | {"notice": notice, "focus": focus}
    response = render(request, f"clothwright/{template}", context, status=200 if fragment else status)
    if fragment and whole:
        response["HX-Retarget"], response["HX-Reselect"] = "#page", "#page"
        response["HX-Reswap"] = "outerHTML show:none"
    return response


def download(content: bytes, kind: str, name: str, *, inline: bool = False) -> HttpResponse:
    """A file under a name: to be kept, or `inline`, to be looked at."""
    how = "inline" if inline else "attachment"
    return HttpResponse(content, content_type=kind, headers={"Content-Disposition": f'{how}; filename="{name}"'})


def on_paper(made: bytes, name: str) -> HttpResponse:
    """A sheet (PDF) to be looked at; `name` without its ending."""
    return download(made, "application/pdf", f"{name}.pdf", inline=True)
