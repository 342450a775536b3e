"""The fields of what stands on the loom: part of the project, shown and changed on the page at the loom."""

from __future__ import annotations

from typing import Final

from clothwright.web.forms.field import CM, HEDDLE, Field, Group, Kind, Rows, Section

_BANDS: Final = Rows(
    "on_loom.bands",
    "band",
    "Add a band of another weft",
    (
        Field("on_loom.bands.*.begins", "Begins at ↕", unit=CM, help="on the loom, from the first pick"),
        Field("on_loom.bands.*.stops", "Stops at ↕", unit=CM),
        Field("on_loom.bands.*.yarn", "Its yarn, by name", help="may be left out"),
    ),
    small=True,
    help="Stretches woven in another weft. The first weft is reckoned without them, and a yarn named here for them alone.",
    again="Add another band",
)
STANDS_SECTIONS: Final = (
    Section(
        "stands",
        "What stands on the loom",
        "As it was really put on. What is left out is as planned.",
        (
            Field("on_loom.to_weave", "To weave in all ↕", unit=CM, help="on the loom under tension"),
            Field(
                "on_loom.counted_from",
                "Counted from the first pick of",
                Kind.CHOICE,
                choices=(("cloth", "the cloth"), ("sample", "the sample woven before it")),
            ),
            Field("on_loom.marks_every", "My marks, every ↕", unit=CM),
            Group(
                "The warp as it was put on",
                (
                    Field("on_loom.warp_wound", "Warp wound ↕", unit=CM),
                    Field("on_loom.ends", "Ends", Kind.COUNT),
                    Field("on_loom.heddle", "Heddle", unit=HEDDLE),
                ),
            ),
            _BANDS,
            Group(
                "Repeats, panels and time",
                (
                    Field("on_loom.repeat", "A repeat, finished ↕", unit=CM),
                    Field("on_loom.repeat_picks", "Picks settled on for it", Kind.COUNT),
                    Field("on_loom.panel", "A panel, finished ↕", unit=CM),
                    Field("on_loom.minutes_a_session", "Minutes at a sitting", Kind.COUNT),
                ),
                folded=True,
            ),
        ),
        holds=("on_loom",),
    ),
)
