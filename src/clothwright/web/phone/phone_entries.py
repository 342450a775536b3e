"""Entries that come from phones, by the network or by file: read, checked and kept by one path.

An entry has a key made on its phone, so that one sent twice, or sent and then given back by file, is kept once. What cannot
be understood is kept too, with a sentence that says why, as long as it has a key; only what has none is refused, and
stays on the phone. `seen` is the number of the newest entry its phone knew of: an entry has the last word over those it
had seen and over earlier ones of its own phone, and over no others.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Annotated, Any, Final, Literal
from uuid import UUID

from pydantic import AwareDatetime, BaseModel, ConfigDict, Field, TypeAdapter, ValidationError

from clothwright.library.loom.entries import NewEntry, keep_entry, keep_order, orders
from clothwright.library.models import PhoneEntry, Project
from clothwright.project import Problem, ProblemsFound
from clothwright.project.bounded_json import read_json
from clothwright.web.loom.loom_ways import WayTaken
from clothwright.web.phone.phone_log import log_entry, way_entry

FORM: Final = 1
MOST_AT_ONCE: Final = 20_000
LARGEST_ENTRY: Final = 20_000
LONGEST_WARP: Final = 100_000
KEPT, ALREADY, REFUSED = "kept", "already", "refused"
_NO_KEY: Final = "an entry without a key of its own; entries carry one made on the phone"
_FILE: Final = "a file of entries is given by the page that was taken to the loom, and its name ends in .json"

Digest = Annotated[str, Field(pattern=r"^[0-9a-f]{16}$")]
Phone = Annotated[str, Field(pattern=r"^[0-9A-Za-z-]{4,36}$")]
End = Annotated[int, Field(ge=1, le=LONGEST_WARP)]
Task = Literal["winding", "threading"]


class _Entry(BaseModel):
    """What every entry says: its key, its phone and place there, when it was made by the phone's clock, what was seen."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    key: UUID
    phone: Phone
    seq: Annotated[int, Field(ge=1)]
    seen: Annotated[int, Field(ge=0)] = 0
    made_at: AwareDatetime


class Tick(_Entry):
    """Ends `first` to `last` of an order are done, or are not."""

    kind: Literal["tick"]
    order: Digest
    task: Task
    first: End
    last: End
    ticked: bool


class Count(_Entry):
    """The ends of an order counted twice, at half or at the end, beside the number that was ticked."""

    kind: Literal["count"]
    order: Digest
    task: Task
    at: Literal["half", "end"]
    ticked: Annotated[int, Field(ge=0, le=LONGEST_WARP)]
    counted: Annotated[list[Annotated[int, Field(ge=0, le=LONGEST_WARP)]], Field(min_length=2, max_length=2)]


class Logged(_Entry):
    """An entry of the weaving log, its fields as the log of a project file has them."""

    kind: Literal["log"]
    row: dict[str, Any]


class Way(_Entry):
    """A way out that was taken."""

    kind: Literal["way"]
    way: WayTaken


