"""Every reader of files from elsewhere, good files for it, and ways to spoil them: for tests that nothing but a sentence comes of it.

The good files are written by general libraries, or are the examples. A file is spoiled by cutting pieces out, putting scraps in, and
laying pieces of it elsewhere; the scraps are what readers stumble over: numbers without measure, deep nesting, long runs, odd text.
"""

from __future__ import annotations

import io
import json
import uuid
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Final

from hypothesis import strategies as st
from PIL import Image

from clothwright.evidence.records import read_records
from clothwright.library.files import photos_of_bundle, plain_tree, read_bundle, read_uploads
from clothwright.library.keeping.archive import bring_in, exported
from clothwright.library.keeping.backing_up import held_in
from clothwright.library.models import Project
from clothwright.library.shelves.photos import written_anew
from clothwright.library.shelves.yarn_csv import EXAMPLE, read_yarn_table, yarn_table
from clothwright.pattern import DrawingRefused, TracedBy, look_at_drawing, read_drawing, trace
from clothwright.planning.cloth.threading_files import draft_from_file
from clothwright.project import ProblemsFound, read_project
from clothwright.web.forms.form import for_the_page
from clothwright.web.phone.phone_entries import read_batch

EXAMPLES = Path(__file__).parents[1] / "examples"
DEMO = Path(__file__).parents[1] / "src" / "clothwright" / "library" / "demo"
Seeds = Callable[[], tuple[bytes, ...]]


@dataclass(frozen=True)
class Reader:
    """A reader: good files for it, what it is asked, what it may raise; the share of files it is given, and the work one may take."""

    name: str
    seeds: Seeds
    read: Callable[[bytes], Any]
    refusals: tuple[type[Exception], ...] = (ProblemsFound,)
    share: float = 1.0
    longest_s: float = 5.0


def _project_file(data: bytes) -> None:
    """As it is opened on the page: kept as JSON, shown, and read as a project."""
    tree, _ = read_uploads({"spoiled.toml": data})
    json.loads(json.dumps(for_the_page(tree)))
    read_project(tree)


def _bundle(data: bytes) -> None:
    tree, _ = read_bundle(data)
    for name, content in photos_of_bundle(data).items():
        written_anew(content, name)
    read_project(plain_tree(tree))


_LOOMED: Final = Project(id=uuid.UUID(int=1), name="kelp cape")


def _entries(data: bytes) -> None:
    """As a phone sends them, or a file gives them back: every one is looked at by itself."""
    for one in read_batch(data, _LOOMED).entries:
        json.dumps(one)


def _entries_seeds() -> tuple[bytes, ...]:
    told = {
        "clothwright_entries": 1,
        "project": str(_LOOMED.pk),
        "entries": [
            {
                "key": str(uuid.UUID(int=number)),
                "phone": "phone-1",
                "seq": number,
                "kind": "log",
                "row": {"woven": f"{number} cm"},
            }
            for number in range(2, 9)
        ],
        "orders": [[{"yarn": "sandbar", "ends": 8, "ball": 0, "colour": "#a0522d"}]],
    }
    return (json.dumps(told).encode(), json.dumps(told, indent=1, ensure_ascii=False).encode())


def _drawing(data: bytes) -> None:
    look_at_drawing(data)
    read_drawing(data, seam_allowance_cm=1.5)


def _records(data: bytes) -> None:
    read_records(data.decode("utf-8"))


def _copy(data: bytes) -> None:
    from clothwright.library.folder import prepared_folder

    file = prepared_folder() / "spoiled.zip"
    file.write_bytes(data)
    held_in(file)


@cache
def _toml_seeds() -> tuple[bytes, ...]:
    return tuple(path.read_bytes() for path in sorted([*EXAMPLES.glob("*.toml"), *DEMO.glob("*.toml")]))


