"""Records are searched, opened by number as a label's code asks, labelled together, and used again."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from web.measuring.test_evidence_pages import finished
from web.test_pages import CLOTH, head_tree, url

from clothwright.library import store
from clothwright.library.models import Project
from clothwright.library.record.record_numbers import give_number

pytestmark = pytest.mark.django_db


def numbered(name: str, day: str = "2026-03-14", **record: object) -> Project:
    import datetime

    project = finished(name, day, **record)
    give_number(project, datetime.date(2026, 6, 1))
    return project


def test_all_records_stand_on_the_page_and_a_project_without_one_does_not(client: Client) -> None:
    numbered("Limpet stole")
    finished("Kelp stole", day="")
    store.new_project(CLOTH | {"name": "Only planned"}, "started")
    html = client.get(reverse("records")).content.decode()
    for words in ("2026-001 Limpet stole", "Kelp stole", "On the way", "no number yet", "2 found"):
        assert words in html, words
    assert "Only planned" not in html


def test_the_list_of_projects_shows_a_number_once_the_library_gave_it(client: Client) -> None:
    """A number that a file brought with it may be another's here; both pages say the same."""
    import datetime

    project = finished("Limpet stole", "2026-03-14", number="2025-007")
    for page in (reverse("projects"), reverse("card", args=[project.pk]), reverse("records")):
        assert "2025-007" not in client.get(page).content.decode(), page
    give_number(project, datetime.date(2026, 6, 1))
    for page in (reverse("projects"), reverse("card", args=[project.pk]), reverse("records")):
        assert "2025-007" in client.get(page).content.decode(), page


def test_a_search_narrows_and_keeps_what_was_typed(client: Client) -> None:
    numbered("Limpet stole", later=[{"day": "2026-05-01", "about": "liked it", "liked": "yes"}])
    numbered("Kelp stole")
    html = client.get(reverse("records"), {"liked": "yes", "yarn": "slate", "sett": "30/10 cm"}).content.decode()
    assert "Limpet stole" in html
    assert "Kelp stole" not in html
    assert 'value="30/10 cm"' in html
    wrong = client.get(reverse("records"), {"sett": "5", "width": "wide"}).content.decode()
    assert "5 what?" in wrong
    assert wrong.count('aria-invalid="true"') == 2
    assert "0 found" in wrong


def test_a_number_opens_its_record_and_what_is_none_says_so(client: Client) -> None:
    project = numbered("Limpet stole")
    assert client.get("/record/2026-001/").headers["Location"] == url(project, "record")
    for text in ("2026-999", "seven"):
        response = client.get(f"/record/{text}/")
        assert response.status_code == 404
        assert "There is no such record" in response.content.decode()


def test_a_phone_that_scans_a_label_is_asked_for_the_word_and_then_led_on(client: Client, settings: Any) -> None:
    numbered("Limpet stole")
    settings.PHONE_WORD = "kelp-dune-reed"
    asked = client.get("/record/2026-001/", secure=True)
    assert asked.headers["Location"] == "/phone/enter/?next=/record/2026-001/"
    let_in = client.post("/phone/enter/", {"word": "kelp-dune-reed", "next": "/record/2026-001/"}, secure=True)
    assert let_in.headers["Location"] == "/record/2026-001/"


def test_two_garments_that_had_one_number_are_both_offered(client: Client) -> None:
    numbered("Limpet stole")
    numbered("Kelp stole", number="2026-001")
    html = client.get("/record/2026-001/").content.decode()
    assert "Limpet stole" in html
    assert "Kelp stole</a>: 2026-002 here, 2026-001 before" in html


def test_labels_are_printed_of_those_found_and_refused_where_none_has_a_number(client: Client) -> None:
    numbered("Limpet stole")
    response = client.get(reverse("labels"), {"words": "limpet", "copies": "3"})
    assert response["Content-Type"] == "application/pdf"
    assert client.get(reverse("labels"), {"words": "nowhere"}).status_code == 422


def test_the_label_of_a_project_is_one_of_its_sheets(client: Client) -> None:
    project = numbered("Limpet stole")
    response = client.get(reverse("sheet", args=[project.pk, "label"]))
    assert response["Content-Type"] == "application/pdf"
    unnumbered = finished("Kelp stole")
    assert client.get(reverse("sheet", args=[unnumbered.pk, "label"])).status_code == 302


def test_the_address_of_the_codes_is_kept_and_a_wrong_one_stays_typed(client: Client) -> None:
    assert client.post(reverse("label_address"), {"address": "https://192.168.1.20:8766"}).status_code == 302
    assert "<strong>https://192.168.1.20:8766</strong>" in client.get(reverse("records")).content.decode()
    response = client.post(reverse("label_address"), {"address": "loom"})
    assert response.status_code == 422
    assert 'value="loom"' in response.content.decode()


# --- used again ----------------------------------------------------------------------------------------------------


def test_used_again_stands_beside_last_time_and_proportion_is_struck_through(client: Client) -> None:
    """(260 − 61) ÷ 170 × 340 + 61 = 459 cm by ratio; 260 × 340 ÷ 170 = 520 cm by proportion (by hand)."""
    project = numbered("Limpet stole")
    html = client.get(url(project, "use_again"), {"length": "340"}).content.decode().replace("\u00a0", " ")
    assert "<s>520 cm (204¾ in)</s> wrong" in html
    assert "459 cm (180¾ in)" in html
    assert "61 cm (24 in) too long" in html


def test_the_new_project_is_started_and_the_old_one_stays(client: Client) -> None:
    project = numbered("Limpet stole")
    before = head_tree(project)
    asked = {"name": "Limpet stole two", "length": "100 cm", "stock": "as last time"}
    response = client.post(url(project, "use_again"), asked)
    assert response.status_code == 302
    new = store.project(response.headers["Location"].strip("/").split("/")[-1])
    tree = store.head(new).tree
    assert (tree["name"], tree["want"]["length"], tree["from_record"]) == ("Limpet stole two", "100 cm", "2026-001")
    assert "record" not in tree
    assert head_tree(project) == before
    assert "past projects" in client.get(url(new)).content.decode()
    assert "2026-001</a>" in client.get(url(new, "record")).content.decode()


def test_what_does_not_fit_is_said_and_starts_nothing(client: Client) -> None:
    project = numbered("Limpet stole")
    count = Project.objects.count()
    response = client.post(url(project, "use_again"), {"size": "L"})
    assert response.status_code == 422
    assert "has no pattern" in response.content.decode()
    assert Project.objects.count() == count
    bare = store.new_project(CLOTH, "started")
    assert "no record yet" in client.get(url(bare, "use_again")).content.decode()
