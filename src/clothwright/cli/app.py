"""The commands. Each reads what was given, asks the core once, and shows the answer as text or JSON.

Exit status: 0 answered, 2 what was given is wrong (one sentence per problem on standard error), 1 our fault.
Rooms are imported when a command needs them, so that the small commands start quickly.
"""

from __future__ import annotations

import json
import os
import sys
import traceback
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

from clothwright import __version__
from clothwright.cli.failing import FAULT, WRONG_INPUT, Refused, asked
from clothwright.sheets.registry import BY_KIND

_PROJECT_FILE = click.argument("file", type=click.Path(path_type=Path))
_AS_JSON = click.option(
    "--json", "as_json", is_flag=True, help="Answer in JSON: cm, m, g, threads per cm, shares 0 to 1."
)
_SEED = click.option("--seed", type=click.IntRange(min=0), default=None, help="Seed of the layout search.")
_PAST = click.option(
    "--past",
    multiple=True,
    type=click.Path(path_type=Path),
    help="A past project, a folder of them, or a table of cloths (CSV); again for each.",
)
DEFAULT_SECONDS = 4.0
_Command = TypeVar("_Command", bound=Callable[..., Any])
PAPERS = ("A4", "A3", "letter")
SIGHTS = ("all cones", "protan", "deutan", "tritan")
CLOTH_STATES = ("finished", "on the loom")
TRACED_BY = ("markers", "A4", "A3", "letter")


def _seconds(default: float) -> Callable[[_Command], _Command]:
    return click.option(
        "--seconds",
        type=click.FloatRange(min=0),
        default=default,
        show_default=True,
        help="Time to search for layouts.",
    )


_ROUNDS = click.option(
    "--rounds",
    type=click.IntRange(min=1),
    help="Search so many rounds instead, with no clock: the same seed gives the same answer anywhere.",
)


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="clothwright")
def commands() -> None:
    """Plan handwoven cloth for garments: from yarn in hand to a verdict that says how sure it is."""


@commands.command("plan")
@_PROJECT_FILE
@click.option("--by-hand", is_flag=True, help="The sums on paper, no spread.")
@click.option("--evidence", is_flag=True, help="What each figure rests on, and how far each piece moved it.")
@_PAST
@_seconds(DEFAULT_SECONDS)
@_ROUNDS
@_SEED
@_AS_JSON
def plan_command(
    file: Path,
    by_hand: bool,
    evidence: bool,
    past: tuple[Path, ...],
    seconds: float,
    rounds: int | None,
    seed: int | None,
    as_json: bool,
) -> None:
    """Plan the project in FILE: warp, weft, layout, and whether the yarn lasts."""
    from clothwright.cli.planned import evidence_told, planned
    from clothwright.cli.show_evidence import evidence_data, show_evidence
    from clothwright.cli.show_plan import show_plan

    with asked(file):
        project, plan = planned(file, seconds=seconds, seed=seed, by_hand=by_hand, past=past, rounds=rounds or 0)
        behind = evidence_told(file, plan, past) if evidence and not by_hand else ()
    if not _answer(plan.as_json() | ({"evidence": evidence_data(behind)} if behind else {}), as_json):
        show_plan(plan, imperial=project.units == "imperial")
        show_evidence(behind, imperial=project.units == "imperial")


@commands.command("begin")
@click.argument("yarns", nargs=-1, metavar="YARN...")
@click.option("--loom", metavar="WIDTH", help="How wide the loom weaves, as 50 cm; left out, wide enough.")
@click.option(
    "--heddle", "heddles", multiple=True, help="A heddle owned, as 30/10 cm; again for each. Left out, one is taken."
)
@click.option("--width", help="Width of the finished cloth, selvedge to selvedge, as 50 cm.")
@click.option("--length", help="Length of the finished cloth, as 180 cm.")
@click.option("--garment", help="Instead of a size: a garment made from measures; clothwright measures lists them.")
@click.option("--measure", "measures", multiple=True, help='A body measure, as "bust girth = 92 cm"; again for each.')
@click.option("--option", "options", multiple=True, help='A choice of the garment, as "neck = v"; again for each.')
@click.option(
    "--pattern", type=click.Path(path_type=Path, dir_okay=False), help="Instead of a size: a drawing of the pieces."
)
@click.option(
    "-o",
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    default=Path("begun.toml"),
    show_default=True,
    help="The project file to write; one that is there is left as it is.",
)
@_seconds(0.0)
@_AS_JSON
def begin_command(out: Path, seconds: float, as_json: bool, **said: Any) -> None:
    """Begin a project with yarn as you would say it, "250 g of 400 m/100 g wool": write its file, and say whether it is enough."""
    from clothwright.cli.beginning import Said, begun_tree, show_begun, taken_data, taken_of, write_begun
    from clothwright.cli.planned import planned

    with asked():
        begun = Said(**said)
        tree = begun_tree(begun)
        write_begun(tree, begun, out)
    with asked(out):
        project, plan = planned(out, seconds=seconds, seed=None)
    defaults = taken_of(tree, project, plan)
    if not _answer(plan.as_json() | {"taken": taken_data(defaults), "written": str(out)}, as_json):
        show_begun(plan, defaults, out, imperial=project.units == "imperial")


