"""The command leaflet, as a person types it."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
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


def many_widths(folder: Path) -> Path:
    """Rectangles on fourteen widths of cloth."""
    given = (VEST.parent / "rows-of-rectangles.toml").read_text(encoding="utf-8")
    widths = ", ".join(f'"{width} cm"' for width in range(47, 61))
    file = folder / "rows.toml"
    file.write_text(f"{given}\n[leaflet]\nby_hand = true\ncloth_widths = [{widths}]\n", encoding="utf-8")
    return file


def answers_in(data: Path) -> dict[Path, int]:
    """Every answer kept, with the moment it was written."""
    return {one: one.stat().st_mtime_ns for one in data.rglob("leaflet-answers/??/*") if len(one.name) == 62}


def test_what_was_done_before_a_kill_is_not_done_again(tmp_path: Path) -> None:
    """Killed outright in the middle, with no chance to tidy up; the next run says how many were there and leaves them."""
    data, file = tmp_path / "data", many_widths(tmp_path)
    command = [sys.executable, "-m", "clothwright", "leaflet", str(file), "--rounds", "2", "--json"]
    env = {**os.environ, "CLOTHWRIGHT_DATA": str(data)}
    killed = subprocess.Popen(command, env=env, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    until = time.monotonic() + 120
    while len(before := answers_in(data)) < 3 and time.monotonic() < until:
        time.sleep(0.02)
    killed.kill()
    killed.wait()
    before = answers_in(data)
    assert 3 <= len(before) < 14
    ran = subprocess.run(command, env=env, capture_output=True, text=True, check=True)
    after = answers_in(data)
    assert {one: after[one] for one in before} == before
    assert len(after) == 28
    assert f"{len(before)} of 14 layouts made, {len(before)} of them before" in ran.stderr
    assert len(json.loads(ran.stdout)["rows"]) == 14
