"""Every sheet of the set, drawn once for all tests: to fill in, and of a project, through the door of the command line."""

from __future__ import annotations

import datetime
from functools import cache
from pathlib import Path

from clothwright.cli.papers import Asked, Given
from clothwright.cli.planned import demo_file
from clothwright.finishing import finish
from clothwright.library.files import read_project_file
from clothwright.planning import leaflet, plan
from clothwright.planning.teaching.leaflet_versions import given_out, last_two
from clothwright.project import Project, read_project
from clothwright.sheets import BY_KIND, SHEETS, How, Need, Sheet, draw

DAY = datetime.date(2026, 11, 26)
_EXAMPLES = Path(__file__).parents[2] / "examples"
#: A record has its number from the library, and a label its address from the data folder.
_NUMBERED = {"record": {"date": "2026-11-20", "number": "2026-007", "ends": 170}}
_ADDRESS = "http://192.168.4.20:8765/"
#: Sheets that the demo garment has nothing for.
_OTHER_FILES = {"leaflet": _EXAMPLES / "tideline-vest.toml", "test-weaver": _EXAMPLES / "tideline-vest.toml"}


@cache
def _given(file: Path) -> Given:
    needs = frozenset(need for sheet in SHEETS for need in sheet.needs)
    return Given(file, Asked(seconds=0.0), needs)


@cache
def _labelled() -> Given:
    project = read_project(read_project_file(demo_file())[0] | _NUMBERED)
    return Given(demo_file(), Asked(seconds=0.0), frozenset(), {Need.PROJECT: project, Need.LABEL_ADDRESS: _ADDRESS})


@cache
def _cut_as_it_came() -> Given:
    """A finished cloth 4 mm too narrow, its selvedges trimmed less so that all is cut from it."""
    tree = read_project_file(_EXAMPLES / "cordgrass-waistcoat.toml")[0]
    project = read_project(tree | {"real_cloth": tree["real_cloth"] | {"sides_less": "2 mm"}})
    known = {Need.PROJECT: project, Need.PLAN: plan(project), Need.OFF_LOOM: finish(project)}
    return Given(_EXAMPLES / "cordgrass-waistcoat.toml", Asked(seconds=0.0), frozenset(), known)


@cache
def _given_out_twice() -> Given:
    """A leaflet given out as 1.0 and, with one length corrected, as 1.1."""
    tree = read_project_file(_EXAMPLES / "tideline-vest.toml")[0]
    lengths = tree["leaflet"]["cloth_lengths"]
    later = tree["leaflet"] | {"cloth_lengths": lengths | {"M": {"42 cm": "254 cm", "52 cm": "190 cm"}}}
    two = (leaflet(read_project(one), drawings={}) for one in (tree, tree | {"leaflet": later}))
    first = given_out(next(two), "1.0", DAY, ())
    both = last_two((first, given_out(next(two), "1.1", DAY, (first,))))
    known = {Need.TWO_LEAFLETS: both, Need.PROJECT: read_project(tree)}
    return Given(_EXAMPLES / "tideline-vest.toml", Asked(seconds=0.0), frozenset(), known)


_OF_THEIR_OWN = {"label": _labelled, "cutting-real": _cut_as_it_came, "leaflet-corrections": _given_out_twice}


def named_of(kind: str) -> str:
    """The project that a filled sheet is of."""
    given = _OF_THEIR_OWN[kind]() if kind in _OF_THEIR_OWN else _given(_OTHER_FILES.get(kind, demo_file()))
    project: Project = given(Need.PROJECT)
    return project.name


@cache
def drawn(kind: str, *, blank: bool = False, imperial: bool = False, large: bool = False) -> bytes:
    """A sheet as PDF."""
    given = _OF_THEIR_OWN[kind]() if kind in _OF_THEIR_OWN else _given(_OTHER_FILES.get(kind, demo_file()))
    return draw(BY_KIND[kind], None if blank else given, How(DAY, imperial, large))


def ways(sheet: Sheet) -> list[tuple[str, bool, bool]]:
    """Kind, whether blank, whether large, for every way a sheet is printed."""
    blanks = [blank for blank, can in ((False, sheet.filled), (True, sheet.blank)) if can]
    return [(sheet.kind, blank, large) for blank in blanks for large in ((False, True) if sheet.large else (False,))]


EVERY_WAY = [way for sheet in SHEETS for way in ways(sheet)]
