"""The commands of a shared studio, and serving one."""

from __future__ import annotations

import http.client
import os
import re
import signal
import socket
import subprocess
import sys
import time
from http.cookies import SimpleCookie
from pathlib import Path

import pytest
from django.contrib.auth import authenticate

from clothwright.cli.keeping import brought_in
from clothwright.cli.serving import serve_asked
from clothwright.cli.studio import keeper_made, password_set
from clothwright.library import store, whose
from clothwright.library.models import Member
from clothwright.library.shelves import on_hand
from clothwright.library.shelves.on_hand import Kept
from clothwright.library.studio import members
from clothwright.project import ProblemsFound
from clothwright.web import serve

EXAMPLE = Path(__file__).parents[2] / "examples" / "ebb-stole.toml"
PASSWORD = "eelgrass under low water"


@pytest.fixture(autouse=True)
def environment(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """As it was afterwards: the commands ask for a studio there."""
    monkeypatch.setenv("CLOTHWRIGHT_DATA", str(tmp_path / "data"))
    for name in ("CLOTHWRIGHT_STUDIO", "CLOTHWRIGHT_ADDRESS", "DATABASE_URL"):
        monkeypatch.setenv(name, "")


@pytest.mark.django_db
def test_the_first_keeper_takes_over_what_was_kept_at_one_table() -> None:
    store.new_project({"name": "dulse cap"}, "started")
    on_hand.add(Kept.YARN, on_hand.tree_of(Kept.YARN, {"name": "slate"}), "typed in")
    told = keeper_made("Wren@Guild.example", "Wren", PASSWORD)
    assert told.endswith(
        "signs in as wren@guild.example; what was kept here before is hers now (2 projects and things on hand)"
    )
    with whose.seeing(whose.Seen(owner=Member.objects.get().pk)):
        assert [one.name for one in store.projects()] == ["dulse cap"]
    with pytest.raises(ProblemsFound, match="has a keeper already"):
        keeper_made("heron@guild.example", "Heron", PASSWORD)


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("email", "name", "password", "sentence"),
    [
        ("wren", "Wren", PASSWORD, "no e-mail address"),
        ("wren@guild.example", "  ", PASSWORD, "write the name"),
        ("wren@guild.example", "Wren", "short", "too short"),
        ("wren@guild.example", "Wren", "x" * 201, "at most 200"),
    ],
)
def test_what_will_not_do_is_refused_and_nobody_made(email: str, name: str, password: str, sentence: str) -> None:
    with pytest.raises(ProblemsFound, match=sentence):
        keeper_made(email, name, password)
    assert not Member.objects.exists()


@pytest.mark.django_db
def test_who_is_locked_out_gets_a_password_from_the_machine() -> None:
    keeper_made("wren@guild.example", "Wren", PASSWORD)
    assert "signed out everywhere" in password_set("wren@guild.example", "three wrack bladders")
    assert authenticate(username="wren@guild.example", password="three wrack bladders") is not None
    with pytest.raises(ProblemsFound, match="nobody of this studio has the address"):
        password_set("heron@guild.example", "three wrack bladders")


@pytest.mark.django_db
def test_a_file_is_brought_in_for_a_member_who_is_named() -> None:
    wren = members.new_member("wren@guild.example", "Wren", PASSWORD)
    for member in ("", "heron@guild.example"):
        with pytest.raises(ProblemsFound, match="--member"):
            brought_in(EXAMPLE, member)
    assert brought_in(EXAMPLE, "wren@guild.example")["added"] == ["Ebb stole"]
    with whose.seeing(whose.Seen(owner=wren.pk)):
        assert store.projects().count() == 1


@pytest.mark.django_db
def test_a_library_with_members_is_not_opened_as_one_table_s() -> None:
    members.refuse_unlike(studio=False)
    members.new_member("wren@guild.example", "Wren", PASSWORD)
    with pytest.raises(ProblemsFound, match="serve it with --studio"):
        members.refuse_unlike(studio=False)
    members.refuse_unlike(studio=True)


def test_phones_sign_in_as_everybody_and_are_asked_for_no_word() -> None:
    with pytest.raises(ProblemsFound, match="leave --phone out"):
        serve_asked(None, 0, phone=True, phone_port=0, new_word=False, studio=True)


def test_every_address_at_once_is_served_only_where_members_address_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CLOTHWRIGHT_STUDIO", "1")
    with pytest.raises(ProblemsFound, match="CLOTHWRIGHT_ADDRESS"):
        serve._refuse_everywhere("0.0.0.0")
    monkeypatch.setenv("CLOTHWRIGHT_ADDRESS", "https://studio.guild.example")
    serve._refuse_everywhere("0.0.0.0")


def test_a_studio_behind_a_web_server_signs_members_in_over_https_alone(tmp_path: Path) -> None:
    """A real server, asked as a web server in front asks: cookies are for https, and what is in front says who comes."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    environment = os.environ | {
        "CLOTHWRIGHT_DATA": str(tmp_path / "data"),
        "CLOTHWRIGHT_ADDRESS": "https://studio.guild.example",
        "CLOTHWRIGHT_IN_FRONT": "127.0.0.1",
    }
    run = [sys.executable, "-m", "clothwright"]
    keeper = [*run, "studio", "keeper", "wren@guild.example", "--name", "Wren", "--password", PASSWORD]
    subprocess.run(keeper, env=environment, check=True, capture_output=True)
    serving = subprocess.Popen(
        [*run, "serve", "--studio", "--port", str(port)], env=environment, stdout=subprocess.PIPE, text=True
    )
    try:
        assert serving.stdout is not None
        assert "https://studio.guild.example/" in serving.stdout.readline()
        page, cookies = asked(port, "GET", "/sign-in/")
        assert cookies["clothwright_csrf"]["secure"]
        (token,) = re.findall(r'name="csrfmiddlewaretoken" value="(\w+)"', page)
        typed = f"csrfmiddlewaretoken={token}&email=wren@guild.example&password={PASSWORD.replace(' ', '+')}"
        _, signed = asked(port, "POST", "/sign-in/", typed, cookies)
        session = signed["clothwright_session"]
        assert (session["secure"], session["httponly"], session["samesite"]) == (True, True, "Lax")
        page, _ = asked(port, "GET", "/members/", cookies=signed)
        assert "wren@guild.example" in page
    finally:
        serving.send_signal(signal.SIGINT)
        serving.wait(20)


def asked(
    port: int, method: str, path: str, body: str = "", cookies: SimpleCookie | None = None
) -> tuple[str, SimpleCookie]:
    """The page and the cookies, asked as the web server in front would ask."""
    headers = {"Host": "studio.guild.example", "X-Forwarded-Proto": "https", "X-Forwarded-For": "10.1.2.3"}
    headers |= {"Origin": "https://studio.guild.example", "Content-Type": "application/x-www-form-urlencoded"}
    if cookies:
        headers["Cookie"] = "; ".join(f"{name}={one.value}" for name, one in cookies.items())
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
    for _ in range(100):
        try:
            connection.request(method, path, body, headers)
            break
        except ConnectionRefusedError:
            time.sleep(0.2)
    answer = connection.getresponse()
    assert answer.status in (200, 302), answer.read()
    assert "max-age" in answer.headers["Strict-Transport-Security"]
    found: SimpleCookie = SimpleCookie()
    for line in answer.headers.get_all("Set-Cookie") or ():
        found.load(line)
    return answer.read().decode(), found
