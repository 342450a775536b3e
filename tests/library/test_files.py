from __future__ import annotations

import io
import zipfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clothwright.library import export_bundle, export_toml, files, plain_tree, read_bundle, read_project_file
from clothwright.project import ProblemsFound, read_project, read_toml

WHOLE: dict[str, Any] = {
    "clothwright": 1,
    "name": "Slate tide coat",
    "units": "imperial",
    "trust": {"size": "80 %"},
    "yarn": [
        {
            "name": "slate tide",
            "grist": [{"length": "10 m", "weight": "3.1 g"}],
            "balls": [{"gross": "118 g", "core": "6 g"}, "96 g"],
            "replaceable": False,
        },
        {"name": "limpet", "grist": "8/2 cotton", "balls": []},
    ],
    "loom": {"heddles": ["30/10 cm", "7.5/in"]},
    "sample": [{"width": {"in_heddle": "24 cm"}, "picks": {"count": 77, "over": "24 cm"}}],
    "pattern": {"file": "coat.svg", "one_way": True, "piece": [{"name": "back", "width": "24 cm", "length": "62 cm"}]},
    "colours": {"keep_for_weft": {"slate tide": "40 %"}, "not_side_by_side": [["a", "b"]]},
    "log": [{"woven": "60 cm", "weft_left": {"limpet": "165 g"}}],
}


def refusal(call: Any) -> str:
    with pytest.raises(ProblemsFound) as caught:
        call()
    return str(caught.value)


def project_in(folder: Path, text: str) -> Path:
    path = folder / "project.toml"
    path.write_text(text, encoding="utf-8")
    return path


def naming(drawing: str) -> str:
    return f"[pattern]\nfile = '{drawing}'\n"


def test_a_project_file_brings_its_tree_and_the_drawing_beside_it(tmp_path: Path) -> None:
    (tmp_path / "coat.svg").write_bytes(b"<svg/>")
    tree, drawings = read_project_file(project_in(tmp_path, naming("coat.svg")))
    assert tree["pattern"]["file"] == "coat.svg"
    assert drawings == {"coat.svg": b"<svg/>"}


def test_a_drawing_may_lie_in_a_folder_below(tmp_path: Path) -> None:
    (tmp_path / "shapes").mkdir()
    (tmp_path / "shapes" / "coat.svg").write_bytes(b"<svg/>")
    assert read_project_file(project_in(tmp_path, naming("shapes/coat.svg")))[1] == {"shapes/coat.svg": b"<svg/>"}


@pytest.mark.parametrize(
    "name", ["../coat.svg", "/etc/hostname", "shapes/../../coat.svg", "C:\\coat.svg", "C:/coat.svg"]
)
def test_a_drawing_elsewhere_is_refused_whether_it_is_there_or_not(tmp_path: Path, name: str) -> None:
    (tmp_path / "coat.svg").write_bytes(b"<svg/>")
    (tmp_path / "inner").mkdir()
    assert "outside" in refusal(lambda: read_project_file(project_in(tmp_path / "inner", naming(name))))


def test_a_link_that_leads_elsewhere_is_refused(tmp_path: Path) -> None:
    (tmp_path / "secret.svg").write_bytes(b"<svg/>")
    inner = tmp_path / "inner"
    inner.mkdir()
    (inner / "coat.svg").symlink_to(tmp_path / "secret.svg")
    assert "outside" in refusal(lambda: read_project_file(project_in(inner, naming("coat.svg"))))


def test_a_missing_file_is_a_problem_with_its_name(tmp_path: Path) -> None:
    assert "“nowhere.toml” was not found" in refusal(lambda: read_project_file(tmp_path / "nowhere.toml"))
    said = refusal(lambda: read_project_file(project_in(tmp_path, naming("coat.svg"))))
    assert said == "pattern, file: “coat.svg” was not found beside the project file"


def test_a_file_that_is_too_large_or_no_text_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = project_in(tmp_path, "")
    path.write_bytes(b"\xff\xfe\x00")
    assert "UTF-8" in refusal(lambda: read_project_file(path))
    monkeypatch.setattr(files, "LARGEST_FILE", 2)
    assert "larger than" in refusal(lambda: read_project_file(path))


def test_an_exported_tree_reads_back_the_same() -> None:
    text = export_toml(WHOLE)
    assert read_toml(text) == WHOLE
    assert "[[yarn]]" in text
    assert "[[pattern.piece]]" in text


def test_an_exported_tree_is_the_same_project() -> None:
    tree = {**WHOLE, "colours": None}
    del tree["colours"]
    assert read_project(read_toml(export_toml(tree))) == read_project(tree)


