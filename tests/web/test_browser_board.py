"""At the warping board with a real browser: the network cut, the program killed, two phones, the browser closed; nothing is lost."""

from __future__ import annotations

import base64
import hashlib
import os
import random
import re
import subprocess
import sys
import uuid
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from cryptography import x509
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, expect
from web.browser_found import browser_path
from web.phone_browser import (
    AGAIN_MS,
    Opening,
    Program,
    browser,
    expect_sent,
    free_port,
    looked_at_again,
    playwright,
    program,
    reopening,
)
from web.test_browser import DESK, PHONE, Watched, follow, grave_violations, nothing_beyond_the_edge

from clothwright.project import ProblemsFound
from clothwright.sheets.colours.colour_sheets import tens
from clothwright.web.phone.phone_keys import home_address

__all__ = ["browser", "playwright", "program", "reopening"]

pytestmark = pytest.mark.browser
BASKET = Path(__file__).parents[2] / "examples" / "basket-of-balls.toml"


@dataclass
class Phones:
    """Phones with browsers of their own, all on the board of one project."""

    browser: Browser
    program: Program
    key: str = ""
    contexts: list[BrowserContext] = field(default_factory=list)

    def another(self, size: dict[str, int] = PHONE) -> Page:
        context = self.browser.new_context(viewport=size, base_url=self.program.address)
        self.contexts.append(context)
        page = context.new_page()
        if not self.key:
            self.key = begun(page)
        else:
            page.goto(f"/phone/{self.key}/board/")
        page.wait_for_selector("body[data-begun]")
        return page


@pytest.fixture
def phones(browser: Browser, program: Program) -> Iterator[Phones]:
    made = Phones(browser, program)
    yield made
    for context in made.contexts:
        context.close()


def begun(page: Page) -> str:
    """Open the basket of balls, keep its order, and stand at the board; the key of the project."""
    page.goto("/")
    page.locator("#open-files").set_input_files(BASKET)
    page.get_by_role("button", name="Open", exact=True).click()
    follow(page, "Colours of the warp")
    page.get_by_role("link", name="Tick it off at the warping board").click()
    page.get_by_role("button", name="Keep this order and begin").click()
    page.wait_for_selector("body[data-begun]")
    found = re.search(r"/phone/([0-9a-f-]{36})/board/", page.url)
    assert found
    return found[1]


def tick(page: Page, times: int = 1) -> None:
    for _ in range(times):
        before = page.locator("[data-at=where]").inner_text()
        page.locator("[data-at=tick]").click()
        expect(page.locator("[data-at=where]")).not_to_have_text(before)


def count_on(page: Page) -> str:
    return page.locator("[data-at=count]").inner_text()


def runs_of(page: Page) -> list[Any]:
    runs: list[Any] = page.evaluate("JSON.parse(document.getElementById('phone-data').textContent).state.order.runs")
    return runs


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_the_order_is_ticked_off_with_the_next_colour_in_words(phones: Phones, size: dict[str, int]) -> None:
    page = phones.another(size)
    watched = Watched(page)
    first = runs_of(page)[0]
    expect(page.locator("[data-at=parts] li").first).to_have_text(f"{first['ends']}{first['yarn']}")
    expect(page.locator("[data-at=where]")).to_have_text("You are here: ends 1 to 10 · slots 1 to 5")
    tick(page, 2)
    assert count_on(page) == "20 of 120"
    assert grave_violations(page) == []
    page.get_by_role("button", name="Take back the tick of ends 11 to 20").click()
    expect(page.locator("[data-at=count]")).to_have_text("10 of 120")
    page.get_by_role("button", name="Stripes").click()
    expect(page.locator("[data-at=count]")).to_have_text("10 of 120")
    page.get_by_role("button", name="Pairs").click()
    tick(page)
    expect(page.locator("[data-at=count]")).to_have_text("12 of 120")
    page.get_by_role("button", name="Threading").click()
    expect(page.locator("[data-at=count]")).to_have_text("0 of 120")
    page.get_by_text("This phone: without a network").click()
    assert grave_violations(page) == []
    nothing_beyond_the_edge(page)
    assert watched.complaints == []


