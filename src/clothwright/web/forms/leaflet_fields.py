"""The fields of the page of the leaflet: what it tabulates."""

from __future__ import annotations

from typing import Final

from clothwright.web.forms.field import CM, GRAMS, HEDDLE, PERCENT, Field, Kind, Section, same_words

_TABLE: Final = Section(
    "table",
    "What it tells",
    "For readers with looms, heddles and yarn of their own. What is left empty comes from the pattern and the plan.",
    (
        Field("leaflet.cloth_widths", "Finished widths of cloth ↔", Kind.SEVERAL, unit=CM, help="42; 52", wide=True),
        Field("leaflet.heddles", "Heddles (reeds)", Kind.SEVERAL, unit=HEDDLE, help="30; 40, or empty for your own"),
        Field("leaflet.sizes", "Sizes", Kind.SEVERAL, help="S; M, or empty for all"),
        Field("leaflet.versions", "Versions", Kind.SEVERAL, help="short; long, or empty for all"),
        Field("leaflet.ball", "A ball weighs", unit=GRAMS),
        Field("leaflet.margin", "Margin on weight and balls", unit=PERCENT, help="left empty, 10 %"),
        Field("leaflet.by_hand", "As sums a reader can check", Kind.YES, choices=same_words("no", "yes"), wide=True),
        Field(
            "leaflet.making",
            "Order of making, step by step",
            Kind.STEPS,
            help="Sew the shoulders; face the neck; left empty, the usual order",
            wide=True,
        ),
        Field("leaflet.care", "Care", Kind.STEPS, help="left empty, as the sample was washed", wide=True),
    ),
    holds=("leaflet", "yarn", "loom", "pattern", "want", "cloth"),
)

LEAFLET: Final = (_TABLE,)
