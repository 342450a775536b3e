"""The page “Leaflet”: what it tabulates is kept as typed, the table follows, the pages print."""

from __future__ import annotations

import html
import io
import json
import re
import tomllib
import zipfile
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from sheets.printed import text_of

from clothwright.layout import searching_by
from clothwright.library import store
from clothwright.library.keeping.archive import bring_in, exported
from clothwright.library.models import LayoutRun, Project, PublishedLeaflet
from clothwright.library.teaching.leaflet_answers import kept_answers
from clothwright.sheets.teaching import leaflet_words
from clothwright.web import evidence, planned
from clothwright.web.forms.form import for_the_page
from clothwright.web.searching import stop_if_asked
from clothwright.web.teaching import leaflet_runs

pytestmark = pytest.mark.django_db
EXAMPLES = Path(__file__).parents[3] / "examples"


def kept(name: str, **leaflet: Any) -> Project:
    tree = tomllib.loads((EXAMPLES / f"{name}.toml").read_text(encoding="utf-8"))
    tree["leaflet"] = tree.get("leaflet", {}) | leaflet
    return store.new_project(for_the_page(tree), "opened")


def url(project: Project) -> str:
    return reverse("leaflet", args=[project.pk])


def shown(client: Client, project: Project) -> str:
    return html.unescape(client.get(url(project)).content.decode()).replace("\u00a0", " ")


def post(client: Client, project: Project, **posted: str) -> Any:
    head = store.head(store.project(project.pk))
    return client.post(url(project), {"rev": str(head.number), "do": "save", **posted})


def test_the_table_stands_on_the_page_with_its_advice(client: Client) -> None:
    """The figures of the command, and the link to the paper."""
    said = shown(client, kept("tideline-vest"))
    assert "Size S, 30/10 cm heddle" in said
    assert "449 m (491 yd)" in said
    assert "warp it 42 cm wide on a wide loom too" in said
    assert "Leaflet on paper" in said


def test_what_is_typed_is_kept_and_the_table_follows(client: Client) -> None:
    """A bare number takes the unit of its field; the length is that of the pieces laid out."""
    project = kept("rows-of-rectangles")
    assert "which finished widths of cloth?" in shown(client, project)
    assert post(client, project, **{"leaflet.cloth_widths": "47; 49"}).status_code == 303
    assert store.head(store.project(project.pk)).tree["leaflet"]["cloth_widths"] == ["47 cm", "49 cm"]
    said = shown(client, project)
    assert "× 252 cm" in said
    assert "× 190 cm" in said


def test_a_wrong_width_is_told_beside_its_field_and_kept(client: Client) -> None:
    """Nothing typed is lost."""
    project = kept("tideline-vest", cloth_widths=["42 cm"])
    post(client, project, **{"leaflet.cloth_widths": "42; wide"})
    said = shown(client, project)
    assert "Still to be settled" in said
    assert "wide" in str(store.head(store.project(project.pk)).tree["leaflet"]["cloth_widths"])
    post(client, project, do="undo")
    assert "Still to be settled" not in shown(client, project)


def test_lengths_of_cloth_are_typed_by_width_and_size(client: Client) -> None:
    """A row for each width, a field for every size; one taken away is laid out again, or told as missing."""
    project = kept("tideline-vest")
    before = store.head(project).tree["leaflet"]["cloth_lengths"]
    said = shown(client, project)
    assert re.search(r'name="length.0.what" value="42 cm"[\s\S]*?name="length.0.1" value="250 cm"', said)
    post(client, project, **_lengths(("42 cm", "225 cm", "250 cm", "270 cm"), ("52 cm", "170 cm", "190 cm", "270 cm")))
    assert store.head(store.project(project.pk)).tree["leaflet"]["cloth_lengths"] == before
    post(client, project, **_lengths(("42 cm", "225 cm", "254", "270 cm"), ("21 in", "", "75 in", "")))
    head = store.head(store.project(project.pk))
    assert head.tree["leaflet"]["cloth_lengths"] == {
        "S": {"42 cm": "225 cm"},
        "M": {"42 cm": "254 cm", "21 in": "75 in"},
        "L": {"42 cm": "270 cm"},
    }
    assert head.what == "lengths of cloth that are given"
    assert "no length is given for it" in shown(client, project)
    post(client, project, do="undo")
    assert store.head(store.project(project.pk)).tree["leaflet"]["cloth_lengths"] == before


