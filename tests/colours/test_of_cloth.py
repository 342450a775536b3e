"""The yarn of every thread, and its colour."""

from __future__ import annotations

from clothwright.colours import ColoursOfCloth, threads


def test_runs_become_threads_one_by_one() -> None:
    assert threads([("kelp", 2), ("shell", 1), ("kelp", 1)]) == ("kelp", "kelp", "shell", "kelp")


def test_a_cloth_names_each_yarn_once_and_says_what_has_no_colour() -> None:
    """The warp's yarns come first; dulse says no colour."""
    cloth = ColoursOfCloth(("kelp", "shell"), ("dulse", "kelp"), {"kelp": "#334455", "shell": "#efe4d2"})
    assert cloth.yarns == ("kelp", "shell", "dulse")
    assert cloth.colours(cloth.weft, unsaid="#ffffff") == ("#ffffff", "#334455")
