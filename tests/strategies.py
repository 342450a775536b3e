"""Random things of the trade, for tests that hold whatever the weaver has on hand."""

from __future__ import annotations

from hypothesis import strategies as st

from clothwright.cloth import structures
from clothwright.evidence import Making, SampleMeasured
from clothwright.yarn import systems

#: How many cm one of each unit of length is, from the international yard of 1959 and the metre.
CM = {"cm": 1.0, "mm": 0.1, "m": 100.0, "in": 2.54, "yd": 91.44}


def decimals(least: float, most: float, places: int = 2) -> st.SearchStrategy[str]:
    """A number as a person types it, with a few decimals."""
    scale = 10**places
    return st.integers(round(least * scale), round(most * scale)).map(lambda whole: f"{whole / scale:.{places}f}")


lengths_cm = st.floats(0.1, 5000)
lengths = st.builds(lambda number, unit: f"{number} {unit}", decimals(0.5, 400), st.sampled_from(sorted(CM)))
weights = st.builds(lambda number, unit: f"{number} {unit}", decimals(1, 900, 1), st.sampled_from(["g", "oz"]))
setts = st.builds(
    lambda ends, per: f"{ends}{per}", st.integers(3, 60), st.sampled_from(["/in", " epi", "/5 cm", "/2 in"])
)
names = st.text("abcdefghijklmnop ", min_size=1, max_size=12).map(str.strip).filter(bool)

#: Metres per gram of anything a hand loom sees, from rug wool to sewing silk.
m_per_g = st.floats(0.05, 500)
numbering_systems = st.sampled_from(systems())


@st.composite
def yarn_texts(draw: st.DrawFn) -> str:
    """A yarn number that is read without a question."""
    single = draw(st.integers(7, 120))
    plies = draw(st.integers(2, 4))
    return draw(
        st.sampled_from(
            [
                f"{single}/{plies} cotton",
                f"{plies}/{single} worsted",
                f"{plies}/{single} Nm",
                f"{single} tex x {plies}",
                f"R {single} tex",
                f"{single} lea",
                f"{single} den",
                f"{single} cut (300)",
                f"{single}/{plies} spun silk",
                f"{single * 20} m/100 g",
                f"{single * 50} yd/lb",
            ]
        )
    )


FIBRES = ("wool", "cotton", "silk", "linen", "merino and silk", "")
FINISHES = ("hand wash", "hand wash, dried flat", "machine, fulled", "")


def makings(key: str) -> st.SearchStrategy[Making]:
    """A cloth of any yarn, sett, structure and finish."""
    return st.builds(
        Making,
        key=st.just(key),
        warp=st.sampled_from(["grey", "moss", "rust"]),
        weft=st.sampled_from(["grey", "moss", "rust"]),
        fibre=st.sampled_from(FIBRES),
        finish=st.sampled_from(FINISHES),
        structure=st.sampled_from([one.name for one in structures()]),
        ends_per_cm=st.floats(1.5, 20),
        advised_ends_per_cm=st.floats(1.5, 20),
        warp_mm=st.floats(0.15, 3),
        weft_mm=st.floats(0.15, 3),
        weaver=st.sampled_from(["", "a friend"]),
        loom=st.sampled_from(["", "table loom"]),
        sett_known=st.booleans(),
    )


@st.composite
def cloths(draw: st.DrawFn, most: int = 5) -> list[Making]:
    """Several cloths, each with its own key."""
    return [draw(makings(f"cloth {number}")) for number in range(draw(st.integers(1, most)))]


@st.composite
def samples_of(draw: st.DrawFn, making: Making) -> SampleMeasured:
    """What somebody measured of a cloth; any state may be missing, none is wild."""
    width, length = draw(st.floats(8, 60)), draw(st.floats(10, 250))

    def shrunk(start: float, steps: int) -> st.SearchStrategy[float | None]:
        return st.none() | st.floats(0.9, 1.0).map(lambda ratio: start * ratio**steps)

    return SampleMeasured(
        making=making,
        width_in_heddle=draw(shrunk(width, 0)),
        width_on_loom=draw(shrunk(width, 1)),
        width_off_loom=draw(shrunk(width, 2)),
        width_finished=draw(shrunk(width, 3)),
        warp_used=draw(shrunk(length, 0)),
        length_on_loom=draw(shrunk(length, 1)),
        length_off_loom=draw(shrunk(length, 2)),
        length_finished=draw(shrunk(length, 3)),
        picks_count=draw(st.none() | st.integers(10, 200).map(float)),
        picks_over=10.0,
        picks_where=draw(st.sampled_from(["on loom", "off loom", "finished"])),
        name=making.key,
    )


@st.composite
def balls(draw: st.DrawFn) -> object:
    """A ball as a file holds it."""
    return draw(
        st.one_of(
            weights,
            weights.map(lambda text: {"net": text}),
            st.integers(60, 900).map(lambda grams: {"gross": f"{grams} g", "core": "12 g"}),
            st.integers(60, 900).map(lambda grams: {"gross": f"{grams} g"}),
            st.integers(60, 900).map(lambda grams: {"gross": f"{grams} g", "core": "card cone"}),
            st.integers(1, 300).map(lambda turns: {"length": f"{turns} turns of the niddy-noddy"}),
            lengths.map(lambda text: {"length": text}),
            st.integers(20, 60).map(
                lambda step: {"net": "90 g", "grist": {"length": "10 m", "weight": f"{step / 10} g"}}
            ),
        )
    )


@st.composite
def projects(draw: st.DrawFn) -> dict[str, object]:
    """A project file's tree that reads without problems."""
    called = draw(st.lists(names, min_size=1, max_size=4, unique=True))
    yarns = [
        {
            "name": name,
            "fibre": draw(st.sampled_from(FIBRES)),
            "made": draw(st.sampled_from(["handspun", "mill"])),
            "grist": draw(yarn_texts()),
            "balls": draw(st.lists(balls(), min_size=1, max_size=4)),
            "state": draw(st.sampled_from(["washed", "unwashed"])),
            "wash_test": draw(st.sampled_from([None, {"before": "100 m", "after": "88 m"}])),
            "heddle_trial": draw(st.sampled_from([None, {"hole": "rubs", "rub": "fuzzes"}])),
        }
        for name in called
    ]
    samples = [
        {"warp": draw(st.sampled_from(called)), "width": {"in_heddle": draw(lengths), "finished": draw(lengths)}}
        for _ in range(draw(st.integers(0, 2)))
    ]
    return {
        "clothwright": 1,
        "name": draw(names),
        "units": draw(st.sampled_from(["metric", "imperial"])),
        "yarn": yarns,
        "core": [{"name": "card cone", "weight": "25 g"}],
        "winder": [{"name": "niddy-noddy", "nominal": "1.5 m"}],
        "loom": {"heddles": draw(st.lists(setts, max_size=3)), "waste": draw(lengths)},
        "cloth": {
            "picks": draw(setts),
            "weft_take_up": "5 % of width in heddle",
            "finish": draw(st.sampled_from(FINISHES)),
        },
        "sample": samples,
        "want": {"width": draw(lengths), "length": draw(lengths)},
        "log": [{"woven": draw(lengths), "weft_left": {called[0]: draw(weights)}}],
    }
