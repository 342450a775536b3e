"""The leaflet for buyers as one page that needs no program and no network: they type their own sample and see their own needs.

The file carries its script and its style in itself, with a policy that lets those two run and nothing else be loaded. What it reckons is
what `planning.buyers_sums` reckons.
"""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Iterator, Mapping
from dataclasses import asdict
from functools import cache
from html import escape
from importlib import resources
from typing import Any, Final

from clothwright.measure import CM_PER_INCH, CM_PER_YARD, GRAMS_PER_OUNCE
from clothwright.planning import Leaflet
from clothwright.planning.teaching.buyers_sums import (
    FIELDS,
    LEAST_RATIO,
    MOST_RATIO,
    RATIOS,
    SENTENCES,
    AskedField,
    BuyersFigures,
    BuyersNeeds,
    buyers_needs,
    read_buyer,
)
from clothwright.sheets.both_units import each_in_both
from clothwright.sheets.teaching import leaflet_words as words
from clothwright.sheets.wording import literal

HEAD: Final = (
    "Cloth, finished",
    "Ends",
    "Width in heddle (reed)",
    "Weave, on the loom",
    "Warp length",
    "Warp",
    "Weft",
    "In all",
    "Weight",
    "Balls, warp + weft",
    "Your loom",
)
#: The fields as they stand together on the page.
GROUPS: Final = (
    ("Your sample, before and after washing", FIELDS[:6]),
    ("Your heddle and loom", (*FIELDS[6:10], FIELDS[14])),
    ("Your yarn", FIELDS[10:14]),
)


def cloths(leaflet: Leaflet) -> list[dict[str, Any]]:
    """Every cloth of the leaflet once, by size, version and width, in the order of its rows."""
    found = dict.fromkeys((row.size, row.version, row.cloth_width_cm, row.cloth_length_cm) for row in leaflet.rows)
    return [
        {"name": _named(size, version, width, length), "width_cm": width, "length_cm": length}
        for size, version, width, length in found
    ]


def _named(size: str, version: str, width_cm: float, length_cm: float) -> str:
    which = ", ".join(filter(None, (size and f"Size {size}", version)))
    both = f"{width_cm:g} × {length_cm:g} cm ({width_cm / CM_PER_INCH:.1f} × {length_cm / CM_PER_INCH:.1f} in)"
    return f"{which}: {both}" if which else both


def buyers_rows(
    leaflet: Leaflet, typed: Mapping[str, str], *, imperial: bool
) -> tuple[list[list[str]], dict[str, str]]:
    """The table for what a buyer typed, as `HEAD` names its columns, and what is wrong by field."""
    usual = leaflet.usual
    assert usual is not None  # every leaflet made by this version has its usual figures
    read = read_buyer(typed, usual, imperial=imperial)
    rows = [_cells(cloth, read.figures, read.loom_cm, imperial) for cloth in cloths(leaflet)]
    return rows, dict(read.problems)


def _cells(cloth: Mapping[str, Any], figures: BuyersFigures, loom_cm: float | None, imperial: bool) -> list[str]:
    one = buyers_needs(figures, cloth["width_cm"], cloth["length_cm"], imperial=imperial)
    long, thread, heavy = ("in", "yd", "oz") if imperial else ("cm", "m", "g")
    places = 2 if imperial else 0
    return [
        cloth["name"],
        str(one.ends),
        f"{one.width_in_heddle:.{2 if imperial else 1}f} {long}",
        f"{one.weave:.{places}f} {long}",
        f"{one.warp_length:.{places}f} {long}",
        f"{one.warp} {thread}",
        f"{one.weft} {thread}",
        f"{one.both} {thread}",
        f"{one.weight:.{1 if imperial else 0}f} {heavy}",
        f"{one.warp_balls} + {one.weft_balls}" if figures.ball_g > 0 else "",
        _fits(one, figures, loom_cm),
    ]


def _fits(one: BuyersNeeds, figures: BuyersFigures, loom_cm: float | None) -> str:
    if loom_cm is None:
        return ""
    return "fits your loom" if figures.ends_per_cm * loom_cm + 1e-6 >= one.ends else "too wide for your loom"


def usual_in_words(field: AskedField, usual: BuyersFigures) -> tuple[str, str]:
    """What stands in where a field is left empty, metric and imperial."""
    of = {
        "sample_width": f"finished ÷ in the heddle {usual.width_ratio:g}",
        "sample_length": f"finished ÷ woven {usual.length_ratio:g}",
    }
    if field.name in of:
        return (f"left empty, {of[field.name]}",) * 2
    base = {
        "take_up": 1 - usual.woven_of_warp,
        "weft_take_up": usual.pick_length - 1,
        "ends": usual.ends_per_cm,
        "picks": usual.picks_per_cm,
        "waste": usual.waste_cm,
        "sample_first": usual.sample_cm,
        "warp_grist": usual.warp_m_per_g,
        "weft_grist": usual.weft_m_per_g,
        "ball": usual.ball_g,
        "margin": usual.margin,
    }.get(field.name)
    if base is None or (field.name == "ball" and not base):
        return ("may be left empty",) * 2
    metric, imperial = (
        f"left empty, {round(base / factor, 1 if factor != 1 else 2):g} {unit}"
        for factor, unit in zip(field.factors, field.units, strict=True)
    )
    return metric, imperial


