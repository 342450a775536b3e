"""The address that labels lead to: as the weaver typed it, else the one at which phones were served last."""

from __future__ import annotations

from typing import Final
from urllib.parse import urlsplit

from clothwright.library.folder import data_folder, prepared_folder, write_for_owner
from clothwright.library.studio.studio_asked import studio_address
from clothwright.project import Problem, ProblemsFound

_TYPED: Final = "label-address.txt"
_PHONES: Final = "phones-served-at.txt"
_LONGEST: Final = 100
ACCEPTED: Final = "write it as https://192.168.1.20:8766, without a page behind it"


def label_address() -> str:
    """The address labels lead to; in a shared studio its own where none was typed. Empty where no phone was ever served either."""
    return _read(_TYPED) or studio_address() or _read(_PHONES)


def typed_address() -> str:
    """The address the weaver typed; empty where she typed none."""
    return _read(_TYPED)


def keep_typed_address(text: str) -> None:
    """Keep an address as typed, or with empty text none; ProblemsFound with a sentence where it is no address."""
    write_for_owner(prepared_folder() / _TYPED, checked_address(text).encode())


def phones_served_at(address: str) -> None:
    """Remember where phones are served."""
    write_for_owner(prepared_folder() / _PHONES, address.encode())


def checked_address(text: str) -> str:
    """An address as labels take it, empty for none; ProblemsFound where it is no address of pages."""
    plain = text.strip().rstrip("/")
    if not plain:
        return ""
    try:
        parts = urlsplit(plain)
        sound = parts.scheme in ("http", "https") and bool(parts.hostname) and (parts.port or 1) > 0
    except ValueError:
        sound = False
    else:
        sound = sound and not (parts.path or parts.query or parts.fragment or parts.username)
    if not sound or len(plain) > _LONGEST or any(one.isspace() for one in plain):
        raise ProblemsFound(Problem(("address",), f"“{text.strip()[:60]}” is no address; {ACCEPTED}"))
    return plain


def _read(name: str) -> str:
    file = data_folder() / name
    return file.read_text(encoding="utf-8").strip() if file.is_file() else ""
