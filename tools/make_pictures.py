"""Make the pictures of the documents anew: python tools/make_pictures.py [--screens]. Run it in .venv, from the checkout.

The drawings that help to measure come from `sheets/pictures/helping.py`; a test holds the files to it. With `--screens` the demo is
planned, its sheet printed and its page opened in a browser (CLOTHWRIGHT_BROWSER names one; pdftoppm turns the sheet into a picture).
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from clothwright.sheets.pictures.helping import HELP_PICTURES

PICTURES: Final = Path(__file__).resolve().parent.parent / "docs/pictures"
_WIDE, _HIGH = 1280, 1500


def main(arguments: list[str]) -> int:
    """Make the drawings, and the two screens where they are asked for."""
    for name, draw in HELP_PICTURES.items():
        (PICTURES / f"{name}.svg").write_text(draw().svg() + "\n", encoding="utf-8")
    if "--screens" in arguments:
        with tempfile.TemporaryDirectory() as folder:
            _screens(Path(folder))
    return 0


def _screens(folder: Path) -> None:
    """The page of the demo's project and its plan sheet, as they look now."""
    with _served(folder) as address:
        _photograph(address)
    sheet = next((folder / "out").glob("*plan.pdf"))
    target = PICTURES / "sheet"
    subprocess.run(["pdftoppm", "-png", "-r", "80", "-f", "1", "-singlefile", sheet, target], check=True)


@contextmanager
def _served(folder: Path) -> Iterator[str]:
    """The address of the demo while it is served from a data folder of its own."""
    words = [sys.executable, "-m", "clothwright", "demo", "--port", "0", "-o", str(folder / "out")]
    environment = os.environ | {"CLOTHWRIGHT_DATA": str(folder / "data"), "PYTHONUNBUFFERED": "1"}
    running = subprocess.Popen(words, env=environment, stdout=subprocess.PIPE, text=True, cwd=folder)
    try:
        assert running.stdout is not None
        found = next((said for line in running.stdout if (said := re.search(r"http://\S+", line))), None)
        if found is None:
            raise SystemExit("the demo told no address")
        yield found[0].rstrip(".,")
    finally:
        running.terminate()
        running.wait()


def _photograph(address: str) -> None:
    from playwright.sync_api import sync_playwright

    browser = os.environ.get("CLOTHWRIGHT_BROWSER") or shutil.which("chromium")
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=browser, args=["--no-sandbox"])
        page = opened.new_page(viewport={"width": _WIDE, "height": _HIGH}, color_scheme="light")
        page.goto(address)
        page.wait_for_load_state("networkidle")
        page.screenshot(path=PICTURES / "page.png")
        opened.close()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
