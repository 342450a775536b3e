from __future__ import annotations

import re
from typing import Any
from uuid import UUID

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from web.test_pages import FRAGMENT, Typed

from clothwright.library import store
from clothwright.library.models import OnHand, Project
from clothwright.library.shelves import on_hand
from clothwright.library.shelves.on_hand import Kept, part_of
from clothwright.library.shelves.yarn_csv import COLUMNS, EXAMPLE, read_yarn_table
from clothwright.web.forms.form import starting_tree
from clothwright.web.shelves.stock import colour_in_words

pytestmark = pytest.mark.django_db

SLATE: dict[str, Any] = {"name": "slate tide", "fibre": "wool", "grist": "310 m/100 g", "balls": [{"net": "104 g"}]}
WINDOW: dict[str, Any] = {"name": "the window loom", "weaving_width": "60 cm", "heddles": ["30/10 cm", "7.5/in"]}


@pytest.fixture
def yarn() -> OnHand:
    return on_hand.add(Kept.YARN, on_hand.tree_of(Kept.YARN, SLATE), "typed in")


@pytest.fixture
def loom() -> OnHand:
    return on_hand.add(Kept.LOOM, on_hand.tree_of(Kept.LOOM, WINDOW), "typed in")


def url(one: OnHand, name: str = "thing", **more: Any) -> str:
    return reverse(name, kwargs={"kind": Kept(one.kind), "key": one.pk, **more})


def page(client: Client, one: OnHand) -> str:
    response = client.get(url(one))
    assert response.status_code == 200
    return response.content.decode()


def change(client: Client, one: OnHand, base: str | None = None, **changes: str) -> str:
    values = Typed(base or page(client, one)).values | {key.replace("__", "."): v for key, v in changes.items()}
    response = client.post(url(one), values, **FRAGMENT)
    assert response.status_code == 200
    return response.content.decode()


def part(one: OnHand) -> dict[str, Any]:
    return part_of(on_hand.head(on_hand.find(Kept(one.kind), one.pk)).tree, one.kind)


def test_a_yarn_is_typed_in_from_its_name_on(client: Client) -> None:
    assert "No yarn yet" in client.get("/yarn/").content.decode()
    response = client.post("/yarn/new/", {"name": "limpet grey"}, follow=True)
    assert "limpet grey" in response.content.decode()
    assert "Still to be settled" in response.content.decode()
    one = on_hand.listed(Kept.YARN)[0]
    change(client, one, yarn__0__grist="310")
    told = change(client, one, yarn__0__balls__0__net="100")
    assert "About 310\u00a0m" in told
    assert part(one)["balls"] == [{"net": "100 g"}]
    assert "About 310\u00a0m" in client.get("/yarn/").content.decode()


def test_metres_are_low_expected_and_high(client: Client, yarn: OnHand) -> None:
    html = page(client, yarn)
    expected = int(re.search(r"About (\d+)\u00a0m", html)[1])  # type: ignore[index]
    low, high = map(int, re.search(r"(\d+) to (\d+)\u00a0m ", html).groups())  # type: ignore[union-attr]
    assert low < 322 < high
    assert 318 <= expected <= 326


def test_unwashed_handspun_is_believed_to_lose_length(client: Client, yarn: OnHand) -> None:
    before = page(client, yarn)
    after = change(client, yarn, yarn__0__state="unwashed")
    metres = [int(re.search(r"About (\d+)\u00a0m", html)[1]) for html in (before, after)]  # type: ignore[index]
    assert metres[1] < metres[0] - 5


def test_a_wrong_value_stays_with_its_sentence(client: Client, yarn: OnHand) -> None:
    told = change(client, yarn, yarn__0__balls__0__net="fifty-ish")
    assert part(yarn)["balls"] == [{"net": "fifty-ish"}]
    assert "“fifty-ish”: it is not a measure" in told
    html = page(client, yarn)
    assert re.search(r'id="f-yarn-0-balls-0-net"[^>]*aria-invalid="true"', html)
    assert Typed(html).values["yarn.0.balls.0.net"] == "fifty-ish"
    assert "fifty-ish" in client.get("/yarn/").content.decode()


