"""Every command in every document is one that there is, with options that there are, and answers; what a page says it answers, it answers.

A command runs as it is written where it stands on files that come along, and with a file put in where it says FILE. What serves, what
changes the machine and what asks for a password is read in and not run; so is what takes a minute, and a single
sheet of FILE, which their own tests run. A
command with the same options is run once, wherever it stands.
"""

from __future__ import annotations

import re
import shlex
import shutil
import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import click
import pytest
from commands import typed

from clothwright.cli.app import commands
from clothwright.guide.texts import given_along

ROOT = Path(__file__).parent.parent
PAGES = ("README.md", *(name for name in given_along(ROOT) if name.endswith(".md") and "decisions" not in name))
#: Read in and not run, with the reason.
NOT_RUN = {
    "serve": "it serves until it is stopped",
    "studio": "it asks for a password",
    "restore": "it takes the place of a library; tests/library",
    "spindrift-waistcoats.toml": "240 rows take a minute; tests/planning",
    "trace": "it takes a photograph; tests/pattern",
    "import": "it takes an archive; tests/cli",
    "demo": "the first cloth types it",
    "--rounds": "four rounds at every width take a minute; tests/layout",
}
#: The file to put in where a page says FILE.
FILE = {
    "layout.md": "rows-of-rectangles.toml",
    "sampling.md": "wrackline-waistcoat.toml",
    "weaving.md": "eelgrass-tabard.toml",
    "finishing.md": "cordgrass-waistcoat.toml",
    "leaflet.md": "tideline-vest.toml",
    "record.md": "sandbar-shrug.toml",
    "colours.md": "strandline-wrap.toml",
    "fit.md": "samphire-bodice.toml",
    "narrow-cloth.md": "wrack-smock.toml",
    "threading.md": "saltmarsh-twill.toml",
    "classes.md": "rockpool-class.toml",
    "sheets.md": "cordgrass-waistcoat.toml",
}


@dataclass(frozen=True)
class Command:
    """A command as a page writes it, and the words it is made of."""

    page: str
    text: str

    @property
    def words(self) -> list[str]:
        """Its words, a choice in brackets or between bars left out or taken first."""
        plain = re.sub(r"\[[^\]]*\]", "", self.text)
        stands_in = {"KIND": "threading", "DRAFT.wif": "examples/saltmarsh-twill.wif"}
        stands_in["RECORDS.csv"] = "tests/published/cloths/records.csv"
        return [stands_in.get(word, word) for word in shlex.split(plain, comments=True)[1:]]


@cache
def every_command() -> tuple[Command, ...]:
    found: dict[str, Command] = {}
    for page in PAGES:
        text = (ROOT / page).read_text(encoding="utf-8")
        blocks = re.findall(r"^```(?:console)?\n(.*?)^```|^((?:    .+\n)+)", text, re.MULTILINE | re.DOTALL)
        lines = [line.strip() for block in blocks for part in block for line in part.splitlines()]
        lines = [re.sub(r"^(\$ |\S*bin/)", "", line) for line in lines]
        prose = re.sub(r"^```.*?^```", "", text, flags=re.MULTILINE | re.DOTALL)
        inline = [" ".join(said.split()) for said in re.findall(r"`([^`]+)`", prose)]
        for said in (*lines, *inline):
            if re.match(r"clothwright [a-z-]", said):
                found.setdefault(said, Command(page.removeprefix("docs/"), said))
    return tuple(found.values())


def test_every_command_is_read_with_the_options_it_has() -> None:
    """Also what only names a command, as `clothwright plan`."""
    assert len(every_command()) > 120
    for one in every_command():
        words = one.words
        if words == ["--version"]:
            continue
        assert words[0] in commands.commands, f"{one.page}: {one.text}"
        if len(words) == 1 or _only_names(words):
            continue
        try:
            _read(commands.commands[words[0]], words)
        except click.ClickException as wrong:
            raise AssertionError(f"{one.page}: {one.text}: {wrong.format_message()}") from None


def _only_names(words: list[str]) -> bool:
    """Whether a page speaks of an option without what it takes: `clothwright records --find`."""
    takes = {
        name for one in commands.commands[words[0]].params if not getattr(one, "is_flag", False) for name in one.opts
    }
    return words[-1] in takes and words[-1].startswith("-")


def _read(command: click.Command, words: list[str]) -> None:
    context = command.make_context(words[0], words[1:])
    if isinstance(command, click.Group):
        command.resolve_command(context, words[1:])


