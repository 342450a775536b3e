"""Tracings, parts and photos of a sample: from typed text and drawings to what was measured."""

from __future__ import annotations

from typing import Any

import pytest

from clothwright.project import ProblemsFound, Project, read_project
from clothwright.project.domain import samples, yarns_sampled
from clothwright.project.sampling import (
    files_named,
    finished_length_cm,
    finished_width_cm,
    outlines,
    photos_named,
    with_drawn_outlines,
)

YARN = [{"name": "eelgrass", "fibre": "wool", "grist": "310 m/100 g"}]


def project(**sample: Any) -> Project:
    return read_project({"yarn": YARN, "sample": [{"name": "square", "heddle": "30/10 cm", **sample}]})


def svg(*rectangles: str) -> bytes:
    """A drawing 40 cm × 60 cm at true size."""
    head = '<svg xmlns="http://www.w3.org/2000/svg" width="40cm" height="60cm" viewBox="0 0 40 60">'
    return f"{head}{''.join(rectangles)}</svg>".encode()


BEFORE = '<rect data-piece="before" x="1" y="1" width="24" height="30"/>'
AFTER = '<path data-piece="after" d="M1 33 L22.8 33 L22.4 59 L1 59 Z"/>'


def measured(one: Project) -> Any:
    return samples(one, yarns_sampled(one), 3.0)


def test_corners_typed_in_any_units_become_widths_and_lengths() -> None:
    one = project(traced={"finished": [["0 cm", "0 cm"], ["8 in", "0 in"], ["203.2 mm", "21 cm"], ["0 cm", "21 cm"]]})
    assert measured(one)[0].traced_width_finished == pytest.approx(20.32)
    assert measured(one)[0].traced_length_finished == pytest.approx(21)


def test_corners_can_be_tables_as_the_page_writes_them() -> None:
    pairs = [("0 cm", "0 cm"), ("20 cm", "0 cm"), ("20 cm", "30 cm"), ("0 cm", "30 cm")]
    one = project(traced={"off_loom": [{"across": across, "along": along} for across, along in pairs]})
    assert outlines(one.sample[0])["off_loom"].mean_width_cm == 20


def test_a_drawing_at_true_size_is_read_the_way_up_it_was_drawn() -> None:
    """A rectangle 24 cm across the page and 30 cm up it is 24 cm wide and 30 cm long; the washed one narrows to the top right."""
    one = with_drawn_outlines(project(traced={"drawing": "square.svg"}), {"square.svg": svg(BEFORE, AFTER)})
    before, after = (outlines(one.sample[0])[state] for state in ("off_loom", "finished"))
    assert (before.mean_width_cm, before.mean_length_cm) == (pytest.approx(24), pytest.approx(30))
    assert after.mean_length_cm == pytest.approx(26, abs=0.01)
    assert after.mean_width_cm == pytest.approx(21.6, abs=0.01)
    widest = max(after.corners)
    assert widest[0] == pytest.approx(21.8, abs=0.01)
    assert widest[1] == pytest.approx(26, abs=0.01)  # far up the page, where the drawing is widest


def test_what_was_read_from_a_drawing_is_not_looked_for_again() -> None:
    once = with_drawn_outlines(project(traced={"drawing": "square.svg"}), {"square.svg": svg(BEFORE, AFTER)})
    assert with_drawn_outlines(once, {}) is once


def test_corners_typed_win_over_the_drawing() -> None:
    typed = [["0 cm", "0 cm"], ["20 cm", "0 cm"], ["20 cm", "30 cm"], ["0 cm", "30 cm"]]
    one = project(traced={"drawing": "square.svg", "finished": typed})
    read = with_drawn_outlines(one, {"square.svg": svg(BEFORE, AFTER)})
    assert outlines(read.sample[0])["finished"].mean_width_cm == 20
    assert outlines(read.sample[0])["off_loom"].mean_width_cm == pytest.approx(24)


@pytest.mark.parametrize(
    ("drawing", "words"),
    [
        (svg('<rect data-piece="sleeve" width="24" height="30"/>'), "“before” and “after”"),
        (svg(BEFORE, BEFORE.replace("before", "unwashed").replace('x="1"', 'x="2"')), "more than once"),
        (b"no drawing", "."),
        (svg('<path data-piece="after" d="M1 1 L20 1 L10 20 Z"/>'), "four corners"),
    ],
)
def test_a_drawing_that_shows_no_sample_is_refused_at_its_field(drawing: bytes, words: str) -> None:
    with pytest.raises(ProblemsFound, match=words) as found:
        with_drawn_outlines(project(traced={"drawing": "square.svg"}), {"square.svg": drawing})
    assert found.value.problems[0].path == ("sample", 0, "traced", "drawing")