@commands.command("sample")
@_PROJECT_FILE
@click.option("--no-loom", is_flag=True, help="Woven with a needle on a notched card, with the doubt that adds.")
@click.option("--heddle", "heddles", multiple=True, help="A heddle owned to sample, as 30/10 cm; again for each.")
@_PAST
@_seconds(DEFAULT_SECONDS)
@_SEED
@_AS_JSON
def sample_command(
    file: Path,
    no_loom: bool,
    heddles: tuple[str, ...],
    past: tuple[Path, ...],
    seconds: float,
    seed: int | None,
    as_json: bool,
) -> None:
    """Plan the smallest sample that settles most for the project in FILE: size, yarn, heddles, and what it would tell."""
    from clothwright.cli.sample_first import sampled, show_sample

    with asked(file):
        project, answer = sampled(file, loom=not no_loom, heddles=heddles, past=past, seconds=seconds, seed=seed)
    if not _answer(answer.as_json(), as_json):
        show_sample(answer, project)


@commands.command("lay")
@_PROJECT_FILE
@_seconds(DEFAULT_SECONDS)
@_ROUNDS
@_SEED
@click.option("--keep-places", is_flag=True, help="Print the layout as lines to keep in the project file.")
@_AS_JSON
def lay_command(
    file: Path, seconds: float, rounds: int | None, seed: int | None, keep_places: bool, as_json: bool
) -> None:
    """Lay the pieces of FILE on cloth of the width wanted, or of the width that takes least yarn."""
    from clothwright.cli.kept_places import place_lines
    from clothwright.cli.planned import laid
    from clothwright.cli.show_plan import show_layout

    with asked(file):
        project, answer = laid(file, seconds=seconds, seed=seed, rounds=rounds or 0)
    if keep_places:
        click.echo(place_lines(answer, project))
    elif not _answer(answer.as_json(), as_json):
        show_layout(answer, imperial=project.units == "imperial")


@commands.command("forecast")
@_PROJECT_FILE
@click.option("--by-hand", is_flag=True, help="The sums on paper, no spread.")
@_PAST
@_seconds(0.0)
@_SEED
@_AS_JSON
def forecast_command(
    file: Path, by_hand: bool, past: tuple[Path, ...], seconds: float, seed: int | None, as_json: bool
) -> None:
    """Forecast from the weaving log of FILE: what is still needed, left, short, where it would end, and the ways out."""
    from clothwright.cli.at_loom import forecast_of, show_forecast

    with asked(file):
        project, told = forecast_of(file, by_hand=by_hand, past=past, seconds=seconds, seed=seed)
    if not _answer(told.as_json(), as_json):
        show_forecast(told, imperial=project.units == "imperial")


@commands.command("finish")
@_PROJECT_FILE
@_PAST
@_seconds(0.0)
@_SEED
@_AS_JSON
def finish_command(file: Path, past: tuple[Path, ...], seconds: float, seed: int | None, as_json: bool) -> None:
    """Say what is to be done off the loom of FILE: measuring, the recipe, the pieces on the cloth as it came, the checks."""
    from clothwright.cli.finishing import finish_of, show_finish

    with asked(file):
        project, found = finish_of(file, past=past, seconds=seconds, seed=seed)
    if not _answer(found.as_json(), as_json):
        show_finish(found, imperial=project.units == "imperial")


@commands.command("colours")
@_PROJECT_FILE
@click.option("--redraw", is_flag=True, help="Draw the order anew, all but its held ends.")
@click.option("--as-toml", is_flag=True, help="Print the order as lines to keep in the project file.")
@_seconds(0.0)
@click.option("--seed", type=click.IntRange(min=0), default=None, help="Seed of the order; left out, the project's.")
@_AS_JSON
def colours_command(file: Path, redraw: bool, as_toml: bool, seconds: float, seed: int | None, as_json: bool) -> None:
    """Order the colours of FILE's warp: what each ball gives, an order under the rules, and what is left."""
    from clothwright.cli.coloured import coloured, order_lines, show_colours

    with asked(file):
        project, answer = coloured(file, seed=seed, redraw=redraw, seconds=seconds)
    if as_toml:
        click.echo(order_lines(answer))
    elif not _answer(answer.as_json(), as_json):
        show_colours(answer, imperial=project.units == "imperial")