def _runs() -> list[Command]:
    """The commands to run, each with the options it has once: those on files that come along before those on FILE."""
    able = [one for one in every_command() if one.page != "first-cloth.md" and _can_run(one)]
    able.sort(key=lambda one: "FILE" in one.words)
    found: dict[tuple[str, ...], Command] = {}
    for one in able:
        options = sorted(word for word in one.words if word.startswith("-"))
        kind = [one.words[place + 1] for place, word in enumerate(one.words) if word == "--only"]
        found.setdefault((one.words[0], *options, *kind), one)
    return list(found.values())


def _can_run(one: Command) -> bool:
    if len(one.words) < 2 or one.words[0] not in commands.commands or _only_names(one.words):
        return False
    if one.words[0] == "sheets" and "FILE" in one.words:
        return False  # each kind is drawn by tests/sheets
    names = {*one.words, *(Path(word).name for word in one.words)}
    left = [word for word in one.words if word.isupper() and len(word) > 3 and word != "FILE"]
    made = [word for word in one.words if re.fullmatch(r"(my|list|runner|smock|photo|project|cloths)\b.*", word)]
    return not names & set(NOT_RUN) and not left and not made


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("one", _runs(), ids=lambda one: f"{one.page}: {one.text[12:70]}")
def test_a_command_answers(one: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copytree(ROOT / "examples", tmp_path / "examples")
    shutil.copytree(ROOT / "tests/published/cloths", tmp_path / "tests/published/cloths")
    shutil.copytree(ROOT / "src/clothwright/library/demo", tmp_path / "examples", dirs_exist_ok=True)
    (tmp_path / "out").mkdir()
    monkeypatch.setenv("CLOTHWRIGHT_DATA", str(tmp_path / "data"))
    given = f"examples/{FILE.get(one.page, 'slate-tide-cloth.toml')}"
    words = [given if word == "FILE" else word for word in one.words]
    said = typed(*words, *_quickly(words), folder=tmp_path)
    assert said.returncode == 0, said.stderr


def _quickly(words: list[str]) -> list[str]:
    """No search by the clock where the command would search."""
    options = {name for option in commands.commands[words[0]].params for name in option.opts}
    return ["--seconds", "0"] if "--seconds" in options and not {"--seconds", "--rounds"} & set(words) else []


# --- the first cloth ------------------------------------------------------------------------------------------------

FIRST = (ROOT / "docs/first-cloth.md").read_text(encoding="utf-8")
PROJECT = "wrackline-waistcoat.toml"


@pytest.mark.django_db(transaction=True)
def test_the_first_cloth_goes_all_the_way_and_answers_what_it_prints(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Block by block: commands are typed, what stands below them is in the answer in that order, additions go into the file."""
    monkeypatch.setenv("CLOTHWRIGHT_DATA", str(tmp_path / "data"))
    typed_in = 0
    for kind, block in re.findall(r"^```(console|toml)\n(.*?)^```", FIRST, re.MULTILINE | re.DOTALL):
        if kind == "toml":
            tomllib.loads(block)
            with (tmp_path / PROJECT).open("a", encoding="utf-8") as file:
                file.write(f"\n{block}")
            continue
        command, *lines = block.splitlines()
        said = typed(*shlex.split(command)[2:], folder=tmp_path)
        assert said.returncode == 0, said.stderr
        _holds(_plain(said.stdout), lines, command)
        typed_in += 1
    assert typed_in > 12


def _holds(answer: str, lines: list[str], command: str) -> None:
    """Each line stands in the answer, after the one before it."""
    at = 0
    for line in map(_plain, lines):
        if line == "…":
            continue
        found = answer.find(line, at)
        assert found >= 0, f"{command} does not answer “{line}”"
        at = found + len(line)


def _plain(text: str) -> str:
    return " ".join(text.split())


def test_every_figure_the_first_cloth_speaks_of_stands_in_an_answer_or_in_the_project() -> None:
    """In its prose; a figure that nobody measured, reckoned or typed could go stale unseen."""
    blocks = "\n".join(re.findall(r"^```.*?^```", FIRST, re.MULTILINE | re.DOTALL))
    project = (ROOT / "src/clothwright/library/demo" / PROJECT).read_text(encoding="utf-8")
    pictures = "\n".join(path.read_text(encoding="utf-8") for path in (ROOT / "docs/pictures").glob("*.svg"))
    known = set(_figures("\n".join((blocks, project, re.sub(r"<(?!/?(text|desc|title))[^>]*>", "", pictures)))))
    prose = re.sub(r"^```.*?^```|\]\([^)]*\)", "", FIRST, flags=re.MULTILINE | re.DOTALL)
    spoken = _figures(prose)
    assert len(spoken) > 20
    assert [one for one in spoken if one not in known] == []


def _figures(text: str) -> list[str]:
    return re.findall(r"\d+(?:\.\d+)?", text)
