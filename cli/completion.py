"""Words with which the shell completes arguments; files it completes by itself."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import islice

MOST = 60
"""Words offered at once."""


def lathes(incomplete: str) -> list[str]:
    """Names of bundled lathes."""
    from gearchest.catalogs.lathes import lathe_names

    return _begun(lathe_names(), incomplete)


def series(incomplete: str) -> list[str]:
    """Names of thread series."""
    from gearchest.catalogs.threads import series_names

    return _begun(series_names(), incomplete)


def sizes(incomplete: str) -> list[str]:
    """Thread sizes, once a letter or a figure of them is there."""
    from gearchest.catalogs.threads import series_names
    from gearchest.catalogs.threads import sizes as sizes_of

    if not incomplete:
        return []
    names = (thread.name for name in series_names() for thread in sizes_of(name))
    return _begun(dict.fromkeys(names), incomplete)


def grades(incomplete: str) -> list[str]:
    """Travel grades."""
    from gearchest.optimizer.threads.allowance import TRAVEL_GRADES

    return _begun(TRAVEL_GRADES, incomplete)


def uses(incomplete: str) -> list[str]:
    """What threads are for."""
    from gearchest.optimizer.domain.want import Use

    return _begun((use.value for use in Use), incomplete)


def ends(incomplete: str) -> list[str]:
    """How the ends of a pressed screw are held."""
    from gearchest.optimizer.turning.strut import Ends

    return _begun((ends.title for ends in Ends), incomplete)


def nut_materials(incomplete: str) -> list[str]:
    """What nuts are made of."""
    from gearchest.catalogs.materials import nut_materials as known

    return _begun(known(), incomplete)


def _begun(words: Iterable[str], incomplete: str) -> list[str]:
    """The words that begin like this, as it was typed: letters may be small or large. Words of
    several parts are left out, which shells take apart."""
    start, length = incomplete.casefold(), len(incomplete)
    alike = (word for word in words if word.casefold().startswith(start) and " " not in word)
    return [incomplete + word[length:] for word in islice(alike, MOST)]