def test_the_tens_of_the_phone_are_those_of_the_sheet(phones: Phones) -> None:
    """The paper twin, made by other code, says the same of every group."""
    page = phones.another()
    runs = [(run["yarn"], run["ends"]) for run in runs_of(page)]
    on_paper = [", ".join(said) for _, said, _ in tens(runs)]
    rows = page.locator("[data-at=groups] .what").all_inner_texts()
    assert [re.sub(r"\s+", " ", row).strip() for row in rows] == on_paper


def test_ends_are_counted_twice_at_half_and_at_the_end(phones: Phones) -> None:
    page = phones.another()
    tick(page, 5)
    expect(page.locator("[data-at=counting]")).to_be_hidden()
    tick(page)
    counting = page.locator("[data-at=counting]")
    expect(counting).to_contain_text("60 are ticked")
    assert grave_violations(page) == []
    page.get_by_label("First count").fill("fifty")
    page.get_by_role("button", name="Keep the count").click()
    expect(counting).to_contain_text("“fifty”: type how many ends you counted, as 60")
    page.get_by_label("First count").fill("58")
    page.get_by_label("Second count").fill("58")
    page.get_by_role("button", name="Keep the count").click()
    expect(counting).to_contain_text("You counted 58 twice, and 60 are ticked: 2 too few")
    for label in ("First count", "Second count"):
        page.get_by_label(label).fill("60")
    page.get_by_role("button", name="Keep the count").click()
    expect(counting).to_be_hidden()
    tick(page, 5)
    page.locator("[data-at=tick]").click()
    expect(counting).to_contain_text("120 ends at 3 per cm (7.62 per in) = 40 cm (15¾ in): measure it in the heddle")
    expect(page.locator("[data-at=where]")).to_have_text("All 120 ends are wound.")


def test_a_network_cut_in_the_midst_loses_nothing(phones: Phones) -> None:
    page = phones.another()
    tick(page)
    expect_sent(page)
    phones.contexts[0].set_offline(True)
    tick(page, 3)
    expect(page.locator("#status")).to_have_text(re.compile("3 entries wait on this phone"))
    assert len(phones.program.keys_of(phones.key)) == 1
    phones.contexts[0].set_offline(False)
    expect_sent(page)
    keys = phones.program.keys_of(phones.key)
    assert len(keys) == len(set(keys)) == 4


def test_a_program_killed_and_started_again_gets_what_was_entered_meanwhile(phones: Phones) -> None:
    """The phone's own network never changed: only trying again finds the program."""
    page = phones.another()
    tick(page)
    expect_sent(page)
    phones.program.kill()
    tick(page, 2)
    expect(page.locator("#status")).to_have_text(
        re.compile("2 entries wait on this phone. The program does not answer")
    )
    phones.program.start()
    expect_sent(page)
    assert len(phones.program.keys_of(phones.key)) == 3


def test_an_answer_that_is_lost_on_the_way_makes_no_second_entry(phones: Phones) -> None:
    page = phones.another()
    lost: list[int] = []

    def lose(route: Any) -> None:
        if lost:
            route.continue_()
            return
        lost.append(route.fetch().status)
        route.abort()

    page.route("**/entries/", lose)
    tick(page)
    expect(page.locator("#status")).to_have_text(re.compile("does not answer"), timeout=AGAIN_MS)
    assert len(phones.program.keys_of(phones.key)) == 1
    looked_at_again(page)
    expect_sent(page)
    assert lost == [200]
    assert len(phones.program.keys_of(phones.key)) == 1


def test_a_program_put_back_to_an_older_state_gets_everything_again(phones: Phones, tmp_path: Path) -> None:
    page = phones.another()
    tick(page)
    expect_sent(page)
    phones.program.kill()
    before = {path: path.read_bytes() for path in phones.program.folder.iterdir() if path.is_file()}
    phones.program.start()
    tick(page, 2)
    expect_sent(page)
    phones.program.kill()
    for path in phones.program.folder.iterdir():
        if path.is_file():
            path.unlink()
    for path, content in before.items():
        path.write_bytes(content)
    phones.program.start()
    tick(page)
    looked_at_again(page)
    expect(page.locator("#status")).to_have_attribute("data-waiting", "0", timeout=AGAIN_MS)
    expect_sent(page)
    assert len(phones.program.keys_of(phones.key)) == 4