def test_a_fault_in_reckoning_leaves_what_was_typed_in_reach(client: Client, yarn: OnHand) -> None:
    html = change(client, yarn, yarn__0__balls__0__net=f"{'9' * 290} g")
    assert "slate tide" in html
    assert part(yarn)["balls"][0]["net"].endswith(" g")
    assert client.get("/yarn/").status_code == 200


def test_rows_are_added_and_taken_away(client: Client, yarn: OnHand) -> None:
    whole = change(client, yarn, press="add yarn.0.balls")
    assert 'id="f-yarn-0-balls-1" data-focus' in whole
    assert part(yarn)["balls"] == [{"net": "104 g"}, {}]
    change(client, yarn, press="remove yarn.0.balls.0")
    assert part(yarn)["balls"] == [{}]
    assert client.post(url(yarn), {"press": "remove yarn.9"}, **FRAGMENT).status_code == 400


def test_without_script_a_post_goes_back_to_the_page(client: Client, yarn: OnHand) -> None:
    values = Typed(page(client, yarn)).values | {"yarn.0.balls.0.net": "90", "do": "save"}
    response = client.post(url(yarn), values)
    assert (response.status_code, response["Location"]) == (303, url(yarn))
    assert part(yarn)["balls"] == [{"net": "90 g"}]


def test_a_bare_number_takes_the_units_chosen_and_nothing_stored_is_changed(client: Client, yarn: OnHand) -> None:
    change(client, yarn, units="imperial")
    change(client, yarn, yarn__0__scale_step="0.1")
    assert (part(yarn)["scale_step"], part(yarn)["balls"]) == ("0.1 oz", [{"net": "104 g"}])


def test_the_later_of_two_tabs_is_told_and_nothing_is_lost(client: Client, yarn: OnHand) -> None:
    both = page(client, yarn)
    change(client, yarn, both, yarn__0__balls__0__net="90")
    assert "changed somewhere else" in change(client, yarn, both, yarn__0__fibre="silk")
    history = client.get(url(yarn, "thing_history")).content.decode()
    assert "or net: 104 g → 90 g" in history
    client.post(url(yarn, "thing_state", number=2))
    assert part(yarn)["balls"] == [{"net": "90 g"}]
    assert client.post(url(yarn, "thing_state", number=99)).status_code == 404


def test_it_is_put_away_and_brought_back(client: Client, yarn: OnHand) -> None:
    client.post(url(yarn, "put_thing_away"))
    assert "Put away (1)" in client.get("/yarn/").content.decode()
    assert "is put away" in page(client, yarn)
    client.post(url(yarn, "bring_thing_back"))
    assert "Put away (" not in client.get("/yarn/").content.decode()


def test_reading_never_changes_anything(client: Client, yarn: OnHand) -> None:
    for name in ("put_thing_away", "bring_thing_back"):
        assert client.get(url(yarn, name)).status_code == 302
    for path in ("/yarn/new/", "/yarn/import/", "/looms/new/"):
        assert client.get(path).status_code == 302


def test_what_is_not_there_says_so(client: Client, loom: OnHand) -> None:
    for path in (reverse("thing", args=["yarn", loom.pk]), reverse("thing", args=["yarn", UUID(int=0)]), "/wool/"):
        response = client.get(path)
        assert response.status_code == 404
        assert "There is no such page" in response.content.decode()


def test_typed_markup_is_shown_as_text(client: Client, yarn: OnHand) -> None:
    change(client, yarn, yarn__0__name="<script>alert(1)</script>", yarn__0__fibre='"><img src=x>')
    project = store.new_project(starting_tree("x"), "started")
    for path in ("/yarn/", url(yarn), url(yarn, "thing_history"), f"/project/{project.pk}/", "/sett/"):
        html = client.get(path).content.decode()
        assert "<script>alert" not in html
        assert "<img src=x" not in html


def test_a_colour_has_its_swatch_and_its_name(client: Client) -> None:
    for name, colour in (("a", "#5b7083"), ("b", "moss"), ("c", '"/><script>')):
        on_hand.add(Kept.YARN, on_hand.tree_of(Kept.YARN, {"name": name, "colour": colour}), "x")
    html = client.get("/yarn/").content.decode()
    assert 'fill="#5b7083"' in html
    assert "greyish blue" in html
    assert ">moss<" in html
    assert "<script>" not in html


