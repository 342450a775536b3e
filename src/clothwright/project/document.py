"""The project document: one tree that a TOML file holds, the web stores and an export carries.

Fields keep the text as typed. A field nobody knows is refused, so that nothing typed is lost in silence. Version 1.
"""

from __future__ import annotations

from typing import Annotated, Final, Literal, Self

from pydantic import AfterValidator, BeforeValidator, Discriminator, Field, Tag, model_validator

from clothwright.cloth import read_wraps_taken
from clothwright.measure import Length, Share, Weight
from clothwright.project.fields import (
    CoreField,
    DayField,
    GristField,
    HeddleField,
    LengthField,
    LengthOrTurnsField,
    RatioField,
    ShareField,
    SomeLengthField,
    SomeLengthOrTurnsField,
    SomeLengthOrWeightField,
    SomeWeightField,
    StructureField,
    ThreadsField,
    WeightField,
)
from clothwright.project.parts.colour_parts import ColoursPart
from clothwright.project.parts.corners import CornersField
from clothwright.project.parts.finishing_parts import (
    CheckedPart,
    FinishingPart,
    OffLoomMeasuredPart,
    PlacesField,
    PlacesPart,
    RealClothPart,
)
from clothwright.project.parts.layout_parts import LayoutPart
from clothwright.project.parts.leaflet_parts import LeafletPart
from clothwright.project.parts.log_parts import LogPart, OnLoomPart
from clothwright.project.parts.part import Part, Positive
from clothwright.project.parts.pattern_parts import PatternPart
from clothwright.project.parts.pick_count import PickCountPart
from clothwright.project.parts.record_parts import GarmentMadePart, LaterField, NumberField, PhotoPart, RemnantPart
from clothwright.project.parts.remnants import ClothInHandPart
from clothwright.project.parts.threading_parts import ThreadingPart
from clothwright.project.parts.warping_parts import WarpingPart

VERSION: Final = 1


class Weighing(Part):
    """A length of yarn and what it weighs."""

    length: SomeLengthOrTurnsField
    weight: SomeWeightField


#: How metres per gram may be given; these name the branches of a choice, not fields of the document.
READING_KINDS: Final = ("as weighings", "as weighing", "as count")


def _kind_of_reading(value: object) -> str:
    several, one, count = READING_KINDS
    return several if isinstance(value, list) else one if isinstance(value, dict | Weighing) else count


#: One reading of metres per gram: a weighing, or a count or label.
ReadingField = Annotated[
    Annotated[Weighing, Tag("as weighing")] | Annotated[GristField, Tag("as count")],
    Discriminator(_kind_of_reading),
]
#: The same, or several weighings.
ReadingsField = Annotated[
    Annotated[list[Weighing], Field(min_length=1), Tag("as weighings")]
    | Annotated[Weighing, Tag("as weighing")]
    | Annotated[GristField, Tag("as count")],
    Discriminator(_kind_of_reading),
]


class BallPart(Part):
    """One ball, skein or cone: weighed with or without its core, or metered."""

    gross: WeightField | None = None
    core: CoreField | None = None
    net: WeightField | None = None
    length: LengthOrTurnsField | None = None
    grist: ReadingField | None = None

    @model_validator(mode="after")
    def _one_measure(self) -> Self:
        given = [name for name in ("gross", "net", "length") if getattr(self, name) is not None]
        if len(given) != 1:
            came = " and ".join(given) or "none of them"
            raise ValueError(f"give one of gross, net or length for a ball; {came} came")
        if self.core is not None and self.gross is None:
            raise ValueError("a core goes with a gross weight; a net weight has none")
        if self.gross and isinstance(self.core, Weight) and self.core.grams >= self.gross.grams:
            raise ValueError(f"the core of {self.core} leaves no yarn of {self.gross}")
        return self


def _ball(value: object) -> object:
    return {"net": value} if isinstance(value, str | int | float) else value


BallField = Annotated[BallPart, BeforeValidator(_ball)]


class WashTestPart(Part):
    """A test skein before and after washing: its length, or what a same length `of` it weighs."""

    before: SomeLengthOrWeightField
    after: SomeLengthOrWeightField
    of: SomeLengthField | None = None

    @model_validator(mode="after")
    def _one_kind(self) -> Self:
        if isinstance(self.before, Weight) != isinstance(self.after, Weight):
            raise ValueError(
                f"{self.before} and {self.after} cannot be compared; give two lengths, or two weights and of"
            )
        if isinstance(self.before, Weight) and self.of is None:
            raise ValueError(
                'weights of what? If the same length was weighed before and after, add of = "10 m"; '
                "one skein weighed twice tells what washed out of it, not how much shorter it is"
            )
        if not _LEAST_KEPT <= self.kept <= _MOST_KEPT:
            raise ValueError(
                f"{self.before} became {self.after}: washing leaves a half to all of the length; are they swapped?"
            )
        return self

    @property
    def kept(self) -> float:
        """Metres after over metres before."""
        if isinstance(self.before, Length) and isinstance(self.after, Length):
            return self.after.cm / self.before.cm
        assert isinstance(self.before, Weight)
        assert isinstance(self.after, Weight)
        return self.before.grams / self.after.grams


