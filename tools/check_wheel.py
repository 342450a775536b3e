"""Build the wheel and the source archive, install the wheel where no checkout is near, and use it there.

    python tools/check_wheel.py [--keep FOLDER]

What is tracked by git is copied first, so that nothing left over from an earlier build comes in. The source archive is made from that
copy, the wheel from the archive. Then, in a fresh environment in another folder: every file of the package is there; the program
plans an example by hand and by forecast, prints the demo's sheets and the help sheets, tells a word in German and a chapter of the guide; `serve` answers, with its style, script and mark, opens a library that was not there, and ends with status 0 when it is told
to stop. How long each took is told with the load of the machine. Needs the registry (or a mirror of it), as any install does;
standard library only.
"""

from __future__ import annotations

import argparse
import os
import re
import runpy
import shutil
import signal
import subprocess
import sys
import tarfile
import tempfile
import time
import urllib.error
import urllib.request
import venv
import zipfile
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
#: What a checkout needs and a source archive does not.
NOT_GIVEN_OUT = (".ci/", ".gitignore")
#: Written by the build, not by us.
MADE = (".dist-info/",)
#: How the guide's texts are named, which a build copies into the package.
_TEXTS = runpy.run_path(str(ROOT / "src/clothwright/guide/texts.py"))
ALONG = f"clothwright/guide/{_TEXTS['PACKED']}/"
#: The examples that the pages open, which a build copies into the package too.
EXAMPLES = "clothwright/library/examples/"
EXAMPLE_KINDS = (".toml", ".svg", ".wif")
BIN = "Scripts" if os.name == "nt" else "bin"
START_S = 60.0
_FACES = (
    "import pypdf; page = pypdf.PdfReader({sheet!r}).pages[0]; "
    "print(*(font.get_object()['/BaseFont'] for font in page['/Resources']['/Font'].values()))"
)
_WITHOUT_PROXY = urllib.request.build_opener(urllib.request.ProxyHandler({}))


class NotSound(Exception):
    """What was built or installed is not what it should be; the sentence says how."""


