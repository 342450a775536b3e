from __future__ import annotations

import io
import re
from collections.abc import Callable
from html.parser import HTMLParser
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from pattern.garments import dxf_apparel, dxf_plain, garment, pdf_by_reportlab
from PIL import Image

from clothwright.library import export_bundle, read_bundle, store
from clothwright.library.files import photos_of_bundle
from clothwright.library.models import Project
from clothwright.library.record import project_photos
from clothwright.project import read_toml
from clothwright.web import planned
from clothwright.web.forms.form import starting_tree
from clothwright.web.urls import urlpatterns

pytestmark = pytest.mark.django_db

CLOTH: dict[str, Any] = {
    "clothwright": 1,
    "name": "Slate tide scarf",
    "units": "metric",
    "yarn": [{"name": "slate tide", "fibre": "wool", "grist": "310 m/100 g", "balls": [{"net": "200 g"}]}],
    "loom": {"weaving_width": "60 cm", "heddles": ["30/10 cm"], "waste": "55 cm"},
    "want": {"width": "30 cm", "length": "150 cm"},
}
FRAGMENT = {"HTTP_HX_REQUEST": "true"}


class Typed(HTMLParser):
    """What a browser would post for the form of typed fields, and the ids on the page."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.values: dict[str, str] = {}
        self.ids: list[str] = []
        self._inside = False
        self._select = ""
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        self.ids += [given["id"]] if "id" in given else []
        if tag == "form":
            self._inside = given.get("id") == "typed"
        if not self._inside:
            return
        if tag == "input" and given.get("type") not in ("file",) and "form" not in given:
            ticked = given.get("type") != "checkbox" or "checked" in given
            self.values |= {given["name"]: given.get("value", "")} if ticked else {}
        if tag == "select":
            self._select = given["name"]
        if tag == "option" and "selected" in given:
            self.values[self._select] = given["value"]

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._inside = False


@pytest.fixture
def project() -> Project:
    return store.new_project(CLOTH, "started")


def url(project: Project, name: str = "project", **more: Any) -> str:
    return reverse(name, kwargs={"key": project.pk, **more})


def page(client: Client, project: Project) -> str:
    response = client.get(url(project))
    assert response.status_code == 200
    return response.content.decode()


def change(client: Client, project: Project, base: str | None = None, **changes: str) -> str:
    """Post the page with some fields typed over, as the script does, and give the fragment that comes back."""
    values = Typed(base or page(client, project)).values | {key.replace("__", "."): v for key, v in changes.items()}
    response = client.post(url(project), values, **FRAGMENT)
    assert response.status_code == 200
    return response.content.decode()


def head_tree(project: Project) -> dict[str, Any]:
    return dict(store.head(store.project(project.pk)).tree)


def test_the_projects_page_greets_and_starts_a_project(client: Client) -> None:
    assert "Nothing on the table yet" in client.get("/").content.decode()
    response = client.post("/new/", {"name": "limpet shawl"}, follow=True)
    assert "limpet shawl" in response.content.decode()
    assert "limpet shawl" in client.get("/").content.decode()


def test_a_new_project_says_what_it_still_needs_and_shows_no_field_as_wrong(client: Client) -> None:
    project = store.new_project(starting_tree("limpet shawl"), "started")
    html = page(client, project)
    assert "Still to be settled" in html
    assert 'aria-invalid="true"' not in html


def test_the_page_shows_the_verdict_in_words_and_everything_typed(client: Client, project: Project) -> None:
    html = page(client, project)
    assert re.search(r"<strong>(Enough|Too close to call|Not enough)</strong>", html)
    typed = Typed(html).values
    assert (typed["yarn.0.name"], typed["yarn.0.balls.0.net"], typed["want.length"]) == (
        "slate tide",
        "200 g",
        "150 cm",
    )
    assert typed["loom.heddles"] == "30/10 cm"


def test_every_id_on_the_page_is_there_once(client: Client, project: Project) -> None:
    ids = Typed(page(client, project)).ids
    assert len(ids) == len(set(ids))
    assert len(ids) > 100


def test_every_field_is_described_by_places_that_are_there(client: Client, project: Project) -> None:
    html = page(client, project)
    ids = set(Typed(html).ids)
    described = re.findall(r'aria-describedby="([^"]+)"', html)
    assert described
    helps = {one for line in described for one in line.split() if not one.endswith("-help")}
    assert helps <= ids


@pytest.mark.django_db
def test_every_page_of_a_project_is_reached_from_every_other_by_the_stages_of_the_work(client: Client) -> None:
    """Whatever address below a project answers with a page stands among the links that every such page carries."""
    project = store.new_project({"name": "Eelgrass wrap"}, "started")
    below = [str(one.pattern) for one in urlpatterns if str(one.pattern).startswith("project/<uuid:key>/")]
    answers = {
        path: client.get("/" + path.replace("<uuid:key>", str(project.pk)))
        for path in below
        if path.endswith("/") and path.count("<") == 1
    }
    pages = {
        path.replace("<uuid:key>", str(project.pk))
        for path, answer in answers.items()
        if answer.status_code == 200 and b"<!doctype html>" in answer.content
    }
    carried = re.search(
        r'<nav class="stages".*?</nav>', client.get(f"/project/{project.pk}/").content.decode(), re.DOTALL
    )
    assert carried
    assert set(re.findall(r'href="/([^"]*)"', carried[0])) == pages


def test_changing_a_field_saves_it_and_brings_a_new_plan(client: Client, project: Project) -> None:
    fragment = change(client, project, yarn__0__balls__0__net="20")
    assert head_tree(project)["yarn"][0]["balls"] == [{"net": "20 g"}]
    assert "Not enough" in fragment
    assert 'value="2" hx-swap-oob' in fragment
    assert "<html" not in fragment


def test_a_wrong_value_is_kept_with_its_sentence_and_the_last_plan_stays_in_sight(
    client: Client, project: Project
) -> None:
    fragment = change(client, project, loom__waste="fifty-ish")
    assert head_tree(project)["loom"]["waste"] == "fifty-ish"
    assert "“fifty-ish”: it is not a measure" in fragment
    assert "the last one that could be made, from state 1" in fragment
    assert "stale" in fragment
    html = page(client, project)
    assert Typed(html).values["loom.waste"] == "fifty-ish"
    assert re.search(r'id="f-loom-waste"[^>]*aria-invalid="true"', html)
    assert re.search(r'id="f-loom-waste-problem">“fifty-ish”: it is not a measure', html)


def test_typed_markup_is_shown_as_text(client: Client, project: Project) -> None:
    change(client, project, name="<script>alert(1)</script>", yarn__0__name='"><img src=x>')
    for html in (
        page(client, project),
        client.get("/").content.decode(),
        client.get(url(project, "history")).content.decode(),
    ):
        assert "<script>alert" not in html
        assert "<img src=x" not in html


def test_without_script_a_post_goes_back_to_the_page(client: Client, project: Project) -> None:
    values = Typed(page(client, project)).values | {"loom.waste": "60", "do": "save"}
    response = client.post(url(project), values)
    assert (response.status_code, response["Location"]) == (303, url(project))
    assert head_tree(project)["loom"]["waste"] == "60 cm"


def test_rows_are_added_and_taken_away_keeping_what_was_typed(client: Client, project: Project) -> None:
    whole = change(client, project, press="add yarn.0.balls", loom__waste="60")
    assert head_tree(project)["yarn"][0]["balls"] == [{"net": "200 g"}, {}]
    assert head_tree(project)["loom"]["waste"] == "60 cm"
    assert 'id="f-yarn-0-balls-1" data-focus' in whole
    change(client, project, press="remove yarn.0.balls.0")
    assert head_tree(project)["yarn"][0]["balls"] == [{}]


def test_a_button_that_only_has_the_focus_is_not_pressed(client: Client, project: Project) -> None:
    change(client, project, do="add yarn.0.balls", loom__waste="60")
    assert head_tree(project)["yarn"][0]["balls"] == [{"net": "200 g"}]


def test_a_row_that_is_not_there_is_refused_and_nothing_is_saved(client: Client, project: Project) -> None:
    for do in ("add loom", "remove yarn.9", "add", "remove __class__"):
        assert client.post(url(project), {"press": do}, **FRAGMENT).status_code == 400
    assert store.head(project).number == 1


def test_undo_and_redo_go_back_and_forth(client: Client, project: Project) -> None:
    change(client, project, loom__waste="60")
    assert client.post(url(project, "undo")).status_code == 303
    assert Typed(page(client, project)).values["loom.waste"] == "55 cm"
    assert 'value="60 cm"' in client.post(url(project, "redo"), **FRAGMENT).content.decode()


def test_changing_the_units_shows_the_page_anew_and_keeps_what_was_typed(client: Client, project: Project) -> None:
    whole = change(client, project, units="imperial")
    assert 'id="f-loom-waste-unit">in<' in whole
    assert Typed(whole).values["loom.waste"] == "55 cm"


def test_the_last_of_two_tabs_wins_is_told_so_and_nothing_is_lost(client: Client, project: Project) -> None:
    both = page(client, project)
    change(client, project, both, loom__waste="60")
    told = change(client, project, both, want__length="140")
    assert "changed somewhere else" in told
    assert head_tree(project)["loom"]["waste"] == "55 cm"
    assert head_tree(project)["want"]["length"] == "140 cm"
    client.post(url(project, "undo"))
    assert head_tree(project)["loom"]["waste"] == "60 cm"


def test_a_tab_that_shows_the_head_is_not_told_anything(client: Client, project: Project) -> None:
    first = change(client, project, loom__waste="60")
    assert "changed somewhere else" not in first
    assert "changed somewhere else" not in change(client, project, loom__waste="61")


@pytest.mark.parametrize("number", ["", "x", "99", "-1", "9" * 40])
def test_a_state_that_is_not_there_counts_as_the_newest(client: Client, project: Project, number: str) -> None:
    change(client, project, rev=number, loom__waste="61")
    assert head_tree(project)["loom"]["waste"] == "61 cm"


def test_the_history_says_what_changed_and_goes_to_any_state(client: Client, project: Project) -> None:
    change(client, project, loom__waste="60")
    change(client, project, loom__waste="70")
    html = client.get(url(project, "history")).content.decode()
    assert "Loom waste ↕: 55 cm → 60 cm" in html
    client.post(url(project, "go_to", number=2))
    assert head_tree(project)["loom"]["waste"] == "60 cm"
    assert client.post(url(project, "go_to", number=99)).status_code == 404


def test_a_project_file_comes_out_and_goes_in_again_the_same(client: Client, project: Project) -> None:
    response = client.get(url(project, "project_file"))
    assert response["Content-Disposition"] == 'attachment; filename="slate-tide-scarf.toml"'
    assert read_toml(response.content.decode()) == CLOTH
    client.post("/open/", {"files": SimpleUploadedFile("scarf.toml", response.content)})
    assert store.head(store.projects()[0]).tree == CLOTH


def test_a_bundle_brings_its_drawings_along(client: Client) -> None:
    tree = {"name": "x", "pattern": {"file": "back.svg"}}
    client.post("/open/", {"files": SimpleUploadedFile("x.zip", export_bundle(tree, {"back.svg": b"<svg/>"}))})
    project = store.projects()[0]
    assert read_bundle(client.get(url(project, "bundle")).content) == (tree, {"back.svg": b"<svg/>"})


def picture(size: tuple[int, int] = (80, 60)) -> bytes:
    """A photo that says with what it was taken."""
    file, exif = io.BytesIO(), Image.Exif()
    exif[0x010F] = "Kelp Cameras"
    Image.radial_gradient("L").resize(size).convert("RGB").save(file, "JPEG", exif=exif)
    return file.getvalue()


def test_a_bundle_brings_photos_back_written_anew_under_their_names(client: Client) -> None:
    """Those that the record and the log name; what else stood in one of another hand's is lost, ours come back as they were."""
    first = store.new_project({"name": "Sandbar stole", "record": {"date": "2026-03-14"}}, "started")
    project_photos.add_to_record(first, picture(), "front.png", "the front")
    project_photos.add_to_log(first, picture((90, 60)), "fell.png", "the fell")
    project_photos.add_to_record(first, picture((50, 60)), "back.png", "the back")
    store.undo(store.project(first.pk))
    content = client.get(url(first, "bundle")).content
    came = photos_of_bundle(content)
    assert sorted(came) == ["fell.jpg", "front.jpg"]
    strange = export_bundle(read_bundle(content)[0], {}, came | {"front.jpg": picture()})
    for sent in (content, strange):
        client.post("/open/", {"files": SimpleUploadedFile("x.zip", sent)})
        made = store.projects()[0]
        kept = {name: bytes(one.content) for name, one in project_photos.photos_of(made).items()}
        assert kept == came
        assert b"Kelp Cameras" not in b"".join(kept.values())
        assert (
            client.get(
                reverse("project_photo", args=[made.pk, project_photos.photos_of(made)["fell.jpg"].sha256])
            ).status_code
            == 200
        )
    before = Project.objects.count()
    spoiled = client.post(
        "/open/", {"files": SimpleUploadedFile("x.zip", export_bundle({"name": "x"}, {}, {"a.jpg": b"salt"}))}
    )
    assert (spoiled.status_code, Project.objects.count()) == (422, before)
    assert "“a.jpg” is no picture" in spoiled.content.decode()