@cache
def _svg_seeds() -> tuple[bytes, ...]:
    from pattern.garments import garment, svg_by_drawsvg, svg_by_svgwrite

    made = [write(garment("shirts", 25)[:2]) for write in (svg_by_svgwrite, svg_by_drawsvg)]
    return (*made, (DEMO / "wrackline-waistcoat.svg").read_bytes(), (EXAMPLES / "samphire-bodice.svg").read_bytes())


@cache
def _dxf_seeds() -> tuple[bytes, ...]:
    from pattern.garments import dxf_apparel, dxf_plain, garment

    return tuple(write(garment("shirts", 25)[:2]) for write in (dxf_plain, dxf_apparel))


@cache
def _pdf_seeds() -> tuple[bytes, ...]:
    from pattern.garments import garment, pdf_by_fpdf, pdf_by_reportlab

    return tuple(write(garment("shirts", 25)[:2]) for write in (pdf_by_reportlab, pdf_by_fpdf))


@cache
def _photo_seeds() -> tuple[bytes, ...]:
    seeds = []
    for kind in ("JPEG", "PNG", "WEBP"):
        file = io.BytesIO()
        Image.radial_gradient("L").resize((90, 60)).save(file, kind)
        seeds.append(file.getvalue())
    return tuple(seeds)


@cache
def _photograph_seeds() -> tuple[bytes, ...]:
    """A piece of brown paper on a sheet of A4, small, so that it is traced in a second."""
    from pattern.photographed import BROWN, Shot, lay, lay_sheet, photograph, table

    picture = table()
    lay_sheet(picture, (60, 20), 4, (21.0, 29.7))
    lay(picture, [(15, 20), (45, 22), (43, 70), (14, 68)], BROWN)
    return (photograph(picture, Shot(width=1200, height=900)),)


@cache
def _bundle_seeds() -> tuple[bytes, ...]:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as bundle:
        bundle.writestr("project.toml", _toml_seeds()[0])
        bundle.writestr("waistcoat.svg", _svg_seeds()[0])
        bundle.writestr("photos/quay.jpg", _photo_seeds()[0])
    return (out.getvalue(), _stored(out.getvalue()))


def _archive_seeds() -> tuple[bytes, ...]:
    """Packed, and unpacked, where what is spoiled is the text itself and its check sum is made anew."""
    from web.every_route import Shore

    Shore.made()
    return (exported(), _stored(exported()))


def _copy_seeds() -> tuple[bytes, ...]:
    import sqlite3
    from contextlib import closing

    from clothwright.library.folder import database_file, prepared_folder
    from clothwright.library.keeping.backing_up import back_up

    prepared_folder()
    with closing(sqlite3.connect(database_file())) as made:
        made.executescript("CREATE TABLE IF NOT EXISTS django_migrations (app TEXT, name TEXT)")
    content = back_up().read_bytes()
    return (content, _stored(content))


