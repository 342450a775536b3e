"""A shared studio under the load of its members, for so many minutes, and a report of what they met.

    python benchmarks/load.py --minutes 10 --report docs/reports/load.md

A PostgreSQL cluster of its own is begun in a temporary folder, a studio filled in it, and `clothwright serve --studio` serves it as a
service of the machine does (deploy/clothwright.service). Members sign in and play (`load_players.py`), from threads of this one
process. Needs the extra `test` and PostgreSQL's programs; Linux alone, since it looks at processes in /proc.
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import re
import shlex
import signal
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import Any, Final

ROOT: Final = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "tests"))

from load_filling import PASSWORD, PROJECTS_EACH  # noqa: E402
from load_players import BY_ITSELF, FOLLOWED_S, TYPED_UNTIL_FIGURES, WEIGHTS, Member, Noted, Notes  # noqa: E402
from load_watching import Sample, Watch  # noqa: E402
from postgres import WHY_NOT, cluster, programs  # noqa: E402

LIMIT_S: Final = 0.3
#: Members sign in one after another, this long apart, before the minutes begin to count.
APART_S: Final = 0.2
#: Kinds that are no pages: what a browser loads once, what happens once, what pages ask for by themselves, and what is no answer.
NO_PAGES: Final = ("static file", "sign in", "page to sign in", TYPED_UNTIL_FIGURES, *BY_ITSELF)


@dataclass(frozen=True)
class Asked:
    """What was asked of the run."""

    minutes: float
    members: int
    think_s: float
    seed: int


@dataclass(frozen=True)
class Search:
    """One search that was asked for: seconds until it began and until it ended (None where it did not), and what came of it."""

    waited_s: float | None
    took_s: float | None
    ended: bool
    outcome: str


@dataclass(frozen=True)
class Ran:
    """Everything a run gave."""

    asked: Asked
    began: float
    until: float
    notes: Notes
    samples: list[Sample]
    searches: list[Search]
    signed_in: int
    slow: Counter[str]
    load: tuple[float, float]


def main() -> None:
    """Run, and write the report where one is asked for, else print it."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--minutes", type=float, default=10.0)
    parser.add_argument("--members", type=int, default=100)
    parser.add_argument("--think", type=float, default=20.0, help="seconds between pages, in the mean")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--report", type=Path, help="the file to write; left out, the report is printed")
    given = parser.parse_args()
    if programs() is None:
        sys.exit(WHY_NOT)
    # A shell that begins this in the background has it ignore Ctrl+C, and the server, which is stopped by it, would too.
    signal.signal(signal.SIGINT, signal.default_int_handler)
    ran = run(Asked(given.minutes, given.members, given.think, given.seed))
    text = report(ran, shlex.join(["python", "benchmarks/load.py", *sys.argv[1:]]))
    if given.report:
        given.report.write_text(text, encoding="utf-8")
    else:
        print(text)


# --- running ----------------------------------------------------------------------------------------------------------


def run(asked: Asked) -> Ran:
    """Begin database and server, have members play, and gather what came of it."""
    with cluster(sync=True) as url, tempfile.TemporaryDirectory(prefix="cw-load-") as folder:
        environment = os.environ | {"DATABASE_URL": url, "CLOTHWRIGHT_DATA": folder}
        people = _filled(asked.members, environment)
        with served(environment, Path(folder)) as (process, port):
            watch = Watch(process.pid, _postmaster(url))
            watch.begin()
            notes, load = Notes(), os.getloadavg()[0]
            members = [Member(port, who, notes, asked.think_s, asked.seed * 1000 + n) for n, who in enumerate(people)]
            signed_in = _sign_in(members)
            began = time.time()
            until = began + asked.minutes * 60
            everybody([partial(member.play, until) for member in members], until)
            watch.end()
            return Ran(
                asked, began, until, notes, watch.samples, _searches(url), signed_in, _slow(Path(folder)),
                (load, os.getloadavg()[0]),
            )  # fmt: skip