@pytest.mark.parametrize(
    ("colour", "words"),
    [
        ("#000000", "black"),
        ("#ffffff", "white"),
        ("#808080", "grey"),
        ("#1d4e57", "dark blue-green"),
        ("#c08a4a", "brown"),
        ("#ff8800", "orange"),
        ("#8a2b1d", "dark red"),
        ("#f4c2e0", "pale pink"),
    ],
)
def test_colours_are_named_in_plain_words(colour: str, words: str) -> None:
    assert colour_in_words(colour) == words


def test_every_colour_has_a_name() -> None:
    steps = ("00", "33", "80", "cc", "ff")
    assert all(colour_in_words(f"#{r}{g}{b}") for r in steps for g in steps for b in steps)


def bring_in(client: Client, content: bytes, name: str = "shelf.csv") -> Any:
    return client.post("/yarn/import/", {"table": SimpleUploadedFile(name, content)})


def test_bad_rows_are_reported_and_the_others_kept(client: Client) -> None:
    rows = ["name,grist,balls", *(f"skein {n},310 m/100 g,{90 + n} g" for n in range(20))]
    rows[3], rows[9], rows[20] = "skein 2,2/40,92 g", "skein 8,310 m/100 g,98", ",310 m/100 g,109 g"
    html = bring_in(client, "\n".join(rows).encode()).content.decode()
    assert "17 yarns kept." in html
    assert "3 rows left out." in html
    for line, column, came in ((4, "grist", "2/40"), (10, "balls", "98"), (21, "name", "nothing")):
        assert re.search(rf'<th scope="row">{line}</th><td>{column}</td><td>{came}</td>', html)
    assert on_hand.listed(Kept.YARN).count() == 17
    again = bring_in(client, "\n".join(rows).encode()).content.decode()
    assert "0 yarns kept." in again
    assert "17 were on hand already" in again
    assert on_hand.listed(Kept.YARN).count() == 17


def test_what_is_no_table_is_refused_with_a_sentence(client: Client) -> None:
    for content in (b"", b"wool", b"name\n\xff"):
        response = bring_in(client, content)
        assert response.status_code == 422
        assert "The table was not brought in" in response.content.decode()
    assert client.post("/yarn/import/").status_code == 422
    assert on_hand.listed(Kept.YARN).count() == 0


def test_the_example_and_what_is_on_hand_go_out_as_tables_that_come_in_again(client: Client) -> None:
    example = client.get("/yarn/yarn-example.csv")
    assert example["Content-Disposition"] == 'attachment; filename="yarn-example.csv"'
    bring_in(client, example.content)
    assert on_hand.listed(Kept.YARN).count() == len(EXAMPLE)
    out = read_yarn_table(client.get("/yarn/yarn-on-hand.csv").content)
    assert (out.bad, sorted(tree["name"] for _, tree in out.yarns)) == ((), sorted(one["name"] for one in EXAMPLE))
    html = client.get("/yarn/").content.decode()
    assert all(f"<dt>{column}</dt>" in html for column in COLUMNS)
    assert html.count("Still to be settled") == 0


@pytest.fixture
def project() -> Project:
    return store.new_project(starting_tree("eelgrass waistcoat"), "started")


def test_a_project_takes_a_yarn_on_hand_with_everything_typed_meanwhile(
    client: Client, project: Project, yarn: OnHand
) -> None:
    address = reverse("project", args=[project.pk])
    values = Typed(client.get(address).content.decode()).values
    posted = values | {"loom.waste": "55", "press": "take yarn", "take_yarn": str(yarn.pk)}
    html = client.post(address, posted, **FRAGMENT).content.decode()
    tree = store.head(store.project(project.pk)).tree
    assert tree["yarn"] == [SLATE]
    assert tree["loom"] == {"waste": "55 cm"}
    assert 'id="f-yarn-0" data-focus' in html
    assert "took yarn slate tide" in client.get(reverse("history", args=[project.pk])).content.decode()
    assert "eelgrass waistcoat" in client.get("/yarn/").content.decode()
    client.post(reverse("undo", args=[project.pk]))
    assert store.head(store.project(project.pk)).tree["yarn"] == [{"balls": [{}]}]