@pytest.mark.parametrize("content", [b"\xff\xff", b"name = ", b""])
def test_a_file_that_is_none_is_refused_with_a_sentence(client: Client, content: bytes) -> None:
    response = client.post(
        "/open/", {"files": SimpleUploadedFile("x.txt" if not content else "x.toml", content or b"x")}
    )
    assert response.status_code == 422
    assert "The file was not opened" in response.content.decode()
    assert not Project.objects.exists()


def test_a_file_of_odd_shapes_opens_and_says_what_is_wrong(client: Client) -> None:
    text = b'name = 3\nyarn = "three skeins"\nloom = [1, 2]\nwant = 2031-01-01\n[cloth]\nstructure = [[1]]\n'
    response = client.post("/open/", {"files": SimpleUploadedFile("odd.toml", text)}, follow=True)
    assert response.status_code == 200
    assert "Still to be settled" in response.content.decode()


DRAWING = b"""<svg xmlns="http://www.w3.org/2000/svg" width="20cm" height="50cm" viewBox="0 0 200 500">
<path data-piece="back" data-cut="2" d="M0 0H200V500H0Z"/></svg>"""


def test_a_drawing_is_kept_used_and_undone(client: Client, project: Project) -> None:
    change(client, project, want__width="", want__length="")
    client.post(url(project, "drawing"), {"drawing": SimpleUploadedFile("back.svg", DRAWING)})
    assert head_tree(project)["pattern"] == {"file": "back.svg"}
    html = page(client, project)
    assert "Pieces on the cloth" in html
    client.post(url(project, "undo"))
    assert "pattern" not in head_tree(project)


