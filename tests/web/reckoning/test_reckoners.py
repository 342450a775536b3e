from __future__ import annotations

import re
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest
from django.test import Client

from clothwright.cli.reckoning.setts import compared
from clothwright.library.shelves import on_hand
from clothwright.library.shelves.on_hand import Kept
from clothwright.planning.setts.side_by_side import compare_setts
from clothwright.web.reckoning import setts as asking
from clothwright.web.reckoning.yarn_numbers import MOST_YARNS, shown_yarn, shown_yarns

pytestmark = pytest.mark.django_db

SLATE: dict[str, Any] = {"name": "slate tide", "fibre": "wool", "grist": "310 m/100 g"}
WINDOW: dict[str, Any] = {"name": "the window loom", "heddles": ["30/10 cm", "40/10 cm"]}


def text(client: Client, path: str, **asked: str) -> str:
    response = client.get(path, asked)
    assert response.status_code == 200
    return response.content.decode().replace("\u00a0", " ")


def test_a_yarn_number_is_shown_in_every_system_with_its_sum() -> None:
    yarn = shown_yarn("8/2 cotton")
    numbers = {line.what: (line.value, line.sum) for line in yarn.numbers}
    assert numbers["worsted"] == ("6", "3360 ÷ 560")
    assert numbers["Ne"] == ("4", "3360 ÷ 840")
    assert numbers["tex"] == ("147.6", "147.635 ÷ 1")
    assert (yarn.how_read[0].sum, yarn.how_read[0].value) == ("8 × 840", "6720 yd/lb")
    assert any("Folding take-up is not in these numbers" in note for note in yarn.notes)
    assert yarn.written


@pytest.mark.parametrize("typed", ["8/2 cotton", "2/17 Nm", "R 69.3 tex", "310 m/100 g", "60s cotton + 40s cotton"])
def test_the_sums_shown_give_the_numbers_shown(typed: str) -> None:
    yarn, checked = shown_yarn(typed), 0
    for line in (*yarn.how_read, *yarn.numbers):
        if not re.search("[÷×]", line.sum):
            continue
        value = eval(line.sum.replace("÷", "/").replace("×", "*"), {"__builtins__": {}})
        assert float(re.match(r"[\d.]+", line.value.replace("\u00a0", ""))[0]) == pytest.approx(value, rel=1e-3)  # type: ignore[index]
        checked += 1
    assert checked >= 18


@pytest.mark.parametrize("typed", ["8/2 cotton", "2/17 Nm"])
def test_each_rule_gives_a_diameter_by_way_of_the_threads_that_touch(typed: str) -> None:
    for line in shown_yarn(typed).diameters:
        k, yards, touching = map(float, re.match(r"([\d.]+) × √([\d.]+) = ([\d.]+)", line.sum).groups())  # type: ignore[union-attr]
        assert k * yards**0.5 == pytest.approx(touching, rel=1e-5)
        assert float(line.value.split()[0]) == pytest.approx(25.4 / touching, rel=5e-3)


@pytest.mark.parametrize(
    ("typed", "answers"),
    [
        ("15 cut", ("15 cut (300)", "15 cut (200)")),
        ("40/2 silk", ("40/2 spun silk",)),
        ("1,700 yd/lb", ("1700 yd/lb", "1.700 yd/lb")),
    ],
)
def test_a_question_comes_with_the_answers_it_names(typed: str, answers: tuple[str, ...]) -> None:
    yarn = shown_yarn(typed)
    assert yarn.answers == answers
    assert "?" in yarn.problem
    assert all(shown_yarn(answer).numbers for answer in answers)


def test_a_count_without_its_system_is_offered_with_several() -> None:
    assert {"2/40 cotton", "2/40 worsted", "2/40 Nm"} <= set(shown_yarn("2/40").answers)


@pytest.mark.parametrize("typed", ["grey", "12 wpi", "aran", "0 tex", "((((", "9" * 190])
def test_what_is_no_yarn_number_has_a_sentence_and_no_answer(typed: str) -> None:
    yarn = shown_yarn(typed)
    assert yarn.problem
    assert not yarn.numbers
    assert all(shown_yarn(answer).numbers for answer in yarn.answers)