def test_a_width_of_given_lengths_that_cannot_be_used_is_told_beside_it(client: Client) -> None:
    """One that cannot be read, one that no length is given for yet, one that is not tabulated; none of them is lost."""
    project = kept("tideline-vest", cloth_widths=["42 cm", "52 cm"])
    post(client, project, **_lengths(("42 cm", "225 cm", "about wide", "270 cm"), ("wide", "170 cm", "", "")))
    answer = client.get(url(project)).content.decode()
    problems = json.loads(html.unescape(re.search(r'data-problems="([^"]*)"', answer)[1]))  # type: ignore[index]
    assert set(problems) == {"f-length-0-1", "f-length-1-what"}
    post(client, project, **_lengths(("42 cm", "225 cm", "250 cm", "270 cm"), ("60", "", "", "")))
    assert store.head(store.project(project.pk)).tree["leaflet"]["cloth_lengths"]["S"] == {
        "42 cm": "225 cm",
        "60 cm": "",
    }
    said = shown(client, project)
    assert "60 cm: not in the leaflet, since it is none of the finished widths above" in said
    assert said.count("not in the leaflet, since") == 1
    project = kept("tideline-vest", cloth_lengths={"S": "225 cm"})
    assert "are not by size and width" in shown(client, project)


def _lengths(*rows: tuple[str, ...]) -> dict[str, str]:
    """Rows of the table of lengths as they are posted: a width, and a length for each of S, M and L."""
    typed = {f"length.size.{place}": size for place, size in enumerate("SML")}
    for number, (width, *lengths) in enumerate(rows):
        typed[f"length.{number}.what"] = width
        typed |= {f"length.{number}.{place}": one for place, one in enumerate(lengths)}
    return typed


def test_the_leaflet_prints_from_the_page(client: Client) -> None:
    """As PDF; back to the page where it cannot be made."""
    project = kept("tideline-vest")
    answer = client.get(reverse("sheet", args=[project.pk, "leaflet"]))
    assert answer.content.startswith(b"%PDF")
    empty = kept("rows-of-rectangles")
    assert client.get(reverse("sheet", args=[empty.pk, "leaflet"])).status_code == 302


def test_what_another_page_must_mend_is_linked_to_that_page(client: Client) -> None:
    """A rule of colours that cannot be read stands on the page Colours, not on that of the project."""
    tree = tomllib.loads((EXAMPLES / "tideline-vest.toml").read_text(encoding="utf-8"))
    tree["colours"] = {"longest_run": "many"}
    project = store.new_project(for_the_page(tree), "opened")
    assert f'href="{reverse("colours", args=[project.pk])}#' in shown(client, project)


def test_the_project_links_what_the_leaflet_must_mend(client: Client) -> None:
    """A width that cannot be read stops the plan too, since the whole file is read; its place is one press away."""
    project = kept("tideline-vest", cloth_widths=["wide"])
    said = html.unescape(client.get(reverse("project", args=[project.pk])).content.decode())
    assert f'href="{url(project)}#plan"' in said


def test_steps_of_making_are_typed_as_sentences_with_commas(client: Client) -> None:
    """Parted by semicolons only."""
    project = kept("tideline-vest")
    post(
        client,
        project,
        **{"leaflet.making": "Sew the shoulders, then the sides; Face the neck", "leaflet.care": "Air it"},
    )
    now = store.head(store.project(project.pk)).tree["leaflet"]
    assert now["making"] == ["Sew the shoulders, then the sides", "Face the neck"]
    said = shown(client, project)
    assert "Sew the shoulders, then the sides" in said
    assert "Air it" in said