@commands.command("picture")
@_PROJECT_FILE
@click.option(
    "-o",
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    default=Path("cloth.png"),
    show_default=True,
    help="What to write, a PNG.",
)
@click.option("--dots-per-cm", type=click.FloatRange(min=0.1, max=1000), help="Scale; left out, to suit what is drawn.")
@click.option(
    "--seen-by",
    type=click.Choice(SIGHTS),
    default=SIGHTS[0],
    show_default=True,
    help="In whose eyes: without red (protan), green (deutan) or blue cones (tritan).",
)
@click.option(
    "--state",
    type=click.Choice(CLOTH_STATES),
    default=CLOTH_STATES[0],
    show_default=True,
    help="Finished, or as it stands on the loom.",
)
@click.option("--part", default="", help="A part from the first selvedge and pick on, as 10 cm x 8 cm, at true size.")
@click.option(
    "--begins", default="", help="Where the part begins, from the first selvedge and the first pick: 12 cm x 0 cm."
)
@click.option("--piece", default="", help="One piece of the layout, cut from the cloth, as front or front 2.")
@click.option("--structure", help="Another structure, tried.")
@click.option("--ends", help="Another sett, tried, as 4/cm.")
@click.option("--picks", help="Another beat, tried, as 4/cm.")
@click.option("--thickness", help="Yarn so wide beside how it wraps, tried, as 120 %.")
@click.option("--colour", "colours", multiple=True, help='Another colour of a yarn, tried: "marram = #7f8f4e".')
@_PAST
@_seconds(0.0)
@_AS_JSON
def picture_command(file: Path, out: Path, past: tuple[Path, ...], seconds: float, as_json: bool, **how: Any) -> None:
    """Draw the cloth of FILE as it will look: threads over and under, true colours and size, whole or cut into pieces."""
    from clothwright.cli.pictured import PictureAsked, pictured, show_picture, write_picture

    with asked(file):
        drawn = pictured(file, PictureAsked(**how), seconds=seconds, past=past)
    with asked(out):
        write_picture(drawn, out)
    if not _answer(drawn.as_json(out), as_json):
        show_picture(drawn, out)


@commands.command("leaflet")
@_PROJECT_FILE
@_seconds(DEFAULT_SECONDS)
@_ROUNDS
@_SEED
@click.option(
    "--workers", type=click.IntRange(1, 64), default=2, show_default=True, help="Processes that work at once."
)
@click.option(
    "--publish", metavar="VERSION", help="Give it out as a version: its figures are frozen in a file beside FILE."
)
@click.option(
    "--buyers-page",
    metavar="PAGE.html",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Write one page that works offline, where buyers type their own sample and see their own needs.",
)
@click.option("--changes", "only_changes", is_flag=True, help="Only say what changed since the last version given out.")
@_AS_JSON
def leaflet_command(
    file: Path, publish: str | None, buyers_page: Path | None, only_changes: bool, as_json: bool, **how: Any
) -> None:
    """Say what the leaflet of FILE asks for: cloth, warp, weft and balls for every size, version, heddle and width."""
    from clothwright.cli import leaflet_versions
    from clothwright.cli.leaflets import LeafletEffort, leaflet_in, show_leaflet

    with asked(file):
        project, answer = leaflet_in(file, LeafletEffort(**how | {"rounds": how["rounds"] or 0}))
        if buyers_page:
            leaflet_versions.write_buyers_page(file, answer, buyers_page, imperial=project.units == "imperial")
        if publish or only_changes:
            _show_versions(file, answer, publish, project.units == "imperial", as_json)
            return
    if not _answer(answer.as_json(), as_json):
        show_leaflet(answer, imperial=project.units == "imperial")


@commands.command("class")
@click.argument("file", metavar="CLASS.toml", type=click.Path(path_type=Path))
@click.option(
    "--piece", type=click.Path(path_type=Path), help="The project file everybody weaves, where CLASS.toml names none."
)
@click.option(
    "-o",
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    help="Write a sheet for each student and a summary here.",
)
@click.option(
    "--large-print", is_flag=True, help="The summary in larger type; each student's print stands in the file."
)
@_AS_JSON
def class_command(file: Path, piece: Path | None, out: Path | None, large_print: bool, as_json: bool) -> None:
    """Say what each student of a class needs for one piece on her own loom, what to settle with whom, and the yarn to buy."""
    from clothwright.cli.classes import class_in, show_class, write_class

    _, answer = class_in(file, piece)
    written = write_class(answer, out, file.stem, large_print=large_print) if out else []
    if not _answer(answer.as_json() | {"written": list(map(str, written))}, as_json):
        show_class(answer)
        click.echo("".join(f"\nWritten: {path}" for path in written))


@commands.command("words")
@click.argument("word", nargs=-1)
@click.option("--language", type=click.Choice(("en", "de")), default="en", show_default=True)
@click.option("-o", "--out", type=click.Path(path_type=Path, dir_okay=False), help="Print all words on paper (PDF).")
@click.option("--large-print", is_flag=True, help="Larger type on paper.")
@_AS_JSON
def words_command(word: tuple[str, ...], language: str, out: Path | None, large_print: bool, as_json: bool) -> None:
    """Explain a WORD of the trade, British and American, or list all that are kept."""
    from clothwright.cli.words import show_words, words_answer, write_words

    with asked(out):
        answer = words_answer(" ".join(word), language)
        if out is not None:
            write_words(out, language, large_print=large_print)
    if not _answer(answer | {"written": str(out) if out else None}, as_json):
        show_words(answer)
        click.echo(f"Written: {out}" if out else "", nl=out is not None)


def _show_versions(file: Path, answer: Any, publish: str | None, imperial: bool, as_json: bool) -> None:
    """Give out a version where one is named, and say what changed since the one before it."""
    from clothwright.cli import leaflet_versions

    before = (leaflet_versions.published_beside(file) or (None,))[-1]
    written = leaflet_versions.publish_beside(file, answer, publish)[0] if publish else None
    found = leaflet_versions.changes_since(before, answer, imperial=imperial)
    data = leaflet_versions.as_data(before, found) | {"file": str(written) if written else None}
    if not _answer(data, as_json):
        if written:
            click.echo(f"Given out as version {publish}: {written}")
        leaflet_versions.show_changes(before, found)


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
@_AS_JSON
def yarn_command(texts: tuple[str, ...], file: Path | None, as_json: bool, **given: Any) -> None:
    """Say what each yarn number means in every system: "8/2 cotton", "2/17 Nm", "60s cotton + 40s cotton"."""
    from clothwright.cli.yarns import show_yarns, yarn_answers

    with asked():
        answers = yarn_answers(texts, **given) if file is None or texts or any(given.values()) else []
    with asked(file):
        held = _in_hand(file) if file else {}
    if not _answer({"yarns": answers} | held, as_json):
        show_yarns(answers)
        _show_in_hand(held)