def test_a_browser_that_keeps_nothing_says_so_and_asks_before_it_is_closed(browser: Browser, program: Program) -> None:
    """Entries are held while the page is open, sent when the program answers, and can be given back as text."""
    context = browser.new_context(viewport=PHONE, base_url=program.address)  # type: ignore[arg-type]
    page = context.new_page()
    page.add_init_script("indexedDB.open = () => { throw new Error('no storage'); }")
    key = begun(page)
    expect(page.locator("#alone")).to_contain_text("This browser keeps nothing of this page once it is closed")
    context.set_offline(True)
    tick(page)
    asked: list[str] = []
    page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.dismiss()))
    page.close(run_before_unload=True)
    expect(page.locator("[data-at=count]")).to_have_text("10 of 120")
    assert asked == ["beforeunload"]
    context.set_offline(False)
    expect_sent(page)
    assert len(program.keys_of(key)) == 1
    context.close()


def test_two_phones_at_once_see_each_other_and_what_they_do_not_agree_on(phones: Phones) -> None:
    one, other = phones.another(), phones.another()
    tick(one)
    expect_sent(one)
    other.reload()
    expect(other.locator("[data-at=count]")).to_have_text("10 of 120")
    for context in phones.contexts:
        context.set_offline(True)
    one.get_by_role("button", name="Take back the tick of ends 1 to 10").click()
    expect(one.locator("[data-at=count]")).to_have_text("0 of 120")
    first = other.locator("[data-key=group-1]")
    first.click()
    expect(other.locator("[data-at=count]")).to_have_text("0 of 120")
    first.click()
    expect(other.locator("[data-at=count]")).to_have_text("10 of 120")
    tick(other)
    for context in phones.contexts:
        context.set_offline(False)
    expect_sent(one)
    expect_sent(other)
    one.reload()
    expect(one.locator("[data-at=unlike]")).to_contain_text("Phones do not agree on ends 1 to 10")
    expect(one.locator("[data-at=unlike] li")).to_have_count(2)
    expect(one.locator("[data-at=count]")).to_have_text("10 of 120")
    assert grave_violations(one) == []
    one.get_by_role("button", name="They are wound").click()
    expect(one.locator("[data-at=unlike]")).to_be_hidden()
    expect_sent(one)
    other.reload()
    expect(other.locator("[data-at=count]")).to_have_text("20 of 120")
    expect(other.locator("[data-at=unlike]")).to_be_hidden()
    assert len(phones.program.keys_of(phones.key)) == 6


def test_a_changed_order_is_told_and_ticks_stay_with_the_one_they_were_made_on(phones: Phones) -> None:
    page = phones.another()
    tick(page, 3)
    expect_sent(page)
    desk = phones.contexts[0].new_page()
    ends = [run["ends"] for run in runs_of(page)]
    starts = [1 + sum(ends[:place]) for place in range(len(ends))]
    first = next(start for start in starts if start > 20)
    desk.goto(f"/project/{phones.key}/colours/?run={starts.index(first)}")
    desk.get_by_role("button", name="One run later").click()
    expect(desk.locator("#edit")).to_contain_text("Ends")
    page.reload()
    changed = page.locator("[data-at=changed]")
    expect(changed).to_contain_text("30 of 120 ends are ticked on the order you began; those ticks stay with it")
    expect(changed).to_contain_text(f"The first end that differs is {first}:")
    expect(page.locator("[data-at=count]")).to_have_text("30 of 120")
    assert grave_violations(page) == []
    page.get_by_role("button", name="Go on with the changed order", exact=True).click()
    expect(page.locator("[data-at=count]")).to_have_text("0 of 120")
    page.get_by_role("button", name="An order of before: 30 of 120 ticked").click()
    expect(page.locator("[data-at=count]")).to_have_text("30 of 120")
    page.get_by_role("button", name=f"Tick the {first - 1} that are alike").click()
    expect(page.locator("[data-at=count]")).to_have_text(f"{first - 1} of 120")
    expect(changed).to_be_hidden()


# --- the browser closed, and pages without the program ------------------------------------------------------------


