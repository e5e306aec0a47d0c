"""The documents of the commands for the files at hand, as pages: to look at, print and save."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, cast

from gearchest.catalogs.lathes import lathe_file, lathe_names
from gearchest.catalogs.making import making_tables
from gearchest.cli.facts import facts_of
from gearchest.cli.files.lathe import lathe_of, load_lathe
from gearchest.cli.files.toml import parse_toml
from gearchest.cli.page.errand import Errand
from gearchest.cli.page.planning import Made, Planning, read_texts
from gearchest.cli.page.setup_form import NAMES as SETUP_NAMES
from gearchest.cli.page.shelf import LATHE, NAMES, OFFERS, WANTS, Shelf, Texts
from gearchest.cli.typed import refused
from gearchest.optimizer.chart.of_plan import StepChart
from gearchest.reports.page.shell import Facts

Words = dict[str, Any]


def sheet(words: Words, planning: Planning, errand: Errand) -> Words:
    """A page: {"kind": "page", "html": ..., "whole": ...}. Raises `FaultsError`."""
    return _SHEETS[words["sheet"]](words, planning, errand)


def _page(html: str, *, whole: bool = True) -> Words:
    return {"kind": "page", "html": html, "whole": whole}


def _facts(words: Words, command: str, *names: str) -> Facts:
    texts: Texts = words["texts"]
    folder = Path(words["folder"])
    paths = [folder / NAMES[name] for name in names if texts.get(name) is not None]
    return facts_of(command, paths, {})


def _buy(words: Words, planning: Planning, errand: Errand) -> Words:
    """What to buy as far as it is known, all of it once that was told; without charts for the
    wall, which take a search."""
    find = planning.whole if words["done"] else planning.so_far
    made = find(words["texts"], errand)
    return _page(_plan_page(made, words), whole=made.whole)


def _report(words: Words, planning: Planning, errand: Errand) -> Words:
    """The report as `gearchest plan` writes it."""
    from gearchest.optimizer.chart.of_plan import plan_charts

    made = planning.whole(words["texts"], errand)
    walls = plan_charts(made.plan, errand.watch())
    return _page(_plan_page(made, words, walls))


def _plan_page(made: Made, words: Words, walls: Sequence[StepChart] = ()) -> str:
    from gearchest.cli.thread_setups import thread_setups
    from gearchest.optimizer.plan.cut_gears import cut_sheets
    from gearchest.reports.plan.document import plan_document
    from gearchest.reports.plan.sheet import plan_sheet

    return plan_sheet(
        made.plan, _facts(words, "plan", LATHE, WANTS, OFFERS),
        document=plan_document(made.plan, walls), what_if=made.table, walls=walls,
        cuts=cut_sheets(made.plan, making_tables()), worked_out=thread_setups(made.plan),
    )  # fmt: skip


def _setup(words: Words, planning: Planning, errand: Errand) -> Words:
    from gearchest.cli.setup_command import worked_out, worked_out_for
    from gearchest.cli.setup_options import SetupOptions
    from gearchest.reports.setup.sheet import setup_sheet

    read = read_texts(words["texts"])
    asked: dict[str, str] = words["query"]
    pitch = asked.get("thread", "").strip()
    if not pitch:
        raise refused("thread", "", "no thread is named", fix="name one")
    given = {name: typed for name in SETUP_NAMES if (typed := asked.get(name, "").strip())}
    if "class" in given:
        given["class_name"] = given.pop("class")
    options = cast(SetupOptions, given)
    options["left"], options["inside"] = bool(asked.get("left")), bool(asked.get("inside"))
    named = next((want for want in read.wants if want.name == pitch), None)
    if named is not None and not {"diameter", "use"} & given.keys():
        # As it is wanted: of wood, to match a nut, within a grade.
        left, inside = (named.left or options["left"]), (named.inside or options["inside"])
        wanted = replace(named, left=left, inside=inside)
        found = worked_out_for(read.lathes[0], wanted, options)
    else:
        found = worked_out(read.lathes[0], pitch, options)
    if not found.answer:
        raise refused("thread", pitch, "no train on this lathe comes near this pitch",
                      fix="see what to buy")  # fmt: skip
    return _page(setup_sheet(found, _facts(words, f"setup {pitch}", LATHE)))


def _blanks(words: Words, planning: Planning, errand: Errand) -> Words:
    from gearchest.cli.blanks_command import BlanksOptions, blank_sheets, refuse_bad_values
    from gearchest.cli.files.gear_lists import counts
    from gearchest.optimizer.domain.notation import NotationError
    from gearchest.reports.blanks.gear_files import file_names
    from gearchest.reports.blanks.sheet import blanks_sheet

    read = read_texts(words["texts"])
    typed: str = words["query"].get("teeth", "")
    try:
        teeth = list(dict.fromkeys(counts(typed)))[:20]
    except NotationError as error:
        raise refused("teeth", typed, error.problem, error.allowed, error.fix) from None
    refuse_bad_values(read.lathes[0], teeth, BlanksOptions())
    sheets = blank_sheets(read.lathes[0], teeth, read.wants, BlanksOptions())
    asked = " ".join(["blanks", *map(str, teeth)])
    files = [[] if made.refusal else file_names(made.blank) for made in sheets]
    return _page(blanks_sheet(sheets, _facts(words, asked, LATHE), files))


def cut_file(words: Words) -> Words:
    """A file to cut or print a gear of the lathe from, as `gearchest blanks` writes it: {"kind":
    "file", "name": ..., "base64": ...}. Raises `FaultsError`."""
    from base64 import b64encode

    from gearchest.cli.blanks_command import BlanksOptions, blank_sheets, refuse_bad_values
    from gearchest.reports.blanks.gear_files import file_stem, gear_file

    lathe = lathe_of(parse_toml(words["texts"].get(LATHE) or "", NAMES[LATHE]))
    teeth: int = words["teeth"]
    refuse_bad_values(lathe, [teeth], BlanksOptions())
    made = blank_sheets(lathe, [teeth], (), BlanksOptions())[0]
    if made.refusal:
        raise refused("teeth", str(teeth), "this gear is not to be made on this lathe's terms",
                      fix="see its sheet")  # fmt: skip
    data = gear_file(made.blank, words["ending"], lathe.workshop.outline_offset)
    name = f"{file_stem(made.blank)}.{words['ending']}"
    return {"kind": "file", "name": name, "base64": b64encode(data).decode("ascii")}


def _chart(words: Words, planning: Planning, errand: Errand) -> Words:
    """The chart for the wall, also with gears that are not there yet."""
    from gearchest.cli.chart_options import added_gears
    from gearchest.optimizer.chart.build import make_chart
    from gearchest.reports.chart.document import chart_document
    from gearchest.reports.chart.sheet import chart_sheet

    read = read_texts(words["texts"])
    typed: str = words["query"].get("with", "").strip()
    added = added_gears(read.lathes[0], [typed] if typed else [], None, None)
    found = make_chart(read.lathes[0], read.wants, added, errand.watch())
    facts = _facts(words, f"chart --with {typed}" if typed else "chart", LATHE, WANTS)
    return _page(chart_sheet(found, facts, document=chart_document(found)))


def _compare(words: Words, planning: Planning, errand: Errand) -> Words:
    from gearchest.cli.compare_command import compared
    from gearchest.reports.compare.document import compare_document
    from gearchest.reports.compare.sheet import compare_sheet

    read = read_texts(words["texts"])
    name = words["query"].get("with", "")
    other = load_lathe(_other_lathe(name, Path(words["folder"])))
    found, notes = compared((read.lathes[0], other), read.wants)
    document = compare_document(found, notes)
    return _page(compare_sheet(found, _facts(words, "compare", LATHE, WANTS), document=document))


def _other_lathe(name: str, folder: Path) -> Path:
    """A lathe by a name that was offered: bundled, or of another file in the folder. What a
    request says is only ever held against these, never opened."""
    others = Shelf(folder).other_lathes()
    for known in others:
        if known == name:
            return folder / known
    found = lathe_file(name) if name in lathe_names() else None
    if found is None:
        known_names = ", ".join((*others, *lathe_names()))
        raise refused("with", name, "there is no lathe of this name", known_names)
    return found


_Sheet = Callable[[Words, Planning, Errand], Words]

_SHEETS: dict[str, _Sheet] = {
    "buy": _buy,
    "report": _report,
    "setup": _setup,
    "chart": _chart,
    "blanks": _blanks,
    "compare": _compare,
}