def _in_hand(file: Path) -> dict[str, Any]:
    from clothwright.cli.yarns_in_hand import in_hand

    return in_hand(file)


def _show_in_hand(held: dict[str, Any]) -> None:
    if held:
        from clothwright.cli.yarns_in_hand import show_in_hand

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
    "--heddles", multiple=True, help="A heddle owned, as 30/10 cm; again for each, or commas; + joins sections."
)
@click.option("--fibre", default="", help="What the yarn is made of, for draw-in and shrinkage.")
@click.option("--finish", default="", help="How the cloth will be washed.")
@click.option("--firmness", "firmness_text", help="A cloth wanted, as gauze, scarves, sewing cloth or upholstery.")
@click.option("--width", help="Finished width wanted, as 44 cm; left out, figures are for 10 cm.")
@click.option("--loom-width", help="Weaving width of the loom.")
@click.option("--width-ratio", help="Finished width over width in heddle where it is known, as 0.9 or 18/20.")
@click.option("--ends", type=click.IntRange(min=1), help="Ends of a pattern to be carried over to these heddles.")
@_AS_JSON
def sett_command(as_json: bool, **given: Any) -> None:
    """Compare heddles for a yarn: what each leads to, how to sley it, and which to sample."""
    from clothwright.cli.setts import compared, show_sett

    with asked():
        answer = compared(**given)
    if not _answer(answer.as_json(), as_json):
        show_sett(answer)


@commands.command("samples")
@_PROJECT_FILE
@_PAST
@_seconds(DEFAULT_SECONDS)
@_SEED
@_AS_JSON
def samples_command(file: Path, past: tuple[Path, ...], seconds: float, seed: int | None, as_json: bool) -> None:
    """Tell what each sample of FILE says: ratios, the sett, the width it supports, and where samples do not agree."""
    from clothwright.cli.sampled import show_samples, told

    with asked(file):
        answer, imperial = told(file, past=past, seconds=seconds, seed=seed)
    if not _answer(answer.as_json(), as_json):
        show_samples(answer, imperial=imperial)


@commands.command("sheets")
@click.argument("file", type=click.Path(path_type=Path), required=False)
@click.option("--only", multiple=True, type=click.Choice(list(BY_KIND)), help="Only these sheets.")
@click.option("--blank", is_flag=True, help="The sheets to fill in by hand; FILE can be left out.")
@click.option("-o", "--out", type=click.Path(path_type=Path, file_okay=False), default=Path("out"), show_default=True)
@click.option("--large-print", is_flag=True, help="Larger type.")
@_PAST
@click.option(
    "--paper",
    type=click.Choice(PAPERS),
    help="For the pieces at true size; left out, A4, or letter in an imperial project.",
)
@click.option("--show-before", is_flag=True, help="On the pieces, dotted, how they lay before the changes.")
@_seconds(DEFAULT_SECONDS)
@_SEED
@_AS_JSON
def sheets_command(
    file: Path | None,
    only: tuple[str, ...],
    blank: bool,
    out: Path,
    large_print: bool,
    past: tuple[Path, ...],
    paper: str | None,
    show_before: bool,
    seconds: float,
    seed: int | None,
    as_json: bool,
) -> None:
    """Print the sheets of the project in FILE as PDF, or with --blank the sheets to fill in by hand."""
    from clothwright.cli.papers import Asked, print_blank_sheets, print_sheets_of

    with asked(file):
        if blank:
            written = print_blank_sheets(out, only=only, large_print=large_print)
        else:
            how = Asked(seconds, seed, past, paper, show_before)
            written = print_sheets_of(file, out, only=only, large_print=large_print, asked=how)
    if not _answer({"sheets": [str(path) for path in written]}, as_json):
        click.echo("\n".join(map(str, written)))


