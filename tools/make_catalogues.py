"""Collects what can be said in another language, and compiles the catalogues: `python tools/make_catalogues.py`.

Babel reads the messages from the code, the tables and the pages, puts new ones into every catalogue untranslated, and writes
the compiled catalogue beside it. Both are kept in the repository, so that a wheel needs no tool to be built or used.
"""

from __future__ import annotations

import io
import re
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from babel.messages.catalog import Catalog
from babel.messages.extract import extract_python
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

from clothwright.web.phone.phone_words import said_by_scripts

PACKAGE: Final = Path(__file__).resolve().parent.parent / "src/clothwright"
LOCALE: Final = PACKAGE / "locale"
#: How messages are said in the code: plain, marked for later, counted, and with a context.
_KEYWORDS: Final = {"says": None, "to_say": None, "several": (1, 2), "of": ((1, "c"), 2)}
_CODE: Final = ("sheets/**/*.py", "web/**/*.py", "planning/**/*.py", "weaving/**/*.py")
_PAGES: Final = "web/templates/clothwright/*.html"
_IN_PAGE: Final = re.compile(r"\{% (?:trans|translate) \"((?:[^\"\\]|\\.)*)\" %\}")

Message = tuple[str, str | tuple[str, str], str | None]


def messages() -> Iterator[Message]:
    """Every message: where it stands, the message (or one and many), and its context or None."""
    yield from _in_code()
    yield from _in_tables()
    yield from _on_pages()


def _in_code() -> Iterator[Message]:
    for pattern in _CODE:
        for path in sorted(PACKAGE.glob(pattern)):
            content = io.BytesIO(path.read_bytes())
            for _, name, said, _ in extract_python(content, list(_KEYWORDS), [], {}):
                yield from _said(path, name, said)


def _said(path: Path, name: str, said: object) -> Iterator[Message]:
    where = str(path.relative_to(PACKAGE))
    texts = said if isinstance(said, tuple) else (said,)
    if name == "several" and len(texts) >= 2 and all(isinstance(one, str) for one in texts[:2]):
        yield where, (texts[0], texts[1]), None
    elif name == "of" and len(texts) >= 2 and all(isinstance(one, str) for one in texts[:2]):
        yield where, texts[1], texts[0]
    elif name in ("says", "to_say") and isinstance(texts[0], str) and texts[0]:
        yield where, texts[0], None


def _in_tables() -> Iterator[Message]:
    glossary = "sheets/glossary.toml"
    for row in tomllib.loads((PACKAGE / glossary).read_text(encoding="utf-8"))["word"]:
        yield glossary, row["word"], "word"
        yield glossary, row["meaning"], None
    cautions = "planning/cautions.toml"
    for row in tomllib.loads((PACKAGE / cautions).read_text(encoding="utf-8"))["caution"]:
        yield cautions, row["text"], None


def _on_pages() -> Iterator[Message]:
    for path in sorted(PACKAGE.glob(_PAGES)):
        for text in _IN_PAGE.findall(path.read_text(encoding="utf-8")):
            yield str(path.relative_to(PACKAGE)), text, None
    for name, message in said_by_scripts():
        yield f"web/static/clothwright/phone/{name}", message, None


def collected() -> Catalog:
    """All messages as a catalogue without translations."""
    found = Catalog(project="Clothwright", charset="utf-8")
    for where, message, context in messages():
        found.add(message, locations=[(where, 0)], context=context)
    return found


def catalogue(code: str) -> Path:
    """The catalogue of a language."""
    return LOCALE / code / "LC_MESSAGES/django.po"


def read(code: str) -> Catalog:
    """The catalogue of a language as it is kept."""
    with catalogue(code).open("rb") as kept:
        return read_po(kept, locale=code)


def compiled(kept: Catalog) -> bytes:
    """A catalogue as programs read it."""
    out = io.BytesIO()
    write_mo(out, kept)
    return out.getvalue()


def make(code: str) -> list[str]:
    """Bring a catalogue up to date and compile it; the messages that nobody has translated yet."""
    kept = read(code)
    kept.update(collected(), no_fuzzy_matching=True)
    kept.obsolete.clear()
    with catalogue(code).open("wb") as out:
        write_po(out, kept, sort_output=True, width=120, include_lineno=False)
    catalogue(code).with_suffix(".mo").write_bytes(compiled(kept))
    return [str(one.id) for one in kept if one.id and not one.string]


if __name__ == "__main__":
    for folder in sorted(LOCALE.iterdir()):
        left = make(folder.name)
        sys.stdout.write(f"{folder.name}: {len(left)} not translated\n" + "".join(f"  {one}\n" for one in left))