#: What washing may leave of a yarn's length; outside it, the two have changed places. Common practice, no source.
_LEAST_KEPT: Final = 0.45
_MOST_KEPT: Final = 1.1


class HeddleTrialPart(Part):
    """The yarn tried in a heddle, before a warp of it is wound."""

    heddle: HeddleField | None = None
    hole: Literal["passes freely", "rubs", "sticks"] | None = None
    slot: Literal["passes freely", "rubs", "sticks"] | None = None
    rub_strokes: Positive | None = None
    rub: Literal["unchanged", "fuzzes", "breaks"] | None = None
    tension_overnight: Literal["holds", "stretches", "breaks"] | None = None
    knot: Literal["passes", "catches"] | None = None


def _wraps_taken(text: str) -> str:
    return read_wraps_taken(text).typed


class YarnPart(Part):
    """A yarn or lot in hand."""

    name: Annotated[str, Field(min_length=1)]
    fibre: str = ""
    made: Literal["handspun", "mill"] = "handspun"
    plies: Positive | None = None
    use: Literal["warp", "weft", "warp and weft", "only sampled"] = "warp and weft"
    replaceable: bool = True
    colour: str = ""
    wraps: ThreadsField | None = None
    wraps_taken: Annotated[str, AfterValidator(_wraps_taken)] = ""
    state: Literal["washed", "unwashed"] = "washed"
    grist: ReadingsField | None = None
    balls: list[BallField] = []
    scale_step: WeightField | None = None
    wash_test: WashTestPart | None = None
    heddle_trial: HeddleTrialPart | None = None


def _begins_with_a_letter(name: str) -> str:
    if not name[:1].isalpha():
        raise ValueError(f"“{name}”: begin the name of a core with a letter, so that it is not taken for a weight")
    return name


class CorePart(Part):
    """A core of the weaver's own, weighed empty."""

    name: Annotated[str, Field(min_length=1), AfterValidator(_begins_with_a_letter)]
    weight: WeightField


class WinderPart(Part):
    """A tool that yarn is wound on: what its turn is called, and what some turns measured."""

    name: Annotated[str, Field(min_length=1)]
    nominal: SomeLengthField | None = None
    turns: Positive | None = None
    measured: SomeLengthField | None = None

    @model_validator(mode="after")
    def _a_turn(self) -> Self:
        if self.nominal is None and self.measured is None:
            raise ValueError("how long is a turn? Give nominal, or turns and what they measured")
        if self.turns is not None and self.measured is None:
            raise ValueError(f"{self.turns} turns measured what? Add measured, or leave turns out")
        return self


class LoomPart(Part):
    """The loom and the heddles owned."""

    name: str = ""
    kind: Literal["rigid heddle", "shaft"] = "rigid heddle"
    weaving_width: SomeLengthField | None = None
    heddles: list[HeddleField] = []
    waste: LengthField | None = None
    warping: Literal["direct", "indirect"] = "direct"


class OtherLoomPart(LoomPart):
    """Another loom owned, by its name, with the heddles that fit it."""

    name: Annotated[str, Field(min_length=1)]


def _taken_up_of(*bases: str) -> AfterValidator:
    """Asks what a take-up is a share of, where that is not said."""

    def check(share: Share) -> Share:
        if share.of not in bases:
            asked = " or ".join(f"“3 % of {base}”" for base in bases)
            raise ValueError(f"“{share}”: a share of what? write {asked}")
        if share.high >= 1:
            raise ValueError(f"“{share}”: that takes up everything; write a share below 100 %")
        return share

    return AfterValidator(check)


WarpTakeUpField = Annotated[ShareField, _taken_up_of("warp", "woven length")]
WeftTakeUpField = Annotated[ShareField, _taken_up_of("width in heddle")]


