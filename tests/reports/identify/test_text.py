"""An unknown thread in words: the answer first, what tells the first two apart, what is unseen."""

from __future__ import annotations

from gearchest.catalogs.known import known_threads
from gearchest.optimizer.domain.notation import parse_length
from gearchest.optimizer.threads.identify import Identification, identify
from gearchest.optimizer.threads.measurement import Measured, parse_count
from gearchest.optimizer.threads.tell_apart import tell_apart
from gearchest.reports.identify.document import identify_document
from gearchest.reports.identify.text import identify_lines


def found(
    count: str, diameter: str = "", *, inside: bool = False, angle: float | None = None
) -> Identification:
    """What a measurement can be."""
    across = parse_length(diameter) if diameter else None
    return identify(
        Measured(parse_count(count), across, inside=inside, angle=angle), known_threads()
    )


def told(answer: Identification, width: int = 80, *, everything: bool = False) -> str:
    """The lines run together."""
    lines = identify_lines(answer, tell_apart(answer), width=width, everything=everything)
    assert max(map(len, lines)) <= width
    return "\n".join(lines)


def flowing(answer: Identification) -> str:
    """The same without its lines."""
    return " ".join(told(answer).split())


def test_the_first_line_is_the_answer() -> None:
    assert told(found("10 in 15.1 mm", "11.9 mm")).startswith("M12x1.5 (> 99 %).\n")
    assert told(found("20 tpi", "1/4 in")).startswith("1/4-20 UNC (64 %) or 1/4 BSW (36 %).\n")
    assert told(found("1.5 mm")).startswith("A pitch of 1.5 mm, most likely;")


def test_what_is_not_within_the_errors_is_said() -> None:
    words = flowing(found("10 threads in 15.2 mm", "12.6 mm"))
    assert words.startswith(
        "Nothing likely in the catalogs is within the errors said; the nearest: 1/2"
    )
    assert "4.3 % less" in words
    assert '"1.520 mm" --diameter "12.60 mm"' in words


def test_what_contradicts_a_measurement_has_no_share_but_says_so() -> None:
    """A wrong leaf could have been taken for 32 to the inch; 45 % it is not."""
    answer = found("26 tpi", "7/16 in", angle=55)
    lines = told(answer, everything=True).splitlines()
    rows = {each.thread.name: each for each in answer.candidates}
    assert rows["7/16-32 ME"].against == ("pitch",)
    for name, each in rows.items():
        row = next(line for line in lines if line.startswith(f"{name}  "))
        assert ("not the" in row) == bool(each.against)
    document = identify_document(answer, None)["candidates"]
    assert isinstance(document, list)
    assert [one["against"] for one in document if one["name"] == "7/16-26 BSC"] == [["flanks"]]


def test_flanks_that_are_no_threads_are_said_in_the_answer() -> None:
    words = flowing(found("20 tpi", "1/4 in", angle=47.5))
    assert words.startswith("Nothing likely in the catalogs is within the errors said;")
    assert "1/4 BSW, but its flanks stand at 55°, not 47.5°." in words


def test_without_a_diameter_sizes_whose_flanks_were_read_stand_alone() -> None:
    words = flowing(found("26 tpi", angle=55))
    assert "7/16-26 Brass" in words
    assert "BSC" not in words
    assert "1 mm (not the pitch, measured 2.3 % less): M6" in flowing(found("26 tpi"))


def test_twins_are_said_to_be_twins() -> None:
    words = flowing(found("20 tpi", "1/4 in"))
    assert "Pitch and diameter do not tell 1/4-20 UNC from 1/4 BSW." in words
    assert "flanks stand at 60° or 55°" in words
    taper = flowing(found("11 in 1 in", "33.1 mm"))
    assert "the second is a taper, 1 mm of diameter in 16 mm of length" in taper


def test_how_long_to_count_is_said() -> None:
    words = flowing(found("10 in 12.6 mm", "7.9 mm"))
    assert "To tell M8 from 5/16-20 UN: 12 threads are 15.00 or 15.24 mm long." in words
    lain = flowing(found("10 in 15.9 mm"))
    assert "16 tpi" in lain


def test_a_count_long_enough_is_told_at_its_own_length() -> None:
    words = flowing(found("10 in 15.4 mm", "11.95 mm"))
    assert "10 threads are 15.00 or" in words


def test_a_lost_thread_is_offered() -> None:
    words = flowing(found("10 in 13.5 mm", "11.85 mm"))
    assert "Counted as 9 threads it would be M12x1.5" in words


def test_a_nut_is_measured_between_its_crests() -> None:
    assert "10.50 mm between the nut's crests" in flowing(found("1.5 mm", "10.5 mm", inside=True))


def test_narrow_terminals_keep_names_whole() -> None:
    for width in (60, 40):
        assert "1/4-20 UNC" in told(found("20 tpi", "1/4 in"), width)


def test_all_lists_every_candidate() -> None:
    answer = found("10 in 15.1 mm", "11.9 mm")
    words = told(answer, everything=True)
    assert all(each.thread.name in words for each in answer.candidates)
    assert "less likely" not in words


def test_the_document_has_the_keys_programs_rely_on() -> None:
    answer = found("10 in 15.1 mm", "11.9 mm")
    document = identify_document(answer, tell_apart(answer))
    assert (document["kind"], document["version"]) == ("identify", 1)
    measured, candidates = document["measured"], document["candidates"]
    assert isinstance(measured, dict)
    assert isinstance(candidates, list)
    assert measured["pitch_mm"] == [1.5, 1.52]
    assert measured["diameter_mm"] == 11.9
    first = candidates[0]
    assert {"name", "series", "pitch_mm", "lead_error", "diameter_error_mm", "likelihood"} <= set(
        first
    )
    assert first["name"] == "M12x1.5"
    assert abs(first["lead_error"] - (1.51 / 1.5 - 1)) < 1e-12
    assert abs(first["diameter_error_mm"] + 0.1) < 1e-12


def test_a_lead_counted_in_turns_leaves_the_pitch_open() -> None:
    answer = found("5 turns in 70 mm", "39.8 mm")
    measured = identify_document(answer, None)["measured"]
    assert isinstance(measured, dict)
    assert measured["pitch_mm"] is None
    assert measured["lead_mm"] == [13.98, 14.02]
