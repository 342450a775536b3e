"""Orders that are looked for, not drawn: one that keeps hard rules, the least set of rules that clash, the least change.

Every place and ball has a yes or no, “this turn is of this ball”. The rules become clauses over them, and a solver of
propositional logic finds an order that keeps them all, or the smallest set of rules that no order keeps together. Each rule
that a person stated stands behind a yes or no of its own, so that it can be named when it clashes. Sums (at most so many
turns of a ball) are written as totalisers.

*Source:* the solvers and encodings of the PySAT toolkit (A. Ignatiev, A. Morgado, J. Marques-Silva, SAT 2018); the least set
by implicit hitting sets (A. Ignatiev, A. Previti, M. Liffiton, J. Marques-Silva, CP 2015).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any, Final

from pysat.card import CardEnc, EncType
from pysat.examples.optux import OptUx
from pysat.examples.rc2 import RC2
from pysat.formula import WCNF, IDPool
from pysat.solvers import Solver

from clothwright.colours.rules import Rules, Taken
from clothwright.colours.sharing import most_there, yarns_of

#: Conflicts after which the solver gives up: a few seconds.
_PATIENCE: Final = 200_000
_SOLVER: Final = "cadical153"
_PATIENT: Final = "glucose4"


@dataclass(frozen=True)
class Stated:
    """A rule as a person stated it, in words, and the clauses it makes."""

    words: str
    clauses: tuple[tuple[int, ...], ...]


def order_that_keeps(balls: Sequence[Taken], rules: Rules) -> list[Taken] | None:
    """Any order that keeps the rules, however many turns each ball then gives; None where none was found."""
    grid = _Grid(balls, rules)
    with Solver(name=_PATIENT, bootstrap_with=grid.clauses()) as solver:
        solver.conf_budget(_PATIENCE)
        return grid.read(solver.get_model()) if solver.solve_limited() else None


def least_clash(balls: Sequence[Taken], rules: Rules) -> tuple[str, ...]:
    """The smallest set of stated rules that no order keeps together, in words; empty where some order keeps them all."""
    grid = _Grid(balls, rules)
    formula = WCNF()
    for clause in grid.always:
        formula.append(list(clause))
    for number, stated in enumerate(grid.stated):
        chosen = grid.ids.id(("stated", number))
        for clause in stated.clauses:
            formula.append([*clause, -chosen])
        formula.append([chosen], weight=1)
    if not _clash(formula):
        return ()
    with OptUx(formula, solver=_PATIENT, minz=True) as seeker:
        found = seeker.compute()
    return tuple(grid.stated[number - 1].words for number in found or ())


def _clash(formula: WCNF) -> bool:
    """Whether the rules clash for sure; a search that takes too long says no."""
    with Solver(name=_PATIENT, bootstrap_with=formula.hard) as solver:
        solver.conf_budget(_PATIENCE)
        return solver.solve_limited(assumptions=[soft[0] for soft in formula.soft]) is False


def nearest(kept: Sequence[Taken], balls: Sequence[Taken], rules: Rules) -> list[Taken] | None:
    """The order that keeps the rules and leaves the most turns of `kept` as they are; None where none keeps them."""
    grid = _Grid(balls, rules)
    formula = WCNF()
    for clause in grid.clauses():
        formula.append(list(clause))
    for place, ball in enumerate(kept):
        if ball in balls:
            formula.append([grid.at(place, ball)], weight=1)
    with RC2(formula) as solver:
        model = solver.compute()
    return None if model is None else grid.read(model)


class _Grid:
    """The yes or no of every place and ball, and the clauses of the rules over them."""

    def __init__(self, balls: Sequence[Taken], rules: Rules) -> None:
        self.balls = [ball for ball in balls if ball.most > 0]
        self.rules = rules
        self.ids = IDPool()
        for place, ball in product(range(rules.turns), self.balls):
            self.ids.id((place, ball))
        self.always = [*self._one_ball_a_turn(), *self._most_of_balls()]
        self.stated = tuple(self._stated())

    def at(self, place: int, ball: Taken) -> int:
        return int(self.ids.id((place, ball)))

    def clauses(self) -> list[Sequence[int]]:
        return [*self.always, *(clause for stated in self.stated for clause in stated.clauses)]

    def read(self, model: Sequence[int]) -> list[Taken]:
        """The order that a model tells of."""
        true = {literal for literal in model if literal > 0}
        return [next(ball for ball in self.balls if self.at(place, ball) in true) for place in range(self.rules.turns)]

    # --- always so ---------------------------------------------------------------------------------------------

    def _one_ball_a_turn(self) -> list[tuple[int, ...]]:
        clauses: list[tuple[int, ...]] = []
        for place in range(self.rules.turns):
            here = [self.at(place, ball) for ball in self.balls]
            clauses += map(tuple, self._sum(here, most=1))
            clauses.append(tuple(here))
        return clauses

    def _most_of_balls(self) -> list[tuple[int, ...]]:
        return [tuple(clause) for ball in self.balls for clause in self._sum(self._of(ball), most=ball.most)]

    # --- as stated ---------------------------------------------------------------------------------------------

    def _stated(self) -> Iterable[Stated]:
        yield from self._how_many()
        yield from self._side_by_side()
        yield from self._in_their_places()

    def _how_many(self) -> Iterable[Stated]:
        rules = self.rules
        for yarn in yarns_of(self.balls):
            there = sum(ball.most for ball in self.balls if ball.yarn == yarn)
            if rules.most_of.get(yarn, there) < there:
                yield self._stated_sum(f"of {yarn} a share is kept for the weft", yarn, most=rules.most_of[yarn])
        for yarn in sorted(rules.use_up & set(yarns_of(self.balls))):
            yield self._stated_sum(f"{yarn} is used up", yarn, least=most_there(self.balls, rules, yarn))

    def _side_by_side(self) -> Iterable[Stated]:
        rules = self.rules
        if rules.longest_run is not None:
            yield Stated(
                f"at most {rules.counted(rules.longest_run)} of a yarn lie together",
                tuple(self._runs(rules.longest_run)),
            )
        for pair in sorted(rules.strangers, key=sorted):
            one, other = min(pair), max(pair)
            yield Stated(f"{one} and {other} do not lie side by side", tuple(self._strangers(one, other)))
        if rules.between:
            yield Stated(f"{rules.counted(rules.between)} lie between two of one ball", tuple(self._between()))

    def _in_their_places(self) -> Iterable[Stated]:
        rules = self.rules
        for yarn in sorted(rules.not_at_edges):
            yield Stated(f"{yarn} does not stand at an edge", tuple(self._not_at_edges(yarn)))
        for place, yarn in sorted(rules.held.items()):
            here = tuple(self.at(place, ball) for ball in self._balls_of(yarn))
            yield Stated(f"{rules.called} {place + 1} is {yarn}", (here,))
        if rules.selvedge:
            yarn, many = rules.selvedge
            yield Stated(f"{rules.counted(many)} of {yarn} stand at each selvedge", tuple(self._selvedges()))
        for yarn in sorted(rules.spread & set(yarns_of(self.balls))):
            yield Stated(f"{yarn} is spread evenly along the width", tuple(self._spread(yarn)))

    def _stated_sum(self, words: str, yarn: str, *, most: int | None = None, least: int | None = None) -> Stated:
        here = [place for ball in self._balls_of(yarn) for place in self._of(ball)]
        return Stated(words, tuple(map(tuple, self._sum(here, most=most, least=least))))

    def _runs(self, longest: int) -> Iterable[tuple[int, ...]]:
        """In every stretch one longer than the longest run, some turn is of another yarn."""
        for yarn, start in product(yarns_of(self.balls), range(self.rules.turns - longest)):
            yield tuple(-self._is(place, yarn) for place in range(start, start + longest + 1))

    def _strangers(self, one: str, other: str) -> Iterable[tuple[int, ...]]:
        for place in range(self.rules.turns - 1):
            yield (-self._is(place, one), -self._is(place + 1, other))
            yield (-self._is(place, other), -self._is(place + 1, one))

    def _not_at_edges(self, yarn: str) -> Iterable[tuple[int, ...]]:
        for place, ball in product((0, self.rules.turns - 1), self._balls_of(yarn)):
            yield (-self.at(place, ball),)

    def _between(self) -> Iterable[tuple[int, ...]]:
        for ball, place in product(self.balls, range(self.rules.turns)):
            for later in range(place + 1, min(place + self.rules.between + 1, self.rules.turns)):
                yield (-self.at(place, ball), -self.at(later, ball))

    def _selvedges(self) -> Iterable[tuple[int, ...]]:
        for place, yarn in self.rules.at_selvedges.items():
            yield tuple(self.at(place, ball) for ball in self._balls_of(yarn))

    def _spread(self, yarn: str) -> Iterable[tuple[int, ...]]:
        """However many turns of the yarn there are, so many of them stand in the first places as is their share."""
        turns = self.rules.turns
        most = min(turns, sum(ball.most for ball in self._balls_of(yarn)))
        for many in range(1, most + 1):
            others = (-self._counted(yarn, turns, many), self._counted(yarn, turns, many + 1))
            for places in range(1, turns):
                least, at_most = many * places // turns, -(-many * places // turns)
                if least:
                    yield (*others, self._counted(yarn, places, least))
                yield (*others, -self._counted(yarn, places, at_most + 1))

    def _counted(self, yarn: str, places: int, many: int) -> int:
        """The yes or no of “so many turns of the yarn, or more, stand in the first places”."""
        known = len(self.ids.obj2id)
        literal = int(self.ids.id(("counted", yarn, places, many)))
        if len(self.ids.obj2id) == known:
            return literal
        if many > places:
            self.always.append((-literal,))
        elif many == 0:
            self.always.append((literal,))
        else:
            here, fewer = self._is(places - 1, yarn), self._counted(yarn, places - 1, many - 1)
            already = self._counted(yarn, places - 1, many)
            self.always += [(-literal, already, here), (-literal, already, fewer)]
            self.always += [(literal, -already), (literal, -here, -fewer)]
        return literal

    # --- the small parts ---------------------------------------------------------------------------------------

    def _of(self, ball: Taken) -> list[int]:
        return [self.at(place, ball) for place in range(self.rules.turns)]

    def _balls_of(self, yarn: str) -> list[Taken]:
        return [ball for ball in self.balls if ball.yarn == yarn]

    def _is(self, place: int, yarn: str) -> int:
        """The yes or no of “this turn is of this yarn”."""
        known = len(self.ids.obj2id)
        literal = int(self.ids.id((place, yarn)))
        if len(self.ids.obj2id) > known:
            here = [self.at(place, ball) for ball in self._balls_of(yarn)]
            self.always += [(-one, literal) for one in here] + [(-literal, *here)]
        return literal

    def _sum(self, literals: list[int], *, most: int | None = None, least: int | None = None) -> list[list[int]]:
        """Clauses for at most, or at least, so many of the literals."""
        clauses: list[list[int]] = []
        if most is not None and most < len(literals):
            clauses += _encoded(CardEnc.atmost(literals, most, vpool=self.ids, encoding=EncType.seqcounter))
        if least is not None and least > len(literals):
            clauses.append([])
        elif least is not None and least > 0:
            clauses += _encoded(CardEnc.atleast(literals, least, vpool=self.ids, encoding=EncType.seqcounter))
        return clauses


def _encoded(formula: Any) -> list[list[int]]:
    return [list(clause) for clause in formula.clauses]