def test_no_more_lines_are_read_than_can_be_shown() -> None:
    assert len(shown_yarns("8/2 cotton\n" * 99)) == MOST_YARNS


def test_a_yarn_written_with_its_resultant_is_one_yarn() -> None:
    (yarn,) = shown_yarns("2/17 Nm; R 124 tex\n")
    assert {line.what: line.value for line in yarn.numbers}["tex"] == "124"
    assert all(shown_yarn(written).numbers for written in yarn.written)


def test_choosing_an_answer_keeps_the_other_lines(client: Client) -> None:
    html = text(client, "/yarn-numbers/", yarn="8/2 cotton\n15 cut\n2/17 Nm")
    links = [one.replace("&amp;", "&") for one in re.findall(r'class="button" href="([^"]+)"', html)]
    asked = [parse_qs(urlsplit(one).query)["yarn"] for one in links]
    assert asked == [["8/2 cotton\n15 cut (300)\n2/17 Nm"], ["8/2 cotton\n15 cut (200)\n2/17 Nm"]]
    chosen = client.get(links[0]).content.decode()
    assert "Choose what is meant" not in chosen
    assert chosen.count("in every system") >= 3


def test_yarn_numbers_typed_as_markup_are_shown_as_text(client: Client) -> None:
    html = text(client, "/yarn-numbers/", yarn="</textarea><script>alert(1)</script>")
    assert "<script>alert" not in html


def test_candidate_setts_stand_side_by_side_with_what_each_leads_to(client: Client) -> None:
    html = text(client, "/sett/", wraps="15/in", heddles="30; 40/10 cm; 7.5/in", width="44", ratio="0.90")
    assert "about <strong>2.95 per cm (7.5 per in)</strong>" in html
    cards = re.findall(r'<li class="card">\s*<h3>([^<]+)</h3>', html)
    assert cards == ["7.5/in", "30/10 cm", "40/10 cm"]
    assert html.count('class="cw-picture cw-sett"') == 3
    # 44 ÷ 0.90 × 3 = 146.7 ends, rounded up to 74 pairs: 148 ÷ 3 = 49.3 cm; a metre of cloth takes more warp than 148 m
    card = html[html.index("<h3>30/10 cm") : html.index("<h3>40/10 cm")]
    facts = dict(re.findall(r"<dt>([^<]+)</dt><dd>([^<]+)</dd>", card))
    assert facts["Ends"] == "148, in 74 pairs"
    assert facts["Width in the heddle ↔"].startswith("49.3 cm")
    low, high = map(int, re.match(r"(\d+) to (\d+) m", facts["Warp for a metre of cloth"]).groups())  # type: ignore[union-attr]
    assert low < 148 / 0.9 < high
    assert set(facts) >= {"Finished width ↔", "Weft for a metre of cloth"}
    assert "Weight of the cloth" not in facts
    assert html.count("sample first") == 1
    assert "Closest sett" in html


def test_a_yarn_and_a_loom_on_hand_can_be_asked_for(client: Client) -> None:
    yarn = on_hand.add(Kept.YARN, on_hand.tree_of(Kept.YARN, SLATE), "x")
    loom = on_hand.add(Kept.LOOM, on_hand.tree_of(Kept.LOOM, WINDOW), "x")
    html = text(client, "/sett/", on_hand=str(yarn.pk), loom=str(loom.pk), structure="twill 2/2", width="44 cm")
    assert "Twill 2/2, slate tide" in html
    named = re.findall(r'<tr><th scope="row">([^<]+)</th>', html)
    assert named[:2] == ["40/10 cm", "30/10 cm"]
    assert all(name.startswith(("30/10 cm", "40/10 cm")) for name in named)
    assert "Weight of the cloth" in html


