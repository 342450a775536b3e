"""Set up, show and test Clothwright on a fresh machine: python tools/run.py setup | demo | test | guide. Standard library only.

`make` calls this; where there is no make (Windows), call it as `py tools/run.py demo`. SERVE=0 in the environment, or
`--no-serve`, ends the demo after the sheets.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
import venv
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
BIN = VENV / ("Scripts" if os.name == "nt" else "bin")
PYTHON = BIN / ("python.exe" if os.name == "nt" else "python")
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "msedge")
#: Where Debian keeps the programs that are not on the path.
POSTGRES = Path("/usr/lib/postgresql")
LEAST_PYTHON = (3, 11)
#: Each test process does its sums on one core: two that both want two wait for each other most of the time.
ONE_THREAD = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}


def main(arguments: list[str]) -> int:
    """Do what was asked; the exit status is that of the first step that failed."""
    if sys.version_info < LEAST_PYTHON:
        return _refuse(f"Python {sys.version.split()[0]} is too old; 3.11 or newer is needed")
    asked, rest = (arguments or ["help"])[0], arguments[1:]
    jobs = {"setup": setup, "demo": demo, "test": test, "guide": guide}
    if asked not in jobs:
        return _refuse("usage: python tools/run.py setup | demo [--no-serve] | test | guide")
    return jobs[asked](rest)


def setup(_rest: list[str]) -> int:
    """Make .venv with clothwright in it."""
    return _install("")


def demo(rest: list[str]) -> int:
    """Plan the demo garment, write its sheets under out/, then serve the pages unless told not to."""
    quiet = ["--no-serve"] if os.environ.get("SERVE") == "0" and "--no-serve" not in rest else []
    return _install("") or _run(PYTHON, "-m", "clothwright", "demo", *quiet, *rest)


def guide(rest: list[str]) -> int:
    """Write the guide as a site of plain files under out/guide."""
    return _install("") or _run(PYTHON, "-m", "clothwright", "guide", "-o", str(ROOT / "out/guide"), *rest)


def test(rest: list[str]) -> int:
    """Everything the tests need, then lint, types, layers and all tests."""
    status = _install("[test]")
    if status:
        return status
    if _install("[cluster]"):
        print("The extra “cluster” could not be installed: the tests of searching on a cluster are NOT run.")
    browser = _browser()
    if browser is None and os.environ.get("CI"):
        return _refuse("no browser was found and none could be installed; in CI nothing is skipped for want of one")
    if browser is None:
        print(
            "No Chromium was found: the browser tests are NOT run. Install one, or set CLOTHWRIGHT_BROWSER to its path."
        )
    if not _postgres():
        if os.environ.get("CI"):
            return _refuse(
                "no PostgreSQL was found and none could be installed; in CI nothing is skipped for want of one"
            )
        print(
            "No PostgreSQL was found: the tests of a shared studio on a server are NOT run. Install the package "
            "postgresql, or set CLOTHWRIGHT_POSTGRES to the folder of its programs."
        )
    environment = ONE_THREAD | os.environ | ({"CLOTHWRIGHT_BROWSER": browser} if browser else {})
    return _audited() or _checks(rest, environment)


#: The status of tools/audit.py where the list could not be asked.
_NOT_ASKED = 3


def _audited() -> int:
    """Compare what Clothwright rests on with the list of known holes; where it cannot be asked that is said, and nothing fails."""
    if _install("[audit]"):
        print("pip-audit could not be installed: the packages are NOT compared with the list of known holes.")
        return 0
    print("\n== known holes of what Clothwright rests on", flush=True)
    status = _run(PYTHON, str(ROOT / "tools" / "audit.py"))
    return 0 if status == _NOT_ASKED else status


def _checks(rest: list[str], environment: dict[str, str]) -> int:
    steps = (
        ("ruff", "check", "."),
        ("ruff", "format", "--check", "."),
        ("mypy",),
        ("lint-imports",),
        ("pytest", "-n", "2", *rest),
    )
    for name, *arguments in steps:
        print(f"\n== {name} {' '.join(arguments)}", flush=True)
        status = _run(BIN / name, *arguments, environment=environment)
        if status:
            return status
    return 0


def _install(extras: str) -> int:
    """Install into .venv, once for each state of pyproject.toml."""
    stamp = VENV / f".installed{extras.strip('[]')}"
    wanted = hashlib.sha256((ROOT / "pyproject.toml").read_bytes()).hexdigest()
    if stamp.exists() and stamp.read_text() == wanted:
        return 0
    if not PYTHON.exists():
        status = _make_venv()
        if status:
            return status
    print(f"Installing Clothwright{' and what its tests need' if extras else ''} into .venv …", flush=True)
    status = _run(PYTHON, "-m", "pip", "install", "--quiet", "--disable-pip-version-check", "-e", f"{ROOT}{extras}")
    if status == 0:
        stamp.write_text(wanted)
    return status


def _make_venv() -> int:
    try:
        import ensurepip  # noqa: F401
    except ImportError:
        if not _apt("python3-venv"):
            return _refuse("Python's venv is missing; on Debian install the package python3-venv")
        return _run(Path(sys.executable), "-m", "venv", str(VENV))
    venv.create(VENV, with_pip=True)
    return 0


def _browser() -> str | None:
    """The browser for the tests: named, found, or installed from Debian's packages when this is root."""
    named = os.environ.get("CLOTHWRIGHT_BROWSER")
    if named and Path(named).exists():
        return named
    found = next((path for name in BROWSERS if (path := shutil.which(name))), None)
    if found is None and _apt("chromium"):
        found = shutil.which("chromium")
    return found


def _postgres() -> bool:
    """Whether PostgreSQL's programs are there: named, found, or installed from Debian's packages when this is root."""
    named = os.environ.get("CLOTHWRIGHT_POSTGRES")
    return bool(named and Path(named, "initdb").exists()) or _initdb() or (_apt("postgresql") and _initdb())


def _initdb() -> bool:
    return shutil.which("initdb") is not None or any(POSTGRES.glob("*/bin/initdb"))


def _apt(package: str) -> bool:
    """Install a Debian package, where that is allowed."""
    if shutil.which("apt-get") is None or not hasattr(os, "geteuid") or os.geteuid() != 0:
        return False
    print(f"Installing {package} from the system's packages …", flush=True)
    quiet = os.environ | {"DEBIAN_FRONTEND": "noninteractive"}
    apt = Path("apt-get")
    _run(apt, "update", "-qq", environment=quiet)
    return _run(apt, "install", "-y", "-qq", "--no-install-recommends", package, environment=quiet) == 0


def _run(program: Path, *arguments: str, environment: dict[str, str] | None = None) -> int:
    try:
        return subprocess.run([str(program), *arguments], cwd=ROOT, env=environment, check=False).returncode
    except KeyboardInterrupt:
        return 130


def _refuse(sentence: str) -> int:
    print(sentence, file=sys.stderr)
    return 2


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
