"""The page “Class”: what is typed is kept, each student worked out, names stay here, and a class can be deleted."""

from __future__ import annotations

import html
import io
import tomllib
import zipfile
from pathlib import Path
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from sheets.printed import text_of

from clothwright.library import store
from clothwright.library.models import Project
from clothwright.library.teaching import classes
from clothwright.web.forms.form import for_the_page

pytestmark = pytest.mark.django_db
EXAMPLES = Path(__file__).parents[3] / "examples"
CLASS = (EXAMPLES / "rockpool-class.toml").read_bytes()


def kept(name: str = "rockpool-runner", **changes: Any) -> Project:
    """A project of the library with something changed."""
    tree = tomllib.loads((EXAMPLES / f"{name}.toml").read_text(encoding="utf-8"))
    return store.new_project(for_the_page(tree | changes), "opened")


def with_class(client: Client) -> Project:
    """A project whose class was taken from the example."""
    project = kept()
    assert upload(client, project, CLASS).status_code == 302
    return project


def upload(client: Client, project: Project, content: bytes, name: str = "class.toml") -> Any:
    return client.post(reverse("class_open", args=[project.pk]), {"file": SimpleUploadedFile(name, content)})


def url(project: Project, name: str = "class", *more: Any) -> str:
    return reverse(name, args=[project.pk, *more])


def shown(client: Client, project: Project) -> str:
    return html.unescape(client.get(url(project)).content.decode()).replace("\u00a0", " ")


def tree_of(project: Project) -> dict[str, Any]:
    head = classes.head_of_class(project)
    assert head is not None
    tree: dict[str, Any] = head.tree
    return tree


def post(client: Client, project: Project, *, rev: int | None = None, **posted: str) -> Any:
    head = classes.head_of_class(project)
    number = rev if rev is not None else head.number if head else 0
    return client.post(url(project), {"rev": str(number), "do": "save", **posted})


def test_a_class_is_typed_in_from_nothing(client: Client) -> None:
    """A bare number takes the project's unit; the sheet stands there and can be printed."""
    project = kept()
    assert "Add a student" in shown(client, project)
    posted = {"student.0.name": "Anemone", "student.0.loom.heddles": "30", "student.0.loom.waste": "45"}
    assert post(client, project, **posted, **{"student.0.loom.weaving_width": "60"}).status_code == 303
    assert tree_of(project)["student"][0]["loom"] == {
        "heddles": ["30/10 cm"],
        "waste": "45 cm",
        "weaving_width": "60 cm",
    }
    said = shown(client, project)
    assert "Warp length: 252 cm (99¼ in)" in said
    assert "Names and looms stay on this machine" in said
    printed = client.get(url(project, "class_sheet", 0))
    assert printed["Content-Type"] == "application/pdf"
    assert "252 cm" in text_of(printed.content)


def test_the_example_is_taken_from_its_file_and_worked_out(client: Client) -> None:
    """Every student, what to settle, what to buy; sheets in the student's language or another."""
    project = with_class(client)
    said = shown(client, project)
    for part in (
        "303 + 303 + 321 + 428 + 317 = 1672 m",
        "114 ends fit",
        "Kettlänge: 267 cm (105¼ Zoll)",
        "Every sheet",
    ):
        assert part in said
    assert "Kursblatt für Dulse" in text_of(client.get(url(project, "class_sheet", 3)).content)
    assert "Class sheet for Dulse" in text_of(client.get(url(project, "class_sheet", 3) + "?language=en").content)
    assert "Teacher's summary" in text_of(client.get(url(project, "class_summary") + "?large=1").content)
    with zipfile.ZipFile(io.BytesIO(client.get(url(project, "class_sheets")).content)) as sheets:
        assert len(sheets.namelist()) == 7
        assert not [name for name in sheets.namelist() if "anemone" in name.lower()]


def test_one_wrong_row_leaves_the_others_worked_out_and_is_kept_as_typed(client: Client) -> None:
    """The sentence stands at its field; the others' sheets keep their addresses."""
    project = with_class(client)
    post(client, project, **{"student.0.loom.waste": "fifty"})
    said = shown(client, project)
    assert "Student 1, Loom waste ↕" in said
    assert 'value="fifty"' in said
    assert "5 students" in said
    assert client.get(url(project, "class_sheet", 0)).status_code == 404
    assert "Barnacle" in text_of(client.get(url(project, "class_sheet", 1)).content)


def test_a_student_whose_loom_cannot_weave_the_piece_is_told_at_her_row(client: Client) -> None:
    """What the sums refuse comes to the same place as what cannot be read."""
    project = kept("rows-of-rectangles")
    upload(
        client,
        project,
        b'[[student]]\nname="A"\nloom={heddles=["30/10 cm"],weaving_width="20 cm"}\n[[student]]\nname="B"\n',
    )
    said = shown(client, project)
    assert "Student 1, Weaving width ↔" in said
    assert "which heddle has B?" in said