@pytest.mark.parametrize(
    ("name", "writer"), [("shirt.dxf", dxf_plain), ("shirt.dxf", dxf_apparel), ("shirt.pdf", pdf_by_reportlab)]
)
def test_a_drawing_may_be_dxf_or_pdf(client: Client, project: Project, name: str, writer: Callable) -> None:
    change(client, project, want__width="", want__length="")
    client.post(url(project, "drawing"), {"drawing": SimpleUploadedFile(name, writer(garment("shirts", 25)[:3]))})
    assert head_tree(project)["pattern"] == {"file": name}
    assert "Pieces on the cloth" in page(client, project)


@pytest.mark.parametrize("name", ["back.png", "back"])
def test_what_is_no_drawing_is_refused(client: Client, project: Project, name: str) -> None:
    response = client.post(url(project, "drawing"), {"drawing": SimpleUploadedFile(name, DRAWING)})
    assert "ends in .svg" in response.content.decode()
    assert store.head(project).number == 1


def test_putting_away_and_bringing_back(client: Client, project: Project) -> None:
    client.post(url(project, "put_away"))
    assert "Put away (1)" in client.get("/").content.decode()
    client.post(url(project, "bring_back"))
    assert "Put away (" not in client.get("/").content.decode()


def test_the_list_shows_each_project_s_verdict_and_strip(client: Client, project: Project) -> None:
    card = client.get(url(project, "card")).content.decode()
    assert "<svg" in card
    assert re.search(r"<strong>(Enough|Too close to call|Not enough)</strong>", card)


