"""How short layouts get, beside the search library alone in the same time: `python benchmarks/layout.py`.

The published instances and one invented jacket lie in tests/published/nesting; see the README there for sources. Each
instance is searched by the library alone, with all workers and its own settings, and by this project's search, in turn,
so that both meet the same load of the machine. Lengths are over the best known and over the proved bound. Every layout
is judged; a fault ends the run. `--seconds 1 3 10 60` takes half an hour, the default some three minutes.

Then the staircase of the jacket over widths, and a waistcoat of rectangles whose lengths are known by hand.

`--rules SECONDS` takes the rules instead: a layout searched for without them, made to keep them afterwards, against a search that
knows of them, in the same processor time on one thread, two seeds each, over the layout without rules.
"""

from __future__ import annotations

import argparse
import json
import multiprocessing
import os
import time
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from dataclasses import replace
from datetime import timedelta
from functools import partial
from pathlib import Path
from statistics import mean
from typing import Any, NamedTuple

from clothwright.layout import (
    NO_RULES,
    Copy,
    Effort,
    Flaw,
    Layout,
    MatchPoint,
    Placed,
    Rules,
    Searchers,
    Stripes,
    best,
    candidate_widths,
    copies,
    faults,
    find,
    first_guess,
    lower_bound,
    solve,
    staircase,
    with_rules,
)
from clothwright.layout.search import SOLVER_SHARE
from clothwright.layout.squeezing import squeezed
from clothwright.pattern import Piece, rectangle

NESTING = Path(__file__).parents[1] / "tests" / "published" / "nesting"
PUBLISHED = ("albano", "dagli", "mao", "marques", "shirts", "swim", "trousers")
JACKET_BEST_SEEN_CM = {42.5: 386.2, 45.0: 352.8, 50.0: 341.6, 60.0: 250.5, 75.0: 199.5}
WAISTCOAT_BY_HAND_CM = {42.0: 252.0, 47.0: 252.0, 48.0: 190.0, 49.0: 190.0}
WORKERS = 2
STAIRCASE_SECONDS = (0.0, 2.0, 8.0)
WASTE_CM = 60.0


class Case(NamedTuple):
    """What is laid out: a name, the copies, the width of cloth, and the best length known."""

    name: str
    copies: tuple[Copy, ...]
    width_cm: float
    known_cm: float


def main() -> None:
    asked = arguments()
    if asked.rules:
        for line in rules_kept(asked.rules):
            print(line, flush=True)
        return
    print(f"{WORKERS} workers; load of the machine {os.getloadavg()[0]:.1f} at the start\n")
    with Searchers(WORKERS) as searchers, spawned_pool() as executor:
        searchers.ready()
        list(executor.map(abs, range(WORKERS)))
        if asked.sets:
            print("| cloth | pieces | seconds | library alone | took | ours | took | ours ÷ library | ours ÷ bound |")
            print("| --- | --: | --: | --: | --: | --: | --: | --: | --: |")
        for case in (case for case in cases() if case.name.split(",")[0] in asked.sets):
            for seconds in asked.seconds:
                print(side_by_side(case, seconds, asked.seed, searchers, executor), flush=True)
        if asked.story:
            print("\n".join(story(searchers)))
        if asked.staircase:
            print("\n".join(stairs(searchers)))
    print(f"\nload of the machine {os.getloadavg()[0]:.1f} at the end")


def arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seconds", type=float, nargs="+", default=[1.0, 3.0])
    parser.add_argument("--sets", nargs="*", default=[*PUBLISHED, "jacket"], choices=[*PUBLISHED, "jacket"])
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--rules", type=float)
    parser.add_argument("--no-story", dest="story", action="store_false")
    parser.add_argument("--no-staircase", dest="staircase", action="store_false")
    return parser.parse_args()


def rules_kept(seconds: float) -> Iterator[str]:
    """A row for each garment and rule: the bound, then both ways over the layout without the rule, mean of two seeds."""
    yield "| cloth | rule | bound | kept afterwards | in the search | no longer |"
    yield "| --- | --- | --: | --: | --: | --- |"
    for name, width in (("synthetic_jacket", 60.0), ("albano", 49.0)):
        facts = read(name)
        found = all_copies(facts) if name != "albano" else scaled(all_copies(facts), width / facts["strip_width"])
        for rule, rules in asked_of(found).items():
            plain, after, inside = ([], [], [])
            for seed in (1, 2):
                free = in_processor_time(found, width, seconds, seed, NO_RULES)
                plain.append(free.length_cm)
                turned = tuple(replace(copy, turns_deg=rules.turns_deg(copy)) for copy in found)
                lying = free if turned == found else in_processor_time(turned, width, seconds, seed, NO_RULES)
                after.append(with_rules(found, lying, rules).layout.length_cm)
                inside.append(squeezed_in_time(found, width, seconds, seed, rules).length_cm)
            bound = lower_bound(found, width, rules).length_cm / mean(plain)
            ratios = f"{mean(after) / mean(plain):.3f} | {mean(inside) / mean(plain):.3f}"
            yes = sum(ours <= theirs + 1e-6 for ours, theirs in zip(inside, after, strict=True))
            yield f"| {name}, {width:g} cm | {rule} | {bound:.3f} | {ratios} | {yes} of 2 |"


