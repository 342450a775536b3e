"""The page “The cloth”: drawn as planned, with what is tried in the address, each picture under the mark of its content."""

from __future__ import annotations

import html
import io
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from PIL import Image
from pypdf import PdfReader

from clothwright.library import store
from clothwright.library.models import Project
from clothwright.web.forms.form import for_the_page

pytestmark = pytest.mark.django_db
EXAMPLES = Path(__file__).parents[3] / "examples"


def kept(name: str = "basket-of-balls.toml", **changes: Any) -> Project:
    tree = tomllib.loads((EXAMPLES / name).read_text(encoding="utf-8")) | changes
    drawing = EXAMPLES / "samphire-bodice.svg"
    return store.new_project(for_the_page(tree), "opened", {drawing.name: drawing.read_bytes()})


def url(project: Project) -> str:
    return reverse("cloth", args=[project.pk])


def shown(client: Client, project: Project, **asked: str) -> str:
    return html.unescape(client.get(url(project), asked).content.decode()).replace("\u00a0", " ")


def addresses(said: str) -> list[str]:
    return re.findall(r'href="(/project/[^"]+/cloth/picture\.png\?[^"]+)"', said)


def test_the_cloth_is_shown_at_true_size_and_in_words(client: Client) -> None:
    said = shown(client, kept())
    assert 'width="85.6mm" height="53.98mm"' in said
    assert "Warp, from the first selvedge: 53 stripes" in said
    assert "marram and shale look nearly the same to someone without blue cones (tritan)" in said
    assert "hold a card or a ruler to it" in said
    assert " style=" not in said


def test_every_picture_has_an_address_that_holds_for_ever(client: Client) -> None:
    """Under the mark of its content a browser may keep it; under another mark it must not."""
    for address in addresses(shown(client, kept("foam-line-bodice.toml"))):
        found = client.get(address)
        assert found["Cache-Control"] == "private, max-age=31536000, immutable"
        assert Image.open(io.BytesIO(found.content)).format == "PNG"
        other = client.get(re.sub(r"v=\w+", "v=0123", address))
        assert other["Cache-Control"] == "no-store"
        assert other.content == found.content


def test_a_change_of_colour_gives_the_picture_another_address(client: Client) -> None:
    project = kept()
    before = addresses(shown(client, project))
    assert addresses(shown(client, project)) == before
    tree = store.head(project).tree
    tree["yarn"][0]["colour"] = "#101010"
    store.change(project, tree, "another colour")
    after = addresses(shown(client, project))
    assert not set(before) & set(after)
    assert client.get(before[0])["Cache-Control"] == "no-store"


def test_what_is_tried_is_drawn_and_changes_nothing(client: Client) -> None:
    project = kept()
    number = store.head(project).number
    said = shown(
        client, project, structure="twill 2/2", ends="5", picks="4/cm", thickness="120", **{"colour.y0": "#112233"}
    )
    assert "Twill 2/2, finished: 5 per cm (12.7 per in) across, 4 per cm" in said
    assert "#112233" in said
    assert store.head(store.project(project.pk)).number == number
    plain, tried = addresses(shown(client, project))[0], addresses(said)[0]
    assert client.get(plain).content != client.get(tried).content


def test_the_cloth_is_seen_by_others_without_script(client: Client) -> None:
    """A choice in the form; the picture and its words follow."""
    project = kept("foam-line-bodice.toml")
    usual, seen = shown(client, project), shown(client, project, seen="deutan")
    assert "As someone without green cones (deutan) is thought to see it." in seen
    assert '<option value="deutan" selected>' in seen
    assert client.get(addresses(usual)[0]).content != client.get(addresses(seen)[0]).content


def test_on_the_loom_it_stands_wider(client: Client) -> None:
    assert "on the loom, at the sett of the heddle" in shown(client, kept(), state="on the loom")


def test_pieces_are_cut_from_the_cloth_where_they_lie(client: Client) -> None:
    said = shown(client, kept("foam-line-bodice.toml"))
    for words in ("The pieces on the cloth", "Piece by piece", "front 1: 54.3 cm", "waist: "):
        assert words in said
    assert said.count('class="cw-picture cw-cut-piece"') == 3
    assert "The pieces on the cloth" not in shown(client, kept())