def test_the_sums_by_hand_have_no_chances(client: Client, project: Project) -> None:
    html = client.get(url(project), {"by_hand": "1"}).content.decode()
    assert "Reckoned by hand" in html
    assert "chances in 100 that the yarn lasts" not in html
    assert Typed(html).values["by_hand"] == "1"


def test_every_line_of_the_working_says_where_it_comes_from(client: Client, project: Project) -> None:
    html = page(client, project)
    steps, rungs = html.count('class="step"'), html.count('class="rung"')
    assert steps == rungs > 5


@pytest.mark.parametrize("path", ["/", "/nowhere/", "/static/clothwright/notebook.css", "/project/x/"])
def test_every_answer_tells_the_browser_to_load_from_here_only(client: Client, path: str) -> None:
    response = client.get(path)
    policy = response["Content-Security-Policy"]
    assert policy.startswith("default-src 'none'")
    assert "unsafe" not in policy
    assert "frame-ancestors 'none'" in policy


def test_pages_refuse_frames_sniffing_and_strangers(client: Client) -> None:
    response = client.get("/")
    assert response["X-Frame-Options"] == "DENY"
    assert response["Referrer-Policy"] == "same-origin"
    assert response["X-Content-Type-Options"] == "nosniff"
    assert client.get("/", headers={"host": "elsewhere.example"}).status_code == 400


