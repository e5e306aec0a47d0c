"""The sizes an unknown thread can be: every catalogued one, each once."""

from __future__ import annotations

import pytest

from gearchest.catalogs.known import known_threads
from gearchest.catalogs.threads import UnknownSeries, all_series, find_size


def test_every_size_is_there_once_with_all_its_names() -> None:
    known = known_threads()
    names = [name for each in known for name in each.names]
    catalogued = [entry.thread.name for catalog in all_series() for entry in catalog.entries]
    assert set(names) == set(catalogued)
    assert len(names) == len(set(names))
    for each in known:
        for name in each.names:
            thread = find_size(name)
            same = (thread.pitch, thread.major_mm, thread.form)
            assert same == (each.thread.pitch, each.thread.major_mm, each.thread.form)


def test_a_size_of_several_series_is_met_as_often_as_the_one_most_met() -> None:
    by_name = {name: each for each in known_threads() for name in each.names}
    spark = by_name["spark plug M14x1.25"]
    assert spark.names[0] == "M14x1.25"
    assert spark.met == 2
    assert by_name["1/4-20 UNC"].met == 4
    assert by_name["1/4-20 UNC"] is not by_name["1/4 BSW"]


def test_ranges_of_practice_are_in_mm() -> None:
    by_name = {name: each for each in known_threads() for name in each.names}
    assert by_name["bench vise 2 in"].pitches == pytest.approx((25.4 / 4, 25.4 / 2))
    assert by_name["bench vise 2 in"].diameters == pytest.approx((50.8, 63.5))
    assert by_name["M10"].pitches is None


def test_one_series_alone() -> None:
    assert len(known_threads("ba")) == 17
    with pytest.raises(UnknownSeries):
        known_threads("bb")