def _filled(members: int, environment: dict[str, str]) -> list[dict[str, Any]]:
    command = [sys.executable, str(ROOT / "benchmarks/load_filling.py"), str(members)]
    done = subprocess.run(command, env=environment, stdout=subprocess.PIPE, check=True, text=True)
    found: list[dict[str, Any]] = json.loads(done.stdout)
    return found


@contextmanager
def served(environment: dict[str, str], folder: Path) -> Iterator[tuple[subprocess.Popen[str], int]]:
    """The studio, served as its service serves it; its log goes to a file of the folder."""
    environment = environment | {"MALLOC_ARENA_MAX": "2"}
    command = [sys.executable, "-m", "clothwright", "serve", "--studio", "--log", "json", "--port", "0"]
    with (folder / "journal").open("w", encoding="utf-8") as journal:
        process = subprocess.Popen(command, env=environment, stdout=subprocess.PIPE, stderr=journal, text=True)
        assert process.stdout is not None
        try:
            found = re.search(r":(\d+)", process.stdout.readline())
            assert found is not None, (folder / "journal").read_text(encoding="utf-8")
            yield process, int(found[1])
        finally:
            process.send_signal(signal.SIGINT)
            try:
                process.wait(60)
            except subprocess.TimeoutExpired:
                process.kill()
                raise


def _postmaster(url: str) -> int:
    """The first process of the cluster."""
    import psycopg

    with psycopg.connect(url) as opened:
        (folder,) = opened.execute("SHOW data_directory").fetchone() or ("",)
    return int(Path(folder, "postmaster.pid").read_text(encoding="utf-8").split()[0])


def _sign_in(members: Sequence[Member]) -> int:
    """Have every member sign in, one after another, then look at her projects once; say how many could sign in."""
    done = 0
    for member in members:
        done += member.sign_in(PASSWORD)
        time.sleep(APART_S)
    for some in (members[0::4], members[1::4], members[2::4], members[3::4]):
        everybody([member.look_first for member in some])
    return done


def everybody(do: Sequence[Callable[[], None]], until: float | None = None) -> None:
    """Have all of this done at the same time, each by a thread; wait for them, or until a while after a time."""
    threads = [threading.Thread(target=one, daemon=True) for one in do]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(None if until is None else max(0.0, until + 90 - time.time()))


def _searches(url: str) -> list[Search]:
    import psycopg

    asked = "SELECT started_at, begun_at, ended_at, ended, outcome FROM library_layoutrun ORDER BY id"
    with psycopg.connect(url) as opened:
        rows = opened.execute(asked).fetchall()
    return [
        Search(
            (begun - started).total_seconds() if begun else None,
            (over - begun).total_seconds() if begun and over else None,
            ended,
            outcome,
        )
        for started, begun, over, ended, outcome in rows
    ]


def _slow(folder: Path) -> Counter[str]:
    """The slow lines of the journal, by what was slow."""
    lines = (
        json.loads(line) for line in (folder / "journal").read_text(encoding="utf-8").splitlines() if line[:1] == "{"
    )
    told = [one for one in lines if str(one.get("event", "")).startswith("slow")]
    return Counter(f"{one['event']}{': ' + str(one['route']) if one.get('route') else ''}" for one in told)


# --- the report -------------------------------------------------------------------------------------------------------


