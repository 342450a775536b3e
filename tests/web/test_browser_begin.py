"""A newcomer comes from an empty library to a verdict in a real browser, at a desk and on a phone; and prints what she sees."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pypdf
import pytest
from playwright.sync_api import Browser, Page, expect
from web.test_browser import SIZES, Watched, browser, grave_violations, press  # noqa: F401 - the fixture

pytestmark = pytest.mark.browser
#: Answers from the empty start to the verdict: the yarn, the choice it asks for, loom and size.
MOST_STEPS = 3
#: Of the program, from the first page to the verdict: a measure that does not depend on what else the machine does.
MOST_PROCESSOR_S = 20.0


@dataclass(frozen=True)
class Served:
    """The program with an empty library: where it answers, and the processor seconds it has used."""

    address: str
    pid: int

    @property
    def processor_s(self) -> float:
        """User and system time by the system's own table; nothing where there is none."""
        table = Path(f"/proc/{self.pid}/stat")
        if not table.exists():
            return 0.0
        fields = table.read_text(encoding="ascii").rpartition(")")[2].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    environment = {**os.environ, "CLOTHWRIGHT_DATA": str(tmp_path)}
    code = "if __name__ == '__main__': from clothwright.web.serve import serve; serve('127.0.0.1', 0)"
    with subprocess.Popen([sys.executable, "-c", code], env=environment, stdout=subprocess.PIPE, text=True) as server:
        assert server.stdout is not None
        yield Served(server.stdout.readline().split()[-1].rstrip("/"), server.pid)
        server.terminate()


@SIZES
def test_a_newcomer_reaches_a_verdict_in_three_answers(browser: Browser, served: Served, size: dict[str, int]) -> None:  # noqa: F811
    """Wrong, unclear and mixed input on the way; reload and back lose nothing; every page passes the rules of access."""
    page = browser.new_context(viewport=size).new_page()
    watched, before, steps = Watched(page), served.processor_s, 0
    page.goto(served.address)
    page.get_by_label("What yarn do you have?").fill("3 balls of 50 g, 160 m\n250 g of 400 m/100 g wool")
    assert grave_violations(page) == []
    press(page, "Go on")
    steps += 1
    page.wait_for_url("**/begin/")
    page.get_by_role("button", name="3 balls of 50 g, 160 m each").click()
    steps += 1
    width = page.get_by_label("Width ↔ from selvedge to selvedge")
    width.fill("45 cm")
    page.reload()
    page.get_by_label("To be made").select_option("cloth")
    page.get_by_label("How wide it weaves").fill("60")
    width.fill("45 cm")
    page.get_by_label("Length ↕ along the warp").fill("70 in")
    press(page, "Go on")
    steps += 1
    expect(page.locator("#verdict .verdict")).to_be_visible(timeout=60_000)
    assert page.evaluate("document.activeElement.id") == "verdict"
    assert steps <= MOST_STEPS
    taken = served.processor_s - before
    assert taken < MOST_PROCESSOR_S
    print(f"{steps} answers, {taken:.1f} processor seconds")
    assert grave_violations(page) == []
    watched.check()
    page.go_back()
    page.go_forward()
    expect(page.get_by_label("Length ↕ along the warp")).to_have_value("70 in")
    _undone_and_redone(page)
    _on_paper(page)
    _an_example(page, served.address)
    watched.check()
    page.close()


def _undone_and_redone(page: Page) -> None:
    """The last answer is taken back on this page, and made again."""
    press(page, "↶ Undo")
    expect(page.locator("#verdict .verdict")).to_have_count(0)
    press(page, "↷ Redo")
    expect(page.locator("#verdict .verdict")).to_be_visible(timeout=60_000)


def _on_paper(page: Page) -> None:
    """The project's page on paper: its name and day, no navigation, what was folded unfolded."""
    page.get_by_role("link", name="Go on with this project").click()
    expect(page.locator("#plan .verdict")).to_be_visible(timeout=60_000)
    pdf = pypdf.PdfReader(io.BytesIO(page.pdf(format="A4")))
    text = "\n".join(one.extract_text() for one in pdf.pages)
    assert "Begun with" in pdf.pages[0].extract_text()
    assert "The working behind every number" in text
    assert "fewest that are wide enough" in text
    assert "Looms and heddles" not in text
    assert "Undo" not in text
    page.evaluate("window.print = () => { document.title = 'printed' }")
    page.get_by_role("button", name="Print this page as it is").click()
    expect(page).to_have_title("printed")


def _an_example(page: Page, address: str) -> None:
    """The example of a page, and the way back."""
    page.goto(f"{address}/looms/")
    press(page, "An example of this page")
    expect(page.get_by_text("Change what you like")).to_be_visible()
    assert grave_violations(page) == []
    page.get_by_role("link", name="Back to your own").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Looms and heddles")
    assert page.url == f"{address}/looms/"
