"""A studio filled for the load test: members who can sign in, each with projects from the examples and things on hand; told as JSON.

Called by `benchmarks/load.py` in a process of its own: python benchmarks/load_filling.py MEMBERS.
"""

from __future__ import annotations

import copy
import json
import os
import sys
from pathlib import Path
from typing import Any

EXAMPLES = Path(__file__).parents[1] / "examples"
PASSWORD = "eelgrass under low water"
#: Each member has so many projects, the examples in turn.
PROJECTS_EACH = 3


def main() -> None:
    """Fill the studio that the environment names."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clothwright.web.settings")
    from clothwright.web.serve import ready

    ready()
    json.dump(filled(int(sys.argv[1])), sys.stdout)


def filled(members: int) -> list[dict[str, Any]]:
    """Every member: her address, and her projects with their keys, whether they have pieces, and the example each is from."""
    from django.contrib.auth.hashers import make_password

    from clothwright.library import whose
    from clothwright.library.models import Member

    trees, kept, told = _examples(), make_password(PASSWORD), []
    for number in range(members):
        name = f"member{number:03}"
        member = Member.objects.create(email=f"{name}@guild.example", name=name, password=kept, keeper=number == 0)
        with whose.seeing(whose.Seen(owner=member.pk)):
            told.append({"email": member.email, "projects": _things(trees, number)})
    return told


def _examples() -> list[tuple[str, dict[str, Any], dict[str, bytes]]]:
    from clothwright.library import plain_tree, read_project_file
    from clothwright.project import ProblemsFound
    from clothwright.web.forms.form import for_the_page

    found = []
    for path in sorted(EXAMPLES.glob("*.toml")):
        try:
            tree, drawings = read_project_file(path)
        except ProblemsFound:
            continue  # a class list, which is no project
        found.append((path.stem, for_the_page(plain_tree(tree)), dict(drawings)))
    return [one for one in found if one[1].get("yarn")]


def _things(trees: list[tuple[str, dict[str, Any], dict[str, bytes]]], number: int) -> list[dict[str, Any]]:
    from clothwright.library import store
    from clothwright.library.shelves import on_hand
    from clothwright.library.shelves.on_hand import Kept

    projects = []
    for place in range(PROJECTS_EACH):
        name, tree, drawings = trees[(number * PROJECTS_EACH + place) % len(trees)]
        project = store.new_project(copy.deepcopy(tree), f"opened {name}", drawings)
        projects.append(
            {"key": str(project.pk), "example": name, "pieces": "pattern" in tree, "leaflet": "leaflet" in tree}
        )
    yarn = copy.deepcopy(trees[number % len(trees)][1]["yarn"][0])
    on_hand.add(Kept.YARN, {"units": "metric", "yarn": [yarn]}, "typed in")
    return projects


if __name__ == "__main__":
    main()