def main(arguments: list[str]) -> int:
    """Do all of it; 0 where everything held, 1 with a sentence where something did not."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("--keep", type=Path, help="leave the wheel and the source archive in this folder")
    keep = parser.parse_args(arguments).keep
    try:
        with tempfile.TemporaryDirectory(prefix="clothwright-wheel-") as folder:
            checked(Path(folder).resolve(), keep)
    except (NotSound, subprocess.CalledProcessError) as wrong:
        print(f"Not sound: {wrong}", file=sys.stderr)
        return 1
    print("The wheel and the source archive are sound.")
    return 0


def checked(folder: Path, keep: Path | None) -> None:
    """Build, compare, install and use, in a folder that is thrown away."""
    source, out = folder / "source", folder / "out"
    tracked = copied(source)
    archive = source_archive(source, out, folder / "builder")
    wheel = wheel_of(archive, out, folder / "builder")
    compare(tracked, names_in(archive), names_in(wheel))
    if keep:
        keep.mkdir(parents=True, exist_ok=True)
        for built in (archive, wheel):
            shutil.copy(built, keep)
    use(Installed(folder, wheel, source / "examples"))


# --- built ------------------------------------------------------------------------------------------------------------


def copied(to: Path) -> list[str]:
    """Copy what is tracked; the names, relative to the root. An unpacked source archive is copied whole."""
    names = tracked_files()
    for name in names:
        (to / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(ROOT / name, to / name)
    return names


def tracked_files() -> list[str]:
    """Every file of the checkout that git knows and that is there."""
    listed = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=False)
    if listed.returncode:
        raise NotSound("this is no checkout of git, so what belongs to it is not known")
    return sorted(name for name in listed.stdout.split("\0") if name and (ROOT / name).is_file())


def source_archive(source: Path, out: Path, builder: Path) -> Path:
    """The source archive, made by the build backend that pyproject.toml names."""
    venv.create(builder, with_pip=True)
    out.mkdir()
    wanted = re.search(r'^requires = \["(.+)"\]', (source / "pyproject.toml").read_text(encoding="utf-8"), re.MULTILINE)
    if wanted is None:
        raise NotSound("pyproject.toml names no single build requirement")
    _run(builder, "-m", "pip", "install", "--quiet", "--disable-pip-version-check", wanted[1])
    backend = f"import setuptools.build_meta as backend; backend.build_sdist({str(out)!r})"
    _run(builder, "-W", "ignore", "-c", backend, cwd=source)
    return _only(out, "*.tar.gz")


def wheel_of(archive: Path, out: Path, builder: Path) -> Path:
    """The wheel, made from the source archive as an installer makes it."""
    _run(
        builder,
        "-m",
        "pip",
        "wheel",
        "--quiet",
        "--disable-pip-version-check",
        "--no-deps",
        "-w",
        str(out),
        str(archive),
    )
    return _only(out, "*.whl")


def names_in(built: Path) -> set[str]:
    """The files in a wheel, or in a source archive without the folder they all stand in."""
    if built.suffix == ".whl":
        with zipfile.ZipFile(built) as held:
            return set(held.namelist())
    with tarfile.open(built) as held:
        return {one.name.split("/", 1)[1] for one in held if one.isfile()}


def compare(tracked: Iterable[str], archive: set[str], wheel: set[str]) -> None:
    """Every file of the package is in both, every other in the archive; the wheel holds nothing else. NotSound if not."""
    ours = set(tracked)
    package = {name.removeprefix("src/") for name in ours if name.startswith("src/")}
    package |= {ALONG + name for name in ours & set(_TEXTS["given_along"](ROOT))}
    package |= {
        EXAMPLES + Path(name).name for name in ours if name.startswith("examples/") and name.endswith(EXAMPLE_KINDS)
    }
    given_out = {name for name in ours if not name.startswith(NOT_GIVEN_OUT)}
    _none(given_out - archive, "not in the source archive")
    _none(package - wheel, "not in the wheel")
    _none(
        {name for name in wheel - package if not any(made in name for made in MADE)},
        "in the wheel and not of the package",
    )
    print(f"Source archive: {len(archive)} files. Wheel: {len(wheel)} files, {len(package)} of them the package.")


def _none(names: set[str], how: str) -> None:
    if names:
        raise NotSound(f"{how}: {', '.join(sorted(names)[:20])}{' …' if len(names) > 20 else ''}")


# --- installed and used ----------------------------------------------------------------------------------------------


class Installed:
    """The wheel in an environment of its own, with a folder to work in, a data folder, and nothing that leads to the checkout."""

    def __init__(self, folder: Path, wheel: Path, examples: Path) -> None:
        self.environment, self.work = folder / "installed", folder / "work"
        self.work.mkdir()
        shutil.copytree(examples, self.work / "examples")
        venv.create(self.environment, with_pip=True)
        _run(self.environment, "-m", "pip", "install", "--quiet", "--disable-pip-version-check", str(wheel))
        shutil.rmtree(folder / "source")
        kept = {
            name: value
            for name, value in os.environ.items()
            if not name.startswith(("PYTHON", "CLOTHWRIGHT", "DJANGO"))
        }
        self.variables = kept | {"CLOTHWRIGHT_DATA": str(folder / "data"), "PYTHONUTF8": "1", "NO_COLOR": "1"}

    def python(self, line: str) -> str:
        """What a line of Python prints."""
        return self._said([str(_python(self.environment)), "-c", line])

    def says(self, *words: str) -> str:
        """What a command prints; how long it took is told."""
        begun, worked = time.monotonic(), _worked_s()
        said = self._said([str(self.environment / BIN / "clothwright"), *words])
        _told(f"{' '.join(words)} ({_worked_s() - worked:.2f} s of processor time)", time.monotonic() - begun)
        return said

    def _said(self, words: list[str]) -> str:
        ended = subprocess.run(
            words, cwd=self.work, env=self.variables, capture_output=True, text=True, encoding="utf-8", check=False
        )
        if ended.returncode:
            raise NotSound(f"“{' '.join(words)}” ended with {ended.returncode}: {ended.stderr.strip()[-2000:]}")
        return ended.stdout

    @contextmanager
    def served(self) -> Iterator[str]:
        """The address of `serve` while it runs; it must end with status 0 when it is interrupted."""
        begun = time.monotonic()
        words = [str(self.environment / BIN / "clothwright"), "serve", "--port", "0"]
        running = subprocess.Popen(
            words, cwd=self.work, env=self.variables, stdout=subprocess.PIPE, text=True, encoding="utf-8"
        )
        try:
            assert running.stdout is not None
            found = re.search(r"http://\S+?:\d+", running.stdout.readline())
            if found is None:
                raise NotSound(f"serve told no address and ended with {running.wait()}")
            _fetched(found[0] + "/health/")
            _told("serve, until it answers", time.monotonic() - begun)
            yield found[0]
            if os.name != "nt":
                running.send_signal(signal.SIGINT)
                if running.wait(START_S):
                    raise NotSound(f"serve ended with {running.returncode} when it was interrupted")
        finally:
            running.kill()
            running.wait()


def use(here: Installed) -> None:
    """Use the installed program as somebody would who has nothing else of it."""
    _from_there(here)
    _by_command(here)
    _on_paper(here)
    for _ in range(2):  # into an empty folder, and into the library that the first left
        with here.served() as address:
            _by_pages(address)


def _from_there(here: Installed) -> None:
    where = Path(here.python("import clothwright; print(clothwright.__file__)").strip()).resolve()
    _holds(where.is_relative_to(here.environment), f"the program imported is {where}, not the one installed")
    version = re.search(
        r'"(.+)"', (ROOT / "src/clothwright/__init__.py").read_text(encoding="utf-8").split("__version__")[1]
    )
    _holds(version is not None and version[1] in here.says("--version"), "another version answers than the checkout's")


def _by_command(here: Installed) -> None:
    example = str(Path("examples", "slate-tide-cloth.toml"))
    _holds("Warp" in here.says("plan", example, "--by-hand"), "the sums by hand name no warp")
    _holds('"verdict"' in here.says("plan", example, "--seconds", "0", "--json"), "the plan has no verdict")
    _holds("# Samples" in here.says("guide", "samples"), "the guide did not come along")
    _holds("Kettfaden" in here.says("words", "end", "--language", "de"), "the German catalogue does not answer")


def _on_paper(here: Installed) -> None:
    for words in (("demo", "--no-serve", "--seconds", "1", "-o", "demo"), ("sheets", "--blank", "-o", "blank")):
        here.says(*words)
        sheets = sorted((here.work / words[-1]).glob("*.pdf"))
        _holds(len(sheets) > 3, f"{' '.join(words)} wrote {len(sheets)} sheets")
        faces = here.python(_FACES.format(sheet=str(sheets[0])))
        _holds(
            "Atkinson" in faces,
            f"{sheets[0].name} of {words[-1]} is set in {faces.strip()}, not in the face that comes along",
        )


def _by_pages(address: str) -> None:
    _holds('"well": true' in _fetched(address + "/health/"), "the program served is not well")
    front = _fetched(address + "/")
    needed = set(re.findall(r'(?:href|src)="(/static/[^"]+)"', front))
    _holds(
        {Path(one).suffix for one in needed} >= {".css", ".js", ".svg"},
        f"the first page asks for {sorted(needed)} alone",
    )
    elsewhere = re.findall(r'(?:href|src|action)="((?:https?:)?//[^"]+)"', front)
    _holds(not elsewhere, f"the first page leads elsewhere: {elsewhere}")
    for path in (
        *sorted(needed),
        "/looms/",
        "/samples/",
        "/words/",
        "/find/?words=selvage",
        "/guide/pictures/wraps.svg",
    ):
        _fetched(address + path)
    _holds("The first cloth" in _fetched(address + "/guide/first-cloth/"), "the guide did not come along")


def _fetched(address: str) -> str:
    try:
        with _WITHOUT_PROXY.open(address, timeout=START_S) as answer:
            return str(answer.read().decode("utf-8"))
    except urllib.error.HTTPError as wrong:
        raise NotSound(f"{address} answers {wrong.code}") from None


def _holds(true: bool, otherwise: str) -> None:
    if not true:
        raise NotSound(otherwise)


def _told(what: str, seconds: float) -> None:
    load = f", load {os.getloadavg()[0]:.1f}" if hasattr(os, "getloadavg") else ""
    print(f"{seconds:6.2f} s  {what}{load}", flush=True)


def _worked_s() -> float:
    """Processor time of the programs that were started here and have ended."""
    spent = os.times()
    return spent.children_user + spent.children_system


def _only(folder: Path, pattern: str) -> Path:
    found = list(folder.glob(pattern))
    if len(found) != 1:
        raise NotSound(f"{len(found)} files {pattern} were built, not one")
    return found[0]


def _python(environment: Path) -> Path:
    return environment / BIN / ("python.exe" if os.name == "nt" else "python")


def _run(environment: Path, *words: str, cwd: Path | None = None) -> None:
    subprocess.run([str(_python(environment)), *words], cwd=cwd, check=True, stdout=subprocess.DEVNULL)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
