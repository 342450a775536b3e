"""What is given out holds the whole package: checked here by the patterns, and in full by `python tools/check_wheel.py`."""

from __future__ import annotations

import importlib.util
import plistlib
import re
import runpy
import tomllib
from configparser import RawConfigParser
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "src/clothwright"
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


def loaded(path: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(Path(path).stem, ROOT / path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


check_wheel = loaded("tools/check_wheel.py")
in_container = loaded("deploy/in_container.py")
#: What a build takes along beside the package: the guide's texts.
GUIDE = runpy.run_path(str(ROOT / "src/clothwright/guide/texts.py"))


def test_every_file_that_is_no_python_is_package_data() -> None:
    """*Source*: Setuptools' package-data takes glob patterns relative to the package."""
    named = {
        file
        for pattern in PROJECT["tool"]["setuptools"]["package-data"]["clothwright"]
        for file in PACKAGE.glob(pattern)
    }
    there = {file for file in PACKAGE.rglob("*") if file.is_file() and "__pycache__" not in file.parts}
    data = {file for file in there if file.suffix != ".py"}
    assert len(data) > 200
    assert not data - named


def test_every_folder_with_python_is_a_package() -> None:
    folders = {file.parent for file in PACKAGE.rglob("*.py")}
    assert not {folder for folder in folders if not (folder / "__init__.py").exists()}


def test_the_source_archive_is_asked_for_every_folder_and_page_of_the_checkout() -> None:
    asked = set(re.findall(r"[\w.]+", (ROOT / "MANIFEST.in").read_text(encoding="utf-8")))
    of_the_build = {"README.md", "LICENSE", "pyproject.toml", "setup.py", "MANIFEST.in", "src"}
    there = {
        name.split("/")[0] for name in check_wheel.tracked_files() if not name.startswith(check_wheel.NOT_GIVEN_OUT)
    }
    assert there - of_the_build - asked == set()


def test_what_is_missing_or_too_much_is_named() -> None:
    ours = ["README.md", "src/clothwright/__init__.py", "src/clothwright/facts.toml", ".gitignore"]
    archive, wheel = (
        set(ours[:3]),
        {"clothwright/__init__.py", "clothwright/facts.toml", "clothwright-1.dist-info/METADATA"},
    )
    check_wheel.compare(ours, archive, wheel)
    with pytest.raises(check_wheel.NotSound, match=r"not in the wheel: clothwright/facts\.toml"):
        check_wheel.compare(ours, archive, wheel - {"clothwright/facts.toml"})
    with pytest.raises(check_wheel.NotSound, match=r"not in the source archive: README\.md"):
        check_wheel.compare(ours, archive - {"README.md"}, wheel)
    with pytest.raises(check_wheel.NotSound, match=r"not of the package: tests/stray\.py"):
        check_wheel.compare(ours, archive, wheel | {"tests/stray.py"})


def test_the_container_is_no_root_keeps_its_data_apart_and_looks_after_itself() -> None:
    lines = (ROOT / "deploy/Containerfile").read_text(encoding="utf-8").replace("\\\n", "").splitlines()
    last = [line for line in lines if line.startswith("FROM ")][-1]
    stage = lines[lines.index(last) :]
    told = {line.split()[0]: line for line in stage if line and line[0].isupper()}
    assert told["USER"] == "USER 10001:10001"
    assert told["VOLUME"] == 'VOLUME ["/data"]'
    assert "CLOTHWRIGHT_DATA=/data" in told["ENV"]
    assert told["STOPSIGNAL"] == "STOPSIGNAL SIGINT"
    assert '"well"' in told["HEALTHCHECK"]
    for line in lines:
        if line.startswith("COPY ") and "--from" not in line:
            assert all((ROOT / name).exists() for name in line.split()[1:-1]), line
    copied = {name for line in lines if line.startswith("COPY ") for name in line.split()[1:-1]}
    assert {"setup.py", "docs", "examples", "src", *GUIDE["BESIDE"]} <= copied


def test_a_container_that_does_not_answer_is_not_well(capsys: pytest.CaptureFixture[str]) -> None:
    assert not in_container.well("http://127.0.0.1:9")
    assert in_container.main(["dance"]) == 2
    assert "usage" in capsys.readouterr().err


def test_a_container_whose_name_nobody_knows_is_served_all_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    """By the address it would go out by; without any network by that of the machine itself. Found by running one whose hosts named it not."""

    def unknown(_: str) -> str:
        raise in_container.socket.gaierror

    monkeypatch.setattr(in_container.socket, "gethostbyname", unknown)
    assert re.fullmatch(r"[0-9]+(\.[0-9]+){3}", in_container.own_address())

    class Cut(in_container.socket.socket):  # type: ignore[misc]
        def connect(self, address: object) -> None:
            raise OSError(address)

    monkeypatch.setattr(in_container.socket, "socket", Cut)
    assert in_container.own_address() == "127.0.0.1"


@pytest.mark.parametrize("name", ["clothwright.service", "clothwright-at-home.service"])
def test_a_service_is_stopped_as_by_ctrl_c(name: str) -> None:
    """A RawConfigParser that is strict refuses a line given twice."""
    unit = RawConfigParser(strict=True)
    unit.optionxform = str  # type: ignore[assignment,method-assign]
    unit.read(ROOT / "deploy" / name, encoding="utf-8")
    assert unit["Service"]["KillSignal"] == "SIGINT"
    assert re.search(r"/clothwright serve\b", unit["Service"]["ExecStart"])
    assert unit["Service"]["UMask"] == "0077"


def test_the_agent_of_macos_is_read_and_begins_again_only_after_a_failure() -> None:
    agent = plistlib.loads((ROOT / "deploy/clothwright-at-home.plist").read_bytes())
    assert agent["ProgramArguments"][-1] == "serve"
    assert agent["KeepAlive"] == {"SuccessfulExit": False}
    assert agent["Umask"] == 0o077