def test_rows_are_added_and_taken_away_and_undone(client: Client) -> None:
    """Undo goes along the changes of the class, not of the project."""
    project = with_class(client)
    post(client, project, do="remove student.0")
    assert tree_of(project)["student"][0]["name"] == "Barnacle"
    post(client, project, do="add student")
    assert len(tree_of(project)["student"]) == 6
    assert post(client, project, do="add elsewhere").status_code == 400
    for _ in range(2):
        client.post(url(project), {"do": "undo"})
    assert tree_of(project)["student"][0]["name"] == "Anemone"
    client.post(url(project), {"do": "redo"})
    assert tree_of(project)["student"][0]["name"] == "Barnacle"
    assert store.head(store.project(project.pk)).number == 1


def test_a_change_of_an_older_page_says_so_and_loses_nothing(client: Client) -> None:
    """Two tabs: the later change counts, the other is undone to."""
    project = with_class(client)
    post(client, project, name="Sunday")
    said = html.unescape(post(client, project, rev=1, name="Monday").content.decode())
    assert "changed somewhere else meanwhile" in said
    assert tree_of(project)["name"] == "Monday"
    client.post(url(project), {"do": "undo"})
    assert tree_of(project)["name"] == "Sunday"


def test_what_is_wrong_with_the_project_is_told_with_its_page(client: Client) -> None:
    """The class itself is not blamed, and stays."""
    project = kept(want={"width": "wide", "length": "180 cm"})
    upload(client, project, CLASS)
    said = shown(client, project)
    assert "Still to be settled" in said
    assert url(project, "project") in said
    assert client.get(url(project, "class_summary")).status_code == 302
    assert client.get(url(project, "class_sheets")).status_code == 302


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"name = ", "is not TOML"),
        (b"\xff\xfe", "not text in UTF-8"),
        (b"#" * 2_000_001, "the most a class file may have"),
    ],
)
def test_a_file_that_is_no_class_is_refused_and_the_class_stays(client: Client, content: bytes, sentence: str) -> None:
    """One sentence, and nothing changed."""
    project = with_class(client)
    answer = upload(client, project, content)
    assert answer.status_code == 422
    assert sentence in html.unescape(answer.content.decode())
    assert tree_of(project)["student"][0]["name"] == "Anemone"
    assert client.post(url(project, "class_open")).status_code == 422


def test_the_class_comes_back_from_the_file_it_was_written_to(client: Client) -> None:
    """Names are written only there, where they were asked for; the project's own files have none."""
    project = with_class(client)
    written = client.get(url(project, "class_file")).content
    again = kept()
    upload(client, again, written)
    assert tree_of(again) == tree_of(project)
    for name in ("project_file", "bundle"):
        assert b"Anemone" not in client.get(url(project, name)).content


def test_a_deleted_class_is_gone(client: Client) -> None:
    """The page begins anew, and undo brings nothing back."""
    project = with_class(client)
    assert "deleted at once and for good" in shown(client, project)
    client.get(url(project, "class_delete"))
    assert classes.head_of_class(project) is not None
    assert client.post(url(project, "class_delete")).status_code == 302
    client.post(url(project), {"do": "undo"})
    assert "Anemone" not in shown(client, project)
    assert classes.head_of_class(project) is None


def test_a_name_is_shown_as_typed_and_is_never_markup(client: Client) -> None:
    """Nor is it one for the file on paper."""
    project = kept()
    post(client, project, **{"student.0.name": "<b>A</b>", "student.0.loom.heddles": "30"})
    page = client.get(url(project)).content.decode()
    assert "<b>A</b>" not in page
    assert "&lt;b&gt;A&lt;/b&gt;" in page


def test_words_are_looked_up_by_any_name(client: Client) -> None:
    """American, part of the meaning, German; one that is not kept says so."""
    said = html.unescape(client.get(reverse("words"), {"word": "selvage"}).content.decode())
    assert "selvedge (American selvage)" in said
    assert "apron rod" not in said
    assert "apron rod" in client.get(reverse("words")).content.decode()
    said = html.unescape(client.get(reverse("words"), {"word": "Kette", "language": "de"}).content.decode())
    assert "Kette (warp)" in said
    assert "No weaver who speaks Deutsch has read these words yet" in said
    assert "is not among the words kept" in client.get(reverse("words"), {"word": "quillon"}).content.decode()
    assert client.get(reverse("words"), {"language": "xx"}).status_code == 200


@pytest.mark.parametrize(
    "content",
    [
        b'student = "x"\nname = 5\n',
        b"student = [1, 2]\n",
        b'[margin]\na = "b"\n[[student]]\nname = ["A"]\nloom = 5\n',
        b'[[student]]\nname = "A"\nloom = { heddles = "30/10 cm" }\nyarn = [1]\n',
        b"clothwright_class = 7\n",
        b'unknown = 1\n[[student]]\nname = "A"\n[[student]]\nname = "a"\n',
    ],
)
def test_a_class_of_odd_shape_is_kept_and_told(client: Client, content: bytes) -> None:
    """Whatever stands in the file, the page shows a sentence and undo brings the class before back."""
    project = with_class(client)
    upload(client, project, content)
    assert "Still to be settled" in shown(client, project)
    client.post(url(project), {"do": "undo"})
    assert "Still to be settled" not in shown(client, project)
