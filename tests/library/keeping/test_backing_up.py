"""Dated copies of the library, and putting one back."""

from __future__ import annotations

import datetime
import shutil
import sqlite3
import zipfile
from contextlib import closing
from pathlib import Path

import pytest

from clothwright.library.folder import ENVIRONMENT, database_file
from clothwright.library.keeping import backing_up
from clothwright.library.keeping.backing_up import (
    Held,
    back_up,
    back_up_now_and_then,
    backup_folder,
    copies_kept,
    held_in,
    restore,
    tidy_up,
    worth_keeping,
)
from clothwright.library.keeping.in_use import served_at
from clothwright.project import ProblemsFound

NOON = datetime.datetime(2026, 11, 25, 12, 0, 0, tzinfo=datetime.UTC)


@pytest.fixture(autouse=True)
def library(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A library of one table in a folder of its own."""
    monkeypatch.setenv(ENVIRONMENT, str(tmp_path / "data"))
    (tmp_path / "data").mkdir()
    with closing(sqlite3.connect(database_file())) as made:
        made.execute("PRAGMA journal_mode=WAL")
        made.execute("CREATE TABLE django_migrations (app TEXT, name TEXT)")
        made.execute("INSERT INTO django_migrations VALUES ('library', '0001_initial')")
        made.execute("CREATE TABLE cloth (name TEXT)")
        made.commit()
    weave("kelp stole")


def weave(name: str) -> None:
    """Add a cloth to the library."""
    with closing(sqlite3.connect(database_file())) as opened:
        opened.execute("INSERT INTO cloth VALUES (?)", (name,))
        opened.commit()


def woven() -> list[str]:
    """The cloths in the library."""
    with closing(sqlite3.connect(database_file())) as opened:
        return [name for (name,) in opened.execute("SELECT name FROM cloth ORDER BY rowid")]


def test_what_is_put_back_is_what_was_copied_and_what_it_replaced_is_copied_too() -> None:
    """Two copies later the library can still be had as it was in between."""
    first = back_up()
    weave("wrack scarf")
    before = restore(first)
    assert woven() == ["kelp stole"]
    assert before is not None
    restore(before)
    assert woven() == ["kelp stole", "wrack scarf"]


def test_a_copy_taken_in_the_middle_of_a_change_holds_what_was_committed() -> None:
    """Another connection has written a cloth and not finished."""
    with closing(sqlite3.connect(database_file())) as opened:
        opened.execute("INSERT INTO cloth VALUES ('half a shawl')")
        copy = back_up()
        opened.rollback()
    weave("after")
    restore(copy)
    assert woven() == ["kelp stole"]


def test_two_copies_of_one_second_are_two_files() -> None:
    """None takes the place of another."""
    assert back_up(now=NOON) != back_up(now=NOON)


def test_a_named_file_is_never_written_over(tmp_path: Path) -> None:
    """The sentence asks for another name."""
    back_up(tmp_path / "mine.zip")
    with pytest.raises(ProblemsFound, match="there already"):
        back_up(tmp_path / "mine.zip")


@pytest.mark.parametrize("damage", ["no zip", "cut short", "another zip", "a page of nothing"])
def test_a_file_that_is_no_whole_copy_changes_nothing(tmp_path: Path, damage: str) -> None:
    """One sentence, and the library is as it was."""
    copy = back_up(tmp_path / "copy.zip")
    whole = copy.read_bytes()
    if damage == "no zip":
        copy.write_text("salt")
    elif damage == "cut short":
        copy.write_bytes(whole[: len(whole) // 2])
    elif damage == "another zip":
        with zipfile.ZipFile(copy, "w") as other:
            other.writestr("readme.txt", "salt")
    else:
        with zipfile.ZipFile(copy) as good:
            library = bytearray(good.read("library.sqlite3"))
        library[4096:8192] = bytes(4096)
        with zipfile.ZipFile(copy, "w") as bad:
            bad.writestr("library.sqlite3", bytes(library))
    with pytest.raises(ProblemsFound, match="is no copy made by `clothwright backup`, or is damaged"):
        restore(copy)
    assert woven() == ["kelp stole"]
    assert not list(database_file().parent.glob("looking-at-*"))


def test_a_copy_of_a_newer_program_is_refused(tmp_path: Path) -> None:
    """It names the step this program does not know."""
    with closing(sqlite3.connect(database_file())) as opened:
        opened.execute("INSERT INTO django_migrations VALUES ('library', '9999_of_tomorrow')")
        opened.commit()
    with pytest.raises(ProblemsFound, match=r"newer Clothwright \(9999_of_tomorrow\)"):
        back_up(tmp_path / "copy.zip")
    assert not (tmp_path / "copy.zip").exists()


def test_nothing_is_put_back_while_pages_are_served() -> None:
    """The sentence says where they are served."""
    copy = back_up()
    with (
        served_at("http://127.0.0.1:8765"),
        pytest.raises(ProblemsFound, match=r"already serves .* at http://127\.0\.0\.1:8765"),
    ):
        restore(copy)


def test_a_second_program_on_the_same_folder_is_told_where_the_first_is() -> None:
    """And may begin when the first has ended."""
    with (
        served_at("http://127.0.0.1:8765"),
        pytest.raises(ProblemsFound, match=r"http://127\.0\.0\.1:8765"),
        served_at("http://127.0.0.1:9999"),
    ):
        pass
    with served_at("http://127.0.0.1:9999"):
        pass


def test_a_copy_is_made_by_itself_once_a_day() -> None:
    """Not twice in an evening."""
    assert back_up_now_and_then(now=NOON) is not None
    assert back_up_now_and_then(now=NOON + datetime.timedelta(hours=8)) is None
    assert back_up_now_and_then(now=NOON + datetime.timedelta(hours=21)) is not None
    assert len(copies_kept()) == 2


def test_two_years_of_days_leave_ten_new_copies_and_one_a_month() -> None:
    """The last ten days, and the last copy of each of the last twelve months."""
    days = [NOON + datetime.timedelta(days=day) for day in range(730)]
    copies = [Path(f"clothwright-{day:%Y-%m-%d-%H%M%S}.zip") for day in days]
    kept = worth_keeping(copies)
    assert kept[-10:] == tuple(copies[-10:])
    months = [one.name[12:19] for one in kept]
    assert len(set(months)) == 12
    assert len(kept) == 10 + 11
    assert worth_keeping(kept) == kept


def test_thinning_leaves_files_of_other_names_alone() -> None:
    """A copy somebody named is theirs."""
    back_up(backup_folder() / "before-the-fair.zip")
    for day in range(-10, 20):
        back_up_now_and_then(now=NOON + datetime.timedelta(days=day))
    assert (backup_folder() / "before-the-fair.zip").is_file()
    assert len(copies_kept()) == backing_up.KEPT_NEWEST + 1  # and the last of November


def test_a_full_disk_is_a_sentence_and_leaves_no_half_copy(monkeypatch: pytest.MonkeyPatch) -> None:
    """The library is as it was."""

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("shutil.copyfileobj", full)
    with pytest.raises(ProblemsFound, match="No space left on device"):
        back_up()
    assert list(backup_folder().iterdir()) == []
    assert woven() == ["kelp stole"]


def test_nothing_kept_yet_is_a_sentence() -> None:
    """There is nothing to copy."""
    shutil.rmtree(database_file().parent)
    with pytest.raises(ProblemsFound, match="nothing to copy"):
        back_up()


@pytest.mark.parametrize("year", [1970, 2038, 2199])
def test_a_clock_that_is_wrong_makes_copies_all_the_same_and_costs_none(
    monkeypatch: pytest.MonkeyPatch, year: int
) -> None:
    """With the clock at 1970, before what a zip knows, or far ahead, and back again: each copy is made, and none is thinned for it."""
    back_up_now_and_then(now=NOON)
    wrong = NOON.replace(year=year)
    monkeypatch.setattr("time.time", wrong.timestamp)
    monkeypatch.setattr("time.localtime", lambda *_: wrong.timetuple())
    strange = back_up_now_and_then(now=wrong)
    assert strange is not None
    later = back_up_now_and_then(now=NOON + datetime.timedelta(days=1))
    assert later is not None
    assert len(copies_kept()) == 3
    restore(later)
    assert woven() == ["kelp stole"]


def test_copies_of_a_clock_that_ran_ahead_do_not_thin_those_made_since() -> None:
    """Twenty copies dated 2038 stand in the folder; those of today are kept as ever."""
    for day in range(20):
        back_up(now=NOON.replace(year=2038) + datetime.timedelta(days=day))
    made = [back_up_now_and_then(now=NOON + datetime.timedelta(days=day)) for day in range(3)]
    assert all(one is not None and one.exists() for one in made)
    assert len(copies_kept()) == 23


def test_what_a_stop_in_the_middle_of_a_copy_left_is_taken_away() -> None:
    """And whole copies, and files with names of their own, are not."""
    whole = back_up()
    mine = backup_folder() / "mine.part"
    halves = [
        backup_folder() / "clothwright-2026-11-25-120000.part",
        backup_folder() / "clothwright-2026-11-25-120000.sqlite3",
    ]
    for one in (mine, *halves):
        one.write_text("half")
    (database_file().parent / "looking-at-xyz").mkdir()
    tidy_up()
    assert whole.exists()
    assert mine.exists()
    assert not any(one.exists() for one in halves)
    assert not (database_file().parent / "looking-at-xyz").exists()


def test_a_copy_tells_what_it_holds() -> None:
    """Counts of a library of another kind are nothing; a file that is no copy is refused."""
    assert held_in(back_up()) == Held(0, 0, 0, "")