class ClothPart(Part):
    """What is decided or known about the cloth; everything may be left out."""

    structure: StructureField = "plain"
    heddle: HeddleField | None = None
    picks: ThreadsField | None = None
    picks_counted: Literal["on loom", "off loom", "finished"] = "on loom"
    warp_take_up: WarpTakeUpField | None = None
    weft_take_up: WeftTakeUpField | None = None
    width_ratio: RatioField | None = None
    length_ratio: RatioField | None = None
    finish: str = ""
    on_warp_sample: LengthField | None = None
    floating_selvedges: bool = False
    repeat_ends: Positive = 1


class WidthsPart(Part):
    """Width of a sample in up to four states."""

    in_heddle: SomeLengthField | None = None
    on_loom: SomeLengthField | None = None
    off_loom: SomeLengthField | None = None
    finished: SomeLengthField | None = None

    @property
    def any_before(self) -> bool:
        """Whether the width is known in any state before washing."""
        return any((self.in_heddle, self.on_loom, self.off_loom))


class LengthsPart(Part):
    """Length of a sample; `warp` is what the weaving used, or give `wound` and `waste`."""

    warp: SomeLengthField | None = None
    wound: SomeLengthField | None = None
    waste: LengthField | None = None
    on_loom: SomeLengthField | None = None
    off_loom: SomeLengthField | None = None
    finished: SomeLengthField | None = None

    @model_validator(mode="after")
    def _wound_less_waste(self) -> Self:
        if (self.wound is None) != (self.waste is None):
            raise ValueError("wound and waste go together: the warp used is what was wound less what was wasted")
        if self.wound and self.waste and self.waste.cm >= self.wound.cm:
            raise ValueError(f"the waste of {self.waste} leaves no warp of {self.wound}")
        return self

    @property
    def any_before(self) -> bool:
        """Whether the length is known in any state before washing."""
        return any((self.warp, self.wound, self.on_loom, self.off_loom))

    @property
    def warp_used_cm(self) -> float | None:
        """Warp used in the weaving, cm."""
        if self.wound and self.waste:
            return self.wound.cm - self.waste.cm
        return self.warp.cm if self.warp else None


class WeftUsedPart(Part):
    """Weft a sample used, by weight or by length."""

    weight: SomeWeightField | None = None
    length: SomeLengthField | None = None


class TracedPart(Part):
    """A sample drawn round on paper before and after washing: as corners, or as a drawing at true size."""

    drawing: str | None = None
    off_loom: CornersField = []
    finished: CornersField = []


class OnePickPart(Part):
    """One pick drawn out of the sample and laid straight, and when it was drawn out."""

    straight: SomeLengthField
    drawn_from: Literal["off loom", "finished"] = "off loom"


class SampleWeightPart(Part):
    """What the sample weighs, unwashed and finished."""

    off_loom: SomeWeightField | None = None
    finished: SomeWeightField | None = None


class SizePart(Part):
    """The size of a part cut from a sample; a side left out is the whole sample's."""

    width: SomeLengthField | None = None
    length: SomeLengthField | None = None


class CutPart(Part):
    """A part cut from a sample and finished in its own way."""

    name: Annotated[str, Field(min_length=1)]
    finish: str = ""
    before: SizePart = SizePart()
    after: SizePart = SizePart()
    hand: str = ""
    notes: str = ""


class SamplePart(Part):
    """A sample, or a finished cloth, and what was measured of it."""

    name: str = "sample"
    date: DayField = ""
    purpose: str = ""
    set_aside: str = ""
    warp: str | None = None
    weft: str | None = None
    heddle: HeddleField | None = None
    structure: StructureField | None = None
    width: WidthsPart = WidthsPart()
    length: LengthsPart = LengthsPart()
    picks: PickCountPart | None = None
    weft_used: WeftUsedPart | None = None
    finish: str | None = None
    woven_on: Literal["loom", "card loom"] = "loom"
    ends: Positive | None = None
    beat: Literal["light", "medium", "firm"] | None = None
    traced: TracedPart = TracedPart()
    one_pick: OnePickPart | None = None
    weight: SampleWeightPart = SampleWeightPart()
    parts: list[CutPart] = []
    hand: str = ""
    drape: str = ""
    notes: str = ""
    photos: list[str] = []

    @model_validator(mode="after")
    def _parts_have_a_before(self) -> Self:
        names = [part.name for part in self.parts]
        for number, part in enumerate(self.parts):
            if part.name in names[:number]:
                raise ValueError(f"two parts are called {part.name}; give each its own name")
            for side, whole in (("width", self.width), ("length", self.length)):
                after, before = getattr(part.after, side), getattr(part.before, side)
                known = whole.any_before or self.traced.off_loom or self.traced.drawing
                if after is not None and before is None and not known:
                    raise ValueError(
                        f"the part {part.name} is {after} after washing, of what {side} before? Give before.{side}, or the "
                        f"sample's own {side} where the part was not cut that way"
                    )
        return self


