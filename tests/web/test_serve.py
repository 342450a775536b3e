from __future__ import annotations

import socket
from pathlib import Path

import pytest
from django.conf import settings
from django.core.management import call_command
from django.test import Client

from clothwright.layout import first_guess
from clothwright.library import read_project_file, store
from clothwright.library.models import Project
from clothwright.library.pieces.layouts import layouts_known
from clothwright.planning import copies_to_cut
from clothwright.project import ProblemsFound, read_project
from clothwright.web import searching, serve

EXAMPLES = Path(__file__).parents[2] / "examples"
PROJECTS = sorted(one for one in EXAMPLES.glob("*.toml") if "clothwright_class" not in one.read_text(encoding="utf-8"))


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "", "*"])
def test_every_address_at_once_is_refused_since_there_is_no_login(host: str, data_folder: Path) -> None:
    with pytest.raises(ProblemsFound, match="there is no login"):
        serve.serve(host, 0)
    assert not data_folder.exists()


def test_a_port_that_is_taken_is_said_in_a_sentence() -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        with pytest.raises(ProblemsFound, match=r"cannot be used: .*try another --port"):
            serve.serve("127.0.0.1", other.getsockname()[1])


@pytest.mark.parametrize(("host", "port"), [("127.0.0.1", 70_000), ("192.0.2.1", 0), ("no such host.invalid", 0)])
def test_an_address_that_is_none_of_ours_is_said_in_a_sentence(host: str, port: int) -> None:
    with pytest.raises(ProblemsFound, match="cannot be used"):
        serve.serve(host, port)


def test_the_name_that_is_stated_is_let_in_and_no_other(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(settings, "ALLOWED_HOSTS", list(settings.ALLOWED_HOSTS))
    assert serve._allowed("192.168.1.20", 8765) == "http://192.168.1.20:8765"
    assert serve._allowed("::1", 8765) == "http://[::1]:8765"
    assert settings.ALLOWED_HOSTS[-1] == "192.168.1.20"
    assert Client().get("/", headers={"host": "192.168.1.21"}).status_code == 400


def test_who_opens_the_pages_to_others_is_told_that_there_is_no_login(capsys: pytest.CaptureFixture[str]) -> None:
    serve._say("http://127.0.0.1:1", "127.0.0.1")
    assert "no login" not in capsys.readouterr().out
    serve._say("http://192.168.1.20:1", "192.168.1.20")
    assert "no login" in capsys.readouterr().out


@pytest.mark.django_db
@pytest.mark.parametrize("path", PROJECTS, ids=lambda path: path.stem)
def test_every_example_opens_as_a_project_with_nothing_left_to_settle(path: Path, client: Client) -> None:
    """The smock alone is wider than its cloth, which is what it shows: the page leads to its joins."""
    project = serve._opened(path)
    html = client.get(f"/project/{project.pk}/").content.decode()
    assert project.name in html
    if path.stem == "wrack-smock":
        assert f"/project/{project.pk}/narrow-cloth/" in html
    else:
        assert "Still to be settled" not in html


@pytest.mark.django_db
def test_a_file_opened_again_is_the_same_project_until_it_is_changed() -> None:
    path = EXAMPLES / "slate-tide-cloth.toml"
    first = serve._opened(path)
    assert serve._opened(path) == first
    store.change(first, {"name": "changed"}, "changed")
    assert serve._opened(path) != first


@pytest.mark.django_db
def test_a_search_for_layouts_begins_when_a_file_with_pieces_is_opened(monkeypatch: pytest.MonkeyPatch) -> None:
    started: list[Project] = []
    monkeypatch.setattr(searching, "start", started.append)
    pieces, cloth = (serve._opened(EXAMPLES / f"{name}.toml") for name in ("rows-of-rectangles", "slate-tide-cloth"))
    assert serve._show(pieces) == f"/project/{pieces.pk}/"
    serve._show(cloth)
    assert started == [pieces]


@pytest.mark.django_db
def test_pages_start_from_the_layout_that_was_found_before(monkeypatch: pytest.MonkeyPatch) -> None:
    """The command's layout is the page's, and no search is begun."""
    monkeypatch.setattr(searching, "start", lambda project: pytest.fail(f"a search was begun for {project}"))
    file = EXAMPLES / "rows-of-rectangles.toml"
    document, (tree, drawings) = serve._opened(file), read_project_file(file)
    copies = copies_to_cut(read_project(tree), drawings)
    layout = first_guess(copies, 48.0)
    serve._show(document, (copies, layout))
    assert layouts_known(copies) == (layout,)
    assert "190 cm" in searching.latest(document).outcome


@pytest.mark.django_db
def test_the_models_and_the_migrations_agree() -> None:
    call_command("makemigrations", check=True, dry_run=True, verbosity=0)
