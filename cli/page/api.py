"""Requests of other programs answered: the documents of the commands, from JSON instead of files.

Nothing is kept of a request, and no file but the bundled ones is opened for it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from gearchest.catalogs.lathes import example, lathe_file, lathe_names
from gearchest.cli.faults import Fault, FaultsError, nearest
from gearchest.cli.files.checked import checked
from gearchest.cli.files.document import Document
from gearchest.cli.files.json_text import SOURCE, list_document, parse_json, table_document
from gearchest.cli.files.lathe import lathe_of
from gearchest.cli.files.offers import Offered, default_offers, offers_of
from gearchest.cli.files.toml import read_toml
from gearchest.cli.files.wants import load_wants, want_from, wants_of
from gearchest.cli.page.requests import ASKED, TAKES
from gearchest.cli.typed import refused
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.want import Want

if TYPE_CHECKING:
    from gearchest.cli.page.errand import Errand

Values = dict[str, Any]


def answer(command: str, text: str, errand: Errand) -> Values:
    """The document that a request asks for. Raises `FaultsError`."""
    values = parse_json(text)
    _known(values, (*TAKES[command], "options"))
    asked = table_document(values.get("options", {}), "options")
    options = checked(asked, ASKED[command], ()).model_dump()
    try:
        return _ANSWERS[command](values, options, errand)
    except FaultsError as error:
        raise FaultsError(map(_as_keys, error.faults)) from None


def _as_keys(fault: Fault) -> Fault:
    """A fault of an option, its place told as a key of the request."""
    if fault.source == SOURCE:
        return fault
    name = fault.where.removeprefix("--").replace("-", "_").casefold()
    plural = "es" if name == "pitch" else ""
    return replace(fault, source=SOURCE, where=f"options.{name}{plural}")


def _known(values: Values, keys: tuple[str, ...]) -> None:
    faults = []
    for key in values:
        if key not in keys:
            near = nearest(key, keys)
            fix = f'did you mean "{near}"?' if near else "take it out"
            faults.append(Fault(SOURCE, f'there is no key "{key}" here', where=key,
                                allowed=", ".join(keys), fix=fix))  # fmt: skip
    if faults:
        raise FaultsError(faults)


def _lathe_document(values: Mapping[str, Any], key: str) -> Document:
    """A lathe as the request gives it, or a bundled one by its name."""
    if key not in values:
        fix = f'send "{key}": {{...}}, with the keys of a lathe file'
        raise FaultsError([Fault(SOURCE, f'the key "{key}" is missing', where=key, fix=fix)])
    return _lathe_or_name(values[key], key)


def _lathe_or_name(value: Any, top: str) -> Document:
    if isinstance(value, str):
        if (path := lathe_file(value)) is None:
            raise FaultsError([
                Fault(SOURCE, "no bundled lathe has this name", where=top, value=value,
                      allowed=", ".join(lathe_names()), fix="send the lathe itself, as an object")
            ])  # fmt: skip
        return read_toml(path)
    return table_document(value, top)


def _lathe(values: Values, key: str = "lathe") -> Lathe:
    return lathe_of(_lathe_document(values, key))


def _wants(values: Values, lathe: Lathe) -> tuple[Want, ...]:
    """Those of the request; without any, the example's, as the commands have it."""
    if "wants" not in values:
        return load_wants(example().wants, lathe)
    return wants_of(list_document(values["wants"], "want"), [], lathe)


def _plan(values: Values, options: Values, errand: Errand) -> Values:
    from gearchest.cli.files.amounts import Amount
    from gearchest.cli.plan_command import Read, planned, question_of
    from gearchest.cli.plan_options import PlanOptions
    from gearchest.optimizer.chart.of_plan import plan_charts
    from gearchest.reports.plan.document import plan_document

    lathe = _lathe(values)
    lathes = (lathe, _lathe(values, "also")) if "also" in values else (lathe,)
    priced = "offers" in values
    offered = Offered(default_offers(lathe))
    if priced:
        offered = offers_of(list_document(values["offers"], "offer"), [], lathe)
    wants = _wants(values, lathe)
    if options.pop("left"):
        wants = tuple(replace(want, left=True) for want in wants)
    for key in ("budget", "worth"):
        options[key] = None if options[key] is None else Amount(options[key])
    if options["worth"] is not None and not priced:
        raise refused("worth", "", "without offers there are no prices to hold it against",
                      fix="send offers")  # fmt: skip
    read, wished = Read(lathes, wants, offered), PlanOptions(**options)
    question = question_of(read, wished, priced=priced)
    watch = errand.watch(wished.time_limit)
    result = planned(read, question, watch)
    walls = plan_charts(result, watch)
    errand.ask()
    return plan_document(result, walls)


