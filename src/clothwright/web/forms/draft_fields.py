"""The fields of a garment made from measures: on the project page what there is, on its own page what the garment asks."""

from __future__ import annotations

from typing import Final

from clothwright.pattern.drafting import (
    Asks,
    Measure,
    Option,
    garments,
    key_of,
    measures,
    proportions,
    size_tables,
)
from clothwright.web.forms.field import CM, MM, Field, Group, Kind, Rows, Section

GARMENT: Final = "pattern.from_measures.garment"
_BODY: Final = "pattern.from_measures.body"
_EASE: Final = "pattern.from_measures.ease"
_OPTIONS: Final = "pattern.from_measures.options"


def _garment_field() -> Field:
    choices = tuple((name, asks.title) for name, asks in garments().items())
    return Field(GARMENT, "Garment", Kind.CHOICE, choices=(("", "none"), *choices))


def _table_fields() -> tuple[Field, ...]:
    tables = tuple((one.name, one.title) for one in size_tables().values())
    return (
        Field(
            "pattern.from_measures.table",
            "Table of sizes",
            Kind.CHOICE,
            choices=(("", "none, my own measures"), *tables),
        ),
        Field("pattern.from_measures.sizes", "Sizes of the table", Kind.SEVERAL, help="8; 10; 12, or empty for all"),
    )


def measure_field(one: Measure, path: str = _BODY) -> Field:
    """The field of a body measure."""
    rule = proportions().get(one.name)
    more = f"; “by proportion” is {rule.rule}" if rule else ""
    return Field(f"{path}.{key_of(one.name)}", one.name.capitalize(), unit=CM, help=one.means + more)


def option_field(one: Option, path: str = _OPTIONS) -> Field:
    """The field of a choice of a garment."""
    label = one.name.replace("_", " ").capitalize()
    taken = f"; {one.default} if empty" if one.default else "; needed" if one.needed else ""
    if one.kind == "choice":
        choices = (("", f"{one.default}, if nothing is chosen"), *((word, word) for word in one.choices))
        return Field(f"{path}.{one.name}", label, Kind.CHOICE, choices=choices, help=one.says)
    kind = Kind.COUNT if one.kind == "count" else Kind.TEXT
    return Field(f"{path}.{one.name}", label, kind, unit=CM if one.kind == "length" else None, help=one.says + taken)


def _own_sizes() -> Rows:
    path = "pattern.from_measures.size"
    fields = (measure_field(one, f"{path}.*.body") for one in measures().values())
    return Rows(
        path,
        "size",
        "Add a size of your own",
        (Field(f"{path}.*.name", "Size"), *fields),
        help="Only the measures that differ from one size to the next; what all share stands on the page of measures.",
    )


def _versions() -> Rows:
    path = "pattern.from_measures.version"
    every = {option.name: option for asks in garments().values() for option in asks.options}
    told = ("neck", "sleeve", "waist", "overlap", "style", "length", "below_waist", "neck_drop")
    fields = (Field(f"{path}.*.options.{name}", name.replace("_", " ").capitalize()) for name in told if name in every)
    return Rows(
        path,
        "version",
        "Add a version",
        (Field(f"{path}.*.name", "Version"), *fields),
        help="Only what differs from one version to the next: sleeve short, or neck v.",
    )


MADE_FROM_MEASURES: Final = Group(
    "Made from measures",
    (_garment_field(), *_table_fields(), _own_sizes(), _versions()),
    help="A garment made from body measures. Measures, ease and options stand on a page of their own, with the pieces.",
    folded=True,
)


def draft_sections(asks: Asks | None) -> tuple[Section, ...]:
    """What the page of measures asks for a garment; only which one, while none is chosen."""
    fields = (_garment_field(), *(_table_fields() if asks and asks.needs else ()))
    chosen = Section("draft", "The garment", "", fields, holds=("pattern",))
    if asks is None:
        return (chosen,)
    body = Section("measures", "The body", _body_intro(asks), _body_parts(asks))
    eases = tuple(
        Field(
            f"{_EASE}.{key_of(one.girth)}",
            f"At the {one.girth}",
            unit=CM,
            help=f"{one.default} if empty ({one.source})",
        )
        for one in asks.eases
    )
    ease = Section("ease", "Ease", "How much larger than the body the garment is, all round.", eases)
    options = (
        *map(option_field, asks.options),
        Field("pattern.seam_allowance", "Seam allowance", unit=MM, help="20 mm if empty"),
    )
    choices = Section("options", "The make", "", options)
    return (chosen, *((body, ease) if asks.needs else ()), choices)


def _body_intro(asks: Asks) -> str:
    return f"Over light clothing, the tape level and not pulled tight. What {'the ' + asks.name} needs stands first."


def _body_parts(asks: Asks) -> tuple[Field | Group, ...]:
    """The measures a garment needs, then the others, which are kept for the next garment."""
    needed = set(asks.ever_needed)
    first = tuple(measure_field(one) for one in measures().values() if one.name in needed)
    others = tuple(measure_field(one) for one in measures().values() if one.name not in needed)
    return (*first, Group("Other measures", others, folded=True))