def test_many_layouts_are_asked_for_by_a_button_and_shown_as_they_are_done(client: Client) -> None:
    """More than a page waits for: nothing is guessed, the count is told; what is worked out then stands on the page and is kept."""
    widths = [f"{width} cm" for width in range(47, 61)]
    project = kept("rows-of-rectangles", cloth_widths=widths, by_hand=True)
    said = shown(client, project)
    assert "14 layouts are still to be made" in said
    assert "Search the layouts of every size" in said
    run = LayoutRun.objects.create(project=project, seconds=0.2, of_leaflet=True)
    with searching_by(count=1) as by:
        outcome = leaflet_runs.work_out(run, store.head(project), by)
    assert outcome == "14 rows, 14 layouts, 14 of them searched for"
    planned.forget_plans()
    assert "× 190 cm" in shown(client, project)
    assert LayoutRun.objects.get(pk=run.pk).share_done == 1


def test_a_stop_keeps_the_layouts_that_are_done_and_the_table_shows_them(client: Client) -> None:
    """Asked to stop when the second layout is kept: the page has those rows, says how many cloths are left, and is a proof."""
    widths = [f"{width / 2:g} cm" for width in range(96, 136)]
    project = kept("rows-of-rectangles", cloth_widths=widths, by_hand=True)
    run = LayoutRun.objects.create(project=project, seconds=0.2, of_leaflet=True)
    folder = kept_answers().folder
    before = set(folder.rglob("??/*"))

    def pulse() -> None:
        if len(set(folder.rglob("??/*")) - before) >= 2:
            client.post(reverse("leaflet_stop", args=[project.pk]))
        stop_if_asked(run)

    with searching_by(count=1, pulse=pulse) as by:
        outcome = leaflet_runs.work_out(run, store.head(project), by)
    done = int(re.fullmatch(r"stopped, (\d+) of 40 layouts made", outcome)[1])
    assert 1 <= done < 28
    said = shown(client, project)
    assert said.count('<th scope="row">') >= done
    assert f"{40 - done} cloths still to be laid out" in said
    assert "A proof, not to be given out" in said


def test_a_version_is_given_out_kept_as_it_was_and_later_figures_are_corrections(client: Client) -> None:
    """Published, changed, published again; a version that was given out is refused and stays."""
    project = kept("tideline-vest")
    give = reverse("leaflet_publish", args=[project.pk])
    assert client.post(give, {"version": "1.0"}).status_code == 302
    was = client.get(reverse("published_leaflet", args=[project.pk, "1.0"])).content
    assert "Every figure is as in version 1.0" in shown(client, project)
    post(client, project, **{"leaflet.margin": "20"})
    assert "Changed since version 1.0" in shown(client, project)
    assert "given out already" in html.unescape(client.post(give, {"version": "1.0"}).content.decode())
    assert client.post(give, {"version": "1.1"}).status_code == 302
    assert client.get(reverse("sheet", args=[project.pk, "leaflet-corrections"])).content.startswith(b"%PDF")
    assert client.get(reverse("published_leaflet", args=[project.pk, "1.0"])).content == was
    assert client.get(reverse("published_leaflet", args=[project.pk, "7"])).status_code == 404


def test_a_leaflet_whose_mock_up_is_not_ticked_is_not_given_out(client: Client) -> None:
    """The page says why, and nothing is kept."""
    project = kept("rows-of-rectangles", cloth_widths=["48 cm"])
    tree = dict(store.head(project).tree)
    tree["pattern"] = tree["pattern"] | {"mock_up": {"sewn": "2026-10-04"}}
    store.change(project, tree, "a mock-up that does not fit")
    said = html.unescape(
        client.post(reverse("leaflet_publish", args=[project.pk]), {"version": "1.0"}).content.decode()
    )
    assert "Not published" in said
    assert "None yet." in said


def test_versions_given_out_travel_in_the_archive(client: Client) -> None:
    """Out, and into a library that has the project without them."""
    project = kept("tideline-vest")
    client.post(reverse("leaflet_publish", args=[project.pk]), {"version": "1.0"})
    before = [one.content for one in PublishedLeaflet.objects.all()]
    content = exported()
    PublishedLeaflet.objects.all().delete()
    bring_in(content)
    bring_in(content)
    assert [one.content for one in PublishedLeaflet.objects.all()] == before


