"""Compare what Clothwright rests on with the list of known holes: python tools/audit.py, in its .venv.

Asked is about the packages that whoever uses it has installed, with the extras “studio” and “photo”, each at the version that is here; what
the tests alone need is left out. The status is 0 where no hole is known, 1 where one is, 3 where the list could not be asked.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from importlib import metadata
from pathlib import Path
from typing import Any

NONE_KNOWN, KNOWN, NOT_ASKED = 0, 1, 3
EXTRAS = frozenset({"studio", "photo"})
_LONGEST_S = 180


def main() -> int:
    """Ask, and say what came of it."""
    packages = rests_on("clothwright", EXTRAS)
    said = asked(packages)
    compared = [one for one in said if "vulns" in one]
    if not compared:
        print(f"The list of known holes could not be asked: {len(packages)} packages were NOT compared with it.")
        return NOT_ASKED
    for sentence in (holes := list(sentences(compared))):
        print(sentence)
    if passed_over := sorted({*packages} - {one["name"] for one in compared}):
        print(f"NOT compared, since the list does not know them: {', '.join(passed_over)}.")
    print(
        f"Compared with the list of known holes: {len(compared)} of {len(packages)} packages; {len(holes) or 'none'} known."
    )
    return KNOWN if holes else NONE_KNOWN


def rests_on(name: str, extras: frozenset[str]) -> dict[str, str]:
    """Every package that one needs here, with its extras, and what those need in turn: its version by its name."""
    from packaging.requirements import Requirement
    from packaging.utils import canonicalize_name

    found: dict[str, str] = {}
    waiting, seen = [(name, extras)], set[tuple[str, frozenset[str]]]()
    while waiting:
        one, of = waiting.pop()
        for needed in map(Requirement, metadata.requires(one) or ()):
            if needed.marker and not any(needed.marker.evaluate({"extra": extra}) for extra in (*of, "")):
                continue
            key, more = canonicalize_name(needed.name), frozenset(needed.extras)
            if (key, more) not in seen:
                seen.add((key, more))
                found[key] = metadata.version(key)
                waiting.append((key, more))
    return dict(sorted(found.items()))


def asked(packages: dict[str, str]) -> list[dict[str, Any]]:
    """What pip-audit says of each package; nothing where it has no answer. One that it passed over has no “vulns”.

    A registry that has packages and no list of holes answers it for each that there is no such package, and it then ends with “No known
    vulnerabilities found”: so what counts is what was compared.
    """
    with tempfile.TemporaryDirectory(prefix="audit-") as folder:
        listed = Path(folder, "packages.txt")
        listed.write_text("".join(f"{name}=={version}\n" for name, version in packages.items()), encoding="utf-8")
        how = ("-r", str(listed), "--no-deps", "--disable-pip", "-f", "json", "--progress-spinner", "off")
        command = [sys.executable, "-m", "pip_audit", *how]
        try:
            done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=_LONGEST_S)
        except subprocess.TimeoutExpired:
            return []
    said = json.loads(done.stdout)["dependencies"] if done.stdout.lstrip().startswith("{") else []
    return [one for one in said if "skip_reason" not in one]


def sentences(compared: list[dict[str, Any]]) -> Iterator[str]:
    """One sentence for each hole that is known."""
    for package in compared:
        for hole in package["vulns"]:
            mended = ", ".join(hole.get("fix_versions", ())) or "none yet"
            yield f"{package['name']} {package['version']} has a known hole, {hole['id']}; mended in: {mended}"


if __name__ == "__main__":
    sys.exit(main())
