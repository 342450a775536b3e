"""What a page that only reads asks for twice is asked of the library once; what may be changed meanwhile is asked for anew."""

from __future__ import annotations

import pytest
from django.db import connection
from django.http import HttpRequest, HttpResponse
from django.test import Client, RequestFactory
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from web.test_pages import CLOTH
from web.test_worked_apart import opened

from clothwright.library import whose
from clothwright.library.shelves import on_hand
from clothwright.library.shelves.on_hand import Kept
from clothwright.web.once import asked_once, once

READING = ("project", "record", "at_loom", "cloth", "colours", "samples_told", "leaflet")


def asked_thrice(request: HttpRequest) -> list[int]:
    """What three questions are answered with, the last by somebody who sees something else."""
    told: list[int] = []

    def ask() -> int:
        told.append(0)
        return len(told)

    def page(_request: HttpRequest) -> HttpResponse:
        said = [once("how many", ask), once("how many", ask)]
        with whose.seeing(whose.NOTHING):
            said.append(once("how many", ask))
        return HttpResponse(said)

    return [int(said) for said in asked_once(page)(request).content.decode()]


def test_a_page_that_reads_asks_once_and_one_that_writes_asks_anew() -> None:
    assert asked_thrice(RequestFactory().get("/")) == [1, 1, 2]
    assert asked_thrice(RequestFactory().post("/")) == [1, 2, 3]
    assert [once("how many", iter([1, 2]).__next__) for _ in range(2)] == [1, 1]


@pytest.mark.django_db
@pytest.mark.parametrize("page", READING)
@pytest.mark.parametrize("example", ["sandbar-shrug", "eelgrass-tabard"])
def test_no_page_asks_the_library_the_same_question_twice(client: Client, example: str, page: str) -> None:
    key = opened(example).pk
    with CaptureQueriesContext(connection) as asked:
        assert client.get(reverse(page, args=[key])).status_code == 200
    questions = [one["sql"] for one in asked if one["sql"].startswith("SELECT")]
    assert len(questions) > 2
    assert {one for one in questions if questions.count(one) > 1} == set()


@pytest.mark.django_db
def test_what_was_measured_between_two_looks_is_seen_by_the_second(client: Client) -> None:
    here = reverse("evidence", args=[opened("eelgrass-tabard").pk])
    assert "quay square" not in client.get(here).content.decode()
    sample = {"name": "quay square", "width": {"in_heddle": "24 cm", "finished": "20 cm"}}
    tree = {"units": "metric", "yarn": [CLOTH["yarn"][0]], "sample": [sample]}
    on_hand.add(Kept.SAMPLE, tree, "typed in")
    assert "quay square" in client.get(here).content.decode()