def test_a_post_from_elsewhere_is_refused_with_a_plain_page(project: Project) -> None:
    strict = Client(enforce_csrf_checks=True)
    response = strict.post(url(project), {"name": "taken over"})
    assert response.status_code == 403
    assert "Nothing was changed" in response.content.decode()
    assert head_tree(project) == CLOTH


def test_no_page_names_another_host(client: Client, project: Project) -> None:
    for path in ("/", url(project), url(project, "history")):
        html = client.get(path).content.decode().replace("http://www.w3.org/2000/svg", "")
        assert not re.search(r"(?:src|href|action)=\"(?:https?:)?//", html)


def test_pages_are_not_kept_by_the_browser(client: Client, project: Project) -> None:
    assert "no-store" in client.get(url(project))["Cache-Control"]


def test_reading_never_changes_anything(client: Client, project: Project) -> None:
    for name in ("undo", "redo", "put_away", "drawing", "stop_search"):
        assert client.get(url(project, name)).status_code == 302
    assert store.head(project).number == 1


def test_every_page_can_be_asked_for_its_head_alone(client: Client, project: Project) -> None:
    for path in ("/", url(project), url(project, "history"), url(project, "project_file")):
        assert client.head(path).status_code == 200


def test_a_page_that_is_not_there_says_so(client: Client) -> None:
    response = client.get("/project/00000000-0000-0000-0000-000000000000/")
    assert response.status_code == 404
    assert "There is no such page" in response.content.decode()


def test_a_fault_in_planning_leaves_what_was_typed_in_reach(
    client: Client, project: Project, monkeypatch: pytest.MonkeyPatch, data_folder: Any
) -> None:
    def broken(*_: Any, **__: Any) -> None:
        raise RuntimeError("a peg came loose")

    monkeypatch.setattr(planned, "plan", broken)
    html = page(client, project)
    assert "the fault is the program" in html
    assert Typed(html).values["loom.waste"] == "55 cm"
    assert "a peg came loose" in (data_folder / "faults.log").read_text()
    assert "a peg came loose" not in html


def test_a_fault_of_a_page_is_written_down_and_shown_plainly(
    project: Project, monkeypatch: pytest.MonkeyPatch, data_folder: Any
) -> None:
    def broken(*_: Any, **__: Any) -> None:
        raise RuntimeError("the beam slipped")

    monkeypatch.setattr(store, "history", broken)
    client = Client(raise_request_exception=False)
    response = client.get(url(project, "history"))
    assert response.status_code == 500
    assert "The program went wrong" in response.content.decode()
    assert "the beam slipped" in (data_folder / "faults.log").read_text()


def test_reloading_the_address_of_a_button_leads_back_to_its_page(client: Client, project: Project) -> None:
    assert client.get("/new/").headers["Location"] == "/"
    assert client.get(url(project, "undo")).headers["Location"] == url(project)
    assert client.get(url(project, "stop_search"), follow=True).status_code == 200