def _to_trust(share: Share) -> Share:
    if not 0.5 <= share.expected < 1:
        raise ValueError(f"“{share}”: a chance to trust lies from 50 % to below 100 %")
    return share


ChanceField = Annotated[ShareField, AfterValidator(_to_trust)]


class TrustPart(Part):
    """Chances a plan must reach."""

    size: ChanceField = Share.read("80 %")
    yarn: ChanceField = Share.read("95 %")


class WantPart(Part):
    """A cloth wanted, finished; a layout alone needs the width only."""

    width: SomeLengthField
    length: SomeLengthField | None = None


class RecordWidthsPart(Part):
    """Width of the cloth really woven; finished at up to three places, of which the least can be used and the mean is the evidence."""

    in_heddle: SomeLengthField | None = None
    on_loom: SomeLengthField | None = None
    off_loom: SomeLengthField | None = None
    finished: PlacesField = PlacesPart()


class RecordLengthsPart(Part):
    """Length of the cloth really woven; `on_loom` is under tension, from its first pick to its last."""

    on_loom: SomeLengthField | None = None
    off_loom: SomeLengthField | None = None
    finished: SomeLengthField | None = None


class YarnLeftPart(Part):
    """What was left over of a yarn, weighed without its core."""

    yarn: Annotated[str, Field(min_length=1)]
    weight: WeightField


class RecordPart(Part):
    """What really happened: a project with a day on which it was finished is evidence for the next.

    What is left out was not measured; heddle, finish and on-warp sample left out are as they were planned. `weaver`: who wove
    it where that was somebody else, as a test weaver of a leaflet; `test_of`: which leaflet, version and cloth it tried.
    """

    date: DayField = ""
    weaver: str = ""
    test_of: str = ""
    number: NumberField = ""
    heddle: ThreadsField | None = None
    ends: Positive | None = None
    warp_wound: SomeLengthField | None = None
    waste: LengthField | None = None
    on_warp_sample: LengthField | None = None
    width: RecordWidthsPart = RecordWidthsPart()
    length: RecordLengthsPart = RecordLengthsPart()
    picks: PickCountPart | None = None
    left: list[YarnLeftPart] = []
    weft_used: WeftUsedPart | None = None
    finish: str | None = None
    pattern_state: str = ""
    garment: GarmentMadePart = GarmentMadePart()
    remnant: list[RemnantPart] = []
    photo: list[PhotoPart] = []
    later: LaterField = []
    notes: str = ""
    set_aside: str = ""

    @model_validator(mode="after")
    def _waste_leaves_warp(self) -> Self:
        if self.warp_wound and self.waste and self.waste.cm >= self.warp_wound.cm:
            raise ValueError(f"waste of {self.waste} leaves no warp of {self.warp_wound}")
        return self

    @property
    def finished(self) -> bool:
        """Whether the project is finished: it has a day."""
        return bool(self.date)


class BegunPart(Part):
    """The words a project was begun with, and what was taken where nothing was said: a field's name, and what stands there.

    What a field was taken for is a default only as long as that still stands in the field.
    """

    yarn: str = ""
    making: str = ""
    taken: dict[str, str] = {}


class Project(Part):
    """The whole project, as `read_project` gives it: the names in it agree."""

    clothwright: Literal[1] = VERSION
    name: str = "untitled"
    from_record: NumberField = ""
    units: Literal["metric", "imperial"] = "metric"
    seed: Annotated[int, Field(ge=0)] = 1
    trust: TrustPart = TrustPart()
    yarn: list[YarnPart] = []
    core: list[CorePart] = []
    winder: list[WinderPart] = []
    loom: LoomPart = LoomPart()
    other_loom: list[OtherLoomPart] = []
    cloth: ClothPart = ClothPart()
    sample: list[SamplePart] = []
    want: WantPart | None = None
    pattern: PatternPart | None = None
    layout: LayoutPart = LayoutPart()
    cloth_in_hand: list[ClothInHandPart] = []
    colours: ColoursPart | None = None
    draft: ThreadingPart | None = None
    warping: WarpingPart = WarpingPart()
    leaflet: LeafletPart | None = None
    on_loom: OnLoomPart | None = None
    log: list[LogPart] = []
    off_loom: list[OffLoomMeasuredPart] = []
    finishing: FinishingPart | None = None
    real_cloth: RealClothPart | None = None
    checked: list[CheckedPart] = []
    record: RecordPart | None = None
    begun: BegunPart | None = None