def report(ran: Ran, command: str) -> str:
    """The whole report, every figure of it measured in this run."""
    asked, counted = ran.asked, _in_time(ran)
    pages = [one for one in counted if one.kind not in NO_PAGES]
    seconds = sorted(one.seconds for one in pages)
    later = [one for one in counted if one.kind in (*BY_ITSELF, TYPED_UNTIL_FIGURES)]
    faulty = [one for one in pages + later if one.status == 0 or one.status >= 400]
    p95 = _quantile(seconds, 0.95)
    verdict = "is within" if p95 <= LIMIT_S else "is over"
    return "\n".join(
        [
            "# A studio under load",
            "",
            f"Made by `{command}` on {datetime.fromtimestamp(ran.began, UTC):%Y-%m-%d %H:%M} UTC.",
            "",
            f"{asked.members} members ({ran.signed_in} of them signed in) each opened pages for {asked.minutes:g} minutes, reading "
            f"{asked.think_s:g} s in the mean between two (exponential). **p95 of all pages was {p95:.3f} s, which {verdict} the aim of "
            f"{LIMIT_S:g} s**; {len(faulty)} of {len(pages) + len(later)} answers were faults.",
            "",
            *_circumstances(ran),
            "",
            "## Pages",
            "",
            *_table("all pages", pages),
            "",
            "## What pages ask for by themselves",
            "",
            f"A page is there before these are. The row “{TYPED_UNTIL_FIGURES}” is how long a plan takes to follow what was typed.",
            "",
            *_table("", later),
            "",
            "## Before the minutes count",
            "",
            *_before(ran),
            "",
            *_faults(ran),
            "## Searches for layouts",
            "",
            *_of_searches(ran),
            "",
            "## Memory and processor",
            "",
            *_of_processes(ran),
            "",
            "## What was measured, and what not",
            "",
            *_LIMITS,
            "",
        ]
    )


_LIMITS: Final = (
    "- Measured: seconds from sending a request to the last byte of its answer, as whoever asks sees them, waiting for a thread of the "
    "server included.",
    "- The members are threads of one process on the same machine, and take part of its processor; how much stands above.",
    "- Not measured: a web server with TLS in front, the network, drawing in a browser, mail, uploads of files and photos, backups "
    "meanwhile, and members who come back with an empty browser.",
    "- Memory is the share that is a process's own, pages shared with others divided among them (`Pss` of Linux).",
)


def _in_time(ran: Ran) -> list[Noted]:
    return [one for one in ran.notes.answers if ran.began <= one.at <= ran.until]


def _circumstances(ran: Ran) -> list[str]:
    minutes = ran.asked.minutes
    counted = sum(one.kind != TYPED_UNTIL_FIGURES for one in _in_time(ran))
    state = subprocess.run(
        ["git", "-C", ROOT, "describe", "--always", "--dirty"], capture_output=True, text=True, check=False
    )
    weights = ", ".join(f"{kind} {weight}" for kind, weight in WEIGHTS.items())
    return [
        "| | |",
        "| --- | --- |",
        f"| program | {state.stdout.strip() or 'not known'}, Python {platform.python_version()} |",
        f"| machine | {os.cpu_count()} cores, shared by server, searches, database and the members played |",
        f"| load before and after (one minute) | {ran.load[0]:.2f}, {ran.load[1]:.2f} |",
        f"| projects | {ran.asked.members * PROJECTS_EACH}, from `examples/` in turn; one yarn on hand for each member |",
        f"| answers | {counted}, {counted / (minutes * 60):.1f} a second |",
        f"| how often each page is chosen | {weights} |",
        "| before the minutes count | all sign in, one after another, and open the list of their projects, which plans each for the first time |",
        f"| a search is followed | for {FOLLOWED_S:g} s at most |",
    ]


_HEAD: Final = ["| page | answers | p50 s | p95 s | p99 s | most s |", "| --- | ---: | ---: | ---: | ---: | ---: |"]


def _table(all_: str, noted: Sequence[Noted]) -> list[str]:
    """A row for each kind, the slowest first, under one for all of them where they are named."""
    kinds: dict[str, list[float]] = {}
    for one in noted:
        kinds.setdefault(one.kind, []).append(one.seconds)
    rows = [(all_, sorted(one.seconds for one in noted))] if all_ else []
    rows += [(kind, sorted(took)) for kind, took in kinds.items()]
    ordered = sorted(rows, key=lambda each: (each[0] != all_, -_quantile(each[1], 0.95)))
    return _HEAD + [_row(kind, took) for kind, took in ordered if took]