@commands.command("records")
@click.argument("files", metavar="[FILE...]", nargs=-1, type=click.Path(path_type=Path))
@click.option(
    "-o", "--out", type=click.Path(path_type=Path, dir_okay=False), help="The table to write; left out, shown."
)
@click.option("--samples", "with_samples", is_flag=True, help="Samples too, before the cloth they were for.")
@click.option("--find", "words", help="Find records by any words, instead of a table.")
@click.option("--yarn", help="Find by yarn.")
@click.option("--fibre", help="Find by fibre (fiber).")
@click.option("--sett", help="Find by sett, as 3/cm.")
@click.option("--structure", help="Find by structure.")
@click.option("--width", help='Find by finished width, as "40 to 44 cm".')
@click.option("--garment", help="Find by garment or piece.")
@click.option("--liked", help="Find by verdict: yes, partly or no.")
@click.option("--labels", type=click.Path(path_type=Path, dir_okay=False), help="Write labels of those found (PDF).")
@click.option("--copies", type=click.IntRange(1, 20), default=1, show_default=True, help="Labels of each.")
@click.option("--large-print", is_flag=True, help="Labels in large print.")
@_AS_JSON
def records_command(
    files: tuple[Path, ...],
    out: Path | None,
    with_samples: bool,
    labels: Path | None,
    copies: int,
    large_print: bool,
    as_json: bool,
    **asked_for: str | None,
) -> None:
    """Find records in the library, or in FILEs; or write the finished cloths of FILEs as a table (CSV) that trueness replays."""
    typed = {name: text for name, text in asked_for.items() if text is not None}
    if files and not typed and labels is None:
        _records_table(files, out, with_samples=with_samples, as_json=as_json)
        return
    from clothwright.cli.record_found import found_records, print_labels, records_data, show_records

    if out is not None or with_samples:
        raise click.UsageError("-o and --samples go with the table of FILEs, not with finding records")
    with asked():
        found = found_records(files, typed)
        printed = print_labels(found, labels, copies=copies, large_print=large_print) if labels else 0
    written = {"labels": str(labels), "labelled": printed} if labels else {}
    if not _answer({"records": records_data(found), **written}, as_json):
        show_records(found)
        if labels:
            click.echo(f"Written: {labels}, labels of {printed} of {len(found)}")


def _records_table(files: tuple[Path, ...], out: Path | None, *, with_samples: bool, as_json: bool) -> None:
    """The finished cloths of files as a table."""
    from clothwright.cli.past import records_answer, write_table

    with asked():
        table, rows = records_answer(files, with_samples=with_samples)
        if out is not None:
            write_table(out, table)
    if not _answer({"records": rows, "written": str(out) if out else None}, as_json):
        click.echo(f"Written: {out}, {len(rows)} rows" if out else table.rstrip("\n"))


@commands.command("record")
@_PROJECT_FILE
@_PAST
@_seconds(0.0)
@_SEED
@_AS_JSON
def record_command(file: Path, past: tuple[Path, ...], seconds: float, seed: int | None, as_json: bool) -> None:
    """Tell the record of FILE: the plan beside what came, what was forecast, what it taught, what is still to complete."""
    from clothwright.cli.recorded import record_told, show_record

    with asked(file):
        told = record_told(file, past=past, seconds=seconds, seed=seed)
    if not _answer(told.as_json(), as_json):
        show_record(told)


@commands.command("again")
@_PROJECT_FILE
@click.option("--name", default="", help="What the new project is called.")
@click.option("--width", default="", help="Finished width wanted now, as 44 cm; left out, as last time.")
@click.option("--length", default="", help="Finished length wanted now, as 340 cm; left out, as last time.")
@click.option("--size", default="", help="Another size of its pattern.")
@click.option("--version", "version_of", default="", help="Another version of its pattern.")
@click.option(
    "--yarn",
    "stock",
    type=click.Choice(("as last time", "what was left", "not yet")),
    default="as last time",
    show_default=True,
    help="The yarn there is for it.",
)
@click.option("-o", "--out", type=click.Path(path_type=Path, dir_okay=False), help="Write the new project to a file.")
@_PAST
@_seconds(DEFAULT_SECONDS)
@_SEED
@_AS_JSON
def again_command(
    file: Path,
    name: str,
    width: str,
    length: str,
    size: str,
    version_of: str,
    stock: str,
    out: Path | None,
    past: tuple[Path, ...],
    seconds: float,
    seed: int | None,
    as_json: bool,
) -> None:
    """Make the garment of FILE again: a new project planned from the ratios of its record, beside last time and proportion."""
    from clothwright.cli.again import made_again, show_again, write_project
    from clothwright.project.used_again import Again

    again = Again(name, width, length, size, version_of, stock)
    with asked(file):
        made = made_again(file, again, past=past, seconds=seconds, seed=seed)
    with asked(out):
        if out is not None:
            write_project(out, made)
    if not _answer(made.as_json() | ({"written": str(out)} if out else {}), as_json):
        show_again(made)
        if out is not None:
            click.echo(f"Written: {out}")


@commands.command("pieces")
@_PROJECT_FILE
@click.option("--allowance", help="Seam allowance for a drawing by itself, as 15 mm.")
@click.option("--scale", help="What one unit of a drawing by itself is, where it does not say, as 1 mm.")
@click.option("--before", type=int, help="Show the pattern as it was before that change, counted from 1.")
@_AS_JSON
def pieces_command(file: Path, allowance: str | None, scale: str | None, before: int | None, as_json: bool) -> None:
    """List the pieces of FILE (a project, or a drawing: SVG, DXF, PDF), its changes, and what looks wrong in them."""
    from clothwright.cli.pieces import pieces_told, show_pieces

    with asked(file):
        answer = pieces_told(file, allowance=allowance, scale=scale, before=before)
    if not _answer(answer, as_json):
        show_pieces(answer, imperial=answer.get("units") == "imperial")


