"""Project files in and out: TOML with the drawing beside it, and a bundle of both in one zip.

A file may name a drawing only beside or below itself, so that a project file from a stranger reads nothing else.
"""

from __future__ import annotations

import io
import math
import zipfile
from collections.abc import Mapping
from pathlib import Path, PurePosixPath
from types import MappingProxyType
from typing import Any, Final

import tomlkit
from tomlkit.items import AoT, Array, InlineTable, Table

from clothwright.library.unreadable import UNREADABLE_ZIP
from clothwright.project import Problem, ProblemsFound, read_toml
from clothwright.project.sampling import files_named

Tree = dict[str, Any]

MEGABYTE: Final = 1_000_000
LARGEST_FILE: Final = 2 * MEGABYTE
LARGEST_DRAWING: Final = 10 * MEGABYTE
LARGEST_BUNDLE: Final = 50 * MEGABYTE
LARGEST_PHOTO: Final = 20 * MEGABYTE
#: A project's drawings, and as many photos as are kept of one.
MOST_IN_BUNDLE: Final = 120
BUNDLE_PROJECT: Final = "project.toml"
#: The folder of a bundle in which photos lie, each under the name the project file calls it by.
BUNDLE_PHOTOS: Final = "photos/"
_NONE: Final[Mapping[str, bytes]] = MappingProxyType({})

#: Lists that a person reads best as one table per entry.
_TABLES: Final = {
    ("yarn",),
    ("core",),
    ("winder",),
    ("sample",),
    ("log",),
    ("off_loom",),
    ("finishing", "done"),
    ("real_cloth", "flaw"),
    ("checked",),
    ("pattern", "piece"),
    ("pattern", "mark"),
    ("pattern", "from_measures", "size"),
    ("pattern", "from_measures", "version"),
    ("record", "left"),
    ("record", "remnant"),
    ("record", "photo"),
    ("record", "later"),
    ("student",),
}
#: Tables that stand under a heading of their own.
_HEADINGS: Final = {
    "trust", "loom", "cloth", "want", "pattern", "colours", "leaflet", "on_loom", "finishing", "real_cloth", "record",
}  # fmt: skip
#: Tables below such a heading that have a heading of their own.
_HEADINGS_BELOW: Final = {("pattern", "from_measures")}


def read_project_file(path: Path) -> tuple[Tree, dict[str, bytes]]:
    """The tree a project file holds and the drawings it names, by name; ProblemsFound where one cannot be read."""
    tree = read_project_tree(path)
    name = drawing_name(tree)
    pattern = {name: _drawing_beside(path, name, ("pattern", "file"))} if name else {}
    return tree, pattern | drawings_of_samples(path, tree)


def drawings_of_samples(path: Path, tree: Mapping[str, Any]) -> dict[str, bytes]:
    """The drawings of outlines that the samples of a project file name, by name; ProblemsFound where one cannot be read."""
    return {name: _drawing_beside(path, name, where) for where, name in files_named(tree)}


def read_project_tree(path: Path) -> Tree:
    """The tree a project file holds, without the drawings it names; ProblemsFound where it cannot be read."""
    return read_toml(_text(_contents(path, LARGEST_FILE, ()), path.name))


def drawing_name(tree: Mapping[str, Any]) -> str | None:
    """The name of the drawing a tree asks for, whatever else was typed."""
    pattern = tree.get("pattern")
    name = pattern.get("file") if isinstance(pattern, Mapping) else None
    return name if isinstance(name, str) and name else None


def stays_below(name: str) -> bool:
    """Whether a name is that of a file beside or below: relative, with no step up and nothing that a system reads as one."""
    parts = PurePosixPath(name).parts
    odd = {"\\", ":", "\0"} & set(name)
    return bool(parts) and not odd and not name.startswith("/") and ".." not in parts


def _drawing_beside(path: Path, name: str, where: tuple[str | int, ...]) -> bytes:
    folder = path.parent.resolve()
    drawing = (folder / name).resolve() if stays_below(name) else folder
    if not stays_below(name) or not drawing.is_relative_to(folder):
        raise _problem(
            where, f"“{name}” lies outside the project file's folder; name a file beside it, as waistcoat.svg"
        )
    return _contents(drawing, LARGEST_DRAWING, where)