def in_processor_time(found: tuple[Copy, ...], width_cm: float, seconds: float, seed: int, rules: Rules) -> Layout:
    """One task of one thread; the machine's load changes what a second is worth, for all ways alike."""
    layout = solve(found, width_cm, seconds, seed, 1, rules) or first_guess(found, width_cm)
    kept = with_rules(found, layout, rules)
    if wrong := faults(found, kept.layout, rules=kept.kept):
        raise SystemExit(f"a layout with faults: {wrong}")
    return kept.layout


def squeezed_in_time(found: tuple[Copy, ...], width_cm: float, seconds: float, seed: int, rules: Rules) -> Layout:
    """As the search does with rules that shapes cannot tell; what squeezing gets is in processor time, by what the solver got."""
    if not rules.more_than_shapes:
        return in_processor_time(found, width_cm, seconds, seed, rules)
    began = time.process_time()
    free = in_processor_time(found, width_cm, SOLVER_SHARE * seconds, seed, rules.in_shapes)
    kept = with_rules(found, free, rules)
    until = time.process_time() + (time.process_time() - began) * (1 - SOLVER_SHARE) / SOLVER_SHARE
    enough = partial(_is_past, until)
    layout = squeezed(found, kept.layout, kept.kept, enough=enough, unruled=free, seed=seed)
    if wrong := faults(found, layout, rules=kept.kept):
        raise SystemExit(f"a layout with faults: {wrong}")
    return layout


def _is_past(until: float) -> bool:
    return time.process_time() > until


def scaled(found: tuple[Copy, ...], by: float) -> tuple[Copy, ...]:
    return tuple(replace(copy, outline=tuple((x * by, y * by) for x, y in copy.outline)) for copy in found)