def page_data(leaflet: Leaflet) -> dict[str, Any]:
    """What the script of the page is told."""
    assert leaflet.usual is not None  # every leaflet made by this version has its usual figures
    return {
        "fields": [asdict(one) | {"usual": usual_in_words(one, leaflet.usual)} for one in FIELDS],
        "ratios": RATIOS,
        "ratio": [LEAST_RATIO, MOST_RATIO],
        "sentences": SENTENCES,
        "usual": asdict(leaflet.usual),
        "cloths": cloths(leaflet),
        "head": HEAD,
        "cm_per_inch": CM_PER_INCH,
        "m_per_yard": CM_PER_YARD / 100,
        "g_per_ounce": GRAMS_PER_OUNCE,
    }


@cache
def _text(name: str) -> str:
    return resources.files(__package__).joinpath("buyers", name).read_text(encoding="utf-8")


def buyers_file(leaflet: Leaflet, *, imperial: bool = False) -> str:
    """The page as one file."""
    script, style = _text("buyers.js"), _text("buyers.css")
    policy = f"default-src 'none'; script-src 'sha256-{_hash(script)}'; style-src 'sha256-{_hash(style)}'; base-uri 'none'; form-action 'none'"
    data = json.dumps(page_data(leaflet)).replace("<", "\\u003c")
    name = escape(literal(leaflet.name))
    return f"""<!DOCTYPE html>
<html lang="en-GB">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>{name}: what you need</title>
<style>{style}</style>
</head>
<body>
<main>
<h1>{name}: what you need</h1>
<p>{escape(which_version(leaflet))}</p>
{"".join(_proof(leaflet))}
<p>Weave and wash a sample with your own yarn first; then type what you measured. Nothing you type leaves this page, and it works without a network.</p>
<noscript><p class="proof">This page reckons by a script of its own, which your browser does not run. The tables of the leaflet on paper do without.</p></noscript>
<form id="asked" autocomplete="off" novalidate>
<fieldset class="choice"><legend>Units</legend><label><input type="radio" name="units" value="metric"{"" if imperial else " checked"}> centimetres, metres, grams</label> <label><input type="radio" name="units" value="imperial"{" checked" if imperial else ""}> inches, yards, ounces</label></fieldset>
{"".join(_fieldsets(leaflet))}
</form>
<h2 id="table-title">What you need</h2>
<p id="said" role="status"></p>
<div class="scroll" role="region" aria-labelledby="table-title" tabindex="0"><table><thead><tr>{"".join(f'<th scope="col">{escape(one)}</th>' for one in HEAD)}</tr></thead><tbody id="rows"></tbody></table></div>
<p class="noprint"><button type="button" id="print">Print this page</button></p>
{"".join(_lists(leaflet))}
</main>
<script type="application/json" id="told">{data}</script>
<script>{script}</script>
</body>
</html>
"""


def which_version(leaflet: Leaflet) -> str:
    """Which version of the leaflet the page goes with."""
    return (
        f"Goes with version {leaflet.version} of the leaflet."
        if leaflet.version
        else "Goes with the leaflet as it stands now, not with a version that was given out."
    )


def _proof(leaflet: Leaflet) -> Iterator[str]:
    if why := words.not_to_be_given_out(leaflet):
        yield f'<p class="proof">Proof, not to be given out: {escape("; ".join(why))}</p>'


def _fieldsets(leaflet: Leaflet) -> Iterator[str]:
    assert leaflet.usual is not None  # every leaflet made by this version has its usual figures
    for title, fields in GROUPS:
        inner = "".join(_field(one, usual_in_words(one, leaflet.usual)[0]) for one in fields)
        yield f'<fieldset><legend>{escape(title)}</legend><div class="fields">{inner}</div></fieldset>'


def _field(field: AskedField, usual: str) -> str:
    name, unit = field.name, escape(field.units[0])
    return (
        f'<div><label for="{name}">{escape(field.label)}</label><input type="text" id="{name}" name="{name}" maxlength="20" '
        f'aria-describedby="{name}-unit {name}-usual {name}-problem"> <span class="unit" id="{name}-unit">{unit}</span>'
        f'<p class="usual" id="{name}-usual">{escape(usual)}</p><p class="problem" id="{name}-problem"></p></div>'
    )


def _lists(leaflet: Leaflet) -> Iterator[str]:
    for title, lines in (
        ("Worth knowing", each_in_both(leaflet.advice)),
        ("Not on every cloth", tuple(words.missing(leaflet))),
        ("What the leaflet's own figures stand on", each_in_both(leaflet.assumed)),
        ("Take care", each_in_both(leaflet.cautions)),
    ):
        if lines:
            items = "".join(f"<li>{escape(literal(one[:1].upper() + one[1:]))}</li>" for one in lines)
            yield f"<h2>{escape(title)}</h2><ul>{items}</ul>"


def _hash(text: str) -> str:
    return base64.b64encode(hashlib.sha256(text.encode()).digest()).decode("ascii")
