"""The command picture, as a person types it, and its sheet."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from cli.test_colours_command import asked
from PIL import Image

EXAMPLES = Path(__file__).parents[2] / "examples"
BODICE, BASKET = (str(EXAMPLES / name) for name in ("foam-line-bodice.toml", "basket-of-balls.toml"))


def test_a_part_is_drawn_at_true_size_and_told(tmp_path: Path) -> None:
    """8 by 5 cm at 118 dots to the cm, and the file says that it is 300 to the inch."""
    out = tmp_path / "cloth.png"
    status, said, _ = asked("picture", BODICE, "-o", str(out), "--part", "8 cm x 5 cm", "--json")
    answer = json.loads(said)
    assert status == 0
    assert answer["drawn"]["pixels"] == [945, 591]
    assert answer["written"] == str(out)
    picture = Image.open(out)
    assert picture.size == (945, 591)
    assert picture.info["dpi"][0] == pytest.approx(300, abs=0.1)
    assert answer["contrasts"][0]["looks"]["deutan"] == "the same"
    assert "without green cones" in answer["alike"][0]
    assert answer["drawn"]["lies"].endswith("the first end is at the left, the first pick at the bottom.")


def test_a_piece_is_cut_from_the_cloth_and_all_else_is_seen_through(tmp_path: Path) -> None:
    out = tmp_path / "front.png"
    status, said, _ = asked("picture", BODICE, "-o", str(out), "--piece", "front 2", "--dots-per-cm", "10", "--json")
    assert status == 0
    alpha = np.asarray(Image.open(out))[..., 3]
    assert set(np.unique(alpha)) == {0, 255}
    assert 0.5 < (alpha == 255).mean() < 0.95
    assert json.loads(said)["drawn"]["piece"] == "front 2"
    assert json.loads(said)["meetings"][0]["name"] == "waist"


def test_the_whole_is_drawn_as_somebody_sees_it_and_said_in_words(tmp_path: Path) -> None:
    one, other = tmp_path / "one.png", tmp_path / "other.png"
    assert asked("picture", BASKET, "-o", str(one))[0] == 0
    status, said, _ = asked("picture", BASKET, "-o", str(other), "--seen-by", "protan", "--state", "on the loom")
    assert status == 0
    assert "As someone without red cones (protan) is thought to see it." in said
    assert "on the loom, at the sett of the heddle" in said
    assert one.read_bytes() != other.read_bytes()
    assert asked("picture", BASKET, "-o", str(tmp_path / "again.png"))[0] == 0
    assert (tmp_path / "again.png").read_bytes() == one.read_bytes()


def test_what_is_tried_is_drawn_instead_of_the_plan(tmp_path: Path) -> None:
    words = (
        "--structure",
        "twill 2/2",
        "--ends",
        "5/cm",
        "--picks",
        "5/cm",
        "--thickness",
        "120 %",
        "--colour",
        "marram = #112233",
    )
    status, said, _ = asked("picture", BASKET, "-o", str(tmp_path / "x.png"), "--json", *words)
    answer = json.loads(said)
    assert status == 0
    assert (answer["structure"], answer["ends_per_cm"], answer["picks_per_cm"]) == ("twill 2/2", 5, 5)
    marram = next(yarn for yarn in answer["yarns"] if yarn["name"] == "marram")
    assert marram["colour"] == "#112233"
    plain = json.loads(asked("picture", BASKET, "-o", str(tmp_path / "y.png"), "--json")[1])["yarns"]
    assert marram["thickness_mm"] == pytest.approx(
        1.2 * next(yarn for yarn in plain if yarn["name"] == "marram")["thickness_mm"], abs=0.001
    )


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--piece", "collar"), "there is no such piece; there are back, front 1, front 2"),
        (("--part", "8 cm"), "write it as 10 cm x 8 cm"),
        (("--part", "8 x 5"), "8 what?"),
        (("--part", "0 cm x 5 cm"), "a part has some size"),
        (("--part", "8 cm x 5 cm", "--begins", "90 cm x 0 cm"), "begin within it"),
        (("--thickness", "20"), "is that 20 %?"),
        (("--part", "8 cm x 5 cm", "--piece", "back"), "ask for a part of the cloth or for a piece"),
        (("--colour", "foam"), "write a yarn and its colour"),
        (("--colour", "kelp = #112233"), "no thread of this cloth is kelp"),
        (("--structure", "twil"), "known structures are"),
        (("--ends", "4"), "4 what?"),
        (("--dots-per-cm", "999"), "more than 40 million"),
        (("-o", "cloth.jpg"), "ends in .png"),
    ],
)
def test_wrong_words_are_told_in_a_sentence(words: tuple[str, ...], told: str, tmp_path: Path) -> None:
    """Status 2, the sentence on standard error, and no picture."""
    out = tmp_path / "none.png"
    status, _, said = asked("picture", BODICE, "-o", str(out), *words)
    assert status == 2
    assert told in said
    assert "Traceback" not in said
    assert not out.exists()


def test_the_sheet_of_the_cloth_is_printed_when_it_is_asked_for(tmp_path: Path) -> None:
    status, said, _ = asked("sheets", BODICE, "--only", "cloth", "--seconds", "0", "-o", str(tmp_path))
    assert status == 0
    assert said.split() == [str(tmp_path / "foam-line-bodice-cloth.pdf")]
    assert (tmp_path / "foam-line-bodice-cloth.pdf").read_bytes().startswith(b"%PDF")
    assert asked("sheets", "--blank", "--only", "cloth", "-o", str(tmp_path))[0] == 2