def asked_of(found: tuple[Copy, ...]) -> dict[str, Rules]:
    """Rules of every kind that do not need to know the garment."""
    names = list(dict.fromkeys(copy.piece for copy in found))
    first = found[0]
    matched = tuple(
        MatchPoint("side", name, next(c.outline[0] for c in found if c.piece == name)) for name in names[:2]
    )
    return {
        "gap of 1 cm": Rules(gap_cm=1.0),
        "off the grain by 2°": Rules(grain_tolerance_deg=2.0),
        "a knot": Rules(flaws=(Flaw(83.0, 2.0, 20.0, 2.0, "knot"),)),
        "three knots": Rules(
            flaws=(Flaw(83.0, 2.0, 20.0, 2.0), Flaw(160.0, 2.0, 40.0, 2.0), Flaw(20.0, 2.0, 10.0, 2.0))
        ),
        "a bad band": Rules(flaws=(Flaw(84.0, 2.0),)),
        "a piece locked": Rules(locked=(Placed(first.piece, first.number, 40.0, 3.0, 0.0, first.mirrored),)),
        "1 cm from selvedges": Rules(selvedge_cm=1.0),
        "stripes matched": Rules(stripes=(Stripes(6.0),), matches=matched),
        "two lots": Rules(lots=(tuple(names[: len(names) // 2]), tuple(names[len(names) // 2 :]))),
        "over the whole width": Rules(whole_width=(names[-1],)),
    }


def spawned_pool() -> ProcessPoolExecutor:
    return ProcessPoolExecutor(WORKERS, mp_context=multiprocessing.get_context("spawn"))


def cases() -> Iterator[Case]:
    """Each published instance, and the jacket at some widths."""
    for name in PUBLISHED:
        facts = read(name)
        yield Case(name, all_copies(facts), facts["strip_width"], facts["best_known"]["length"])
    for width, known in JACKET_BEST_SEEN_CM.items():
        yield Case(f"jacket, {width} cm", all_copies(read("synthetic_jacket")), width, known)


def side_by_side(case: Case, seconds: float, seed: int, searchers: Searchers, executor: Executor) -> str:
    """One row: the library alone, then ours, in the same time."""
    began = time.perf_counter()
    alone = executor.submit(library_alone, case.copies, case.width_cm, seconds, seed).result()
    between = time.perf_counter()
    found = find(case.copies, case.width_cm, effort=Effort(seconds=seconds), seed=seed, by=searchers)
    took = time.perf_counter() - between
    judge(case.copies, found.layout)
    ours = found.layout.length_cm
    library = f"{alone / case.known_cm:.4f} | {between - began:.1f}" if alone else "panics | "
    against = f"{ours / alone:.4f}" if alone else ""
    name = f"| {case.name} | {len(case.copies)} | {seconds:g} "
    return f"{name}| {library} | {ours / case.known_cm:.4f} | {took:.1f} | {against} | {found.over_bound:.3f} |"


def library_alone(found: tuple[Copy, ...], width_cm: float, seconds: float, seed: int) -> float | None:
    """The length the library says it comes to with all workers and its own split of the time; None if it panics."""
    import spyrrow

    alike: dict[Any, list[Copy]] = {}
    for copy in found:
        alike.setdefault((copy.outline, copy.turns_deg), []).append(copy)
    items = [
        spyrrow.Item(str(n), list(outline), len(same), list(turns))
        for n, ((outline, turns), same) in enumerate(alike.items())
    ]
    config = spyrrow.StripPackingConfig(
        early_termination=False, total_computation_time=1, num_workers=WORKERS, seed=seed
    )
    config.exploration_time = timedelta(seconds=0.8 * seconds)
    config.compression_time = timedelta(seconds=0.2 * seconds)
    try:
        return float(spyrrow.StripPackingInstance("cloth", width_cm, items).solve(config).width)
    except (KeyboardInterrupt, SystemExit):
        raise
    except BaseException:  # noqa: BLE001 - the library's panic is no Exception
        return None


def story(searchers: Searchers) -> Iterator[str]:
    """The waistcoat whose rows are laid by hand: 252 cm up to 47 cm of width, 190 cm from 48 on."""
    yield "\n| waistcoat, width | by hand | found | bound |\n| --: | --: | --: | --: |"
    for width, by_hand in WAISTCOAT_BY_HAND_CM.items():
        found = find(waistcoat(), width, effort=Effort(seconds=1.0), by=searchers)
        judge(waistcoat(), found.layout)
        if round(found.layout.length_cm, 6) != by_hand:
            raise SystemExit(f"{found.layout.length_cm} cm at {width} cm, by hand {by_hand} cm")
        yield f"| {width:g} cm | {by_hand:g} | {found.layout.length_cm:.1f} | {found.bound.length_cm:.1f} |"


def waistcoat() -> tuple[Copy, ...]:
    pieces = (
        rectangle("back", width_cm=24, length_cm=62, cut=2),
        rectangle("front", width_cm=26, length_cm=64, cut=2),
        rectangle("side", width_cm=12, length_cm=40, cut=2),
        rectangle("facing", width_cm=8, length_cm=64, cut=2),
    )
    return copies(pieces, one_way=True)


def stairs(searchers: Searchers) -> Iterator[str]:
    """The staircase of the jacket, yarn as width times length and waste, over the time given."""
    found = all_copies(read("synthetic_jacket"))
    first_guess.cache_clear()
    widths = candidate_widths(found, least_cm=42, most_cm=75)
    yield "\n| jacket, 24 widths | took, s | best width, cm | length, cm | bound, cm | width × (length + 60) |"
    yield "| --: | --: | --: | --: | --: | --: |"
    for seconds in STAIRCASE_SECONDS:
        began = time.perf_counter()
        steps = staircase(found, widths, effort=Effort(seconds), seed=1, by=searchers, yarn_m=yarn_m)
        took = time.perf_counter() - began
        for step in steps:
            judge(found, step.layout)
        least = best(steps)
        bound = lower_bound(found, least.width_cm).length_cm
        figures = f"{least.width_cm:g} | {least.layout.length_cm:.1f} | {bound:.1f} | {least.yarn_m:.0f}"
        yield f"| {seconds:g} s | {took:.2f} | {figures} |"


def yarn_m(width_cm: float, length_cm: float) -> float:
    """Only a stand-in for yarn: width times length with the waste of the loom."""
    return width_cm * (length_cm + WASTE_CM)


def judge(found: tuple[Copy, ...], layout: Layout) -> None:
    wrong = faults(found, layout)
    if wrong:
        raise SystemExit("\n".join(wrong))


def read(name: str) -> dict[str, Any]:
    facts: dict[str, Any] = json.loads((NESTING / f"{name}.json").read_text(encoding="utf-8"))
    return facts


def all_copies(facts: dict[str, Any]) -> tuple[Copy, ...]:
    """The copies of an instance, each with the turns its file allows."""
    found: list[Copy] = []
    for p in facts["pieces"]:
        piece = Piece(str(p["id"]), tuple((x, y) for x, y in p["polygon"]), cut=p["quantity"])
        turns = tuple(float(t) for t in p["rotations_deg"])
        found += [Copy(c.piece, c.number, c.outline, False, turns) for c in copies((piece,), one_way=False)]
    return tuple(found)


if __name__ == "__main__":
    main()