def _contents(path: Path, largest: int, where: tuple[str | int, ...]) -> bytes:
    if not path.is_file():
        if path.is_dir():
            raise _problem(where, f"“{path.name or path}” is a folder; name a file in it")
        beside = " beside the project file" if where else ""
        raise _problem(where, f"“{path.name}” was not found{beside}")
    try:
        with path.open("rb") as file:
            found = file.read(largest + 1)
    except OSError as error:
        raise _problem(where, f"“{path.name}” cannot be read: {error.strerror}") from None
    return _not_too_large(found, path.name, largest, where)


def _not_too_large(content: bytes, name: str, largest: int, where: tuple[str | int, ...] = ()) -> bytes:
    if len(content) > largest:
        raise _problem(where, f"“{name}” is larger than {largest // MEGABYTE} MB, the most this program reads")
    return content


def _text(content: bytes, name: str) -> str:
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise _problem((), f"“{name}” is not text in UTF-8; save it as plain text") from None


def _problem(where: tuple[str | int, ...], sentence: str) -> ProblemsFound:
    return ProblemsFound(Problem(where, sentence))


def read_uploads(files: Mapping[str, bytes]) -> tuple[Tree, dict[str, bytes]]:
    """Tree and drawings of files handed over together: one zip bundle, or one TOML and any number of drawings."""
    for name, content in files.items():
        if name.lower().endswith(".zip"):
            return read_bundle(_not_too_large(content, name, LARGEST_BUNDLE))
    texts = [name for name in files if name.lower().endswith(".toml")]
    if len(texts) != 1:
        raise _problem(
            (), f"choose one project file that ends in .toml, or one bundle that ends in .zip; {len(texts)} came"
        )
    text = _text(_not_too_large(files[texts[0]], texts[0], LARGEST_FILE), texts[0])
    drawings = {name: content for name, content in files.items() if name not in texts and stays_below(name)}
    for name, content in drawings.items():
        _not_too_large(content, name, LARGEST_DRAWING)
    return project_tree(read_toml(text)), drawings


def project_tree(typed: Mapping[str, Any]) -> Tree:
    """The tree of a project file; ProblemsFound where the file is the list of a class, whose names belong into no project."""
    if "clothwright_class" in typed:
        raise _problem(
            ("clothwright_class",),
            f"this is the list of a class; open its project first ({typed.get('project', 'the file it names')}), then take the list "
            "in on that project’s page Class",
        )
    tree: Tree = plain_tree(typed)
    return tree


def read_bundle(content: bytes) -> tuple[Tree, dict[str, bytes]]:
    """Tree and drawings of a zip that holds project.toml and the drawings it names."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as bundle:
            return _opened_bundle(bundle)
    except ProblemsFound:
        raise
    except UNREADABLE_ZIP:
        raise _problem((), "the bundle is no zip file that can be read") from None


def _opened_bundle(bundle: zipfile.ZipFile) -> tuple[Tree, dict[str, bytes]]:
    names = [one.filename for one in bundle.infolist() if not one.is_dir()]
    if BUNDLE_PROJECT not in names or len(names) > MOST_IN_BUNDLE:
        most = MOST_IN_BUNDLE - 1
        raise _problem((), f"a bundle holds {BUNDLE_PROJECT} and at most {most} drawings and photos beside it")
    text = _text(_unpacked(bundle, BUNDLE_PROJECT, LARGEST_FILE), BUNDLE_PROJECT)
    drawings = [
        name for name in names if name != BUNDLE_PROJECT and stays_below(name) and not name.startswith(BUNDLE_PHOTOS)
    ]
    return project_tree(read_toml(text)), {name: _unpacked(bundle, name, LARGEST_DRAWING) for name in drawings}


def photos_of_uploads(files: Mapping[str, bytes]) -> dict[str, bytes]:
    """The photos of files handed over together, by the names a project file calls them by: those of a bundle; else none."""
    bundles = [content for name, content in files.items() if name.lower().endswith(".zip")]
    return photos_of_bundle(bundles[0]) if bundles else {}


def photos_of_bundle(content: bytes) -> dict[str, bytes]:
    """The photos of a bundle by their names; ProblemsFound where one is too large, or the bundle cannot be read."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as bundle:
            names = [one.filename for one in bundle.infolist() if one.filename.startswith(BUNDLE_PHOTOS)]
            return {
                plain: _unpacked(bundle, name, LARGEST_PHOTO)
                for name in names[:MOST_IN_BUNDLE]
                if (plain := name.removeprefix(BUNDLE_PHOTOS)) and "/" not in plain and stays_below(plain)
            }
    except ProblemsFound:
        raise
    except UNREADABLE_ZIP:
        raise _problem((), "the bundle is no zip file that can be read") from None


