"""What comes of a form, and a file as it is before a form changes it."""

from __future__ import annotations

from dataclasses import dataclass, field

from gearchest.cli.page.seen import FileSeen, Seen
from gearchest.cli.page.shelf import LATHE, NAMES

NOTHING = """# Described on the page of gearchest; it may be edited by hand as well.
name = "My lathe"

[leadscrew]

[headstock]

[gears]
"""


@dataclass
class Outcome:
    """What came of a form: lines worth saying; (typed, found in the file) by field where
    somebody else was quicker."""

    notes: list[str] = field(default_factory=list)
    conflicts: dict[str, dict[str, tuple[str, str]]] = field(default_factory=dict)


def file_of(seen: Seen, name: str) -> FileSeen:
    """The file of that name."""
    return seen.lathe_file if name == LATHE else seen.wants_file


def ready(text: str | None, file: FileSeen, name: str, outcome: Outcome) -> str:
    """The text with its lines mended that are no TOML: nothing else could be changed in it."""
    if text is None:
        return NOTHING if name == LATHE else ""
    slips = file.document.slips if file.document else ()
    if not slips or text != file.text:
        return text
    for slip in slips:
        lines = text.split("\n")
        at = (slip.line or 1) - 1
        lines[at] = lines[at].replace(slip.value, slip.fix.removeprefix("write "))
        text = "\n".join(lines)
    told = ", ".join(str(slip.line) for slip in slips)
    outcome.notes.append(f"{NAMES[name]}: lines that were no TOML were mended: {told}.")
    return text
