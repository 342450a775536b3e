"""The word that lets a phone in: asked of what comes over the network, and of nothing on this machine."""

from __future__ import annotations

import re
import stat
from pathlib import Path

import pytest
from django.conf import settings
from django.test import Client
from django.utils import timezone

from clothwright.library.models import TriedSignIn
from clothwright.library.studio import tries
from clothwright.web.phone.phone_word import COOKIE, kept_word, plain, sign_of

pytestmark = pytest.mark.django_db
WORD = "abcd-efgh-jkmn"


@pytest.fixture
def word(monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.setattr(settings, "PHONE_WORD", WORD)
    return WORD


def test_this_machine_is_asked_for_nothing(word: str, client: Client) -> None:
    assert client.get("/").status_code == 200


@pytest.mark.parametrize("path", ["/", "/yarn/", "/phone/worker.js", "/new/", "/phone/../"])
def test_a_phone_without_the_word_gets_no_page(word: str, client: Client, path: str) -> None:
    answer = client.get(path, secure=True)
    assert answer.status_code == 302
    assert answer["Location"].startswith("/phone/enter/?next=")
    assert client.post(path, secure=True).status_code == 302


def test_what_asks_for_data_is_told_so_as_data(word: str, client: Client) -> None:
    answer = client.get("/phone/x/state/", secure=True, headers={"accept": "application/json"})
    assert (answer.status_code, answer.json()) == (401, {"problem": "the word is asked for again"})


@pytest.mark.parametrize("typed", [WORD, WORD.upper(), "abcdefghjkmn", "  abcd efgh jkmn "])
def test_a_phone_with_the_word_is_let_in_and_on_to_where_it_was_going(word: str, client: Client, typed: str) -> None:
    answer = client.post("/phone/enter/", {"word": typed, "next": "/yarn/"}, secure=True)
    assert (answer.status_code, answer["Location"]) == (302, "/yarn/")
    cookie = answer.cookies[COOKIE]
    assert cookie["secure"]
    assert cookie["httponly"]
    assert client.get("/yarn/", secure=True).status_code == 200


def test_a_wrong_word_is_said_in_a_sentence_and_lets_nobody_in(word: str, client: Client) -> None:
    answer = client.post("/phone/enter/", {"word": "abcd-efgh-jkmp"}, secure=True)
    assert answer.status_code == 403
    assert "“abcd-efgh-jkmp” is not the word: it has three groups of four" in answer.content.decode()
    assert client.get("/", secure=True).status_code == 302


def test_without_a_word_no_phone_is_let_in_at_all(client: Client) -> None:
    for typed in ("", "x"):
        assert client.post("/phone/enter/", {"word": typed}, secure=True).status_code == 403
    client.cookies[COOKIE] = sign_of("")
    assert client.get("/", secure=True).status_code == 302


def test_a_new_word_shuts_out_the_phones_of_the_old(word: str, client: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    client.post("/phone/enter/", {"word": word}, secure=True)
    assert client.get("/", secure=True).status_code == 200
    monkeypatch.setattr(settings, "PHONE_WORD", "pqrs-tuvw-xyz2")
    assert client.get("/", secure=True).status_code == 302


@pytest.mark.parametrize("to", ["https://elsewhere.example/", "//elsewhere.example/", "javascript:alert(1)"])
def test_the_way_on_never_leads_elsewhere(word: str, client: Client, to: str) -> None:
    assert client.post("/phone/enter/", {"word": word, "next": to}, secure=True)["Location"] == "/"


def test_only_the_page_itself_lets_a_phone_in(word: str) -> None:
    """A form that stands elsewhere has no token."""
    strict = Client(enforce_csrf_checks=True)
    assert strict.post("/phone/enter/", {"word": word}, secure=True).status_code == 403


def test_the_word_is_made_once_by_chance_and_kept_for_its_owner(data_folder: Path) -> None:
    word = kept_word()
    assert re.fullmatch("[a-hj-km-np-z2-9]{4}(-[a-hj-km-np-z2-9]{4}){2}", word)
    assert kept_word() == word
    assert stat.S_IMODE((data_folder / "phone-word").stat().st_mode) == 0o600
    assert kept_word(new=True) != word
    assert len(plain(word)) == 12


def test_the_certificate_is_there_only_while_phones_are_served(client: Client) -> None:
    assert client.get("/phone/certificate.crt").status_code == 404


def test_after_five_wrong_words_from_one_place_even_the_right_one_waits_a_quarter_of_an_hour(word: str) -> None:
    """Phones elsewhere, and those that were let in before, are not kept out; tries that are older do not count."""
    guesser, phone, other = Client(REMOTE_ADDR="192.168.1.9"), Client(REMOTE_ADDR="192.168.1.7"), Client()
    assert phone.post("/phone/enter/", {"word": word}, secure=True).status_code == 302
    told = [guesser.post("/phone/enter/", {"word": f"abcd-efgh-jk{number}"}, secure=True) for number in range(10, 15)]
    assert {one.status_code for one in told} == {403}
    stopped = guesser.post("/phone/enter/", {"word": word}, secure=True)
    assert stopped.status_code == 429
    assert "Wait a quarter of an hour" in stopped.content.decode()
    assert COOKIE not in stopped.cookies
    assert phone.get("/", secure=True).status_code == 200
    assert other.post("/phone/enter/", {"word": word}, secure=True).status_code == 302
    TriedSignIn.objects.update(at=timezone.now() - tries.WITHIN)
    assert guesser.post("/phone/enter/", {"word": word}, secure=True).status_code == 302


def test_guessing_from_many_places_is_stopped_after_twenty(word: str) -> None:
    """A word right at the first try is not counted, from as many phones as come."""
    for number in range(30):
        assert (
            Client(REMOTE_ADDR=f"192.168.2.{number}").post("/phone/enter/", {"word": word}, secure=True).status_code
            == 302
        )
    told = [
        Client(REMOTE_ADDR=f"192.168.1.{number}").post("/phone/enter/", {"word": "abcd"}, secure=True).status_code
        for number in range(24)
    ]
    assert told == [403] * tries.FOR_ACCOUNT + [429] * 4