@pytest.mark.parametrize(
    ("field", "text", "told"),
    [
        ("ends", "close", "it is not a count of threads"),
        ("ends", "4000", "4000 to the cm"),
        ("picks", "-3", "it must be more than nothing"),
        ("structure", "twil", "known structures are"),
        ("thickness", "400", "is that 400 %?"),
        ("thickness", "10", "10%: yarn is tried from 30% to 300%"),
        ("measured", "3", "a patch measures 20 to 400 mm"),
        ("across", "wide", "it is not a measure"),
        ("colour.y0", "green", "write a colour as"),
        ("seen", "a gull", "choose one of"),
    ],
)
def test_what_cannot_be_tried_is_told_beside_its_field_and_stays_typed(
    client: Client, field: str, text: str, told: str
) -> None:
    said = shown(client, kept(), **{field: text})
    place = re.search(rf'id="f-{field.replace(".", "-")}-problem">([^<]*)<', said)
    assert place
    assert told in place[1]
    assert f'value="{text}' in said
    assert "A patch at true size" in said


def test_a_patch_measured_on_the_screen_is_corrected(client: Client) -> None:
    """Measured 80 mm where 85.6 were meant, it is drawn 85.6 ÷ 80 times as large."""
    said = shown(client, kept(), measured="80")
    assert f'width="{85.6 * 85.6 / 80:.2f}mm"' in said
    assert "by what you measured" in said


def keep(client: Client, project: Project, rev: int | None = None, **tried: str) -> Any:
    number = store.head(store.project(project.pk)).number if rev is None else rev
    return client.post(url(project), {"do": "keep", "rev": str(number), **tried})


def test_colours_structure_and_picks_that_were_tried_can_be_kept(client: Client) -> None:
    project = kept()
    name = "bladderwrack"
    said = shown(client, project, structure="twill 2/2", **{"colour.y0": "#112233"})
    assert "Keep colours, structure and picks in the project" in said
    done = keep(client, project, structure="twill 2/2", picks="4/cm", **{"colour.y0": "#112233"})
    assert done.status_code == 303
    tree = store.head(store.project(project.pk)).tree
    assert tree["cloth"]["structure"] == "twill 2/2"
    assert (tree["cloth"]["picks"], tree["cloth"]["picks_counted"]) == ("4/cm", "finished")
    assert next(yarn for yarn in tree["yarn"] if yarn["name"] == name)["colour"] == "#112233"
    assert "structure: twill 2/2" in store.head(store.project(project.pk)).what
    client.post(url(project), {"do": "undo"})
    assert "structure" not in store.head(store.project(project.pk)).tree["cloth"]


def test_nothing_is_kept_of_a_project_that_was_changed_meanwhile(client: Client) -> None:
    project = kept()
    done = keep(client, project, rev=999, structure="twill 2/2")
    assert done.status_code == 409
    assert "changed meanwhile" in done.content.decode()
    assert keep(client, project).status_code == 422
    assert keep(client, project, structure="twil").status_code == 422


def test_a_project_without_a_plan_says_what_is_to_be_settled(client: Client) -> None:
    project = kept(want={"width": "30 cm"})
    said = shown(client, project)
    assert "Still to be settled" in said
    assert "how long is the finished cloth to be" in said
    image = client.get(reverse("cloth_image", args=[project.pk]), {"x0": "0"})
    assert image.status_code == 400
    assert client.get(reverse("sheet", args=[project.pk, "cloth"])).status_code == 302


@pytest.mark.parametrize(
    "change", [{"x0": "-1"}, {"x1": "nan"}, {"dots": "1e9"}, {"y1": "900"}, {"x0": ""}, {"dots": "inf"}, {"x1": "0"}]
)
def test_an_address_that_asks_for_no_picture_is_refused(client: Client, change: dict[str, str]) -> None:
    project = kept()
    asked = {"x0": "0", "x1": "5", "y0": "0", "y1": "5", "dots": "20"}
    where = reverse("cloth_image", args=[project.pk])
    assert client.get(where, asked).status_code == 200
    found = client.get(where, asked | change)
    assert found.status_code == 400
    assert found["Content-Type"].startswith("text/plain")


def test_the_sheet_comes_from_the_page_with_what_is_tried(client: Client) -> None:
    project = kept("foam-line-bodice.toml")
    found = client.get(reverse("sheet", args=[project.pk, "cloth"]), {"structure": "twill 2/2", "large": "1"})
    text = "".join(page.extract_text() for page in PdfReader(io.BytesIO(found.content)).pages)
    assert found["Content-Type"] == "application/pdf"
    assert "Twill 2/2" in " ".join(text.replace("\u200b", "").split())


def test_the_page_is_reached_from_the_colours_and_from_the_project(client: Client) -> None:
    project = kept()
    for page in ("colours", "project"):
        assert f'href="{url(project)}"' in client.get(reverse(page, args=[project.pk])).content.decode()
