"""The project document: one tree that a TOML file holds, the web stores and an export carries.

Fields keep the text as typed. A field nobody knows is refused, so that nothing typed is lost in silence. Version 1.
"""

from __future__ import annotations

from typing import Annotated, Final, Literal, Self

from pydantic import BaseModel, BeforeValidator, ConfigDict, Discriminator, Field, Tag, model_validator

from clothwright.measure import Share
from clothwright.project.fields import (
    GristField,
    LengthField,
    RatioField,
    ShareField,
    StructureField,
    ThreadsField,
    WeightField,
)

VERSION: Final = 1

Positive = Annotated[int, Field(ge=1)]


class Part(BaseModel):
    """A part of the document: frozen, and no unknown fields."""

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)


class Weighing(Part):
    """A length of yarn and what it weighs."""

    length: LengthField
    weight: WeightField

    @model_validator(mode="after")
    def _something(self) -> Self:
        if self.length.low <= 0 or self.weight.low <= 0:
            raise ValueError('a weighing needs some length and some weight, as { length = "10 m", weight = "3.1 g" }')
        return self


def _kind_of_reading(value: object) -> str:
    return (
        "as weighings"
        if isinstance(value, list)
        else "as weighing"
        if isinstance(value, dict | Weighing)
        else "as count"
    )


#: One reading of metres per gram: a weighing, or a count or label.
ReadingField = Annotated[
    Annotated[Weighing, Tag("as weighing")] | Annotated[GristField, Tag("as count")],
    Discriminator(_kind_of_reading),
]
#: The same, or several weighings.
ReadingsField = Annotated[
    Annotated[list[Weighing], Tag("as weighings")]
    | Annotated[Weighing, Tag("as weighing")]
    | Annotated[GristField, Tag("as count")],
    Discriminator(_kind_of_reading),
]


class BallPart(Part):
    """One ball, skein or cone: weighed with or without its core, or metered."""

    gross: WeightField | None = None
    core: WeightField | None = None
    net: WeightField | None = None
    length: LengthField | None = None
    grist: ReadingField | None = None

    @model_validator(mode="after")
    def _one_measure(self) -> Self:
        given = [name for name in ("gross", "net", "length") if getattr(self, name) is not None]
        if len(given) != 1:
            came = " and ".join(given) or "none of them"
            raise ValueError(f"give one of gross, net or length for a ball; {came} came")
        if self.core is not None and self.gross is None:
            raise ValueError("a core goes with a gross weight; a net weight has none")
        if self.gross and self.core and self.core.grams >= self.gross.grams:
            raise ValueError(f"the core of {self.core} leaves no yarn of {self.gross}")
        return self


def _ball(value: object) -> object:
    return {"net": value} if isinstance(value, str | int | float) else value


BallField = Annotated[BallPart, BeforeValidator(_ball)]


class YarnPart(Part):
    """A yarn or lot in hand."""

    name: Annotated[str, Field(min_length=1)]
    fibre: str = ""
    made: Literal["handspun", "mill"] = "handspun"
    plies: Positive | None = None
    use: Literal["warp", "weft", "warp and weft"] = "warp and weft"
    replaceable: bool = True
    colour: str = ""
    wraps: ThreadsField | None = None
    state: Literal["washed", "unwashed"] = "washed"
    grist: ReadingsField | None = None
    balls: list[BallField] = []
    scale_step: WeightField | None = None


class LoomPart(Part):
    """The loom and the heddles owned."""

    name: str = ""
    kind: Literal["rigid heddle", "shaft"] = "rigid heddle"
    weaving_width: LengthField | None = None
    heddles: list[ThreadsField] = []
    waste: LengthField | None = None
    warping: Literal["direct", "indirect"] = "direct"


class ClothPart(Part):
    """What is decided or known about the cloth; everything may be left out."""

    structure: StructureField = "plain"
    heddle: ThreadsField | None = None
    picks: ThreadsField | None = None
    picks_counted: Literal["on loom", "off loom", "finished"] = "on loom"
    warp_take_up: ShareField | None = None
    weft_take_up: ShareField | None = None
    width_ratio: RatioField | None = None
    length_ratio: RatioField | None = None
    finish: str = ""
    on_warp_sample: LengthField | None = None
    floating_selvedges: bool = False
    repeat_ends: Positive = 1

    @model_validator(mode="after")
    def _bases(self) -> Self:
        _check_base("warp_take_up", self.warp_take_up, ("warp", "woven length"))
        _check_base("weft_take_up", self.weft_take_up, ("width in heddle",))
        return self


def _check_base(field: str, share: Share | None, bases: tuple[str, ...]) -> None:
    if share is not None and share.of not in bases:
        asked = " or ".join(f"“3 % of {base}”" for base in bases)
        raise ValueError(f"{field} “{share}”: a share of what? write {asked}")
    if share is not None and share.high >= 1:
        raise ValueError(f"{field} “{share}”: that takes up everything; write a share below 100 %")


class WidthsPart(Part):
    """Width of a sample in up to four states."""

    in_heddle: LengthField | None = None
    on_loom: LengthField | None = None
    off_loom: LengthField | None = None
    finished: LengthField | None = None