def test_a_browser_closed_and_opened_without_the_program_knows_where_it_was(
    program: Program, reopening: Opening
) -> None:
    context = reopening()
    page = context.new_page()
    page.goto(program.address)
    key = begun_at(page, program)
    expect(page.locator("#offline-says")).to_have_attribute("data-kept", "true")
    tick(page)
    program.kill()
    tick(page, 2)
    context.close()
    page = reopening().new_page()
    page.goto(f"{program.address}/phone/{key}/board/")
    expect(page.locator("[data-at=where]")).to_contain_text("You are here: ends 31 to 40")
    expect(page.locator("#status")).to_have_text(re.compile("wait"))
    tick(page)
    program.start()
    expect_sent(page)
    assert len(program.keys_of(key)) == 4


def begun_at(page: Page, program: Program) -> str:
    page.goto(program.address)
    page.locator("#open-files").set_input_files(BASKET)
    page.get_by_role("button", name="Open", exact=True).click()
    found = re.search(r"/project/([0-9a-f-]{36})/", page.url)
    assert found
    page.goto(f"{program.address}/phone/{found[1]}/board/")
    page.get_by_role("button", name="Keep this order and begin").click()
    page.wait_for_selector("body[data-begun]")
    return found[1]


def test_a_saved_page_needs_no_program_and_gives_its_entries_back(
    program: Program, reopening: Opening, tmp_path: Path
) -> None:
    context = reopening()
    desk = context.new_page()
    key = begun_at(desk, program)
    tick(desk)
    expect_sent(desk)
    desk.goto(f"{program.address}/project/{key}/phones/")
    with desk.expect_download() as coming:
        desk.get_by_role("link", name="Take it to the loom").click()
    saved = tmp_path / "taken along.html"
    coming.value.save_as(saved)
    program.kill()
    page = context.new_page()
    watched = Watched(page)
    page.goto(saved.as_uri())
    page.wait_for_selector("body[data-begun]")
    assert count_on(page) == "10 of 120"
    tick(page, 2)
    assert grave_violations(page) == []
    assert watched.complaints == []
    assert watched.hosts <= {""}
    context.close()

    page = reopening().new_page()
    page.goto(saved.as_uri())
    page.wait_for_selector("body[data-begun]")
    assert count_on(page) == "30 of 120"
    copied = tmp_path / "a copy of it.html"
    copied.write_bytes(saved.read_bytes())
    other = page.context.new_page()
    other.goto(copied.as_uri())
    other.wait_for_selector("body[data-begun]")
    assert count_on(other) == "30 of 120"
    other.close()
    page.get_by_text("This phone: without a network").click()
    with page.expect_download() as coming:
        page.get_by_role("button", name="Give entries back as a file").click()
    given = tmp_path / "given.json"
    coming.value.save_as(given)
    page.get_by_role("button", name="As text to copy").click()
    text = page.locator("#give-text").input_value()

    program.start()
    for told in ("2 new, 0 here already, 0 refused", "0 new, 2 here already, 0 refused"):
        page.goto(f"{program.address}/project/{key}/phones/")
        page.get_by_label("File of entries").set_input_files(given)
        page.get_by_role("button", name="Bring in").click()
        expect(page.get_by_role("status").first).to_contain_text(told)
    page.get_by_label("Or the text, pasted").fill(text)
    page.get_by_role("button", name="Bring in").click()
    expect(page.get_by_role("status").first).to_contain_text("0 new, 2 here already, 0 refused")
    expect(page.locator("table")).to_contain_text("ends 21 to 30 wound")
    assert grave_violations(page) == []
    assert len(program.keys_of(key)) == 3


# --- over the home network ----------------------------------------------------------------------------------------


@dataclass
class AtHome:
    """The program started by `serve --phone`: where phones come in, the word, and the folder of its data."""

    address: str
    word: str
    folder: Path
    server: subprocess.Popen[str]


@pytest.fixture
def at_home(playwright: Playwright, tmp_path: Path) -> Iterator[AtHome]:
    environment = {**os.environ, "CLOTHWRIGHT_DATA": str(tmp_path / "home")}
    ports = ["--port", str(free_port()), "--phone-port", str(free_port())]
    command = [sys.executable, "-m", "clothwright", "serve", "--phone", "--host", "127.0.0.1", *ports]
    with subprocess.Popen(command, env=environment, stdout=subprocess.PIPE, text=True) as server:
        assert server.stdout is not None
        said = ""
        for line in server.stdout:
            said += line
            if line.startswith("Clothwright is at"):
                break
        found = re.search(r"Phones on this network: (\S+).*The word: (\S+)", said, re.DOTALL)
        assert found
        yield AtHome(found[1], found[2], tmp_path / "home", server)
        server.kill()


