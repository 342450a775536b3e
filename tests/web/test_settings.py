"""How the pages are served keeps Django's own checks for deployment, but for those that do not fit, each with its reason."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from django.conf import settings
from django.core import checks
from django.test import Client

from clothwright.web import settings as ours


def test_djangos_deployment_checks_find_nothing() -> None:
    """With those put away that are told of in SECURITY.md; nothing else is."""
    found = [one for one in checks.run_checks(include_deployment_checks=True) if not one.is_silenced()]
    assert found == []
    assert settings.SILENCED_SYSTEM_CHECKS == ["security.W004", "security.W008", "security.W016", "security.W012"]
    told = (Path(__file__).parents[2] / "SECURITY.md").read_text(encoding="utf-8")
    assert re.findall(r"`security\.(W\d{3})`", told) == ["W004", "W008", "W016", "W012"]


def test_each_check_that_is_put_away_would_speak_otherwise(monkeypatch: pytest.MonkeyPatch) -> None:
    """So that none stands in the list that has nothing to say."""
    monkeypatch.setattr(settings, "SILENCED_SYSTEM_CHECKS", [])
    found = {one.id for one in checks.run_checks(include_deployment_checks=True)}
    assert found == {"security.W004", "security.W008", "security.W012", "security.W016"}


def test_debugging_is_off_and_the_key_is_made_for_each_library() -> None:
    assert ours.DEBUG is False
    assert len(str(ours.SECRET_KEY)) > 60


@pytest.mark.django_db
def test_the_cookie_that_pairs_with_the_token_is_for_this_site_and_not_for_scripts() -> None:
    """SameSite Lax and HttpOnly; no other cookie is set."""
    cookies = Client().get("/").cookies
    assert set(cookies) == {settings.CSRF_COOKIE_NAME}
    assert cookies[settings.CSRF_COOKIE_NAME]["samesite"] == "Lax"
    assert cookies[settings.CSRF_COOKIE_NAME]["httponly"]


@pytest.mark.django_db
@pytest.mark.parametrize(
    "path",
    [
        "/static/../settings.py",
        "/static/%2e%2e/settings.py",
        "/static//etc/passwd",
        "/static/clothwright/../../settings.py",
    ],
)
def test_nothing_but_static_files_comes_from_the_address_of_static_files(client: Client, path: str) -> None:
    assert client.get(path).status_code == 404