class LengthsPart(Part):
    """Length of a sample; `warp` is what the weaving used, or give `wound` and `waste`."""

    warp: LengthField | None = None
    wound: LengthField | None = None
    waste: LengthField | None = None
    on_loom: LengthField | None = None
    off_loom: LengthField | None = None
    finished: LengthField | None = None

    @model_validator(mode="after")
    def _wound_less_waste(self) -> Self:
        if (self.wound is None) != (self.waste is None):
            raise ValueError("wound and waste go together: the warp used is what was wound less what was wasted")
        if self.wound and self.waste and self.waste.cm >= self.wound.cm:
            raise ValueError(f"the waste of {self.waste} leaves no warp of {self.wound}")
        return self

    @property
    def warp_used_cm(self) -> float | None:
        """Warp used in the weaving, cm."""
        if self.wound and self.waste:
            return self.wound.cm - self.waste.cm
        return self.warp.cm if self.warp else None


class PickCountPart(Part):
    """Picks counted over a length, and where."""

    count: Annotated[float, Field(gt=0)]
    over: LengthField
    where: Literal["on loom", "off loom", "finished"] = "on loom"


class WeftUsedPart(Part):
    """Weft a sample used, by weight or by length."""

    weight: WeightField | None = None
    length: LengthField | None = None


class SamplePart(Part):
    """A sample, or a finished cloth, and what was measured of it."""

    name: str = "sample"
    warp: str | None = None
    weft: str | None = None
    heddle: ThreadsField | None = None
    structure: StructureField | None = None
    width: WidthsPart = WidthsPart()
    length: LengthsPart = LengthsPart()
    picks: PickCountPart | None = None
    weft_used: WeftUsedPart | None = None
    finish: str | None = None


class TrustPart(Part):
    """Chances a plan must reach."""

    size: ShareField = Share.read("80 %")
    yarn: ShareField = Share.read("95 %")

    @model_validator(mode="after")
    def _between(self) -> Self:
        for field, share in (("size", self.size), ("yarn", self.yarn)):
            if not 0.5 <= share.expected < 1:
                raise ValueError(f"{field} “{share}”: a chance to trust lies from 50 % to below 100 %")
        return self


class WantPart(Part):
    """A cloth wanted, finished; a layout alone needs the width only."""

    width: LengthField
    length: LengthField | None = None


class PiecePart(Part):
    """A pattern piece given as numbers."""

    name: Annotated[str, Field(min_length=1)]
    width: LengthField
    length: LengthField
    cut: Positive = 1
    pair: bool = False
    fold: bool = False
    one_way: bool = False
    material: str = "main"


class PatternPart(Part):
    """A garment: a drawing, pieces as numbers, or both."""

    file: str | None = None
    scale: LengthField | None = None
    size: str | None = None
    version: str | None = None
    seam_allowance: LengthField | None = None
    one_way: bool = False
    squaring: LengthField | None = None
    selvedge_trim: LengthField | None = None
    piece: list[PiecePart] = []


class ColoursPart(Part):
    """Rules for the warp's colour order."""

    ends: Positive | None = None
    warp_length: LengthField | None = None
    longest_run: Positive | None = None
    not_side_by_side: list[list[str]] = []
    not_at_edges: list[str] = []
    use_up: list[str] = []
    keep_for_weft: dict[str, ShareField] = {}


class LeafletPart(Part):
    """What a pattern leaflet tabulates."""

    cloth_widths: list[LengthField] = []
    heddles: list[ThreadsField] = []
    versions: list[str] = []
    sizes: list[str] = []
    margin: ShareField | None = None
    ball: WeightField | None = None
    by_hand: bool = False
    cloth_lengths: dict[str, dict[str, LengthField]] = {}


class OnLoomPart(Part):
    """What stands on the loom now."""

    to_weave: LengthField | None = None


class LogPart(Part):
    """One entry of the weaving log."""

    woven: LengthField
    weft_left: dict[str, WeightField] = {}
    picks: PickCountPart | None = None


class Project(Part):
    """The whole project."""

    clothwright: Literal[1] = VERSION
    name: str = "untitled"
    units: Literal["metric", "imperial"] = "metric"
    seed: Annotated[int, Field(ge=0)] = 1
    trust: TrustPart = TrustPart()
    yarn: list[YarnPart] = []
    loom: LoomPart = LoomPart()
    cloth: ClothPart = ClothPart()
    sample: list[SamplePart] = []
    want: WantPart | None = None
    pattern: PatternPart | None = None
    colours: ColoursPart | None = None
    leaflet: LeafletPart | None = None
    on_loom: OnLoomPart | None = None
    log: list[LogPart] = []

    @model_validator(mode="after")
    def _names(self) -> Self:
        names = [one.name for one in self.yarn]
        twice = sorted({name for name in names if names.count(name) > 1})
        if twice:
            raise ValueError(f"two yarns are called {', '.join(twice)}; give each its own name")
        for number, sample in enumerate(self.sample, 1):
            for side in ("warp", "weft"):
                if (name := getattr(sample, side)) is not None and name not in names:
                    raise ValueError(
                        f"sample {number}, {side} “{name}”: no yarn has that name; there are {', '.join(names) or 'none'}"
                    )
        return self
