"""Finished cloth in hand: what fits passes the judge and keeps clear of flaws; what does not is told, with ways out."""

from __future__ import annotations

import pytest
from planning.asking import changed, tree
from shapely.geometry import Polygon, box

from clothwright.layout import Rules, faults
from clothwright.measure import QuantityError
from clothwright.planning import copies_to_cut, cut_from
from clothwright.project import ProblemsFound, read_project
from clothwright.project.parts.remnants import read_cloth

TREE = tree("rows-of-rectangles")
ROWS = read_project(TREE)


def asked(*cloths: str, project=ROWS):
    return cut_from(project, [read_cloth(text, n) for n, text in enumerate(cloths, 1)])


def test_the_waistcoat_fits_on_190_cm_at_48_and_on_252_at_47() -> None:
    """Story 5: no layout without turning beats 190 cm at 48 cm, nor 252 at 47."""
    for cloth in ("48 cm x 190 cm", "47 cm x 252 cm"):
        assert asked(cloth).cutting.all_fits


def test_a_centimetre_less_leaves_a_piece_and_says_which() -> None:
    """Story 5: 190 cm is the least at 48 cm, so 189 cannot hold everything."""
    answer = asked("48 cm x 189 cm")
    assert not answer.cutting.all_fits
    assert answer.cutting.uncut


def test_every_piece_is_cut_once_or_told_as_left_over() -> None:
    cutting = asked("48 cm x 130 cm", "30 cm x 70 cm").cutting
    cut = [(one.piece, one.copy) for part in cutting.cuts for one in part.outlines]
    assert len(cut) == len(set(cut))
    assert len(cut) + sum(count for _, count in cutting.uncut) == len(copies_to_cut(ROWS, {}))


def test_what_is_laid_is_inside_its_cloth_and_has_no_fault() -> None:
    copies = {(c.piece, c.number): c for c in copies_to_cut(ROWS, {})}
    for part in asked("48 cm x 130 cm", "30 cm x 70 cm").cutting.cuts:
        assert part.layout is not None
        assert part.layout.length_cm <= part.cloth.length_cm + 0.01
        assert faults(tuple(copies[o.piece, o.copy] for o in part.outlines), part.layout, rules=Rules()) == ()


def test_no_piece_lies_on_a_flaw() -> None:
    (part,) = asked("48 cm x 270 cm; knot at 84 cm; hole at 150 cm, 10 cm from the left").cutting.cuts
    flaws = [box(83, 0, 85, 48), box(149, 48 - 11, 151, 48 - 9)]
    for one in part.outlines:
        assert all(Polygon(one.outline).buffer(-0.02).intersection(flaw).is_empty for flaw in flaws)


def test_a_piece_wider_than_all_cloth_is_told_for_certain() -> None:
    because = asked("25 cm x 400 cm").cutting.because
    assert any("front is 26.0 cm wide" in one for one in because)
    assert not any("back" in one for one in because)


def test_ways_out_that_do_come_before_those_that_do_not_and_those_that_change_least_first() -> None:
    ways = asked("48 cm x 180 cm").ways
    assert ways
    assert [way.cutting.all_fits for way in ways] == sorted((w.cutting.all_fits for w in ways), reverse=True)
    fit = [way.changes for way in ways if way.cutting.all_fits]
    assert fit == sorted(fit)


def test_another_size_that_fits_is_a_way_out() -> None:
    """The example has two sizes; cloth just too short for the one asked is long enough for the smaller."""
    from clothwright.planning import lay

    given = tree("sea-pink-tops")
    names = [one["name"] for one in given["pattern"]["from_measures"]["size"]]
    lengths = {
        name: lay(
            read_project(changed(given, pattern__size=name, want={"width": "70 cm"})), drawings={}
        ).layout.length_cm
        for name in names
    }
    small, large = sorted(lengths, key=lambda name: lengths[name])
    assert lengths[small] < lengths[large]
    project = read_project(changed(given, pattern__size=large))
    ways = asked(f"70 cm x {lengths[small] + 3:.1f} cm", project=project).ways
    assert any((way.what, way.change) == ("Another size", f"size {small}") and way.cutting.all_fits for way in ways)


@pytest.mark.parametrize(
    "text",
    [
        "48",
        "48 cm",
        "48 x 200",
        "wide x long",
        "48 cm x 200 cm; knot",
        "48 cm x 200 cm; knot at 300 cm",
        "0 cm x 20 cm",
    ],
)
def test_what_is_no_cloth_is_refused_in_a_sentence(text: str) -> None:
    with pytest.raises(QuantityError):
        read_cloth(text)


def test_a_name_mixed_units_and_flaws_are_read() -> None:
    cloth = read_cloth("blue: 19 in x 2 m; knot at 84 cm")
    assert (cloth.name, cloth.width_cm, cloth.length_cm) == ("blue", pytest.approx(48.26), 200)
    assert (cloth.flaws[0].x_cm, cloth.flaws[0].what) == (83, "knot")


def test_no_cloth_at_all_is_refused() -> None:
    with pytest.raises(ProblemsFound, match="no cloth came"):
        asked()
