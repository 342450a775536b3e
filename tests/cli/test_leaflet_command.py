"""The command leaflet, as a person types it."""

from __future__ import annotations

import json
from pathlib import Path

from cli.test_colours_command import asked

VEST = Path(__file__).parents[2] / "examples" / "tideline-vest.toml"


def test_the_answer_has_the_keys_of_the_contract() -> None:
    """Every row with its size, cloth, warp, weft, grams and balls, and the advice."""
    status, out, _ = asked("leaflet", str(VEST), "--json")
    answer = json.loads(out)
    keys = {"size", "version", "heddle", "cloth_width_cm", "cloth_length_cm", "ends", "warp_m", "weft_m", "total_m"}
    assert status == 0
    assert all(keys | {"grams", "balls"} <= set(row) for row in answer["rows"])
    assert [row["balls"] for row in answer["rows"]] == [6, 6, 6, 6, 6, 8]
    assert len(answer["advice"]) == 1


def test_the_printed_metres_add_up_as_printed() -> None:
    """Warp and weft are rounded up before they are added."""
    status, out, _ = asked("leaflet", str(VEST))
    assert status == 0
    assert "449 m (491 yd) of warp + 404 m (442 yd) of weft = 853 m (933 yd)" in out.replace("\u00a0", " ")


def test_a_file_without_widths_is_refused(tmp_path: Path) -> None:
    """Status 2 and a sentence that says what to write."""
    file = tmp_path / "vest.toml"
    file.write_text(VEST.read_text(encoding="utf-8").split("[leaflet]")[0], encoding="utf-8")
    status, _, err = asked("leaflet", str(file))
    assert status == 2
    assert "cloth_widths" in err
    assert "Traceback" not in err