def test_a_project_uses_a_loom_on_hand(client: Client, project: Project, loom: OnHand) -> None:
    address = reverse("project", args=[project.pk])
    client.post(address, {"do": "take loom", "take_loom": str(loom.pk)})
    assert store.head(store.project(project.pk)).tree["loom"] == WINDOW
    assert "30/10 cm; 7.5/in" in client.get(address).content.decode()


def test_taking_nothing_or_what_is_not_there_changes_nothing(client: Client, project: Project, loom: OnHand) -> None:
    address = reverse("project", args=[project.pk])
    assert client.post(address, {"press": "take yarn", "take_yarn": ""}, **FRAGMENT).status_code == 200
    for what, key in (("yarn", str(loom.pk)), ("yarn", "x"), ("heddle", str(loom.pk))):
        posted = {"press": f"take {what}", f"take_{what}": key}
        assert client.post(address, posted, **FRAGMENT).status_code == 400
    assert store.head(store.project(project.pk)).number == 1


def test_a_loom_says_what_its_heddles_are_exactly(client: Client, loom: OnHand) -> None:
    html = page(client, loom).replace("\u00a0", " ")
    assert "3 per cm (7.62 per in), 180 ends at full width" in html
    assert "2.95 per cm (7.5 per in), 177 ends at full width" in html
    told = change(client, loom, loom__heddles="30/10 cm; nine dents")
    assert "“nine dents”" in told
    assert part(loom)["heddles"] == ["30/10 cm", "nine dents"]


def test_every_id_is_on_a_page_once_and_descriptions_are_there(client: Client, yarn: OnHand, loom: OnHand) -> None:
    for path in ("/yarn/", url(yarn), url(loom), "/looms/", "/sett/", "/yarn-numbers/?yarn=8/2+cotton%0A2/40"):
        html = client.get(path).content.decode()
        ids = Typed(html).ids
        assert len(ids) == len(set(ids))
        described = [one for line in re.findall(r'aria-describedby="([^"]+)"', html) for one in line.split()]
        assert {one for one in described if not one.endswith("-help")} <= set(ids)


def test_the_header_leads_to_every_page_and_says_where_one_is(client: Client, yarn: OnHand, loom: OnHand) -> None:
    links = re.findall(
        r'<a href="(/[^"]*)"(?: aria-current="page")?>([^<]+)</a></li>', client.get("/").content.decode()
    )
    assert [words for _, words in links][:7] == [
        "Projects",
        "Records",
        "Yarn on hand",
        "Looms and heddles",
        "Samples",
        "Sett",
        "Yarn numbers",
    ]
    pages = {"/": "Projects", url(yarn): "Yarn on hand", url(loom): "Looms and heddles", "/sett/": "Sett"}
    for path, words in pages.items():
        current = re.findall(r'aria-current="page">([^<]+)<', client.get(path).content.decode())
        assert current == [words]


def test_a_yarn_tells_its_core_by_name_its_washing_and_whether_it_passes_the_heddle(
    client: Client, yarn: OnHand
) -> None:
    change(client, yarn, press="add core")
    change(client, yarn, core__0__name="tall cone", core__0__weight="25")
    change(client, yarn, yarn__0__balls__0__net="", yarn__0__balls__0__gross="129", yarn__0__balls__0__core="tall cone")
    told = change(client, yarn, yarn__0__heddle_trial__hole="sticks")
    assert part(yarn)["balls"] == [{"gross": "129 g", "core": "tall cone"}]
    assert "About 322\u00a0m" in told
    assert "Weft only" in told
    before = int(re.search(r"About (\d+)", told)[1])  # type: ignore[index]
    change(client, yarn, yarn__0__state="unwashed", yarn__0__wash_test__before="20 m")
    washed = change(client, yarn, yarn__0__wash_test__after="16 m")
    assert int(re.search(r"About (\d+)", washed)[1]) < 0.9 * before  # type: ignore[index]
