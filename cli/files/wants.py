"""Load the threads wanted, from TOML, from a table, or from one text on the command line."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from gearchest.catalogs.threads import UnknownSeries, series, sizes
from gearchest.cli.faults import Fault, FaultsError
from gearchest.cli.files.checked import checked
from gearchest.cli.files.document import Document, KeyPath, Patience, Spot, Style
from gearchest.cli.files.fields import Length, Table, Text, Tolerance, Weight, YesNo, one_of
from gearchest.cli.files.grid import SHEETS, Grid, read_grids
from gearchest.cli.files.limits import LONGEST_TEXT, MOST_WANTS, too_many
from gearchest.cli.files.pitches import Named, PitchField, read_pitch
from gearchest.cli.files.spreadsheet import Columns, table_in
from gearchest.cli.files.toml import read_toml
from gearchest.cli.files.want_headings import want_column
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.notation import NotationError, parse_length
from gearchest.optimizer.domain.want import Use, Want
from gearchest.optimizer.threads.allowance import TRAVEL_GRADES, allowance, default_use

TABLE_SUFFIXES = {".csv", ".tsv", ".txt", *SHEETS}

COLUMNS = Columns(
    known=(
        "series", "from", "to", "pitch", "name", "use", "diameter", "tolerance", "weight",
        "left", "inside", "engaged", "mating", "grade",
    ),
    most=MOST_WANTS,
    what="wants",
    meaning=want_column,
    either=("pitch", "series"),
)  # fmt: skip


_SCREWS = dict.fromkeys(
    ("feed screw", "feedscrew", "lead screw", "leadscrew", "power screw", "jack screw"),
    Use.TRAVEL.value,
)
"""Words for what is no feed of the lathe but a screw that moves something."""


def _use_meant(value: Any) -> Any:
    """A use by its word here."""
    plain = " ".join(str(value).casefold().replace("-", " ").split())
    return _SCREWS.get(plain.removesuffix("s"), value)


class WantTable(Table):
    """[[want]], or one row: a range of a series, or one pitch or size."""

    series: Text | None = None
    first: Annotated[Text | None, Field(alias="from")] = None
    last: Annotated[Text | None, Field(alias="to")] = None
    pitch: PitchField | None = None
    name: Text | None = None
    use: (
        Annotated[Use, one_of(**{use.value: use for use in Use}), BeforeValidator(_use_meant)]
        | None
    ) = None
    diameter: Length | None = None
    tolerance: Tolerance | None = None
    weight: Weight = Fraction(1)
    left: YesNo = False
    inside: YesNo = False
    engaged: Length | None = None  # of the thread that goes together
    mating: YesNo = False  # a wooden thread that must match one that exists
    grade: Annotated[str, one_of(**{g: g for g in TRAVEL_GRADES})] | None = None  # feed screws


class WantsFile(Table):
    """A whole wants file."""

    want: Annotated[tuple[WantTable, ...], Field(min_length=1)]


def load_wants(path: Path, lathe: Lathe) -> tuple[Want, ...]:
    """The wants of a file, in its order, each with its allowance under the lathe's policy.

    A pitch may stand several times; names are made unique. Raises `FaultsError`.
    """
    if path.suffix.casefold() in TABLE_SUFFIXES:
        return wants_in(read_grids(path), lathe)
    return wants_of(read_toml(path), [], lathe)


def wants_in(grids: list[Grid], lathe: Lathe) -> tuple[Want, ...]:
    """As `load_wants`, from the sheets of a table."""
    return wants_of(*table_in(grids, "want", COLUMNS), lathe)


def want_from(
    text: str, *, lathe: Lathe, use: str | None = None, tolerance: str | None = None,
    diameter: str | None = None, engaged: str | None = None, grade: str | None = None,
    left: bool = False, inside: bool = False, mating: bool = False,
) -> Want:  # fmt: skip
    """The want of one pitch or size as given on the command line. Raises `FaultsError`."""
    typed = {
        "pitch": text, "use": use, "tolerance": tolerance, "diameter": diameter, "engaged": engaged,
        "grade": grade,
    }  # fmt: skip
    given = {key: value for key, value in typed.items() if value is not None}
    spots: dict[KeyPath, Spot] = {("want", 0, key): Spot(0, value) for key, value in given.items()}
    values = {"want": [{**given, "left": left, "inside": inside, "mating": mating}]}
    document = Document("command line", values, spots, Style.COMMAND)
    (want,) = wants_of(document, [], lathe)
    return want


def wants_of(document: Document, faults: list[Fault], lathe: Lathe) -> tuple[Want, ...]:
    """The wants of a document; raises its faults together with those given."""
    file = checked(document, WantsFile, faults, _contradictions)
    wants: list[Want] = []
    for number, entry in enumerate(file.want):
        wants += _wants(entry, lathe)
        if len(wants) > MOST_WANTS:
            problem, fix = too_many(MOST_WANTS, "wants")
            raise FaultsError([document.fault(("want", number), problem, fix=fix)])
    return _with_unique_names(wants)


def _wants(entry: WantTable, lathe: Lathe) -> Iterator[Want]:
    if entry.series is not None:
        catalog = series(entry.series)
        for thread in sizes(entry.series, entry.first, entry.last):
            named = Named(thread.name, thread.pitch, thread, thread.left)
            found = _want(entry, named, lathe)
            yield replace(found, series=catalog.name, series_title=catalog.title)
    elif entry.pitch is not None:
        yield _want(entry, entry.pitch, lathe)


def _want(entry: WantTable, named: Named, lathe: Lathe) -> Want:
    thread = named.thread
    use = entry.use or default_use(named.pitch, thread, entry.diameter, entry.grade)
    return Want(
        name=entry.name or (thread.name if thread else named.text),
        pitch=named.pitch,
        allowance=allowance(
            named.pitch,
            thread=thread,
            use=use,
            diameter_mm=entry.diameter,
            engaged_mm=entry.engaged,
            tolerance=entry.tolerance,
            policy=lathe.policy,
            mating=entry.mating,
            travel_grade=entry.grade,
            screw_error=lathe.screw_error,
        ),
        weight=entry.weight,
        use=use,
        thread=thread,
        diameter=entry.diameter,
        left=entry.left or named.left,
        inside=entry.inside,
        engaged=entry.engaged,
        mating=entry.mating,
    )


def _with_unique_names(wants: list[Want]) -> tuple[Want, ...]:
    """A second want of a name becomes "name (2)", past any name already taken."""
    taken = Counter(want.name for want in wants)
    seen: Counter[str] = Counter()
    unique = []
    for want in wants:
        seen[want.name] += 1
        number, name = seen[want.name], want.name
        while number > 1 and taken[name := f"{want.name} ({number})"]:
            number += 1
        seen[want.name] = number
        taken[name] += 1
        unique.append(replace(want, name=name))
    return tuple(unique)


def _contradictions(document: Document) -> Iterator[Fault]:
    """What a want may not combine, and series and sizes that no catalog has."""
    entries = document.value("want")
    for i, entry in enumerate(entries if isinstance(entries, list) else []):
        if isinstance(entry, dict):
            yield from _combined(document, ("want", i), entry)
            yield from _unknown_series(document, ("want", i), entry)
            yield from _two_diameters(document, ("want", i), entry)


def _combined(document: Document, path: KeyPath, entry: dict[str, object]) -> Iterator[Fault]:
    if not {"series", "pitch"} & entry.keys():
        fix = 'write pitch = "9 mm" or series = "iso-metric-coarse"'
        if document.style is Style.TABLE:
            fix = "fill in the pitch, such as 9 mm, or the series, such as iso-metric-coarse"
        yield document.fault(path, "this want says neither what pitch nor what series", fix=fix)
    for one, other, why in (
        ("series", "pitch", "a want is one pitch or sizes of a series, not both"),
        ("series", "name", "the sizes of a series bring their own names"),
        ("series", "diameter", "the sizes of a series bring their own diameters"),
        ("grade", "tolerance", "a travel grade is itself a tolerance"),
    ):
        if {one, other} <= entry.keys():
            yield document.fault(
                (*path, other), why, fix="keep one of the two", also=((*path, one),)
            )
    if "grade" in entry and str(_use_meant(entry.get("use", Use.TRAVEL))).casefold() != Use.TRAVEL:
        yield document.fault(
            (*path, "grade"),
            "a travel grade goes with travel threads",
            fix=f'write use = "{Use.TRAVEL}" or take the grade out',
            also=((*path, "use"),),
        )
    if entry.get("inside") is True and str(entry.get("use", "")).casefold() == Use.WORM:
        yield document.fault(
            (*path, "inside"), "a worm has no internal thread", fix="take inside out",
            also=((*path, "use"),),
        )  # fmt: skip
    for key in ("from", "to"):
        if key in entry and "series" not in entry:
            yield document.fault((*path, key), f'"{key}" goes with a series', fix="name the series")


def _unknown_series(document: Document, path: KeyPath, entry: dict[str, object]) -> Iterator[Fault]:
    """Looks the range up, so that a wrong series or end of it is told with the rest."""
    given = {key: entry.get(key) for key in ("series", "from", "to")}
    texts = {k: v for k, v in given.items() if isinstance(v, str) and len(v) <= LONGEST_TEXT}
    name = texts.pop("series", None)
    if name is None:
        return  # told by the fields themselves
    try:
        series(name)
    except UnknownSeries as error:
        yield _series_fault(document, (*path, "series"), error)
        return
    wrong = 0
    for key, text in texts.items():
        try:
            sizes(name, text, text)
        except UnknownSeries as error:
            wrong += 1
            yield _series_fault(document, (*path, key), error)
    if len(texts) == 2 and not wrong:
        try:
            sizes(name, texts["from"], texts["to"])
        except UnknownSeries as error:
            yield _series_fault(document, (*path, "to"), error, also=((*path, "from"),))


def _series_fault(
    document: Document, path: KeyPath, error: UnknownSeries, also: tuple[KeyPath, ...] = ()
) -> Fault:
    fix = f"the nearest are {', '.join(error.nearest)}" if document.patience.spent() else ""
    return document.fault(path, str(error), fix=fix, also=also)


def _two_diameters(document: Document, path: KeyPath, entry: dict[str, object]) -> Iterator[Fault]:
    """A size has its diameter; another one beside it is a slip (wooden sizes are ranges)."""
    pitch, diameter = entry.get("pitch"), entry.get("diameter")
    if not isinstance(pitch, str) or not isinstance(diameter, str):
        return
    try:
        thread, given = read_pitch(pitch, Patience(0)).thread, parse_length(diameter)
    except NotationError:
        return  # told by the fields themselves
    if thread is None or thread.major_mm in (None, given) or thread.form.startswith("wood"):
        return
    yield document.fault(
        (*path, "diameter"),
        f"{thread.name} is {float(thread.major_mm or 0):g} mm in diameter",
        fix="take the diameter out, or write the pitch alone",
        also=((*path, "pitch"),),
    )
