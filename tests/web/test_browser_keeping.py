"""A weaver copies, loses, puts back and brings in, in a real browser, at a desk and on a phone."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from web.a_server import served
from web.test_browser import SIZES, browser, grave_violations, nothing_beyond_the_edge

__all__ = ["browser"]

pytestmark = pytest.mark.browser
EXAMPLE = Path(__file__).parents[2] / "examples" / "ebb-stole.toml"


def looked_at(page: Page) -> None:
    """Nothing lies beyond the edge of the screen, and nothing grave stands against reading it."""
    nothing_beyond_the_edge(page)
    assert grave_violations(page) == []


@SIZES
def test_a_copy_is_put_back_and_a_file_brought_in_and_put_away_by_buttons_alone(
    browser: Any, size: dict[str, int], tmp_path: Path
) -> None:
    """From the link at the foot of the page, on a library of its own since it is replaced; the policy stops nothing."""
    with served(tmp_path / "data") as (visitor, _):
        page, said = browser.new_page(viewport=size, base_url=f"http://127.0.0.1:{visitor.port}"), []
        page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
        page.goto("/")
        page.get_by_role("contentinfo").get_by_role("link", name="Keeping your work").click()
        looked_at(page)
        page.get_by_role("button", name="Make a copy now").click()
        expect(page.get_by_role("status").first).to_contain_text("it is whole")
        looked_at(page)
        page.get_by_role("link", name="To all copies").click()
        page.get_by_label("A copy, an open file of everything, or a project file").set_input_files(EXAMPLE)
        page.get_by_role("button", name="Look what is in it").click()
        expect(page.get_by_role("listitem").filter(has_text="Ebb stole")).to_be_visible()
        looked_at(page)
        page.get_by_role("button", name="Bring it in").click()
        expect(page.get_by_role("heading", name="Brought in")).to_be_visible()
        looked_at(page)
        page.get_by_role("link", name="Look, or put back").first.click()
        looked_at(page)
        page.get_by_role("button", name="Put it back").click()
        expect(page.get_by_role("heading", name="The copy was put back")).to_be_visible()
        page.goto("/")
        expect(page.get_by_text("Nothing on the table yet")).to_be_visible()
        page.goto("/keeping/")
        page.get_by_role("link", name="Look, or put back").first.click()
        page.get_by_role("button", name="Put it back").click()
        page.goto("/")
        expect(page.get_by_role("link", name="Ebb stole", exact=True)).to_be_visible()
        assert said == []
        page.close()