def test_an_order_typed_or_kept_with_a_loom_is_compared_as_it_stands(client: Client) -> None:
    loom = on_hand.add(Kept.LOOM, on_hand.tree_of(Kept.LOOM, WINDOW | {"heddles": ["8/in reed, 1-3"]}), "x")
    html = text(client, "/sett/", wraps="15/in", heddles="12/in reed, 1-1-3", loom=str(loom.pk))
    named = re.findall(r'<tr><th scope="row">([^<]+)</th>', html)
    assert {"12/in reed", "12/in reed, 1-1-3", "8/in reed", "8/in reed, 1-3"} <= set(named)


def test_a_loom_too_narrow_is_told_of(client: Client) -> None:
    narrow = WINDOW | {"weaving_width": "40 cm"}
    loom = on_hand.add(Kept.LOOM, on_hand.tree_of(Kept.LOOM, narrow), "x")
    html = text(client, "/sett/", wraps="15/in", loom=str(loom.pk), width="44 cm", ratio="0.9")
    assert "120 of the 148 needed go in" in html
    assert "does not fit" in html


def test_wraps_of_a_mixed_warp_are_read(client: Client) -> None:
    assert "Every heddle" in text(client, "/sett/", wraps="3 x 15/in + 1 x 10/in")


def test_two_yarns_give_a_sett_between_theirs(client: Client) -> None:
    html = text(client, "/sett/", wraps="6/cm", weft_wraps="12/cm")
    assert "about <strong>4 per cm" in html


def test_without_heddles_those_commonly_sold_are_compared(client: Client) -> None:
    html = text(client, "/sett/", number="8/2 cotton")
    assert html.count("<tr><th") > 10
    assert "8/2 cotton" in html


def test_a_pattern_is_carried_over_on_the_page_as_by_the_command(client: Client) -> None:
    """160 ends at 8 to the inch on 30/10 cm are 53.3 cm: by arithmetic."""
    html = text(
        client, "/sett/", like="8/in", ends="160", width="18 in", ratio="18/20", heddles="30/10 cm", units="metric"
    )
    assert "160 ends would be 53.3 cm in this heddle" in html
    assert "as a pattern set at 8/in" in html


def test_a_loom_whose_heddles_say_how_they_are_sleyed_is_compared_in_every_way(client: Client) -> None:
    owned = WINDOW | {"heddles": ["12/in reed, 1-2", "25/10 cm, 1 in 2 heddles"]}
    loom = on_hand.add(Kept.LOOM, on_hand.tree_of(Kept.LOOM, owned), "x")
    html = text(client, "/sett/", wraps="24/in", loom=str(loom.pk))
    assert '<th scope="row">12/in reed</th>' in html
    assert "25/10 cm, 1 in 2 heddles" in html


def test_firmness_and_finish_decide_on_the_page_as_by_the_command(client: Client) -> None:
    """The same question, asked through either door, has the same answer."""
    asked = {
        "wraps": "15/in",
        "heddles": "30/10 cm; 40/10 cm",
        "firmness": "jacket cloth",
        "finish": "machine, tumbled",
        "fibre": "wool",
    }
    form = asking.asked_tree(asked, asking.field_table([], []))
    question, _ = asking.asked(form)
    command = compared(
        wraps="15/in",
        heddles=["30/10 cm", "40/10 cm"],
        firmness_text="jacket cloth",
        finish="machine, tumbled",
        fibre="wool",
    )
    assert compare_setts(question).as_json() == command.as_json()
    assert 'option value="jacket cloth" selected' in text(client, "/sett/", **asked)


@pytest.mark.parametrize("way", ["wraps", "like"])
def test_a_number_beside_wraps_tells_the_weight_on_the_page_as_by_the_command(client: Client, way: str) -> None:
    """Thickness goes by the wraps, mass by the number: one answer through either door."""
    asked = {way: "15/in", "number": "8/2 cotton", "heddles": "30/10 cm"}
    question, _ = asking.asked(asking.asked_tree(asked, asking.field_table([], [])))
    answer = compare_setts(question).as_json()
    assert answer == compared(**{way: "15/in"}, yarn_text="8/2 cotton", heddles=["30/10 cm"]).as_json()
    assert answer["candidates"][0]["leads_to"]["g_per_m2"]["low"] > 0
    assert "Weight of the cloth" in text(client, "/sett/", **asked)