def _stored(archive: bytes) -> bytes:
    """The same archive with nothing packed, so that scraps fall into what it holds."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(archive)) as packed, zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as plain:
        for name in packed.namelist():
            plain.writestr(name, packed.read(name))
    return out.getvalue()


def summed_anew(archive: bytes) -> bytes:
    """A spoiled archive whose files were stored: check sums are those of what is there now, where it can still be opened."""
    import struct
    import zlib

    data = bytearray(archive)
    at = 0
    while (at := data.find(b"PK\x03\x04", at)) >= 0 and at + 30 <= len(data):
        size, name, extra = (
            struct.unpack("<I", data[at + 18 : at + 22])[0],
            *struct.unpack("<HH", data[at + 26 : at + 30]),
        )
        begins = at + 30 + name + extra
        crc = struct.pack("<I", zlib.crc32(data[begins : begins + size]))
        old = bytes(data[at + 14 : at + 18])
        data[at + 14 : at + 18] = crc
        listed = data.rfind(b"PK\x01\x02")
        while listed >= 0:
            if listed + 46 > len(data):
                break
            if data[listed + 16 : listed + 20] == old and struct.unpack("<I", data[listed + 42 : listed + 46])[0] == at:
                data[listed + 16 : listed + 20] = crc
            listed = data.rfind(b"PK\x01\x02", 0, listed)
        at = begins
    return bytes(data)


READERS = (
    Reader("project file (TOML)", _toml_seeds, _project_file),
    Reader("bundle (zip)", _bundle_seeds, lambda data: _bundle(summed_anew(data))),
    Reader("drawing (SVG)", _svg_seeds, _drawing, (DrawingRefused,)),
    Reader("drawing (DXF)", _dxf_seeds, _drawing, (DrawingRefused,)),
    Reader("drawing (PDF)", _pdf_seeds, _drawing, (DrawingRefused,)),
    Reader("photo", _photo_seeds, lambda data: written_anew(data, "spoiled.jpg")),
    Reader(
        "photograph to trace",
        _photograph_seeds,
        lambda data: trace(data, sheet=TracedBy.read("A4")),
        (DrawingRefused,),
        share=0.15,
        longest_s=30.0,
    ),
    Reader("table of yarns (CSV)", lambda: (yarn_table(EXAMPLE).encode(),), read_yarn_table),
    Reader(
        "table of cloths (CSV)",
        lambda: ((Path(__file__).parent / "published" / "cloths" / "records.csv").read_bytes()[:6000],),
        _records,
        (ValueError,),
    ),
    Reader("draft file", lambda: ((EXAMPLES / "saltmarsh-twill.wif").read_bytes(),), draft_from_file),
    Reader("entries of phones (JSON)", _entries_seeds, _entries),
    Reader("archive of everything", _archive_seeds, lambda data: bring_in(summed_anew(data))),
    Reader("copy of a library", _copy_seeds, lambda data: _copy(summed_anew(data))),
)

SCRAPS = (
    b"",
    b"\x00",
    b"\xff\xfe",
    b"\xc3",
    b"-",
    b"1e400",
    b"-1e-400",
    b"nan",
    b"inf",
    b"9" * 5000,
    b"0." + b"1" * 400,
    b"[" * 4000,
    b"{" * 4000,
    b"a={" * 2000,
    b"a." * 4000 + b"a=1\n",
    b"(" * 4000,
    b"<g>" * 600,
    b"<" * 300,
    b'"',
    b"'''",
    b'"""',
    b"\n",
    b"\r",
    b";" * 300,
    b"," * 5000,
    b"x" * 140_000,
    b"\xe2\x80\xae",
    b"&amp;" * 200,
    b"=cmd|' /C calc'!A0",
    b"..\\..\\",
    b"/../../",
    b"\xef\xbb\xbf",
    b"1979-05-27T07:32:00Z",
    b"24 cm",
    b"\n[[yarn]]\n",
    b"\n[pattern]\n",
    b"1 2 3 4 5 6 7 8 9 0 " * 200,
)


def spoiled(seeds: tuple[bytes, ...]) -> st.SearchStrategy[bytes]:
    """A good file with up to five places spoiled; sometimes cut short, sometimes bytes at random."""
    places = st.tuples(
        st.floats(0, 1), st.integers(0, 60), st.sampled_from(SCRAPS) | st.binary(max_size=8), st.floats(0, 1)
    )
    changed = st.builds(_spoil, st.sampled_from(seeds), st.lists(places, min_size=1, max_size=5), st.booleans())
    return st.one_of(changed, changed, changed, st.binary(max_size=300))


def _spoil(seed: bytes, places: list[tuple[float, int, bytes, float]], moves: bool) -> bytes:
    data = seed
    for where, length, scrap, source in places:
        at, begin = int(where * len(data)), int(source * len(data))
        put = data[begin : begin + length] if moves else scrap
        data = data[:at] + put + data[at + length :]
    return data
