"""What changed between two versions of a leaflet, and the corrections page.

*Source of the case*: a table worked by hand outside this program, in which size M on cloth of 42 cm is put right from 250 to 254 cm.
"""

from __future__ import annotations

import datetime
import json
from typing import Any

import pytest
from planning.asking import changed, tree
from sheets.printed import text_of

from clothwright.planning import Leaflet, leaflet
from clothwright.planning.teaching.leaflet_versions import (
    PublishedVersion,
    frozen,
    given_out,
    last_two,
    refuse_unready,
    thawed,
)
from clothwright.project import ProblemsFound, read_project
from clothwright.sheets.teaching.leaflet_changes import changes, corrections_pdf, printed

DAY = datetime.date(2026, 11, 26)
VEST = tree("tideline-vest")
LENGTHS = VEST["leaflet"]["cloth_lengths"]


def made(**changed_too: Any) -> Leaflet:
    return leaflet(read_project(changed(VEST, **changed_too)), drawings={})


BEFORE = made()
AFTER = made(leaflet__cloth_lengths=LENGTHS | {"M": {"42 cm": "254 cm", "52 cm": "190 cm"}})


def test_one_changed_length_changes_its_own_row_and_no_other() -> None:
    """Length, warp length, warp, weft, sum and weight of M at 42 cm."""
    found = changes(BEFORE, AFTER)
    assert {one.where.replace("\u00a0", " ") for one in found} == {"Size M, 30/10 cm heddle, cloth 42 cm (16½ in) wide"}
    by_what = {one.what: (one.was[:3], one.now[:3]) for one in found}
    assert by_what["length of cloth"] == ("250", "254")
    assert by_what["in all"] == ("938", "952")
    assert set(by_what) == {"length of cloth", "warp length", "warp", "weft", "in all", "weight, balls"}


@pytest.mark.parametrize("imperial", [False, True])
def test_a_reader_who_makes_every_correction_has_the_later_version(imperial: bool) -> None:
    """Every printed figure and line, with sizes, heddles, margin and steps changed as well."""
    after = made(
        leaflet__sizes=["S", "L"], leaflet__margin="15 %", leaflet__making=["Weave it."], cloth__picks="3.3/cm"
    )
    was, now = printed(BEFORE, imperial=imperial), printed(after, imperial=imperial)
    corrected = dict(was)
    for one in changes(BEFORE, after, imperial=imperial):
        places = [
            place for place in {**was, **now} if place[0] == one.where and place[1] in (one.what, one.was, one.now)
        ]
        (place,) = places
        assert was.get(place, "not in it") == one.was
        corrected[place] = one.now
    assert {place: text for place, text in corrected.items() if text != "no longer in it"} == now


def test_what_rounds_to_the_same_print_is_no_change() -> None:
    """A tenth of a millimetre of cloth."""
    lengths = LENGTHS | {"M": {"42 cm": "249.99 cm", "52 cm": "190 cm"}}
    assert not [one for one in changes(BEFORE, made(leaflet__cloth_lengths=lengths)) if one.what == "length of cloth"]
    assert changes(BEFORE, BEFORE) == ()


def test_a_version_comes_back_whole_from_its_file() -> None:
    """Every figure to its last place, with layouts where there are any."""
    rows = changed(tree("rows-of-rectangles"), leaflet={"cloth_widths": ["48 cm"]})
    for one in (BEFORE, leaflet(read_project(rows), drawings={})):
        version = PublishedVersion("1.0", DAY, one)
        assert thawed(json.loads(json.dumps(frozen(version)))) == version


@pytest.mark.parametrize(
    "damaged", [None, [], {}, {"clothwright_leaflet": 2}, {"clothwright_leaflet": 1, "version": "1"}]
)
def test_what_is_no_published_leaflet_is_refused_in_a_sentence(damaged: Any) -> None:
    with pytest.raises(ProblemsFound, match="not a leaflet that was published"):
        thawed(damaged)


def test_a_version_is_given_out_once_and_named_plainly() -> None:
    """A second 1.0, none at all, and one that would not be a file name."""
    first = given_out(BEFORE, " 1.0 ", DAY, ())
    assert (first.version, first.leaflet.version) == ("1.0", "1.0")
    with pytest.raises(ProblemsFound, match="given out already"):
        given_out(AFTER, "1.0", DAY, (first,))
    for text in ("", "../1", "one two", "1/0", "x" * 30):
        with pytest.raises(ProblemsFound, match="is no version"):
            given_out(AFTER, text, DAY, (first,))


def test_a_leaflet_that_is_not_ready_is_not_given_out() -> None:
    """Every reason is told."""
    with pytest.raises(ProblemsFound) as refused:
        refuse_unready(("XL has no layout at any width", "the mock-up was not sewn."))
    assert len(refused.value.problems) == 2


def test_the_corrections_page_says_both_versions_and_every_change() -> None:
    """Read back from its PDF."""
    two = last_two(
        (
            PublishedVersion("0.9", DAY, BEFORE),
            PublishedVersion("1.0", DAY, BEFORE),
            PublishedVersion("1.1", DAY, AFTER),
        )
    )
    said = text_of(corrections_pdf(two, made_on=DAY)).replace("\u00a0", " ")
    assert "version 1.0 of 26 November 2026 against version 1.1" in said
    for one in changes(BEFORE, AFTER):
        assert one.was.replace("\u00a0", " ") in said
        assert one.now.replace("\u00a0", " ") in said
    with pytest.raises(ProblemsFound, match="nothing to correct"):
        last_two((PublishedVersion("1.0", DAY, BEFORE),))