@commands.command("joins")
@_PROJECT_FILE
@click.option("--width", help="The finished width of the cloth, as 44 cm; left out, the widest the loom finishes.")
@click.option("--other-width", help="The width of other cloth for facings and the like, as 112 cm; left out, 90 cm.")
@_PAST
@_AS_JSON
def joins_command(
    file: Path, width: str | None, other_width: str | None, past: tuple[Path, ...], as_json: bool
) -> None:
    """Propose how pieces of FILE wider than the cloth can be joined, and what may come from other cloth, with its yarn."""
    from clothwright.cli.joins import joins_answer, show_joins

    with asked(file):
        answer = joins_answer(file, width=width, other_width=other_width, past=past)
    if not _answer(answer.as_json(), as_json):
        show_joins(answer)


@commands.command("choices")
@_PROJECT_FILE
@_PAST
@_AS_JSON
def choices_command(file: Path, past: tuple[Path, ...], as_json: bool) -> None:
    """Plan FILE by everything that can be chosen: width, heddle, joins, other cloth, one warp or two, best first."""
    from clothwright.cli.choosing import choices_answer, show_choices

    with asked(file):
        answer, imperial = choices_answer(file, past)
    if not _answer(answer.as_json(), as_json):
        show_choices(answer, imperial=imperial)


@commands.command("cut-from")
@_PROJECT_FILE
@click.option(
    "--cloth",
    "cloths",
    multiple=True,
    help='Finished cloth in hand, width x length, with its flaws: "48 cm x 200 cm; knot at 84 cm"; again for each. '
    "Left out: what the project keeps.",
)
@_AS_JSON
def cut_from_command(file: Path, cloths: tuple[str, ...], as_json: bool) -> None:
    """Say what of FILE can be cut from finished cloth that is there, whole or in remnants, and the ways out."""
    from clothwright.cli.in_hand import cut_from_answer, show_cut_from

    with asked(file):
        answer, imperial = cut_from_answer(file, cloths)
    if not _answer(answer.as_json(), as_json):
        show_cut_from(answer, imperial=imperial)


@commands.command("draw")
@click.argument("file", metavar="FILE", type=click.Path(path_type=Path))
@click.option(
    "-o", "--out", type=click.Path(path_type=Path, dir_okay=False), help="What to write: .svg a drawing, .toml a table."
)
@click.option("--inches", is_flag=True, help="A table in inches.")
@_AS_JSON
def draw_command(file: Path, out: Path | None, inches: bool, as_json: bool) -> None:
    """Draw the pieces of FILE, a table of corners and sides (TOML), or open a drawing (SVG) as such a table."""
    from clothwright.cli.drawing import drawn, drawn_answer, show_drawn, write_drawn

    with asked(file):
        pieces, left = drawn(file)
        if out is not None:
            write_drawn(pieces, out, inches=inches)
    answer = drawn_answer(pieces, left, out)
    if not _answer(answer, as_json):
        show_drawn(answer)


@commands.command("measures")
@click.argument("what", metavar="[FILE|GARMENT]", required=False)
@click.option("--measure", multiple=True, help='A body measure, as "bust girth = 92 cm"; again for each.')
@click.option(
    "--ease", multiple=True, help='How much larger a girth is to be, as "bust girth = 10 cm"; again for each.'
)
@click.option("--option", multiple=True, help='A choice of the garment, as "neck = v"; again for each.')
@click.option("--table", help="A published table of sizes, by its name; measures it lacks are asked for.")
@click.option("--size", "sizes", multiple=True, help="A size of the table; again for each. Left out, all.")
@click.option("--allowance", help="Seam allowance, as 15 mm.")
@click.option("-o", "--out", type=click.Path(path_type=Path, dir_okay=False), help="Also write a drawing (SVG).")
@_AS_JSON
def measures_command(
    what: str | None,
    table: str | None,
    sizes: tuple[str, ...],
    allowance: str | None,
    out: Path | None,
    as_json: bool,
    **said: tuple[str, ...],
) -> None:
    """Make a garment from body measures, of a project FILE or as typed; without either, list what can be made."""
    from clothwright.cli import drafting

    if what is None:
        answer = drafting.garments_answer()
        if not _answer(answer, as_json):
            drafting.show_garments(answer)
        return
    file = Path(what) if what.endswith(".toml") else None
    with asked(file):
        if file is not None:
            pattern, imperial = drafting.pattern_of_file(file)
        else:
            pattern, imperial = (
                drafting.typed_pattern(what, table=table, sizes=sizes, allowance=allowance, said=said),
                False,
            )
        drafted, answer = drafting.drafted_answer(pattern)
        if out is not None:
            drafting.write_drawing(out, drafted)
    if not _answer(answer | {"written": str(out) if out else None}, as_json):
        drafting.show_drafted(answer, imperial=imperial)


@commands.command("trace")
@click.argument("photo", metavar="PHOTO", type=click.Path(path_type=Path))
@click.option(
    "--sheet",
    type=click.Choice(TRACED_BY),
    default="markers",
    show_default=True,
    help="What lies beside the piece: printed marker strips, or a white sheet of that size.",
)
@click.option(
    "-o", "--out", type=click.Path(path_type=Path, dir_okay=False), default=Path("piece.svg"), show_default=True
)
@click.option("--name", default="piece", show_default=True, help="What the piece is called.")
@click.option(
    "--flat", type=click.Path(path_type=Path, dir_okay=False), help="Also write the corrected photograph (JPEG)."
)
@click.option(
    "--as-remnant", is_flag=True, help="Print it as lines for the record of a project file: a remnant left over."
)
@_AS_JSON
def trace_command(
    photo: Path, sheet: str, out: Path, name: str, flat: Path | None, as_remnant: bool, as_json: bool
) -> None:
    """Trace the paper piece, or the remnant of cloth, in PHOTO (JPEG or PNG) into a drawing at true size."""
    from clothwright.cli.tracing import remnant_lines, show_traced, traced, traced_answer, write_traced

    with asked(photo):
        tracing = traced(photo, sheet=sheet)
    if as_remnant:
        click.echo(remnant_lines(tracing, name), nl=False)
        return
    answer = traced_answer(tracing, write_traced(tracing, out, name=name, flat=flat))
    if not _answer(answer, as_json):
        show_traced(answer)


