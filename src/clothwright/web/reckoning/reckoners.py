"""The pages that answer one question and keep nothing: yarn numbers and sett. What is asked stands in the address."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from clothwright.library.shelves import on_hand
from clothwright.library.shelves.on_hand import Kept
from clothwright.planning.setts.side_by_side import SettAnswer, compare_setts
from clothwright.project import ProblemsFound
from clothwright.sheets import check_line_svg, shown_setts, worth_drawing
from clothwright.sheets.wording import THREADS, plain_number
from clothwright.web.forms.form import Form
from clothwright.web.reckoning import setts as asking
from clothwright.web.reckoning.yarn_numbers import ShownYarn, lines_of, shown_yarns
from clothwright.web.showing import ShownLine


@require_safe
def yarn_numbers(request: HttpRequest) -> HttpResponse:
    """Each yarn number typed, in every system; where one is unclear, links to what may be meant."""
    text = request.GET.get("yarn", "")
    lines = lines_of(text)
    answers = [{"yarn": yarn, "links": _links(lines, place, yarn)} for place, yarn in enumerate(shown_yarns(text))]
    return render(request, "clothwright/yarn_numbers.html", {"text": text, "answers": answers})


def _links(lines: list[str], place: int, yarn: ShownYarn) -> list[dict[str, Any]]:
    """For each possible answer, the address of the page with that line answered."""
    return [{"answer": answer, "url": _asked([*lines[:place], answer, *lines[place + 1 :]])} for answer in yarn.answers]


def _asked(lines: list[str]) -> str:
    return f"{reverse('yarn_numbers')}?{urlencode({'yarn': chr(10).join(lines)})}"


@require_safe
@never_cache
def setts(request: HttpRequest) -> HttpResponse:
    """Candidate setts for a yarn, side by side, each with what it leads to and drawn at true size."""
    table = asking.field_table(on_hand.listed(Kept.YARN), on_hand.listed(Kept.LOOM))
    tree = asking.asked_tree(request.GET.dict(), table)
    if not asking.anything_told(tree):
        return render(request, "clothwright/setts.html", {"form": Form(tree, table=table)})
    try:
        question, yarn = asking.asked(tree)
    except ProblemsFound as wrong:
        return render(request, "clothwright/setts.html", {"form": Form(tree, wrong.problems, table), "wrong": True})
    imperial = tree.get("units") == "imperial"
    context = {"form": Form(tree, table=table), "yarn": yarn, **_answer(compare_setts(question), imperial)}
    return render(request, "clothwright/setts.html", context)


def _answer(answer: SettAnswer, imperial: bool) -> dict[str, Any]:
    every = shown_setts(answer, imperial=imperial)
    return {
        "question": answer.question,
        "advised": THREADS.text(answer.advised_per_cm, imperial=imperial),
        "closest": THREADS.text(answer.closest_per_cm, imperial=imperial),
        "every": every,
        "cards": worth_drawing(every),
        "advice": (*answer.advice, *answer.cautions),
        "working": [
            ShownLine(one.step, f"{plain_number(one.value)} {one.unit}".strip(), one.sum, str(one.rung), one.source)
            for one in answer.working
        ],
        "check_line": check_line_svg(),
    }