class Run(BaseModel):
    """Ends of one yarn, of one ball, side by side."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    yarn: Annotated[str, Field(min_length=1, max_length=200)]
    ends: End
    ball: Annotated[int, Field(ge=0, le=10_000)] = 0
    colour: Annotated[str, Field(max_length=40)] = ""


_ENTRY: Final[TypeAdapter[Tick | Count | Logged | Way]] = TypeAdapter(
    Annotated[Tick | Count | Logged | Way, Field(discriminator="kind")]
)
_RUNS: Final = TypeAdapter(Annotated[list[Run], Field(min_length=1, max_length=10_000)])


@dataclass(frozen=True)
class Outcome:
    """What became of an entry: `kept`, `already` or `refused`, its number where it is kept, and why it is of no use."""

    key: str
    outcome: str
    sentence: str = ""
    number: int = 0

    def as_json(self) -> dict[str, Any]:
        """The outcome as the phone reads it."""
        return {"key": self.key, "outcome": self.outcome, "sentence": self.sentence, "number": self.number}


@dataclass(frozen=True)
class TakenIn:
    """What became of every entry of a batch."""

    outcomes: tuple[Outcome, ...]

    def count(self, outcome: str) -> int:
        """How many had an outcome."""
        return sum(one.outcome == outcome for one in self.outcomes)

    @property
    def sentences(self) -> tuple[str, ...]:
        """Each reason why an entry is refused or of no use, once."""
        return tuple(dict.fromkeys(one.sentence for one in self.outcomes if one.sentence))


@dataclass(frozen=True)
class Batch:
    """Entries that came together, and the orders they speak of, both still unchecked."""

    entries: Sequence[Any]
    orders: Sequence[Any] = field(default=())


def read_batch(text: str | bytes, project: Project) -> Batch:
    """Entries sent, or given back by file; ProblemsFound where the text is none or is of another project."""
    try:
        said = read_json(text)
    except ValueError:
        raise _problem(f"this is no file of entries; {_FILE}") from None
    if (
        not isinstance(said, dict)
        or said.get("clothwright_entries") != FORM
        or not isinstance(said.get("entries"), list)
    ):
        raise _problem(f"this is no file of entries of form {FORM}; {_FILE}")
    if said.get("project") != str(project.pk):
        whose = str(said.get("project_name") or "another project")[:80]
        raise _problem(f"these entries are of “{whose}”, not of “{project.name}”; bring them in there")
    if len(said["entries"]) > MOST_AT_ONCE:
        raise _problem(f"{len(said['entries'])} entries came; at most {MOST_AT_ONCE} are taken in at once")
    kept = said.get("orders")
    return Batch(said["entries"], kept if isinstance(kept, list) else ())


def take_in(project: Project, batch: Batch) -> TakenIn:
    """Keep a batch of entries, each once; every one has its outcome, and a bad one keeps no other from being kept."""
    for runs in batch.orders:
        _keep_order(project, runs)
    known = orders(project)
    return TakenIn(tuple(_taken(project, said, known) for said in batch.entries))


def _keep_order(project: Project, runs: Any) -> None:
    """Keep an order that came with entries; one that is none says so at the entries that speak of it."""
    try:
        read = _RUNS.validate_python(runs)
    except ValidationError:
        return
    keep_order(project, [run.model_dump() for run in read])


def _taken(project: Project, said: Any, known: Mapping[str, Sequence[Any]]) -> Outcome:
    key = _key(said)
    if key is None:
        return Outcome(str(said.get("key", ""))[:60] if isinstance(said, dict) else "", REFUSED, _NO_KEY)
    if len(json.dumps(said)) > LARGEST_ENTRY:
        return Outcome(str(key), REFUSED, f"an entry of more than {LARGEST_ENTRY} letters")
    if "\\u0000" in json.dumps(said):
        return Outcome(str(key), REFUSED, "an entry with a sign in it that nothing can keep, of number 0")
    phone, kind = str(said.get("phone", ""))[:36], str(said.get("kind", ""))[:20]
    new = NewEntry(key, phone, kind, said, _wrong(said, known))
    try:
        entry, is_new = keep_entry(project, new, lambda: _use(project, said))
    except PhoneEntry.DoesNotExist:
        return Outcome(str(key), REFUSED, "an entry of this key belongs to another project")
    if not is_new and entry.content != said:
        return Outcome(str(key), REFUSED, "another entry of the same key is here already; both stay where they are")
    return Outcome(str(key), KEPT if is_new else ALREADY, entry.sentence, entry.number)


def _use(project: Project, said: Mapping[str, Any]) -> str:
    """Do with an entry what it is for: the weaving log is the project's own; ticks are read where they are kept."""
    return _USES[said["kind"]](project, said) if said["kind"] in _USES else ""


def _key(said: Any) -> UUID | None:
    try:
        return UUID(said["key"])
    except (TypeError, KeyError, ValueError, AttributeError):
        return None


def _wrong(said: Mapping[str, Any], known: Mapping[str, Sequence[Any]]) -> str:
    """Why an entry cannot be used, in one sentence; empty where it can."""
    try:
        entry = _ENTRY.validate_json(json.dumps(said), strict=True)
    except ValidationError as wrong:
        first = wrong.errors(include_url=False)[0]
        where = " ".join(str(step) for step in first["loc"]) or "the entry"
        return f"{where}: {first['msg'].lower()}; it is kept as it came"
    return _CHECKS[entry.kind](entry, known)


def _order_wrong(entry: Tick | Count, known: Mapping[str, Sequence[Any]]) -> str:
    if entry.order not in known:
        return "it speaks of a colour order that this project does not know; it is kept as it came"
    return ""


def _tick_wrong(entry: Any, known: Mapping[str, Sequence[Any]]) -> str:
    if why := _order_wrong(entry, known):
        return why
    ends = sum(run["ends"] for run in known[entry.order])
    if entry.first > entry.last or entry.last > ends:
        return f"ends {entry.first} to {entry.last} of an order of {ends} ends; it is kept as it came"
    return ""


_CHECKS: Final[dict[str, Callable[[Any, Mapping[str, Sequence[Any]]], str]]] = {
    "tick": _tick_wrong,
    "count": _order_wrong,
    "log": lambda _entry, _known: "",
    "way": lambda _entry, _known: "",
}
_USES: Final[dict[str, Callable[[Project, Mapping[str, Any]], str]]] = {"log": log_entry, "way": way_entry}


def _problem(sentence: str) -> ProblemsFound:
    return ProblemsFound(Problem((), sentence))