def trusting(folder: Path) -> str:
    """The option that makes Chromium trust what the server's own key shows, and nothing else."""
    leaf = x509.load_pem_x509_certificates((folder / "phone-keys" / "server.pem").read_bytes())[0]
    key = leaf.public_key().public_bytes(Encoding.DER, PublicFormat.SubjectPublicKeyInfo)
    return "--ignore-certificate-errors-spki-list=" + base64.b64encode(hashlib.sha256(key).digest()).decode()


def test_a_phone_that_trusts_the_certificate_keeps_the_page_and_opens_it_without_the_program(
    playwright: Playwright, at_home: AtHome, tmp_path: Path
) -> None:
    context = playwright.chromium.launch_persistent_context(
        str(tmp_path / "browser"),
        executable_path=browser_path(),
        args=["--no-sandbox", trusting(at_home.folder)],
        viewport=PHONE,  # type: ignore[arg-type]
    )
    page = context.new_page()
    watched = Watched(page)
    page.goto(f"{at_home.address}/")
    expect(page.get_by_role("heading", level=1)).to_have_text("Let this phone in")
    assert grave_violations(page) == []
    page.goto(f"{at_home.address}/phone/enter/?word={at_home.word}&next=/")
    page.get_by_role("button", name="Let this phone in").click()
    page.locator("#open-files").set_input_files(BASKET)
    page.get_by_role("button", name="Open", exact=True).click()
    found = re.search(r"/project/([0-9a-f-]{36})/", page.url)
    assert found
    board = f"{at_home.address}/phone/{found[1]}/board/"
    page.goto(board)
    page.get_by_role("button", name="Keep this order and begin").click()
    page.wait_for_selector("body[data-begun]")
    expect(page.locator("#offline-says")).to_have_attribute("data-kept", "true")
    tick(page)
    expect_sent(page)
    assert watched.complaints == []
    at_home.server.kill()
    at_home.server.wait()
    page.goto(board)
    expect(page.locator("[data-at=count]")).to_have_text("10 of 120")
    tick(page)
    expect(page.locator("#status")).to_have_text(re.compile("1 entry waits on this phone"))
    context.close()


def test_a_phone_that_is_shut_out_is_asked_for_the_word_and_keeps_its_entries(
    browser: Browser, at_home: AtHome
) -> None:
    context = browser.new_context(viewport=PHONE, base_url=at_home.address, ignore_https_errors=True)  # type: ignore[arg-type]
    page = context.new_page()
    page.goto(f"/phone/enter/?word={at_home.word}")
    page.get_by_role("button", name="Let this phone in").click()
    page.locator("#open-files").set_input_files(BASKET)
    page.get_by_role("button", name="Open", exact=True).click()
    page.goto(page.url.replace("/project/", "/phone/") + "board/")
    page.get_by_role("button", name="Keep this order and begin").click()
    page.wait_for_selector("body[data-begun]")
    tick(page)
    expect_sent(page)
    context.clear_cookies(name="clothwright_phone")
    tick(page)
    expect(page.locator("#status")).to_have_text(
        re.compile("1 entry waits on this phone. The program asks for its word again")
    )
    expect(page.get_by_role("link", name="Type the word")).to_be_visible()
    context.close()


def test_plain_http_from_another_machine_works_while_open_and_says_what_it_cannot(
    browser: Browser, playwright: Playwright, tmp_path: Path
) -> None:
    """No secure context: no worker, no made-up keys by the browser, no lock on the screen; entries are kept all the same."""
    try:
        host = str(home_address())
    except ProblemsFound as why:
        pytest.skip(f"this machine has no home network: {why}")
    program = Program(tmp_path / "program", free_port(), host=host)
    program.start()
    context = browser.new_context(viewport=PHONE, base_url=program.address)  # type: ignore[arg-type]
    page = context.new_page()
    key = begun(page)
    assert page.evaluate("window.isSecureContext") is False
    assert page.evaluate("typeof crypto.randomUUID") == "undefined"
    expect(page.locator("#offline-says")).to_contain_text("This address is plain http: while this page stays open")
    expect(page.locator("#awake-says")).to_contain_text("cannot keep the screen awake here")
    tick(page)
    expect_sent(page)
    program.kill()
    tick(page, 2)
    program.start()
    expect_sent(page)
    keys = program.keys_of(key)
    assert len(keys) == 3
    assert all(uuid.UUID(one).version == 4 for one in keys)
    context.close()
    program.kill()