def test_both_yarns_wrapped_together_give_the_plain_sett(client: Client) -> None:
    """A warp of 12 wraps to the inch that counts 8 with the weft between is set at 8 in plain weave: by arithmetic."""
    html = text(
        client, "/sett/", wraps="12/in", together="8/in", wraps_taken="over 2 in, just touching", units="imperial"
    )
    assert "about <strong>8 per in" in html


def test_a_folded_count_has_its_folding_told_in_the_working(client: Client) -> None:
    html = text(client, "/sett/", number="8/2 cotton", heddles="50/10 cm")
    assert "folding takes up 2% to 8%" in html
    assert "folding takes up" not in text(client, "/sett/", number="8/2 cotton; R 150 tex", heddles="50/10 cm")


@pytest.mark.parametrize(
    ("asked", "field", "sentence"),
    [
        ({"wraps": "15/in", "ends": "some"}, "ends", "how many ends"),
        ({"wraps": "15/in", "ends": "0"}, "ends", "how many ends"),
        ({"wraps": "15/in", "firmness": "floppy"}, "firmness", "no such band"),
        ({"wraps": "8/in", "together": "8/in"}, "together", "no closer"),
        ({"like": "8/in", "weft_wraps": "8/in"}, "weft_wraps", "leave them out"),
        ({"like": "eight"}, "like", "“eight”"),
        ({"wraps": "15/in", "wraps_taken": "nicely"}, "wraps_taken", "how the wraps were counted"),
        ({"wraps": "15"}, "", ""),
        ({"wraps": "many"}, "wraps", "“many”"),
        ({"number": "2/40"}, "number", "system"),
        ({"wraps": "15/in", "like": "8/in"}, "wraps", "in one way"),
        ({"wraps": "15/in", "number": "8/2"}, "number", "system"),
        ({"weft_wraps": "15/in"}, "wraps", "nothing came"),
        ({"wraps": "15/in", "heddles": "30/10 cm; eight"}, "heddles", "“eight”"),
        ({"wraps": "15/in", "width": "wide"}, "width", "“wide”"),
        ({"wraps": "15/in", "width": "0 cm"}, "width", "more than nothing"),
        ({"wraps": "15/in", "ratio": "90"}, "ratio", "is that 90 %"),
        ({"wraps": "15/in", "structure": "knitted"}, "structure", "known structures"),
        ({"on_hand": "x"}, "on_hand", "not on hand"),
        ({"wraps": "15/in", "loom": "00000000-0000-0000-0000-000000000000"}, "loom", "not on hand"),
    ],
)
def test_what_is_wrong_stays_in_its_field_with_its_sentence(
    client: Client, asked: dict[str, str], field: str, sentence: str
) -> None:
    html = text(client, "/sett/", **asked)
    if not field:
        assert "Every heddle" in html
        return
    assert re.search(rf'id="f-{field}-problem">[^<]*{re.escape(sentence)}', html)
    assert "Every heddle" not in html
    assert all(f'value="{value}"' in html for value in asked.values())


def test_a_yarn_on_hand_that_is_not_settled_says_why(client: Client) -> None:
    yarn = on_hand.add(Kept.YARN, on_hand.tree_of(Kept.YARN, {"name": "oddment"}), "x")
    html = text(client, "/sett/", on_hand=str(yarn.pk))
    assert "has still to be settled" in html
    counted = on_hand.add(Kept.YARN, on_hand.tree_of(Kept.YARN, {"name": "oddment", "wraps": "15/in"}), "x")
    assert "oddment, 15/in wraps" in text(client, "/sett/", on_hand=str(counted.pk))


def test_pages_that_answer_have_no_style_and_name_no_host(client: Client) -> None:
    for html in (
        text(client, "/sett/", wraps="15/in", width="44"),
        text(client, "/yarn-numbers/", yarn="8/2 cotton\n15 cut"),
    ):
        assert " style=" not in html
        assert not re.search(r"(?:src|href|action)=\"(?:https?:)?//", html)