def test_a_drawing_that_is_not_there_is_told() -> None:
    with pytest.raises(ProblemsFound, match=r"lost\.svg.*not found"):
        with_drawn_outlines(project(traced={"drawing": "lost.svg"}), {})


@pytest.mark.parametrize(
    ("sample", "words"),
    [
        ({"traced": {"finished": [["0 cm", "0 cm"]]}}, "four corners or more; 1 came"),
        ({"traced": {"finished": [["0", "0 cm"]] * 4}}, "0 what?"),
        ({"traced": {"finished": [["24 ± 1 cm", "0 cm"]] * 4}}, "without a spread"),
        ({"parts": [{"name": "hot", "after": {"width": "20 cm"}}]}, "of what width before"),
        ({"width": {"off_loom": "22 cm"}, "parts": [{"name": "hot"}, {"name": "hot"}]}, "two parts are called hot"),
        ({"woven_on": "thumb"}, "loom"),
        ({"one_pick": {"straight": "0 cm"}}, "more than nothing"),
    ],
)
def test_bad_input_gets_one_sentence(sample: dict[str, Any], words: str) -> None:
    with pytest.raises(ProblemsFound) as found:
        project(**sample)
    assert len(found.value.problems) <= 4
    assert words in str(found.value.problems[0].sentence)


def test_parts_follow_their_sample_with_keys_and_recipes_of_their_own() -> None:
    one = project(
        finish="hand wash",
        width={"in_heddle": "24 cm"},
        parts=[
            {"name": "gentle", "after": {"width": "21.6 cm"}},
            {"name": "hot", "finish": "fulled hot", "after": {"width": "18 cm"}},
        ],
    )
    found = measured(one)
    assert [each.making.key for each in found] == ["sample 1", "sample 1 part 1", "sample 1 part 2"]
    assert [each.making.finish for each in found] == ["hand wash", "hand wash", "fulled hot"]
    assert found[1].cut_from is found[0]
    assert (found[1].width_in_heddle, found[1].width_finished) == (24, 21.6)


def test_a_part_begins_with_the_latest_size_the_whole_had() -> None:
    """So what the loom did is not counted once more; a side that was cut has a size of its own."""
    sizes = {"in_heddle": "24 cm", "on_loom": "23.2 cm", "off_loom": "22.6 ± 0.1 cm"}
    cut = {"name": "band", "before": {"length": "10 cm"}, "after": {"width": "21.6 cm", "length": "9.4 cm"}}
    part = measured(project(width=sizes, length={"off_loom": "40 cm"}, parts=[cut]))[1]
    assert (part.width_in_heddle, part.width_on_loom, part.width_off_loom) == (None, None, 22.6)
    assert (part.length_off_loom, part.length_finished) == (10, 9.4)
    assert set(part.typed_log_sd) == {"width_off_loom"}


def test_a_part_without_a_size_before_is_asked_about_where_the_outline_does_not_show_it() -> None:
    one = project(traced={"drawing": "square.svg"}, parts=[{"name": "hot", "after": {"width": "20 cm"}}])
    read = with_drawn_outlines(one, {"square.svg": svg(AFTER)})
    with pytest.raises(ProblemsFound, match="of what width before"):
        measured(read)


def test_sizes_are_those_measured_and_else_those_traced() -> None:
    corners = [["0 cm", "0 cm"], ["20 cm", "0 cm"], ["20 cm", "30 cm"], ["0 cm", "30 cm"]]
    traced = project(traced={"finished": corners}).sample[0]
    both = project(traced={"finished": corners}, width={"finished": "20.2 cm"}).sample[0]
    assert (finished_width_cm(traced), finished_length_cm(traced)) == (20, 30)
    assert finished_width_cm(both) == 20.2


def test_a_date_can_be_written_without_quotes_and_words_are_kept() -> None:
    import datetime

    one = project(
        date=datetime.date(2026, 3, 4), hand="stiff", drape="none", notes="boring", purpose="sett", beat="firm", ends=72
    )
    assert one.sample[0].date == "2026-03-04"
    assert one.sample[0].hand == "stiff"


def test_an_old_sample_reads_as_it_did() -> None:
    one = project(
        width={"in_heddle": "24.0 cm", "finished": "21.6 cm"}, picks={"count": 77, "over": "24 cm", "where": "on loom"}
    )
    assert measured(one)[0].picks_count == 77
    assert measured(one)[0].traced_width_finished is None


def test_drawings_and_photos_are_found_in_a_tree_as_typed() -> None:
    tree: dict[str, Any] = {
        "sample": [{"traced": {"drawing": "a.svg"}, "photos": ["b.jpg", 3]}, "nonsense", {"traced": "x"}]
    }
    assert list(files_named(tree)) == [(("sample", 0, "traced", "drawing"), "a.svg")]
    assert list(photos_named(tree)) == [(("sample", 0, "photos", 0), "b.jpg")]
