"""Random bodies, for tests of garments drafted from measures."""

from __future__ import annotations

from hypothesis import strategies as st

from clothwright.pattern.drafting import Design

#: A body of the middle, cm; invented.
MERLE = {
    "bust girth": 92.0,
    "waist girth": 74.0,
    "hip girth": 98.0,
    "head girth": 57.0,
    "neck-base girth": 38.0,
    "upper arm girth": 29.0,
    "wrist girth": 16.0,
    "hand girth": 20.0,
    "shoulder length": 12.5,
    "shoulder width": 39.0,
    "back width": 35.0,
    "front width": 33.0,
    "scye depth": 20.0,
    "cervical to waist": 40.0,
    "waist to hips": 20.0,
    "arm length": 58.0,
}


@st.composite
def bodies(draw: st.DrawFn) -> dict[str, float]:
    """A body: the one of the middle made larger or smaller as a whole, and each measure by itself."""
    whole = draw(st.floats(0.75, 1.35))
    body = {name: round(cm * whole * draw(st.floats(0.93, 1.07)), 1) for name, cm in MERLE.items()}
    return body | {"head girth": round(MERLE["head girth"] * draw(st.floats(0.85, 1.15)), 1)}


def eases(*girths: str, least: float = 0.0, most: float = 40.0) -> st.SearchStrategy[dict[str, float]]:
    return st.fixed_dictionaries({girth: st.floats(least, most).map(lambda cm: round(cm, 1)) for girth in girths})


def in_cm(lengths: dict[str, float]) -> tuple[tuple[str, str], ...]:
    return tuple((name, f"{cm} cm") for name, cm in lengths.items())


def design(
    garment: str,
    body: dict[str, float] | None = None,
    ease: dict[str, float] | None = None,
    allowance_cm: float = 2.0,
    **options: str,
) -> Design:
    """A design of one body, as it is typed."""
    return Design(garment, in_cm(body or MERLE), in_cm(ease or {}), tuple(options.items()), allowance_cm=allowance_cm)
