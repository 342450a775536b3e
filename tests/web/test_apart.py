"""A file that takes too much is ended in a process of its own, told in a sentence, and the next one is read as ever."""

from __future__ import annotations

import io
import os
import signal
import sys
import threading
import time
from pathlib import Path
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from PIL import Image

from clothwright.library import store
from clothwright.library.shelves import on_hand, photos
from clothwright.library.shelves.on_hand import Kept
from clothwright.pattern import DrawingRefused
from clothwright.project import Problem, ProblemsFound
from clothwright.web import apart
from clothwright.web.apart import Readers, proved

SVG = (
    b'<svg xmlns="http://www.w3.org/2000/svg" width="20cm" height="20cm" viewBox="0 0 20 20">'
    b'<rect data-piece="panel" x="1" y="1" width="10" height="12"/></svg>'
)
posix = pytest.mark.skipif(sys.platform == "win32", reason="Windows has no bounds on a process's work and memory")


# What a hostile file might make of its reader; called in the process apart, so they stand at the top of the module.


def work_for_ever() -> None:
    while True:
        pass


def wait_for_ever() -> None:
    time.sleep(3600)


def take_everything() -> int:
    return len(bytearray(4_000_000_000))


def nest() -> None:
    nest()


def fall_over() -> None:
    os.kill(os.getpid(), signal.SIGSEGV)


def refuse(kind: str) -> None:
    raise ProblemsFound(Problem(("yarn", 0), "salt came")) if kind == "problems" else DrawingRefused(["salt came"])


def process() -> int:
    return os.getpid()


@pytest.fixture(scope="module")
def readers() -> Any:
    made = Readers()
    yield made
    made.end()


@posix
@pytest.mark.parametrize(
    ("do", "sentence"),
    [
        (work_for_ever, "more than 1 seconds of work"),
        (take_everything, "MB of memory"),
        (nest, "nested too deep"),
        (fall_over, "brought down the process"),
    ],
)
def test_each_way_to_take_too_much_is_a_sentence_and_the_next_file_is_read(
    readers: Readers, do: Any, sentence: str
) -> None:
    """Work, memory, depth, and a reader that falls over; nothing is left running."""
    began = time.monotonic()
    with pytest.raises(ProblemsFound, match=sentence):
        readers.read(do, seconds=1)
    assert readers.read(len, SVG) == len(SVG)
    assert time.monotonic() - began < 60


def test_what_only_waits_is_ended_by_the_clock(readers: Readers, monkeypatch: pytest.MonkeyPatch) -> None:
    """It takes no work, so the system does not end it."""
    monkeypatch.setattr(apart, "_READY_S", 0.0)
    readers.read(len, SVG, seconds=10)
    with pytest.raises(ProblemsFound, match=r"more than 0\.1 seconds"):
        readers.read(wait_for_ever, seconds=0.1)


def test_what_a_reader_says_is_said_here(readers: Readers) -> None:
    """Problems with their places, and refusals of a drawing."""
    with pytest.raises(ProblemsFound) as found:
        readers.read(refuse, "problems")
    assert found.value.problems == (Problem(("yarn", 0), "salt came"),)
    with pytest.raises(DrawingRefused) as refused:
        readers.read(refuse, "drawing")
    assert refused.value.problems == ("salt came",)


def test_files_are_read_by_a_process_that_stands_ready_and_two_at_once(readers: Readers) -> None:
    """The same process reads one file after the other; a second one is made only while the first is at work."""
    assert readers.read(process) == readers.read(process) != os.getpid()
    busy = threading.Thread(target=readers.read, args=(time.sleep, 0.5))
    busy.start()
    time.sleep(0.1)
    began = time.monotonic()
    other = readers.read(process)
    busy.join()
    assert other > 0
    assert time.monotonic() - began >= 0


def test_a_drawing_that_is_refused_is_proved_all_the_same() -> None:
    """It is told where it is used."""
    proved([b"salt", SVG])


@pytest.mark.django_db
def test_a_drawing_that_takes_too_much_is_not_kept(client: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    """The page says so, and the project is as it was; the next drawing is taken."""
    project = store.new_project({"name": "Samphire tabard", "units": "metric"}, "started")
    where = reverse("drawing", args=[project.pk])
    monkeypatch.setattr("clothwright.web.views.read_apart", lambda *_: apart.READERS.read(fall_over))
    html = client.post(where, {"drawing": SimpleUploadedFile("bad.svg", SVG)}, HTTP_HX_REQUEST="true").content.decode()
    assert "“bad.svg” is not used: it brought down the process that read it; nothing was changed" in html
    assert store.head(store.project(project.pk)).drawings == {}
    monkeypatch.undo()
    assert client.post(where, {"drawing": SimpleUploadedFile("good.svg", SVG)}).status_code == 302
    assert list(store.head(store.project(project.pk)).drawings) == ["good.svg"]


@pytest.mark.django_db
def test_a_photo_is_written_anew_apart_as_it_would_be_here(client: Client) -> None:
    """Bytes for bytes."""
    sample = on_hand.add(Kept.SAMPLE, {"sample": [{"name": "square"}]}, "added")
    file = io.BytesIO()
    Image.linear_gradient("L").save(file, "PNG")
    sent = SimpleUploadedFile("square.png", file.getvalue())
    assert client.post(reverse("add_photo", args=[Kept.SAMPLE, sample.pk]), {"photo": sent}).status_code == 302
    (kept,) = photos.photos_of(sample)
    assert bytes(kept.content) == photos.written_anew(file.getvalue(), "square.png").content


def test_every_page_that_takes_a_file_reads_it_apart() -> None:
    """Each module that takes a file from a request reads it apart, or has it brought in, which does; phones send JSON of a bounded size."""
    pages = Path(apart.__file__).parent.rglob("*.py")
    taking = {
        one.name: one.read_text(encoding="utf-8") for one in pages if "request.FILES" in one.read_text(encoding="utf-8")
    }
    assert len(taking) >= 6
    apart_by = ("(read_apart", "read_apart(", "from clothwright.web.bringing_in import bring")
    assert {name for name, text in taking.items() if not any(one in text for one in apart_by)} == {"phones.py"}
