"""The pictures, read back from their SVG: what is drawn long is long, and nothing typed is markup.

The SVG accessibility mapping (SVG-AAM 1.0, W3C) takes an image's name from its first `title` and its description from
`desc`; a strict content security policy (CSP Level 3, W3C) refuses `style` attributes and elements.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sheets.plans import BY_HAND, LONG_BAND, NASTY_NAMES, SHAWL, WAISTCOAT, with_names

from clothwright.measure import Interval
from clothwright.pattern import Ring
from clothwright.planning import Plan
from clothwright.sheets import layout_svg, strip_svg, wording, yarn_bars_svg
from clothwright.sheets.pictures import layout_at_scale
from clothwright.sheets.pictures.bars import axis_step, together
from clothwright.sheets.pictures.rows import clear_cuts, in_rows

SVG = "{http://www.w3.org/2000/svg}"
Picture = Callable[..., str]
PICTURES = (strip_svg, layout_svg, yarn_bars_svg)
PLANS = (SHAWL, WAISTCOAT, BY_HAND, LONG_BAND)
#: Attributes a presentation of SVG 1.1 may have, as far as the pictures use them, and no others.
PLAIN = {
    "class", "x", "y", "x1", "y1", "x2", "y2", "d", "width", "height", "fill", "stroke", "stroke-width", "stroke-dasharray",
    "stroke-linejoin", "font-size", "font-weight", "font-family", "text-anchor", "transform", "viewBox", "role",
}  # fmt: skip


def drawn(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)


def of_class(svg: str, name: str) -> list[ElementTree.Element]:
    return [one for one in drawn(svg).iter() if one.get("class") == f"cw-{name}"]


def ring(path: str) -> Ring:
    points = re.findall(r"(-?[\d.]+) (-?[\d.]+)", path)
    return tuple((float(x), float(y)) for x, y in points)


def box(points: Ring) -> tuple[float, float]:
    xs, ys = zip(*points, strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


def total_width(svg: str, name: str) -> float:
    return sum(float(one.get("width", "")) for one in of_class(svg, name))


def words(svg: str) -> str:
    return " ".join(one.text or "" for one in drawn(svg).iter(f"{SVG}text")).replace("\u00a0", " ")


@pytest.mark.parametrize("picture", PICTURES)
@pytest.mark.parametrize("plan", PLANS, ids=lambda plan: plan.name)
@pytest.mark.parametrize("imperial", [False, True])
def test_a_picture_is_an_image_with_a_name_and_a_description_and_no_styles(
    picture: Picture, plan: Plan, imperial: bool
) -> None:
    root = drawn(picture(plan, imperial=imperial))
    assert root.tag == f"{SVG}svg"
    assert root.get("role") == "img"
    assert [child.tag for child in root][:2] == [f"{SVG}title", f"{SVG}desc"]
    assert plan.name in (root[0].text or "")
    assert len(root[1].text or "") > 60
    assert {name for one in root.iter() for name in one.attrib} <= PLAIN
    assert {one.tag.removeprefix(SVG) for one in root.iter()} <= {
        "svg",
        "title",
        "desc",
        "rect",
        "path",
        "line",
        "text",
    }


@pytest.mark.parametrize("picture", PICTURES)
@pytest.mark.parametrize("name", NASTY_NAMES)
def test_what_was_typed_is_shown_and_is_never_markup(picture: Picture, name: str) -> None:
    svg = picture(with_names(WAISTCOAT, name))
    root = drawn(svg)
    assert wording.literal(name) in (root[0].text or "")
    assert {one.tag.removeprefix(SVG) for one in root.iter()} <= {
        "svg",
        "title",
        "desc",
        "rect",
        "path",
        "line",
        "text",
    }
    assert "<script" not in svg
    assert "\u202e" not in svg
    across = float(root.get("viewBox", "").split()[2])
    longest = max(len(one.text or "") * float(one.get("font-size", "13")) * 0.5 for one in root.iter(f"{SVG}text"))
    assert longest < across


def sections(svg: str) -> dict[str, float]:
    return {name: total_width(svg, name) for name in ("waste", "sample", "cloth")}


@pytest.mark.parametrize("plan", [SHAWL, WAISTCOAT, LONG_BAND], ids=lambda plan: plan.name)
def test_lengths_on_the_strip_are_in_the_proportion_of_the_plan(plan: Plan) -> None:
    parts = sections(strip_svg(plan))
    scale = parts["cloth"] / plan.weft.weave_to_cm
    assert parts["sample"] == pytest.approx(plan.warp.on_warp_sample_cm * scale, rel=1e-3)
    assert sum(parts.values()) == pytest.approx(plan.warp.length_cm * scale, rel=1e-3)


def test_length_and_width_on_the_strip_have_one_scale() -> None:
    svg = strip_svg(SHAWL)
    heights = [float(one.get("height", "")) for one in of_class(svg, "cloth")]
    scale = total_width(svg, "cloth") / SHAWL.weft.weave_to_cm
    assert heights == [pytest.approx(SHAWL.warp.width_in_heddle_cm * scale, abs=0.02)] * 2


def test_without_take_up_and_reserve_the_strip_ends_with_the_warp() -> None:
    exact = replace(SHAWL, warp=replace(SHAWL.warp, length_cm=55.0 + 20.0 + 263.0))
    assert "take-up" in words(strip_svg(SHAWL))
    assert "take-up" not in words(strip_svg(exact))


def test_the_strip_says_where_to_stop_and_how_wide_it_stands() -> None:
    said = words(strip_svg(WAISTCOAT))
    assert "weave to 227 cm" in said
    assert "54.7 cm (21½ in) wide in the heddle" in said
    assert "weave to 89¼ in" in words(strip_svg(WAISTCOAT, imperial=True))


def test_the_stop_mark_stands_at_the_end_of_the_cloth_and_the_ruler_counts_from_its_start() -> None:
    svg = strip_svg(replace(WAISTCOAT, warp=replace(WAISTCOAT.warp, width_in_heddle_cm=120.0)))  # one row
    (cloth,), (sample,) = of_class(svg, "cloth"), of_class(svg, "sample")
    start, width = float(cloth.get("x", "")), float(cloth.get("width", ""))
    scale = width / WAISTCOAT.weft.weave_to_cm
    stop = next(one for one in of_class(svg, "stop") if one.tag == f"{SVG}line")
    assert float(stop.get("x1", "")) == pytest.approx(start + width, abs=0.02)
    assert float(sample.get("x", "")) + float(sample.get("width", "")) == pytest.approx(start, abs=0.02)
    numbers = {one.text: float(one.get("x", "")) for one in of_class(svg, "mark") if one.tag == f"{SVG}text"}
    assert set(numbers) == {"0", "50", "100", "150", "200"}
    for number, x in numbers.items():
        assert x == pytest.approx(start + float(number) * scale, abs=0.02)


def test_pieces_on_the_strip_lie_between_the_squarings_as_long_as_they_are_woven() -> None:
    svg = strip_svg(replace(WAISTCOAT, warp=replace(WAISTCOAT.warp, width_in_heddle_cm=120.0)))
    (cloth,) = of_class(svg, "cloth")
    start, width = float(cloth.get("x", "")), float(cloth.get("width", ""))
    woven_per_finished = width / 198.0  # the finished length asked, squaring at both ends included
    boxes = [ring(one.get("d", "")) for one in of_class(svg, "piece")]
    assert len(boxes) == 8
    assert min(x for points in boxes for x, _ in points) == pytest.approx(start + 4.0 * woven_per_finished, abs=0.02)
    assert max(x for points in boxes for x, _ in points) == pytest.approx(start + 194.0 * woven_per_finished, abs=0.02)
    assert box(boxes[0])[0] == pytest.approx(62.0 * woven_per_finished, abs=0.02)


def test_the_strip_names_its_pieces_in_the_order_of_weaving_for_who_does_not_see_it() -> None:
    desc = drawn(strip_svg(WAISTCOAT))[1].text or ""
    assert "8 pieces in the order of weaving: back 1, back 2, front 1," in desc
    assert "front 2, mirrored" in desc


def test_a_long_narrow_warp_is_drawn_in_rows_that_can_be_read() -> None:
    svg = strip_svg(LONG_BAND)
    heights = [float(one.get("height", "")) for one in of_class(svg, "cloth")]
    assert len(heights) > 4
    assert min(heights) > 50


def test_the_layout_draws_every_piece_in_one_scale_and_says_which_are_mirrored() -> None:
    svg = layout_svg(WAISTCOAT)
    sizes = sorted(box(ring(one.get("d", ""))) for one in of_class(svg, "piece"))
    scale = float(of_class(svg, "cloth")[0].get("height", "")) / 48.0
    wanted = sorted([(62, 24), (62, 24), (64, 26), (64, 26), (40, 12), (40, 12), (64, 8), (64, 8)])
    assert sizes == [pytest.approx((length * scale, width * scale), abs=0.05) for length, width in wanted]
    said = words(svg)
    assert said.count("mirrored") == 1
    for name in ("back 1", "back 2", "front 1", "front 2", "side 1", "facing 2", "grain", "selvedges (selvages)"):
        assert name in said


def test_the_first_selvedge_lies_below_so_that_no_piece_is_seen_from_its_wrong_side() -> None:
    """A mirrored piece drawn with y downwards would look like its twin."""
    svg = layout_svg(WAISTCOAT)
    front = ring(of_class(svg, "piece")[2].get("d", ""))
    lowest = max(y for _, y in front)
    assert next(x for x, y in front if y == lowest) == min(x for x, _ in front)
    assert len([1 for _, y in front if y == lowest]) == 2
    shoulder = [(x, y) for x, y in front if x == max(x for x, _ in front)]
    assert min(y for _, y in shoulder) > min(y for _, y in front)


def test_small_pieces_are_numbered_and_named_below() -> None:
    tiny = replace(WAISTCOAT.outlines[0], piece="pen loop", outline=((0, 0), (3, 0), (3, 2), (0, 2)))
    crowded = replace(WAISTCOAT, outlines=(tiny, *WAISTCOAT.outlines[1:]))
    assert "1: pen loop" in words(layout_svg(crowded))
    assert "1: pen loop" in words(strip_svg(crowded))


def test_a_layout_at_a_stated_scale_has_that_scale() -> None:
    picture = layout_at_scale(WAISTCOAT, units_per_cm=3.5, across=640.0)
    cloth = of_class(picture, "cloth")
    assert {float(one.get("height", "")) for one in cloth} == {48 * 3.5}
    assert total_width(picture, "cloth") == pytest.approx(190 * 3.5, abs=0.1)
    assert max(float(one.get("width", "")) for one in cloth) <= 640


def test_a_plan_without_pieces_has_a_layout_of_plain_cloth() -> None:
    svg = layout_svg(SHAWL)
    assert not of_class(svg, "piece")
    assert "Finished cloth 44 cm (17½ in) wide, 230 cm (90¾ in) long" in words(svg)


def bar_end(svg: str, name: str, number: int = 0) -> float:
    return float(of_class(svg, name)[number].get("width", ""))


def test_bars_are_solid_to_the_low_end_and_marked_where_expected_on_one_scale() -> None:
    svg = yarn_bars_svg(WAISTCOAT)
    scale = bar_end(svg, "have") / 545.0
    assert bar_end(svg, "need") == pytest.approx(501.9 * scale, abs=0.05)
    assert bar_end(svg, "have", 1) == pytest.approx(455.0 * scale, abs=0.05)
    assert bar_end(svg, "need", 1) == pytest.approx(397.0 * scale, abs=0.05)
    left = float(of_class(svg, "have")[0].get("x", ""))
    marks = [float(one.get("x1", "")) - left for one in of_class(svg, "expected")]
    assert marks[:4] == [pytest.approx(m * scale, abs=0.05) for m in (558.0, 501.9, 471.0, 424.0)]


def test_a_bar_is_feathered_no_further_than_its_high_end() -> None:
    svg = yarn_bars_svg(SHAWL)
    scale = bar_end(svg, "have") / 962.0
    left = float(of_class(svg, "have")[0].get("x", ""))
    feathers = [float(one.get("x1", "")) - left for one in of_class(svg, "feather")]
    assert len(feathers) > 4
    assert all(952.0 * scale <= x <= 1012.0 * scale + 0.05 for x in feathers)
    assert not of_class(yarn_bars_svg(replace(SHAWL, yarns=tuple(map(_certain, SHAWL.yarns)))), "feather")


def _certain(yarn):  # type: ignore[no-untyped-def]
    return replace(yarn, have_m=Interval.exactly(900.0), need_m=Interval.exactly(850.0))


def test_bars_say_their_numbers_in_words_and_name_no_chance_by_hand() -> None:
    said = words(yarn_bars_svg(SHAWL))
    assert "Have 987 m (1079 yd), from 962 to 1012 m (1052 to 1107 yd)" in said
    assert "71 chances in 100 that it lasts" in said
    assert "chances" not in words(yarn_bars_svg(BY_HAND))


def test_several_yarns_are_shown_in_all_too() -> None:
    assert "All yarn" in words(yarn_bars_svg(WAISTCOAT))
    assert "All yarn" not in words(yarn_bars_svg(SHAWL))
    assert together([Interval(7.0, 10.0, 13.0), Interval(16.0, 20.0, 24.0)]) == Interval(25.0, 30.0, 35.0)


def test_a_colour_that_is_no_colour_is_not_drawn() -> None:
    assert len(of_class(yarn_bars_svg(WAISTCOAT), "swatch")) == 2
    nasty = with_names(WAISTCOAT, 'red" onload="alert(1)')
    assert not of_class(yarn_bars_svg(nasty), "swatch")


def test_rows_end_where_no_piece_is_cut_in_two_if_that_is_near() -> None:
    assert clear_cuts([(0.0, 62.0), (0.0, 60.0), (62.0, 126.0), (62.0, 102.0)]) == [0.0, 62.0, 126.0]
    assert [row.end for row in in_rows(190.0, 3, [0.0, 62.0, 126.0, 190.0])] == [62.0, 126.0, 190.0]
    assert [row.end for row in in_rows(100.0, 2, [])] == [50.0, 100.0]


@pytest.mark.parametrize(("longest", "step"), [(1050.0, 250.0), (1000.0, 200.0), (90.0, 20.0), (9.0, 2.0), (5.0, 1.0)])
def test_an_axis_has_a_round_step(longest: float, step: float) -> None:
    assert axis_step(longest) == step


LENGTHS = st.floats(0.5, 3000.0)


@given(
    weave_to=LENGTHS,
    width=st.floats(1.0, 300.0),
    sample=st.floats(0.0, 200.0),
    waste=st.floats(0.0, 200.0),
    more=st.floats(0.0, 300.0),
    imperial=st.booleans(),
)
def test_any_warp_is_drawn_in_proportion(
    weave_to: float, width: float, sample: float, waste: float, more: float, imperial: bool
) -> None:
    length = weave_to + sample + waste + more
    warp = replace(
        WAISTCOAT.warp,
        length_cm=length,
        width_in_heddle_cm=width,
        waste_cm=Interval.exactly(waste),
        on_warp_sample_cm=sample,
    )
    odd = replace(WAISTCOAT, warp=warp, weft=replace(WAISTCOAT.weft, weave_to_cm=weave_to))
    svg = strip_svg(odd, imperial=imperial)
    cloth = of_class(svg, "cloth")
    scale = float(cloth[0].get("height", "")) / width
    assert sum(float(one.get("width", "")) for one in cloth) == pytest.approx(weave_to * scale, rel=0.01, abs=0.1)
    right = max(float(one.get("x", "")) + float(one.get("width", "")) for one in cloth)
    assert right <= 400.0


@given(have=st.floats(0.0, 50_000.0), need=st.floats(0.0, 50_000.0), spread=st.floats(0.0, 0.9))
def test_bars_of_any_yarn_stay_in_the_picture(have: float, need: float, spread: float) -> None:
    ends = [Interval(one * (1 - spread), one, one * (1 + spread)) for one in (have, need)]
    odd = replace(SHAWL, yarns=(replace(SHAWL.yarns[0], have_m=ends[0], need_m=ends[1]),))
    svg = yarn_bars_svg(odd)
    for name in ("expected", "feather"):
        assert all(float(one.get("x1", "")) <= 400.0 for one in of_class(svg, name))