# --- who has the last word ----------------------------------------------------------------------------------------


def scenes() -> list[tuple[str, list[tuple[str, int, int, int, bool]], bool, int]]:
    """Entries as (phone, seq, number, seen, ticked); then whether the end is ticked, and how many entries do not agree."""
    return [
        ("nobody said anything", [], False, 0),
        ("one ticked", [("a", 1, 1, 0, True)], True, 0),
        ("one took its own tick back, before either was sent", [("a", 1, 0, 0, True), ("a", 2, 0, 0, False)], False, 0),
        ("the other had seen it", [("a", 1, 1, 0, True), ("b", 1, 2, 1, False)], False, 0),
        ("the other had not seen it", [("a", 1, 1, 0, True), ("b", 1, 2, 0, False)], False, 2),
        ("both said the same unseen", [("a", 1, 1, 0, True), ("b", 1, 2, 0, True)], True, 0),
        ("sent late, made before", [("a", 1, 9, 0, True), ("b", 1, 2, 1, False)], False, 2),
        (
            "three, of whom one was overruled",
            [("a", 1, 1, 0, True), ("b", 1, 2, 1, False), ("c", 1, 3, 0, True)],
            False,
            2,
        ),
        (
            "settled by one who had seen both",
            [("a", 1, 1, 0, True), ("b", 1, 2, 0, False), ("a", 2, 0, 2, True)],
            True,
            0,
        ),
    ]


def test_an_entry_has_the_last_word_over_what_its_phone_had_seen_and_over_no_other(phones: Phones) -> None:
    page = phones.another()
    for told, entries, ticked, unlike in scenes():
        records = [
            {
                "key": f"{phone}{seq}",
                "number": number,
                "sentence": "",
                "sent": "kept" if number else "no",
                "entry": {"kind": "tick", "order": "o", "task": "winding", "first": 1, "last": 1}
                | {"phone": phone, "seq": seq, "seen": seen, "ticked": yes},
            }
            for phone, seq, number, seen, yes in entries
        ]
        found = page.evaluate(
            """async (records) => {
                const { ticksOf } = await import("/static/clothwright/phone/order.js");
                const order = { digest: "o", runs: [{ yarn: "kelp", ends: 1, ball: 0 }] };
                const [end] = ticksOf(order, "winding", records);
                return [end.ticked, end.unlike.length];
            }""",
            records,
        )
        assert found == [ticked, unlike], told


def test_groups_of_every_kind_cover_every_end_once_and_their_parts_add_up(phones: Phones) -> None:
    """Random orders by a fixed seed; the sums are made here."""
    page, chance = phones.another(), random.Random(1)
    for _ in range(20):
        runs = [
            {
                "yarn": chance.choice("abc"),
                "ends": chance.randint(1, 23),
                "ball": chance.choice([0, 1, 2]),
                "colour": "",
            }
            for _ in range(chance.randint(1, 12))
        ]
        ends = [run["yarn"] for run in runs for _ in range(run["ends"])]
        for by in ("tens", "stripes", "turns"):
            groups = page.evaluate(
                """async ([runs, by]) => {
                    const { groupsOf, partsBetween } = await import("/static/clothwright/phone/order.js");
                    const order = { digest: "o", runs };
                    return groupsOf(order, by, 2).map((one) => [one.first, one.last, partsBetween(order, one.first, one.last)]);
                }""",
                [runs, by],
            )
            covered = [end for first, last, _ in groups for end in range(first, last + 1)]
            assert covered == list(range(1, len(ends) + 1))
            for first, last, parts in groups:
                assert [part["yarn"] for part in parts for _ in range(part["ends"])] == ends[first - 1 : last]
                if by == "stripes":
                    assert len(set(ends[first - 1 : last])) == 1
                    assert ends[last : last + 1] != ends[last - 1 : last]
