"""The files of the pages for phones: kept there by the worker, and joined into one page that needs no program.

A browser loads no modules from a file, so the saved page carries them joined into one script, in the order in which they
need each other, within a function of its own. A hash of it in the page's own policy lets that script run and no other.
"""

from __future__ import annotations

import base64
import hashlib
import json
import re
from functools import cache
from pathlib import Path
from typing import Any, Final

from django.template.loader import render_to_string
from django.templatetags.static import static
from django.utils import translation

from clothwright.library.models import Project
from clothwright.sheets.translating import ENGLISH, Language
from clothwright.web.phone.phone_pages import as_data
from clothwright.web.phone.phone_state import phone_state
from clothwright.web.phone.phone_words import script_words

_FOLDER: Final = Path(__file__).parent.parent / "static" / "clothwright"
#: Every module, each after those it needs.
MODULES: Final = (
    "words",
    "keys",
    "keeping",
    "sending",
    "order",
    "log",
    "screen",
    "going",
    "at_board",
    "at_loom",
    "offline",
    "start",
)
_IMPORT: Final = re.compile(r'^import \{[^}]*\} from "\./(\w+)\.js";\n', re.MULTILINE)
_EXPORT: Final = re.compile(r"^export ", re.MULTILINE)


def _text(name: str) -> str:
    return (_FOLDER / name).read_text(encoding="utf-8")


def needed_by(module: str) -> tuple[str, ...]:
    """The modules that a module takes names from."""
    return tuple(_IMPORT.findall(_text(f"phone/{module}.js")))


@cache
def joined_script() -> str:
    """Every module in one script that loads nothing."""
    parts = (_EXPORT.sub("", _IMPORT.sub("", _text(f"phone/{module}.js"))) for module in MODULES)
    return '"use strict";\n(() => {\n' + "\n".join(parts) + "})();\n"


@cache
def worker_script() -> str:
    """The worker that keeps the pages, told which files there are and which version of them this is."""
    names = ["clothwright/mark.svg", "clothwright/phone.css", *(f"clothwright/phone/{one}.js" for one in MODULES)]
    body = _text("phone/worker.js")
    digest = hashlib.sha256(body.encode())
    for name in names:
        digest.update((_FOLDER.parent / name).read_bytes())
    files = [static(name) for name in names]
    return f"const FILES = {json.dumps(files)};\nconst VERSION = {json.dumps(digest.hexdigest()[:12])};\n{body}"


def saved_page(project: Project, language: Language = ENGLISH) -> str:
    """One page that needs no program: what the phone would be told now, and the script to go on from there."""
    script, style = joined_script(), _text("phone.css")
    data: dict[str, Any] = {
        "state": phone_state(project, loom=True, says=language) | {"token": ""},
        "places": {},
        "saved": True,
    }
    data["words"] = script_words(language.code)
    context = {
        "project": project,
        "tag": language.tag,
        "script": script,
        "style": style,
        "data": as_data(data),
        "policy": f"default-src 'none'; script-src 'sha256-{_hash(script)}'; style-src 'sha256-{_hash(style)}'; img-src data:; "
        "form-action 'none'; base-uri 'none'",
    }
    with translation.override(language.code):
        return render_to_string("clothwright/phone_saved.html", context)


def _hash(text: str) -> str:
    return base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
