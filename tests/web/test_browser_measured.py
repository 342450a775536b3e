"""A weaver makes a garment from measures in a real browser, at a desk and on a phone."""

from __future__ import annotations

import re
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect
from web.test_browser import PHONE, SIZES, address, browser, follow, opened, start

__all__ = ["address", "browser", "opened"]

pytestmark = pytest.mark.browser

MEASURES = {"waist_girth": "74", "hip_girth": "38 1/2 in", "waist_to_hips": "20"}


def choose_garment(page: Page, name: str) -> None:
    box = page.locator("select[name='pattern.from_measures.garment']")
    box.focus()
    with page.expect_response(lambda response: response.request.method == "POST"):
        box.select_option(name)


def type_measure(page: Page, name: str, text: str) -> None:
    with page.expect_response(lambda response: response.request.method == "POST"):
        box = page.locator(f"[name='pattern.from_measures.body.{name}']")
        box.fill(text)
        box.press("Tab")


def answer(page: Page) -> Any:
    return page.locator("#plan")


@SIZES
def test_a_skirt_is_made_from_measures_and_used(opened: Any, size: dict[str, int]) -> None:
    page: Page = opened(size).page
    start(page, "Thrift skirt")
    follow(page, "Make from measures")
    expect(answer(page)).to_contain_text("Wrap jacket of straight lengths")
    choose_garment(page, "skirt")
    expect(answer(page)).to_contain_text("the skirt still needs: waist girth")
    for name, text in MEASURES.items():
        type_measure(page, name, text)
    expect(answer(page)).to_contain_text("waistband")
    expect(answer(page)).to_contain_text(re.compile(r"76\s*cm"))
    expect(page.locator("#announce")).to_contain_text("pieces made")
    type_measure(page, "waist_girth", "80")
    expect(answer(page)).to_contain_text(re.compile(r"82\s*cm"))
    assert Axe().run(page).violations_count == 0, Axe().run(page).generate_report()
    page.get_by_role("button", name="Use it in the project").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Pieces")
    expect(page.locator("main")).to_contain_text("Nothing looks wrong")
    page.go_back()
    expect(page.locator("[name='pattern.from_measures.body.waist_girth']")).to_have_value(re.compile("80"))


@SIZES
def test_a_wrong_measure_keeps_its_field_and_its_sentence(opened: Any, size: dict[str, int]) -> None:
    page: Page = opened(size).page
    start(page, "Thrift skirt")
    follow(page, "Make from measures")
    choose_garment(page, "skirt")
    type_measure(page, "waist_girth", "740 cm")
    box = page.locator("[name='pattern.from_measures.body.waist_girth']")
    expect(box).to_have_value("740 cm")
    expect(box).to_have_attribute("aria-invalid", "true")
    expect(page.locator("#f-pattern-from_measures-body-waist_girth-problem")).to_contain_text("between 35 and 180 cm")
    for name, text in MEASURES.items():
        type_measure(page, name, text)
    expect(box).to_have_attribute("aria-invalid", "false")
    expect(page.locator("#f-draft-problem")).to_have_text("")


def test_another_garment_keeps_the_measures_typed(opened: Any) -> None:
    page: Page = opened(PHONE).page
    start(page, "Thrift set")
    follow(page, "Make from measures")
    choose_garment(page, "skirt")
    type_measure(page, "hip_girth", "101")
    choose_garment(page, "tunic")
    expect(page.locator("[name='pattern.from_measures.body.hip_girth']")).to_have_value("101 cm")
    expect(page.locator("select[name='pattern.from_measures.garment']")).to_be_focused()


def test_it_works_without_script(browser: Browser, address: str) -> None:
    context = browser.new_context(viewport=PHONE, base_url=address, java_script_enabled=False)
    page = context.new_page()
    start(page, "Limpet bag")
    follow(page, "Make from measures")
    page.locator("select[name='pattern.from_measures.garment']").select_option("bag")
    page.get_by_role("button", name="Show what it needs").click()
    page.locator("[name='pattern.from_measures.options.width']").fill("30")
    page.get_by_role("button", name="Show the pieces").last.click()
    expect(answer(page)).to_contain_text("side strip")
    page.get_by_role("button", name="Use it in the project").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Pieces")
    context.close()