def test_the_page_for_buyers_reckons_by_what_is_typed_and_gives_the_file(client: Client) -> None:
    """Served without script; the same figures as in the file, which is kept under a name."""
    project = kept("tideline-vest")
    where = reverse("buyers", args=[project.pk])
    plain = html.unescape(client.get(where).content.decode())
    assert "Size L: 52 × 270 cm" in plain
    assert "651 m" in plain
    typed = html.unescape(
        client.get(where, {"sample_heddle": "20", "sample_width": "16", "ball": "many"}).content.decode()
    )
    assert '<td data-head="Ends">196</td>' in typed
    assert "this is not one number" in typed
    assert 'value="many"' in typed
    file = client.get(reverse("buyers_file", args=[project.pk]))
    assert "attachment" in file["Content-Disposition"]
    assert "<script" not in plain.split("<main")[1].split("</main>")[0]
    client.post(reverse("leaflet_publish", args=[project.pk]), {"version": "1.0"})
    assert b"version 1.0" in client.get(reverse("published_buyers_file", args=[project.pk, "1.0"])).content


def test_a_test_weavers_sheet_is_typed_as_a_record_and_stands_beside_what_was_told(client: Client) -> None:
    """A project of hers with the cloth she tried; its record is evidence by another weaver, and of no loom of one's own."""
    project = kept("tideline-vest")
    begun = client.post(reverse("leaflet_test", args=[project.pk]), {"weaver": "Wren", "row": "2"})
    key = begun["Location"].split("/project/")[1].split("/")[0]
    hers = store.project(key)
    tree = store.head(hers).tree
    assert tree["want"] == {"width": "42 cm", "length": "250 cm"}
    assert "balls" not in tree["yarn"][0]
    form = reverse("type_sheet", args=[hers.pk, "test-weaver"])
    assert begun["Location"] == form
    on_paper = {"date": "2026-11-20", "ends": "140", "warp_wound": "352", "waste": "24 in"}
    on_paper |= {"width.finished.middle": "41.5", "length.on_loom": "284", "length.finished": "249 cm"}
    typed = {f"record.{path}": text for path, text in on_paper.items()}
    client.post(form, {"rev": str(store.head(hers).number), "do": "save", **typed})
    tree = store.head(store.project(key)).tree
    assert (tree["record"]["warp_wound"], tree["record"]["waste"]) == ("352 cm", "24 in")
    sample = {
        "name": "her square",
        "width": {"in_heddle": "24 cm", "finished": "20 cm"},
        "length": {"wound": "97 cm", "waste": "70 cm"},
    }
    tree = tree | {"sample": [sample], "yarn": [tree["yarn"][0] | {"balls": ["300 g"]}]}
    store.change(hers, tree, "her sample too")
    said = shown(client, project)
    assert "140; 140" in said
    assert "352 cm" in said
    assert "41.5 cm × 249 cm" in said
    history = evidence.beside(project).history(planned.document(store.head(project)))
    assert [one.making.weaver for one in history.cloths] == ["Wren", "Wren"]
    assert history.wastes == ()
    with zipfile.ZipFile(io.BytesIO(client.get(reverse("bundle", args=[project.pk])).content)) as bundle:
        assert not [name for name in bundle.namelist() if b"Wren" in bundle.read(name)]
    with zipfile.ZipFile(io.BytesIO(exported())) as whole:
        assert any(b"Wren" in whole.read(name) for name in whole.namelist())
    assert b"Wren" not in client.get(reverse("buyers_file", args=[project.pk])).content
    assert "Wren" not in text_of(client.get(reverse("sheet", args=[project.pk, "leaflet"])).content)
    assert client.get(reverse("sheet", args=[project.pk, "test-weaver"])).content.startswith(b"%PDF")
    assert client.post(reverse("leaflet_test", args=[project.pk]), {"weaver": "", "row": "99"}).status_code == 302


def test_the_measures_of_the_garment_are_typed_by_size(client: Client) -> None:
    """A row for each measure, a field for every size; what is typed is kept with its own unit, and a bare number takes the page's."""
    project = kept("tideline-vest")
    said = shown(client, project)
    assert [f'name="measure.size.{n}" value="{size}"' in said for n, size in enumerate("SML")] == [True] * 3
    sizes = {f"measure.size.{n}": size for n, size in enumerate("SML")}
    typed = {
        "measure.0.what": "chest, all round",
        "measure.0.0": "92",
        "measure.0.1": "38 1/2 in",
        "measure.0.2": "106",
    }
    post(client, project, **sizes, **typed)
    head = store.head(store.project(project.pk))
    assert head.tree["leaflet"]["measures"] == {"chest, all round": {"S": "92 cm", "M": "38 1/2 in", "L": "106 cm"}}
    assert head.what == "measures of the finished garment"
    said = shown(client, project)
    assert "S 92 cm (36¼ in); M 97.8 cm (38½ in); L 106 cm (41¾ in)" in said
    assert 'name="measure.1.what" value=""' in said
    post(client, project, do="undo")
    assert "measures" not in store.head(store.project(project.pk)).tree["leaflet"]