_VALUES = st.recursive(
    st.text(st.characters(exclude_categories=["Cs"]), max_size=12) | st.integers(-(2**40), 2**40) | st.booleans(),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from(["name", "width", "balls", "piece"]), inner, max_size=3)
    ),
    max_leaves=12,
)


@given(st.dictionaries(st.sampled_from(["name", "yarn", "loom", "pattern", "want", "odd"]), _VALUES, max_size=5))
def test_any_tree_of_plain_values_reads_back_the_same(tree: dict[str, Any]) -> None:
    assert read_toml(export_toml(tree)) == tree


def test_dates_and_endless_numbers_become_text() -> None:
    assert plain_tree(read_toml("a = 2031-03-04\nb = [inf, 1.5]")) == {"a": "2031-03-04", "b": ["inf", 1.5]}


def test_a_bundle_brings_back_tree_and_drawings() -> None:
    assert read_bundle(export_bundle(WHOLE, {"coat.svg": b"<svg/>"})) == (WHOLE, {"coat.svg": b"<svg/>"})


def test_the_same_project_gives_the_same_bundle() -> None:
    assert export_bundle(WHOLE, {"a.svg": b"1", "b.svg": b"2"}) == export_bundle(WHOLE, {"b.svg": b"2", "a.svg": b"1"})


def zipped(contents: dict[str, bytes]) -> bytes:
    whole = io.BytesIO()
    with zipfile.ZipFile(whole, "w", zipfile.ZIP_DEFLATED) as bundle:
        for name, content in contents.items():
            bundle.writestr(name, content)
    return whole.getvalue()


def test_a_bundle_that_unpacks_too_large_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(files, "LARGEST_DRAWING", 1000)
    bomb = zipped({"project.toml": b"", "coat.svg": b" " * 100_000})
    assert "larger than" in refusal(lambda: read_bundle(bomb))


def test_names_that_lead_elsewhere_are_left_out_of_a_bundle() -> None:
    assert read_bundle(zipped({"project.toml": b"", "../coat.svg": b"<svg/>"})) == ({}, {})


@pytest.mark.parametrize("content", [b"", b"PK no zip", zipped({"other.toml": b""})])
def test_what_is_no_bundle_is_refused(content: bytes) -> None:
    assert "bundle" in refusal(lambda: read_bundle(content))


def test_uploads_are_one_project_file_with_drawings_or_one_bundle() -> None:
    assert files.read_uploads({"a.toml": b"name = 'x'", "coat.svg": b"<svg/>"}) == (
        {"name": "x"},
        {"coat.svg": b"<svg/>"},
    )
    assert files.read_uploads({"a.zip": export_bundle({"name": "x"}, {})}) == ({"name": "x"}, {})
    assert "choose one" in refusal(lambda: files.read_uploads({"coat.svg": b"<svg/>"}))
    assert "choose one" in refusal(lambda: files.read_uploads({"a.toml": b"", "b.toml": b""}))


def test_the_list_of_a_class_is_no_project_and_is_sent_to_its_page() -> None:
    """Opened as one, the names of students would stand in a project, its archive and its file."""
    listed = b'clothwright_class = 1\nproject = "rockpool-runner.toml"\nstudent = [{name = "Anemone"}]\n'
    with pytest.raises(ProblemsFound, match=r"list of a class; open its project first \(rockpool-runner.toml\)"):
        files.read_uploads({"class.toml": listed})


def test_photos_of_a_bundle_lie_in_a_folder_of_their_own_and_are_no_drawings() -> None:
    content = export_bundle(WHOLE, {"coat.svg": b"<svg/>"}, {"quay.jpg": b"\xff\xd8"})
    assert zipfile.ZipFile(io.BytesIO(content)).namelist() == ["project.toml", "coat.svg", "photos/quay.jpg"]
    assert read_bundle(content) == (WHOLE, {"coat.svg": b"<svg/>"})
    assert files.photos_of_uploads({"a.zip": content}) == {"quay.jpg": b"\xff\xd8"}
    assert files.photos_of_uploads({"a.toml": b"", "coat.svg": b""}) == {}


def test_a_photo_of_a_bundle_that_is_elsewhere_or_too_large_does_not_come_in() -> None:
    odd = {
        "photos/../quay.jpg": b"x",
        "photos/a/b.jpg": b"x",
        "photos/c:d.jpg": b"x",
        "photos/": b"",
        "photos/e.jpg": b"x",
    }
    assert files.photos_of_bundle(zipped({"project.toml": b"", **odd})) == {"e.jpg": b"x"}
    large = zipped({"project.toml": b"", "photos/quay.jpg": bytes(files.LARGEST_PHOTO + 1)})
    assert "larger than 20 MB" in refusal(lambda: files.photos_of_bundle(large))
    assert "no zip file" in refusal(lambda: files.photos_of_bundle(b"salt"))