@commands.command("trueness")
@click.argument("file", metavar="RECORDS.csv", type=click.Path(path_type=Path))
@click.option(
    "--picture", type=click.Path(path_type=Path, dir_okay=False), help="Draw how often forecasts held, as SVG."
)
@_AS_JSON
def trueness_command(file: Path, picture: Path | None, as_json: bool) -> None:
    """Say how right forecasts would have been on the finished cloths of a table."""
    from clothwright.cli.true import draw_trueness, show_trueness, trueness_answer

    with asked(file):
        answer, told = trueness_answer(file)
    with asked(picture):
        if picture is not None:
            draw_trueness(picture, told)
    if not _answer(answer, as_json):
        show_trueness(answer)


@commands.command("threading")
@_PROJECT_FILE
@click.option(
    "--to-file", type=click.Path(path_type=Path, dir_okay=False), help="Write it as an interchange file (WIF)."
)
@_PAST
@_seconds(DEFAULT_SECONDS)
@_AS_JSON
def threading_command(file: Path, to_file: Path | None, past: tuple[Path, ...], seconds: float, as_json: bool) -> None:
    """Say how FILE is threaded and sleyed: every end, its shaft or hole, its dent, and where the warp stands."""
    from clothwright.cli.threaded import show_threading, threaded, write_draft

    with asked(file):
        project, answer = threaded(file, seconds=seconds, past=past)
    with asked(to_file):
        not_carried = write_draft(answer, project, to_file) if to_file else ()
    if not _answer(answer.as_json() | ({"not_carried": list(not_carried)} if to_file else {}), as_json):
        show_threading(answer, imperial=project.units == "imperial")
        click.echo("".join(f"\n{one}" for one in ((f"Written: {to_file}", *not_carried) if to_file else ())))


@commands.command("draft")
@click.argument("file", metavar="DRAFT.wif", type=click.Path(path_type=Path))
@click.option("--as-toml", is_flag=True, help="Print the draft as lines for a project file.")
@_AS_JSON
def draft_command(file: Path, as_toml: bool, as_json: bool) -> None:
    """Read a draft from an interchange file (WIF), and say what of it a project cannot use."""
    from clothwright.cli.threaded import draft_in, draft_lines, show_draft

    with asked(file):
        read = draft_in(file)
    if as_toml:
        click.echo(draft_lines(read), nl=False)
        for sentence in read.told:
            click.echo(sentence, err=True)
        return
    told = {"ends": read.ends, "picks": read.picks, "shafts": read.shafts, "title": read.title, "told": list(read.told)}
    if not _answer(told | {"draft": dict(read.fields)}, as_json):
        show_draft(read)


@commands.command("schema")
def schema_command() -> None:
    """Print the JSON Schema of the project file."""
    from clothwright.project import Project

    click.echo(json.dumps(Project.model_json_schema(), indent=2, ensure_ascii=False))


@commands.command("backup")
@click.option(
    "-o", "--out", type=click.Path(path_type=Path), help="A new file, or a folder; left out, kept by the library."
)
@_AS_JSON
def backup_command(out: Path | None, as_json: bool) -> None:
    """Copy everything kept into one dated file, also while the pages are used."""
    from clothwright.cli.keeping import backed_up

    with asked():
        answer = backed_up(out)
    if not _answer(answer, as_json):
        click.echo(f"Copied to {answer['file']}")


@commands.command("restore")
@click.argument("file", type=click.Path(path_type=Path))
@_AS_JSON
def restore_command(file: Path, as_json: bool) -> None:
    """Put the copy in FILE back in place of what is kept now, which is copied first."""
    from clothwright.cli.keeping import restored

    with asked(file):
        answer = restored(file)
    if not _answer(answer, as_json):
        kept = f"; what was kept before is in {answer['before']}" if answer["before"] else ""
        click.echo(f"Put back from {answer['file']}{kept}")


@commands.command("export")
@click.option(
    "-o", "--out", type=click.Path(path_type=Path, dir_okay=False), help="A new file; left out, named by the day."
)
@click.option("--sheets", is_flag=True, help="With every project's usual sheets as PDF, as far as it is settled.")
@_AS_JSON
def export_command(out: Path | None, sheets: bool, as_json: bool) -> None:
    """Write everything kept into one open archive (zip): projects, history, yarn, looms, samples, drawings, photos."""
    from clothwright.cli.keeping import exported_to

    with asked():
        answer = exported_to(out, with_sheets=sheets)
    if not _answer(answer, as_json):
        click.echo(f"Written: {answer['file']}")