def test_a_measure_that_cannot_be_read_is_told_beside_its_field(client: Client) -> None:
    """And one without a name, one with a spread, and a size that the leaflet has not; none of them is lost."""
    project = kept("tideline-vest", measures={"hem": {"S": "about wide", "M": "38 to 40 in"}, "neck": {"XL": "40 cm"}})
    answer = client.get(url(project)).content.decode()
    problems = json.loads(html.unescape(re.search(r'data-problems="([^"]*)"', answer)[1]))  # type: ignore[index]
    assert set(problems) == {"f-measure-0-0"}
    assert 'href="#f-measure-0-0-problem"' in answer
    sizes = {f"measure.size.{n}": size for n, size in enumerate(("S", "M", "L", "XL"))}
    rows = {"measure.0.what": "hem", "measure.0.1": "38 to 40 in", "measure.1.what": "neck", "measure.1.3": "40"}
    post(client, project, **sizes, **rows, **{"measure.2.what": "", "measure.2.0": "12"})
    assert store.head(store.project(project.pk)).tree["leaflet"]["measures"][""] == {"S": "12 cm"}
    said = shown(client, project)
    assert "write one length" in said
    post(client, project, **sizes, **rows | {"measure.0.1": "38 in"}, **{"measure.2.what": "", "measure.2.0": "12"})
    assert "there is no size “XL” in the leaflet" in shown(client, project)
    post(
        client,
        project,
        **sizes,
        **{"measure.0.what": "hem", "measure.0.0": "38", "measure.1.what": "", "measure.1.0": "12"},
    )
    assert "12 cm: what is measured?" in shown(client, project)


def test_two_measures_of_one_name_stay_two(client: Client) -> None:
    """The second is called by a number too; a row of which nothing is left is taken away."""
    project = kept("tideline-vest")
    rows = {
        "measure.0.what": "hem",
        "measure.0.0": "38",
        "measure.1.what": "",
        "measure.2.what": "hem",
        "measure.2.0": "40",
    }
    post(client, project, **{"measure.size.0": "S"}, **rows)
    assert store.head(store.project(project.pk)).tree["leaflet"]["measures"] == {
        "hem": {"S": "38 cm"},
        "hem (2)": {"S": "40 cm"},
    }


def test_measures_that_are_not_by_size_stay_as_the_file_has_them(client: Client) -> None:
    """The page says so, and what is wrong with them."""
    project = kept("tideline-vest", measures={"hem": "38 cm"})
    said = shown(client, project)
    assert "are not by size" in said
    assert "Still to be settled" in said
    post(client, project, **{"leaflet.ball": "100 g"})
    assert store.head(store.project(project.pk)).tree["leaflet"]["measures"] == {"hem": "38 cm"}


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"sizes": ["S", "XL"]}, "size XL has no layout at any width: tabulate a wider cloth"),
        ({}, "figures that do not agree, which is our fault: M: 490 m and 448 m are not 940 m"),
    ],
)
def test_a_leaflet_is_not_published_while_a_size_has_no_layout_or_a_figure_disagrees(
    client: Client, monkeypatch: pytest.MonkeyPatch, change: dict[str, Any], why: str
) -> None:
    """The page says which; nothing is kept as published."""
    project = kept("tideline-vest", **change)
    if not change:
        monkeypatch.setattr(leaflet_words, "disagreements", lambda _: ("M: 490 m and 448 m are not 940 m",))
    answer = client.post(reverse("leaflet_publish", args=[project.pk]), {"version": "1.0"}).content.decode()
    assert f"Not published: {why}" in html.unescape(answer)
    assert not PublishedLeaflet.objects.exists()
