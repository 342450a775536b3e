"""The links of a page's frame are found once for each place they lead from."""

from __future__ import annotations

from uuid import UUID

from django.urls import get_script_prefix, reverse, set_script_prefix

from clothwright.library.models import Project
from clothwright.web.templatetags.notebook import behind, rooms, stages


def test_links_below_another_address_stay_below_it_and_those_of_each_project_are_its_own() -> None:
    """Found once, they are still those that Django finds for this project, below this address."""
    before = get_script_prefix()
    try:
        for below in ("/", "/examples/", "/"):
            set_script_prefix(below)
            for number in (1, 2):
                project = Project(pk=UUID(int=number), name="slate tide")
                found = [place["url"] for stage in stages({}, project) for place in stage["pages"]]
                assert reverse("project", args=[project.pk]) in found
                assert all(url.startswith(f"{below}project/{project.pk}/") for url in found)
            assert rooms({})[0]["url"] == reverse("projects") == below
    finally:
        set_script_prefix(before)


def test_every_figure_of_a_row_is_kept_whether_or_not_its_column_has_a_heading() -> None:
    assert behind(["ends", "140", "3 + 3"], ["What", "Planned"]) == [
        ("What", "ends"),
        ("Planned", "140"),
        ("", "3 + 3"),
    ]
