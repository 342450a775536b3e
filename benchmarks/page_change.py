"""Time of one field change on the demo garment's page, as a browser sees it: from posting to the answer's last byte.

Run: python benchmarks/page_change.py. Needs a Chromium (CLOTHWRIGHT_BROWSER, or /usr/bin/chromium). Each time is printed as
a ratio to the limit of 0.3 s. Layouts are first guesses, made new when the pieces change.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager

from playwright.sync_api import Page, Response, sync_playwright

LIMIT_S = 0.3
CHANGES = (
    ("a ball's weight", "yarn.0.balls.0.net", ("61 g", "62 g", "63 g")),
    ("a sample's finished width", "sample.0.width.finished", ("21.5 cm", "21.4 cm", "21.3 cm")),
    ("the seam allowance", "pattern.seam_allowance", ("14 mm", "13 mm", "12 mm")),
    ("the chance asked", "trust.yarn", ("94 %", "93 %", "92 %")),
)
PORT = 8971


def main() -> None:
    """Change fields one after another and print the time of each."""
    browser_path = os.environ.get("CLOTHWRIGHT_BROWSER", "/usr/bin/chromium")
    with served() as address, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=browser_path, args=["--no-sandbox"])
        page = browser.new_page()
        page.goto(address)
        page.wait_for_load_state("networkidle")
        for what, field, values in CHANGES:
            times = [seconds(page, field, value) for value in values]
            worst = max(times)
            print(
                f"{what:<28} {' '.join(f'{one:.3f}' for one in times)} s, at worst {worst / LIMIT_S:.2f} of the limit"
            )
        browser.close()


def seconds(page: Page, field: str, value: str) -> float:
    """Type a value into a field and say how long the answer took."""
    box = page.locator(f"[name='{field}']")
    with page.expect_response(lambda response: response.request.method == "POST") as caught:
        box.fill(value)
        box.press("Tab")
    response: Response = caught.value
    response.finished()
    timing = response.request.timing
    return float(timing["responseEnd"] - timing["requestStart"]) / 1000


@contextmanager
def served() -> Iterator[str]:
    """The demo served from a data folder of its own, its layout not searched for."""
    with tempfile.TemporaryDirectory() as folder:
        environment = os.environ | {"CLOTHWRIGHT_DATA": folder}
        command = [sys.executable, "-m", "clothwright", "demo", "--seconds", "0", "--port", str(PORT), "-o", folder]
        running = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=environment)
        assert running.stdout is not None  # piped above
        try:
            yield next(line.split()[-1] for line in running.stdout if line.startswith("Clothwright is at"))
            time.sleep(0.1)
        finally:
            running.terminate()
            running.wait()


if __name__ == "__main__":
    main()
