"""Off the loom: the cloth measured, finished by a recipe, laid anew as it came, cut and sewn with its checks."""

from clothwright.finishing.answer import Finish, Lay, finish, plan_of_the_cloth
from clothwright.finishing.checks import STAGES, Check, check_keys
from clothwright.finishing.off_loom import FINISHED, OFF, RESTED, MissedMark, OffLoom, Sizes, off_loom
from clothwright.finishing.real_cloth import FlawSeen, RealCloth, real_cloth
from clothwright.finishing.recipe import Recipe, RecipeStep, recipe_of, step_titles
from clothwright.finishing.recorded import (
    Became,
    done_words,
    in_words,
    record_from_finishing,
    record_known,
    untold,
    what_became,
)
from clothwright.finishing.relaid import ClothAnswer, ClothWay, Costs, Relaid, Written
from clothwright.finishing.relaying import on_the_cloth

__all__ = [
    "FINISHED",
    "OFF",
    "RESTED",
    "STAGES",
    "Became",
    "Check",
    "ClothAnswer",
    "ClothWay",
    "Costs",
    "Finish",
    "FlawSeen",
    "Lay",
    "MissedMark",
    "OffLoom",
    "RealCloth",
    "Recipe",
    "RecipeStep",
    "Relaid",
    "Sizes",
    "Written",
    "check_keys",
    "done_words",
    "finish",
    "in_words",
    "off_loom",
    "on_the_cloth",
    "plan_of_the_cloth",
    "real_cloth",
    "recipe_of",
    "record_from_finishing",
    "record_known",
    "step_titles",
    "untold",
    "what_became",
]
