"""Offers from a shop's price list: what is understood is read, the rest is told row by row.

A list is somebody else's: a row of it that is no gear, or whose price cannot be read, is left out
and told. What cannot be put right by leaving rows out is a fault.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from gearchest.cli.faults import Fault, FaultsError, shorten
from gearchest.cli.files.amounts import ANY, CURRENCIES, amount, decimal_mark, folded, in_stock
from gearchest.cli.files.gear_lists import FEWEST_TEETH, MOST_TEETH
from gearchest.cli.files.grid import Grid, Row
from gearchest.cli.files.headings import Understood, understand
from gearchest.cli.files.spreadsheet import made_a_date
from gearchest.optimizer.domain.notation import NotationError

MOST_TOLD = 20
"""Rows told of all that are left out."""

LOOKED_AT = 40
"""First rows of a list among which its headings are looked for."""

ORDER = ("teeth", "price", "module", "dp", "bore", "keyway", "face_width", "pressure_angle",
         "material", "copies", "note")  # fmt: skip

_TEETH = re.compile(
    r"(?:(?:no\.? of )?(?:teeth|zahne?|dents|dientes|denti|tanden|t|z) ?[=:]? ?(\d{1,3}))"
    r"|(?:(\d{1,3})(?:\.0+|,0+)? ?-?(?:teeth|tooth|zahne?|er|dents|dientes|denti|tanden|t|z)?)"
)
_TEETH_IN_TEXT = re.compile(
    r"\bz ?[=:]? ?(\d{2,3})\b"
    r"|\b(\d{2,3}) ?-?(?:t|z|teeth|tooth|zahne?|dents|dientes|denti|tanden)\b"
)
_MODULE_IN_TEXT = re.compile(r"\bm(?:od(?:ul[eo]?)?\.?)? ?[=:]? ?(\d{1,2}(?:[.,]\d{1,3})?)\b")
_DP_IN_TEXT = re.compile(r"\b(\d{1,2}) ?d\.?p\b|\bd\.?p\.? ?[=:]? ?(\d{1,2})\b")


@dataclass(frozen=True)
class ListedGear:
    """A row of a list that is a gear: its line, and its cells by the names of the columns of an
    offers file, in its notation."""

    line: int
    cells: Mapping[str, str | Fraction]


@dataclass(frozen=True)
class PriceList:
    """The gears of a list; what was understood of its columns in one line, what was not row by
    row; its currency, "" where it names none."""

    gears: tuple[ListedGear, ...]
    understood: str
    left_out: tuple[tuple[int, str], ...]
    doubts: tuple[tuple[int, str], ...]
    currency: str


def find_list(grids: Iterable[Grid]) -> tuple[Grid, int, Understood] | None:
    """The sheet that is a list of gears, which of its rows is the heading, and what that means;
    None where none has a column of teeth, or of descriptions that tell them, and one of prices."""
    best: tuple[int, Grid, int, Understood] | None = None
    for grid in grids:
        for number, row in enumerate(grid.rows[:LOOKED_AT]):
            found = understand(row.cells)
            if "price" not in found.places and "teeth" not in found.places:
                continue
            if "teeth" not in found.places:
                found = _with_description(found, row, grid.rows[number + 1 :])
            if "teeth" in found.places and (best is None or len(found.places) > best[0]):
                best = len(found.places), grid, number, found
    return best[1:] if best else None


def _with_description(found: Understood, heading: Row, rows: tuple[Row, ...]) -> Understood:
    """Where no column holds teeth: the one whose texts mostly tell them, if there is one."""
    counts: Counter[int] = Counter()
    for row in rows:
        counts.update(
            at for at, cell in enumerate(row.cells) if _TEETH_IN_TEXT.search(folded(cell))
        )
    if not counts:
        return found
    at, number = counts.most_common(1)[0]
    if 2 * number < len(rows) or at in found.places.values():
        return found
    name = heading.cells[at] if at < len(heading.cells) else f"column {at + 1}"
    unused = tuple(cell for cell in found.unused if cell != name)
    return Understood({**found.places, "teeth": at}, {**found.headings, "teeth": name}, unused,
                      found.passed_over)  # fmt: skip


def read_list(grid: Grid, number: int, found: Understood) -> PriceList:
    """Read a list below its heading. Raises `FaultsError` where no row is a gear, or where prices
    are in several currencies."""
    rows = grid.rows[number + 1 :]
    mark = decimal_mark(_cell(row, found, "price") for row in rows)
    gears: list[ListedGear] = []
    left_out: list[tuple[int, str]] = []
    doubts: list[tuple[int, str]] = []
    currencies: dict[str, int] = {}
    section: dict[str, str] = {}
    for row in rows:
        teeth = _teeth(_cell(row, found, "teeth"))
        if teeth is None:
            if size := _size_alone(row):
                section = size
            else:
                left_out.append((row.line, _why_no_gear(row, found)))
            continue
        cells: dict[str, str | Fraction] = {"teeth": str(teeth), **section, **_size(row, found)}
        try:
            price = amount(_cell(row, found, "price"), mark)
        except NotationError as error:
            left_out.append((row.line, _why_no_price(_cell(row, found, "price"), error)))
            continue
        currencies.setdefault(price.currency, row.line)
        cells["price"] = price.value
        if (stock := _cell(row, found, "copies")) and (count := in_stock(stock)) is not None:
            if count == 0:
                left_out.append((row.line, f"not in stock: {teeth} teeth"))
                continue
            if count != ANY:
                cells["copies"] = str(count)
        elif stock:
            doubts.append((row.line, f'in stock "{shorten(stock, 30)}": taken as to be had'))
        for name in ("bore", "keyway", "face_width", "pressure_angle", "material", "note", "how"):
            if text := _cell(row, found, name):
                cells[name] = _with_unit(text, found.headings[name], name)
        gears.append(ListedGear(row.line, cells))
    currency = _currency(grid, currencies, found)
    if not gears:
        raise FaultsError(_nothing(grid, left_out))
    told = _told(found, currency, mark, sections=bool(section))
    return PriceList(tuple(gears), told, tuple(left_out), tuple(doubts), currency)


def _cell(row: Row, found: Understood, name: str) -> str:
    at = found.places.get(name, -1)
    return row.cells[at] if 0 <= at < len(row.cells) else ""


def _teeth(cell: str) -> int | None:
    """The tooth count of a cell: 63, "63T", "Z = 63", or the only one its text tells."""
    plain = folded(cell).strip(" .")
    if made_a_date(cell):
        return None
    whole = _TEETH.fullmatch(plain)
    told = [whole] if whole else list(_TEETH_IN_TEXT.finditer(plain))
    counts = {int(next(group for group in match.groups() if group)) for match in told}
    count = next(iter(counts)) if len(counts) == 1 else 0
    return count if FEWEST_TEETH <= count <= MOST_TEETH else None


def _size(row: Row, found: Understood) -> dict[str, str]:
    """Module or DP: of its own column, else of the text that tells the teeth."""
    for name in ("module", "dp"):
        if text := _cell(row, found, name):
            plain = folded(text)
            if dp := _DP_IN_TEXT.search(plain):
                return {"dp": dp[1] or dp[2]}
            return {name: re.sub(r"^m(?:od(?:ul[eo]?)?\.?)? ?[=:]? ?", "", plain)}
    return _size_in(folded(_cell(row, found, "teeth")))


def _size_in(plain: str) -> dict[str, str]:
    if dp := _DP_IN_TEXT.search(plain):
        return {"dp": dp[1] or dp[2]}
    module = _MODULE_IN_TEXT.search(plain)
    return {"module": module[1]} if module else {}


def _size_alone(row: Row) -> dict[str, str]:
    """The module or DP that a row names for those below it."""
    filled = [cell for cell in row.cells if cell]
    return _size_in(folded(filled[0])) if len(filled) == 1 else {}


def _with_unit(text: str, heading: str, name: str) -> str:
    """A length with the unit that the heading tells, if it bears none."""
    if name in ("note", "how", "keyway", "material"):
        return text
    plain = re.sub(r"^[ø⌀o]\s*|\s*h\d$", "", text.strip(), flags=re.IGNORECASE)
    inch = re.search(
        r"\b(?:in|inch|inches|zoll|pouces?|pulgadas?|pollici|duim)\b|\"", folded(heading)
    )
    return f"{plain} in" if inch and re.fullmatch(r"[\d .,/-]+", plain) else plain


def _why_no_gear(row: Row, found: Understood) -> str:
    cell = _cell(row, found, "teeth")
    if made_a_date(cell):
        return f'the spreadsheet made a date of its teeth, "{cell}"'
    shown = cell or ", ".join(cell for cell in row.cells if cell)
    return f'no tooth count: "{shorten(shown, 40)}"'


def _why_no_price(cell: str, error: NotationError) -> str:
    if not cell:
        return "no price"
    if made_a_date(cell):
        return f'the spreadsheet made a date of its price, "{cell}"'
    return f'{error.problem}: "{shorten(cell, 40)}"'


def _currency(grid: Grid, currencies: dict[str, int], found: Understood) -> str:
    """The one currency of a list, from its prices or their heading."""
    told = {currency: line for currency, line in currencies.items() if currency}
    if len(told) > 1:
        (one, first), (other, second) = list(told.items())[:2]
        raise FaultsError(
            [Fault(grid.source, f"prices in {one} and in {other} cannot be compared", line=second,
                   fix="write all prices in one currency", also=((first, f"a price in {one}"),))]
        )  # fmt: skip
    if told:
        return next(iter(told))
    words = re.findall(r"[a-z]+|[€£$¥]", folded(found.headings.get("price", "")))
    from_heading = [CURRENCIES[word] for word in words if word in CURRENCIES]
    return from_heading[0] if from_heading else ""


def _told(found: Understood, currency: str, mark: str, *, sections: bool) -> str:
    """What was understood of a list, in one line."""
    parts = []
    for name in ORDER:
        if name in found.headings:
            unit = f" in {currency}" if name == "price" and currency else ""
            word = "stock" if name == "copies" else name.replace("_", " ")
            parts.append(f'{word} from "{found.headings[name]}"{unit}')
    if not {"module", "dp"} & found.headings.keys():
        parts.append("module from the rows between" if sections else "module as the lathe's")
    unused = [*found.unused, *found.passed_over]
    return ", ".join(parts) + (f"; not used: {', '.join(unused)}" if unused else "")


def _nothing(grid: Grid, left_out: list[tuple[int, str]]) -> list[Fault]:
    fix = "write teeth and price as numbers"
    return [Fault(grid.source, why, line=line, fix=fix) for line, why in left_out[:MOST_TOLD]] or [
        Fault(
            grid.source,
            "there are no rows below the heading",
            line=grid.rows[-1].line,
            fix="add a row",
        )
    ]
