"""What each student of a project's class needs, or what keeps it from being told: beside a student, or on the project's page."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import partial
from typing import Any, Final

from clothwright.library import store
from clothwright.library.models import Revision
from clothwright.planning import ClassNeeds, StudentNeeds, class_needs
from clothwright.project import ClassList, Problem, ProblemsFound, read_class
from clothwright.web import planned
from clothwright.web.forms.typed import Filled, Tree
from clothwright.web.latest import Latest
from clothwright.web.worked_apart import GivenUp, of_revision

_answers: Final = Latest["ClassAnswered"](32)


@dataclass(frozen=True)
class ClassAnswered:
    """The class as worked out for all whose rows are in order; problems `here` are in the paths of the tree as typed."""

    needs: ClassNeeds | None = None
    here: tuple[Problem, ...] = ()
    elsewhere: tuple[Problem, ...] = ()

    def student(self, number: int) -> StudentNeeds | None:
        """The student worked out of that number; None where there is none."""
        students = self.needs.students if self.needs else ()
        return next((one for one in students if one.number == number), None)


def answered(revision: Revision, tree: Tree) -> ClassAnswered:
    """What a class needs of a revision's piece, kept by all that it depends on."""
    key = json.dumps([revision.tree, revision.drawings, tree], sort_keys=True)
    try:
        return _answers.made(key, partial(of_revision, _answered, revision, tree))
    except GivenUp as why:
        return ClassAnswered(elsewhere=why.problems)


def _answered(revision: Revision, tree: Tree) -> ClassAnswered:
    filled = Filled.of(tree)
    of_class, places, problems = _read(filled.tree)
    try:
        project = planned.document(revision)
        if of_class is None:
            return ClassAnswered(here=filled.problems(problems))
        needs = class_needs(project, of_class, drawings=store.drawings_of(revision), keep_going=True)
    except ProblemsFound as wrong:
        return ClassAnswered(None, filled.problems(problems), planned.problems_of(revision, wrong))
    left_out = (Problem(("student", places[int(one.path[1])], *one.path[2:]), one.sentence) for one in needs.left_out)
    students = tuple(replace(one, number=places[one.number]) for one in needs.students)
    here = filled.problems((*problems, *left_out))
    return ClassAnswered(replace(needs, students=students, left_out=here), here)


def _read(tree: Tree) -> tuple[ClassList | None, list[int], tuple[Problem, ...]]:
    """The class of a tree without the rows that are wrong, where each of its students stands, and the problems of the others.

    None in place of the class where something is wrong that is no student's.
    """
    rows = tree.get("student", [])
    places = list(range(len(rows) if isinstance(rows, list) else 0))
    try:
        return read_class(tree), places, ()
    except ProblemsFound as found:
        wrong = _rows_of(found.problems)
        if wrong is None:
            return None, places, found.problems
        right = [place for place in places if place not in wrong]
        return _without(tree, right, found.problems)


def _without(
    tree: Tree, right: list[int], problems: tuple[Problem, ...]
) -> tuple[ClassList | None, list[int], tuple[Problem, ...]]:
    """The class of the students that are right; two of one name come to light only then."""
    try:
        return read_class(tree | {"student": [tree["student"][place] for place in right]}), right, problems
    except ProblemsFound as found:
        return None, right, (*problems, *found.problems)


def _rows_of(problems: Iterable[Problem]) -> set[Any] | None:
    """The rows problems are of; None where one is of no row."""
    found = set()
    for one in problems:
        if len(one.path) < 2 or one.path[0] != "student":
            return None
        found.add(one.path[1])
    return found
