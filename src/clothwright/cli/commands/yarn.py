"""Commands about yarn, sett and samples."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from clothwright.cli.failing import asked
from clothwright.cli.group import commands
from clothwright.cli.options import AS_JSON, DEFAULT_SECONDS, PAST, PROJECT_FILE, SEED, answered_in_json, seconds_of


@commands.command("yarn")
@click.argument("texts", nargs=-1, metavar="TEXT...")
@click.option("--take-up", help="Folding take-up to reckon with: 3 % on the strands' tex, or 3 % of strands.")
@click.option("--resultant", help="A folded yarn, to find the strand that makes it with those given by --with.")
@click.option("--with", "known", multiple=True, help="A strand known to be in it; give it again for each.")
@click.option("--weighed", "weighings", multiple=True, help='A length and its weight, "10 m = 3.1 g"; again for each.')
@click.option("--scale-step", help="What the scale can tell apart, as 0.1 g; left out, the last place typed.")
@click.option("--fibre", default="", help="Of the yarn weighed: says what damp does to its weight.")
@click.option(
    "--file", type=click.Path(path_type=Path), help="A project file: what its yarns hold and how they were tried."
)
@AS_JSON
def yarn_command(texts: tuple[str, ...], file: Path | None, as_json: bool, **given: Any) -> None:
    """Say what each yarn number means in every system: "8/2 cotton", "2/17 Nm", "60s cotton + 40s cotton"."""
    from clothwright.cli.reckoning.yarns import show_yarns, yarn_answers

    with asked():
        answers = yarn_answers(texts, **given) if file is None or texts or any(given.values()) else []
    with asked(file):
        held = _in_hand(file) if file else {}
    if not answered_in_json({"yarns": answers} | held, as_json):
        show_yarns(answers)
        _show_in_hand(held)


def _in_hand(file: Path) -> dict[str, Any]:
    from clothwright.cli.reckoning.yarns_in_hand import in_hand

    return in_hand(file)


def _show_in_hand(held: dict[str, Any]) -> None:
    if held:
        from clothwright.cli.reckoning.yarns_in_hand import show_in_hand

        show_in_hand(held)


@commands.command("sett")
@click.option("--wraps", help='Ruler wraps of one yarn, as 15/in; of a mixed warp, as "2 x 18/in + 1 x 9/in".')
@click.option("--warp-wraps", help="Ruler wraps of the warp.")
@click.option("--weft-wraps", help="Ruler wraps of the weft.")
@click.option("--together-wraps", help="Warp and weft wrapped together, turn about: the warp's wraps only.")
@click.option("--wraps-taken", help='How they were counted, as "over 5 cm, just touching".')
@click.option("--like", help="A pattern's sett instead of wraps, as 8/in.")
@click.option("--yarn", "yarn_text", help="A yarn's number, as 8/2 cotton: beside wraps, or instead of them.")
@click.option("--weft-yarn", help="The weft's number, where it is another yarn.")
@click.option("--structure", "weave", default="plain", show_default=True, help="Plain, twill 2/2 and so on.")
@click.option(
    "--heddles",
    multiple=True,
    help="Heddles owned, as 30/10 cm: several words, commas, or again for each; + joins sections.",
)
@click.option("--fibre", default="", help="What the yarn is made of, for draw-in and shrinkage.")
@click.option("--finish", default="", help="How the cloth will be washed.")
@click.option("--firmness", "firmness_text", help="A cloth wanted, as gauze, scarves, sewing cloth or upholstery.")
@click.option("--width", help="Finished width wanted, as 44 cm; left out, figures are for 10 cm.")
@click.option("--loom-width", help="Weaving width of the loom.")
@click.option("--width-ratio", help="Finished width over width in heddle where it is known, as 0.9 or 18/20.")
@click.option("--ends", type=click.IntRange(min=1), help="Ends of a pattern to be carried over to these heddles.")
@click.argument("more_heddles", nargs=-1, metavar="[HEDDLE...]")
@AS_JSON
def sett_command(as_json: bool, more_heddles: tuple[str, ...], heddles: tuple[str, ...], **given: Any) -> None:
    """Compare heddles for a yarn: what each leads to, how to sley it, and which to sample."""
    from clothwright.cli.reckoning.setts import compared, show_sett

    if more_heddles and not heddles:
        raise click.UsageError(f"“{more_heddles[0]}” came by itself; write it after --heddles, --wraps or --yarn")
    with asked():
        answer = compared(heddles=(*heddles, *more_heddles), **given)
    if not answered_in_json(answer.as_json(), as_json):
        show_sett(answer)


@commands.command("samples")
@PROJECT_FILE
@PAST
@seconds_of(DEFAULT_SECONDS)
@SEED
@AS_JSON
def samples_command(file: Path, past: tuple[Path, ...], seconds: float, seed: int | None, as_json: bool) -> None:
    """Tell what each sample of FILE says: ratios, the sett, the width it supports, and where samples do not agree."""
    from clothwright.cli.samples.sampled import show_samples, told

    with asked(file):
        answer, imperial = told(file, past=past, seconds=seconds, seed=seed)
    if not answered_in_json(answer.as_json(), as_json):
        show_samples(answer, imperial=imperial)
