"""How much files may hold: far more than a shop has, and little enough to be answered soon."""

LARGEST_FILE = 5_000_000
"""Bytes; nobody types more, and a wrong file should be refused at once."""

MOST_GEARS = 500
MOST_KINDS = 300
"""Gears owned, and different ones among them."""

MOST_WANTS = 2_000
MOST_OFFERS = 1_000

MOST_VALUES = 50_000
"""Values in a TOML file."""

DEEPEST = 12
"""Tables and lists within each other."""

LONGEST_NUMBER = 40
LONGEST_TEXT = 200
LONGEST_LIST = 2_000
"""Characters, of a number, of a name or a note, and of gears listed in one text."""

LISTS: dict[tuple[str, ...], tuple[int, str]] = {
    ("want",): (MOST_WANTS, "wants"),
    ("offer",): (MOST_OFFERS, "offers"),
    ("gears", "owned"): (MOST_GEARS, "gears"),
    ("gears", "special"): (MOST_KINDS, "special gears"),
    ("leadscrew", "thread_dials"): (10, "thread dials"),
    ("headstock", "first_driver_turns"): (10, "positions of a lever"),
    ("banjo", "slots"): (10, "slots"),
    ("workshop", "cutters"): (MOST_KINDS, "cutters"),
    ("dividing",): (10, "dividing heads"),
    ("dividing", "circles"): (100, "circles"),
}
MOST_POSITIONS = 100
"""Of the levers of a gearbox."""

"""Entries a list may have, and what they are."""


def too_many(most: int, what: str) -> tuple[str, str]:
    """Problem and cure of a file that holds more."""
    return (
        f"this is more than {most:,} {what}, the most that can be answered for",
        "take out what is not wanted, or make two files of it",
    )