def _before(ran: Ran) -> list[str]:
    early = [one for one in ran.notes.answers if one.at < ran.began]
    first = {
        "sign in": "sign in",
        "card of a project": "a project planned for the first time, a quarter of the members at once",
    }
    rows = ((said, sorted(one.seconds for one in early if one.kind == kind)) for kind, said in first.items())
    return _HEAD + [_row(said, took) for said, took in rows if took]


def _row(kind: str, took: list[float]) -> str:
    p50, p95, p99 = (_quantile(took, share) for share in (0.5, 0.95, 0.99))
    return f"| {kind} | {len(took)} | {p50:.3f} | {p95:.3f} | {p99:.3f} | {took[-1]:.2f} |"


def _quantile(ordered: Sequence[float], share: float) -> float:
    """The least value that so large a share of all does not exceed."""
    return ordered[min(len(ordered) - 1, max(0, -(-int(share * 1000) * len(ordered) // 1000) - 1))] if ordered else 0.0


def _faults(ran: Ran) -> list[str]:
    told = [f"- {count} times {what}" for what, count in Counter(ran.notes.faults).most_common()]
    slow = [f"- {count} times {what}" for what, count in ran.slow.most_common()]
    found = ["Faults, those while signing in included:", "", *told, ""] if told else []
    return [*found, *(["What the program itself wrote down as slow:", "", *slow, ""] if slow else [])]


def _of_searches(ran: Ran) -> list[str]:
    every = ran.searches
    waits = sorted(one.waited_s for one in every if one.waited_s is not None)
    took = sorted(one.took_s for one in every if one.took_s is not None)
    if not every:
        return ["None was asked for."]
    ended = sum(one.ended for one in every)
    outcomes = Counter(
        re.sub(r"[\d.]+ m of yarn", "… m of yarn", one.outcome or "under way or waiting at the end") for one in every
    )
    lines = [f"{len(every)} were asked for; {len(waits)} had begun and {ended} had ended when the minutes were over."]
    if waits:
        lines.append(
            f"Until a search began its member waited {statistics.median(waits):.0f} s in the median, {_quantile(waits, 0.95):.0f} s at p95, "
            f"{waits[-1]:.0f} s at most."
        )
    if took:
        lines.append(
            f"From begin to end they took {statistics.median(took):.0f} s in the median, {took[-1]:.0f} s at most."
        )
    return [" ".join(lines), "", *(f"- {count} times {outcome}" for outcome, count in outcomes.most_common())]


def _of_processes(ran: Ran) -> list[str]:
    samples = [one for one in ran.samples if ran.began <= one.at <= ran.until]
    if len(samples) < 4:
        return ["Too short a run to tell."]
    first, last = samples[0], samples[-1]
    span = last.at - first.at
    cores = os.cpu_count() or 1
    rows = [
        "| | MB at the begin | in the middle | at the end | at most | share of the processor |",
        "| --- | ---: | ---: | ---: | ---: | ---: |",
    ]
    for name in first.megabytes:
        held = [one.megabytes[name] for one in samples]
        share = (last.seconds[name] - first.seconds[name]) / span / cores
        rows.append(
            f"| {name} | {held[0]:.0f} | {held[len(held) // 2]:.0f} | {held[-1]:.0f} | {max(held):.0f} | {share:.0%} of {cores} cores |"
        )
    slope = _slope([(one.at, one.megabytes["server"]) for one in samples[len(samples) // 2 :]])
    return [
        *rows,
        "",
        f"In the second half of the time the server's own memory grew by {slope * 60:+.2f} MB a minute (least squares).",
    ]


def _slope(points: Sequence[tuple[float, float]]) -> float:
    return statistics.linear_regression(*zip(*points, strict=True)).slope if len(points) > 1 else 0.0


if __name__ == "__main__":
    main()