def _unpacked(bundle: zipfile.ZipFile, name: str, largest: int) -> bytes:
    """One file of a zip, read no further than the limit, whatever size the zip claims."""
    with bundle.open(name) as file:
        return _not_too_large(file.read(largest + 1), name, largest)


def export_bundle(tree: Tree, drawings: Mapping[str, bytes], photos: Mapping[str, bytes] = _NONE) -> bytes:
    """A zip of project.toml, the drawings, and the photos in a folder; the same contents give the same bytes."""
    whole = io.BytesIO()
    pictures = {f"{BUNDLE_PHOTOS}{name}": content for name, content in sorted(photos.items())}
    beside = dict(sorted(drawings.items())) | pictures
    with zipfile.ZipFile(whole, "w", zipfile.ZIP_DEFLATED) as bundle:
        for name, content in {BUNDLE_PROJECT: export_toml(tree).encode(), **beside}.items():
            bundle.writestr(zipfile.ZipInfo(name), content, zipfile.ZIP_DEFLATED)
    return whole.getvalue()


def plain_tree(value: Any) -> Any:
    """A tree of nothing but tables, lists, text, numbers and yes or no: what can be stored as JSON."""
    if isinstance(value, Mapping):
        return {str(key): plain_tree(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [plain_tree(one) for one in value]
    if isinstance(value, float) and not math.isfinite(value):
        return str(value)
    return value if isinstance(value, str | int | float | bool) else str(value)


def export_toml(tree: Tree) -> str:
    """The tree as a project file; reading it gives the same tree."""
    document = tomlkit.document()
    headed = {key: value for key, value in tree.items() if _has_heading(key, value)}
    for key, value in tree.items():
        if key not in headed:
            document.add(key, _inline(value))
    for key, value in headed.items():
        document.add(key, _tables((key,), value) if isinstance(value, list) else _table((key,), value))
    return tomlkit.dumps(document)


def _has_heading(key: str, value: object) -> bool:
    return (key in _HEADINGS and isinstance(value, dict)) or _is_tables((key,), value)


def _is_tables(path: tuple[str, ...], value: object) -> bool:
    return path in _TABLES and isinstance(value, list) and bool(value) and all(isinstance(one, dict) for one in value)


def _is_headed(path: tuple[str, ...], value: object) -> bool:
    return path in _HEADINGS_BELOW and isinstance(value, dict)


def _table(path: tuple[str, ...], value: Tree) -> Table:
    table = tomlkit.table()
    below = {key: one for key, one in value.items() if _is_tables((*path, key), one) or _is_headed((*path, key), one)}
    for key, one in value.items():
        if key not in below:
            table.add(key, _inline(one))
    for key, one in below.items():
        table.add(key, _tables((*path, key), one) if isinstance(one, list) else _table((*path, key), one))
    return table


def _tables(path: tuple[str, ...], value: list[Tree]) -> AoT:
    tables = tomlkit.aot()
    for one in value:
        tables.append(_table(path, one))
    return tables


def _inline(value: Any) -> Any:
    if isinstance(value, dict):
        return _inline_table(value)
    if isinstance(value, list):
        return _array(value)
    return value


def _inline_table(value: Tree) -> InlineTable:
    table = tomlkit.inline_table()
    for key, one in value.items():
        table.add(key, _inline(one))
    return table


def _array(value: list[Any]) -> Array:
    array = tomlkit.array()
    for one in value:
        array.append(_inline(one))
    return array.multiline(any(isinstance(one, dict) for one in value))