def _reach(values: Values, options: Values, errand: Errand) -> Values:
    from gearchest.cli.reach_command import reached
    from gearchest.reports.reach.document import reach_document

    lathe = _lathe(values)
    pitches, every, aims = options.pop("pitches"), options.pop("every"), options.pop("aims")
    if "wants" in values:
        wants = list(_wants(values, lathe))
    elif pitches:
        wants = [want_from(text, lathe=lathe, **options) for text in pitches]
    else:
        raise refused("pitches", "", "no pitch is asked about", fix='send "pitches": ["M10"]')
    found, notes = reached(lathe, wants, show_all=every, aims=aims)
    return reach_document(lathe, found, notes)


def _setup(values: Values, options: Values, errand: Errand) -> Values:
    from gearchest.cli.setup_command import worked_out
    from gearchest.cli.setup_options import SetupOptions
    from gearchest.reports.setup.document import setup_document

    pitch = options.pop("pitch")
    wished = cast(SetupOptions, options)
    return setup_document(worked_out(_lathe(values), pitch, wished))


def _compare(values: Values, options: Values, errand: Errand) -> Values:
    from gearchest.cli.compare_command import compared
    from gearchest.reports.compare.document import compare_document

    both = values.get("lathes")
    if not isinstance(both, list) or len(both) != 2:
        raise FaultsError([Fault(SOURCE, "two lathes are compared", where="lathes",
                                 fix='send "lathes": [{...}, {...}]')])  # fmt: skip
    first, second = (lathe_of(_lathe_or_name(one, f"lathes[{i}]")) for i, one in enumerate(both))
    found, notes = compared((first, second), _wants(values, first))
    return compare_document(found, notes)


def _blanks(values: Values, options: Values, errand: Errand) -> Values:
    from gearchest.cli.blanks_command import (
        BlanksOptions,
        blank_sheets,
        hub_of,
        refuse_bad_values,
    )
    from gearchest.cli.typed import distance
    from gearchest.reports.blanks.document import blanks_document

    lathe, teeth = _lathe(values), list(dict.fromkeys(options.pop("teeth")))
    wished = BlanksOptions(
        shift=options["shift"],
        cure=options["cure"],
        backlash=distance(options["backlash"], "backlash"),
        engraved_depth=options["engraved_depth"],
        outline_offset=distance(options["outline_offset"], "outline_offset"),
        hub=hub_of(options["hub"]),
    )
    refuse_bad_values(lathe, teeth, wished)
    sheets = blank_sheets(lathe, teeth, _wants(values, lathe), wished)
    return blanks_document(sheets, [[] for _ in sheets])


def _chart(values: Values, options: Values, errand: Errand) -> Values:
    from gearchest.cli.chart_options import added_gears
    from gearchest.optimizer.chart.build import make_chart
    from gearchest.optimizer.chart.share import Pace
    from gearchest.reports.chart.document import chart_document

    lathe = _lathe(values)
    added = added_gears(lathe, [" ".join(map(str, options["added"]))] if options["added"] else [],
                        None, None)  # fmt: skip
    limit = options["time_limit"]
    pace = Pace.USUAL if limit is None else Pace.THOROUGH
    found = make_chart(lathe, _wants(values, lathe), added, errand.watch(limit), pace)
    return chart_document(found)


def _threads(values: Values, options: Values, errand: Errand) -> Values:
    from gearchest.cli.identify_command import Typed, named
    from gearchest.cli.threads_command import listed
    from gearchest.reports.identify.document import identify_document

    series, measured = options.pop("series"), options.pop("measured")
    if measured is None:
        return listed(series).document
    lathe = _lathe(values) if "lathe" in values else None
    found, apart, cuts = named(measured, Typed(**options), series, lathe)
    return identify_document(found, apart, lathe, cuts)


def _check(values: Values, options: Values, errand: Errand) -> Values:
    from gearchest.cli.check_command import Checked, ReadFile, look_at

    read = []
    if "lathe" in values:
        read.append(ReadFile(Path("lathe"), "lathe", _lathe_document(values, "lathe"), []))
    for key, name in (("wants", "want"), ("offers", "offer")):
        if key in values:
            read.append(ReadFile(Path(key), key, list_document(values[key], name), []))
    good: list[Checked] = []
    if faults := look_at(read, good):
        raise FaultsError(faults)
    files = [
        {"what": str(one.path), "summary": one.summary, "remarks": one.remarks} for one in good
    ]
    return {"kind": "check", "version": 1, "files": files}


_ANSWERS: dict[str, Callable[[Values, Values, Errand], Values]] = {
    "plan": _plan,
    "reach": _reach,
    "setup": _setup,
    "compare": _compare,
    "blanks": _blanks,
    "chart": _chart,
    "threads": _threads,
    "check": _check,
}
