"""Copies of everything kept, put back; everything out as one open archive, and in again without taking anything's place."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

from clothwright.library import read_project_file
from clothwright.library.keeping.backing_up import back_up, restore
from clothwright.project import Problem, ProblemsFound


def backed_up(to: Path | None) -> dict[str, Any]:
    """The file everything was copied to."""
    file = back_up(to)
    return {"file": str(file), "bytes": file.stat().st_size}


def restored(file: Path) -> dict[str, Any]:
    """What was put back, and where the library it took the place of was copied to."""
    before = restore(file)
    return {"file": str(file), "before": str(before) if before else None}


def exported_to(file: Path | None, *, with_sheets: bool = False) -> dict[str, Any]:
    """The archive everything was written to; a file that is there already is not written over."""
    _set_up()
    from clothwright.library import whose
    from clothwright.library.keeping.archive import exported
    from clothwright.web.keeping import sheets_of

    to = file or Path(f"clothwright-{datetime.datetime.now().astimezone():%Y-%m-%d}-export.zip")
    if to.exists():
        raise _problem(f"{to} is there already, and nothing is written over; name a new file with -o")
    with whose.seeing(whose.EVERYTHING):
        content = exported(sheets_of if with_sheets else None)
    try:
        to.parent.mkdir(parents=True, exist_ok=True)
        to.write_bytes(content)
    except OSError as error:
        raise _problem(f"{to} cannot be written: {error.strerror}") from None
    return {"file": str(to), "bytes": len(content)}


def brought_in(file: Path, member: str = "") -> dict[str, Any]:
    """What an archive, a bundle or a project file added, and what of it was here already; in a studio, for a member."""
    _set_up()
    from clothwright.library import whose
    from clothwright.library.studio import members

    with whose.seeing(members.seen_for(member)):
        return _brought_in(file)


def _brought_in(file: Path) -> dict[str, Any]:
    from clothwright.library.files import photos_of_bundle, project_tree, read_bundle
    from clothwright.library.keeping.archive import bring_in, is_archive
    from clothwright.library.record.project_photos import new_project_with
    from clothwright.web.forms.form import for_the_page

    photos: dict[str, bytes] = {}
    if file.suffix.lower() == ".toml":
        typed, drawings = read_project_file(file)
        tree = project_tree(typed)
    elif is_archive(content := _content(file)):
        found = bring_in(content)
        return {"added": list(found.added), "here_already": list(found.here_already)}
    else:
        (tree, drawings), photos = read_bundle(content), photos_of_bundle(content)
    made = new_project_with(for_the_page(tree), f"brought in from {file.name}", drawings, photos)
    return {"added": [made.name], "here_already": []}


def _content(file: Path) -> bytes:
    from clothwright.library.keeping.archive_opened import LARGEST_ARCHIVE

    try:
        with file.open("rb") as opened:
            return opened.read(LARGEST_ARCHIVE + 1)
    except OSError as error:
        raise _problem(f"it cannot be read: {error.strerror}") from None


def _set_up() -> None:
    """The library ready to be read and added to, also while its pages are used."""
    from clothwright.web.serve import ready

    ready()


def _problem(sentence: str) -> ProblemsFound:
    return ProblemsFound(Problem((), sentence))