@commands.command("import")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--member", metavar="EMAIL", default="", help="In a shared studio: the member whose it becomes.")
@_AS_JSON
def import_command(file: Path, member: str, as_json: bool) -> None:
    """Bring in FILE (an archive, a bundle, or a project file): it adds, and takes the place of nothing."""
    from clothwright.cli.keeping import brought_in

    with asked(file):
        answer = brought_in(file, member)
    if not _answer(answer, as_json):
        for name in answer["added"]:
            click.echo(f"Brought in: {name}")
        for name in answer["here_already"]:
            click.echo(f"Here already: {name}")


@commands.command("demo")
@click.option("-o", "--out", type=click.Path(path_type=Path, file_okay=False), default=Path("out"), show_default=True)
@click.option("--serve/--no-serve", default=True, show_default=True, help="Then serve the pages with the demo open.")
@click.option("--port", type=int, default=8765, show_default=True)
@_seconds(10.0)
def demo_command(out: Path, serve: bool, port: int, seconds: float) -> None:
    """Plan the demo garment, print its sheets, then serve the pages with it open."""
    from clothwright.cli.papers import print_sheets
    from clothwright.cli.planned import demo_file, found_layout, planned
    from clothwright.cli.show_plan import show_plan

    with asked(demo_file()):
        project, plan = planned(demo_file(), seconds=seconds, seed=None)
        written = print_sheets(project, plan, demo_file(), out)
    show_plan(plan, imperial=False)
    click.echo("\n".join(f"Written: {path}" for path in written))
    if serve:
        from clothwright.web.serve import serve as serve_pages

        with asked():
            found = found_layout(demo_file(), plan)
            serve_pages(host="127.0.0.1", port=port, open_project=demo_file(), found=found)


@commands.command("serve")
@click.option("--host", default=None, help="Address to serve at; left out, this machine alone (127.0.0.1).")
@click.option("--port", type=int, default=8765, show_default=True)
@click.option(
    "--phone", is_flag=True, help="Serve phones on the home network too: over TLS, by a word. --host names it."
)
@click.option("--phone-port", type=int, default=8766, show_default=True)
@click.option("--new-word", is_flag=True, help="With --phone: a new word, which shuts out every phone let in before.")
@click.option("--studio", is_flag=True, help="As a shared studio: members sign in, and each sees what is hers.")
@click.option(
    "--log",
    type=click.Choice(["json", "text"]),
    default=None,
    help="Tell of every answer, on standard error, without names.",
)
def serve_command(
    host: str | None, port: int, phone: bool, phone_port: int, new_word: bool, studio: bool, log: str | None
) -> None:
    """Serve the pages on this machine."""
    from clothwright.cli.serving import serve_asked

    if log is not None:
        os.environ["CLOTHWRIGHT_LOG"] = log
    with asked():
        serve_asked(host, port, phone=phone, phone_port=phone_port, new_word=new_word, studio=studio)


@commands.group("studio")
def studio_commands() -> None:
    """Help who keeps a shared studio, from its own machine."""


@studio_commands.command("keeper")
@click.argument("email")
@click.option("--name", required=True, help="The name others of her groups see.")
@click.password_option(help="Left out, it is asked for.")
def keeper_command(email: str, name: str, password: str) -> None:
    """Make the member with the address EMAIL the first keeper; what was kept here before becomes hers."""
    from clothwright.cli.studio import keeper_made

    with asked():
        click.echo(keeper_made(email, name, password))


@studio_commands.command("password")
@click.argument("email")
@click.password_option(help="Left out, it is asked for.")
def password_command(email: str, password: str) -> None:
    """Give the member with the address EMAIL a new password, which signs her out everywhere."""
    from clothwright.cli.studio import password_set

    with asked():
        click.echo(password_set(email, password))


def _answer(answer: dict[str, Any], as_json: bool) -> bool:
    """Print the JSON when it was asked for; False when text is to be shown."""
    if as_json:
        click.echo(json.dumps(answer, indent=2, ensure_ascii=False))
    return as_json


#: How many threads the libraries of linear algebra take; read by them when numpy is first imported.
_THREADS = ("OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "VECLIB_MAXIMUM_THREADS", "OMP_NUM_THREADS")


def _one_thread_each() -> None:
    """Small solves are quicker on one thread, and do not wait for cores that others use; what was set stands."""
    for name in _THREADS:
        os.environ.setdefault(name, "1")


def main(words: list[str] | None = None) -> None:
    """Run the command line, of these words or as it was typed; a fault of ours ends in one sentence and status 1."""
    _one_thread_each()
    for stream in (sys.stdout, sys.stderr):
        stream.reconfigure(encoding="utf-8")  # type: ignore[union-attr]
    try:
        commands.main(words, standalone_mode=False)
    except Refused:
        sys.exit(WRONG_INPUT)
    except click.exceptions.Abort:
        sys.exit(130)
    except click.ClickException as error:
        error.show()
        sys.exit(WRONG_INPUT)
    except Exception as error:  # noqa: BLE001 - the last door: whatever failed is ours to own up to
        where = traceback.extract_tb(error.__traceback__)[-1]
        click.echo(
            f"Clothwright failed, which is our fault: {error!r} at {Path(where.filename).name}:{where.lineno}", err=True
        )
        sys.exit(FAULT)
