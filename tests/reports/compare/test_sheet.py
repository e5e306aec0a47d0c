"""The comparison page as text: complete without scripts, safe, the same bytes every time."""

from __future__ import annotations

import json
import re
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import report_samples as samples
from markupsafe import escape

from gearchest.catalogs.lathes import lathe_file
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.wants import want_from
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.search.compare import Comparison, compare
from gearchest.optimizer.search.reach import reach
from gearchest.optimizer.search.result import WantStep
from gearchest.optimizer.strength.loads import tooth_share
from gearchest.reports.compare.document import compare_document
from gearchest.reports.compare.sheet import compare_sheet
from gearchest.reports.compare.text import compare_lines
from gearchest.reports.compare.verdict import levels, verdict
from gearchest.reports.page.shell import Facts
from gearchest.reports.words import numbers, wording

FACTS = Facts("9.9", (("before.toml", "ab" * 32), ("after.toml", "cd" * 32)), ())
MINI = samples.mini_lathe()
OFFERED = tuple((MINI.making.gear(z), None) for z in (21, 63, 70, 127))


@pytest.fixture(scope="module")
def found() -> Comparison:
    """One lathe before and after a change of its leadscrew; the names stay the same."""
    after = replace(MINI, leadscrew=mm("1.5"))
    return compare((MINI, after), samples.wants(), (OFFERED, OFFERED))


@pytest.fixture(scope="module")
def page(found: Comparison) -> str:
    return compare_sheet(found, FACTS, document=compare_document(found))


def table(page: str, ident: str) -> str:
    start = page.index(f'<table id="{ident}"')
    return page[start : page.index("</table>", start)]


def words(markup: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", markup).split())


def test_the_sample_shows_every_kind_of_want(found: Comparison) -> None:
    assert found.only(1)
    assert found.both
    assert any(up.gears for up in found.upgrades[0])


def told_better(pair: tuple[WantStep, WantStep]) -> tuple[int, str] | None:
    """By the shares and errors alone."""
    known = [step.answer.merit.tooth_share for step in pair if step.answer]
    over = [share is not None and share > 1 for share in known]
    if over[0] != over[1]:
        return (int(over[0]), "overloads its teeth") if None not in known else None
    exact = [step.answer.error == 0 for step in pair if step.answer]
    return None if exact[0] == exact[1] else (int(exact[1]), "without error there alone")


@pytest.mark.parametrize(
    "shares", [(None, None), (1.22, 0.16), (0.5, 1.01), (1.2, 1.3), (1.2, None)]
)
def test_each_thread_both_cut_says_which_does_it_better_where_it_matters(
    found: Comparison, shares: tuple[float | None, float | None]
) -> None:
    states = tuple(
        tuple(
            replace(step, answer=replace(step.answer, merit=replace(step.answer.merit,
                                                                    tooth_share=share)))
            if step.answer else step
            for step, share in zip(pair, shares, strict=True)
        )
        for pair in found.states
    )  # fmt: skip
    found = replace(found, states=states)  # type: ignore[arg-type]
    lines, document = compare_lines(found), compare_document(found)
    duels_table = words(table(compare_sheet(found, FACTS), "duels"))
    seen = set()
    for want, pair in zip(found.wants, found.states, strict=True):
        if not all(step.verdict.covered for step in pair):
            continue
        better = told_better(pair)
        for side, name in enumerate(found.names):
            here = [one["why"] for one in document["better"][side] if one["name"] == want.name]
            mine = better is not None and better[0] == side
            assert len(here) == mine
            row = re.search(rf"(?<!\S){re.escape(want.name)} better on {re.escape(name)}: ",
                            duels_table)  # fmt: skip
            assert bool(row) == mine
            if better and mine:
                assert here == ["overloaded" if "teeth" in better[1] else "exact"]
                start = "  better on" if "teeth" in better[1] else "  without error on"
                (line,) = (line for line in lines if line.startswith(f"{start} “{name}”"))
                listed = line.rpartition(": ")[2].split(", ")
                assert want.name in {re.sub(r" \(.*", "", one) for one in listed}
                seen.add(better[1])
    unlike = None not in shares and (shares[0] > 1) != (shares[1] > 1)  # type: ignore[operator]
    assert ("overloads its teeth" in seen) == unlike


def test_same_input_same_bytes(found: Comparison, page: str) -> None:
    assert compare_sheet(replace(found), FACTS, document=compare_document(found)) == page


def test_the_map_has_two_columns_a_want(found: Comparison, page: str) -> None:
    """Verdict, train and error in words before any script; what one lathe cuts alone first."""
    drawn = table(page, "map")
    rows = {}
    for row in drawn.split("<tr data-want=")[1:]:
        name = words(row[row.index("<th") : row.index("</a>")])
        rows[name] = [words(cell) for cell in re.findall(r"<td class=.*?</td>", row)]
    order = [*found.only(0), *found.only(1), *found.neither]
    assert list(rows)[: len(order)] == [str(escape(want.name)) for want in order]
    for want, pair in zip(found.wants, found.states, strict=True):
        for said, state in zip(rows[str(escape(want.name))], pair, strict=True):
            assert state.verdict.value in said
            assert not state.answer or wording.gears_written(state.answer.train) in said
    assert drawn[: drawn.index("<tbody")].count("data-step") == 2
    assert page.index('<table id="map"') < page.index("</footer>") < page.rindex("<script")


def test_the_first_line_says_which_lathe_to_keep_and_what_levels_them(found: Comparison) -> None:
    """Against the weights added up here; the gears named cut every thread they level."""
    weights = [sum(want.weight for want in found.only(side)) for side in (0, 1)]
    better = weights.index(max(weights))
    assert weights[0] != weights[1]
    cut = len(found.both) + len(found.only(better))
    first = verdict(found)
    assert first.startswith(f"Keep “{found.names[better]}”: it cuts {cut} of {len(found.wants)}")
    for side, said in zip((1 - better, better), levels(found), strict=True):
        gears = Counter(
            map(int, re.findall(r"\d+", said[said.index("With") : said.index(" added, ")]))
        )
        for up in found.upgrades[side]:
            assert not Counter(gear.teeth for gear in up.gears) - gears
            assert up.gears or up.want in said


def alike(found: Comparison, share: float | None) -> Comparison:
    """Two lathes that do the same; the first thread covered with a train of that tooth share, all
    others with one of a tenth."""
    sure = [replace(one, answer=one.answer and replace(
        one.answer, merit=replace(one.answer.merit, tooth_share=0.1)
    )) for one, _ in found.states]  # fmt: skip
    at = next(n for n, one in enumerate(sure) if one.verdict.covered)
    states = [(one, one) for one in sure]
    answer = sure[at].answer
    assert answer
    unsure = replace(answer, merit=replace(answer.merit, tooth_share=share))
    states[at] = (sure[at], replace(sure[at], answer=unsure))
    return replace(found, states=tuple(states), upgrades=((), ()))


def test_equal_lathes_are_either_kept(found: Comparison) -> None:
    same = alike(found, 0.1)
    assert verdict(same).startswith("Keep either: both cut the same")
    assert verdict(same).endswith(", with trains about as good.")
    assert levels(same) == []


def test_what_is_unchecked_is_not_called_as_good(found: Comparison) -> None:
    name = next(
        want.name
        for want, (one, _) in zip(found.wants, found.states, strict=True)
        if one.verdict.covered
    )
    said = verdict(alike(found, None))
    assert said.startswith("Keep either, as far as is known: both cut the same")
    assert said.endswith(f"; what the teeth bear is unchecked for {name}.")


def test_of_lathes_that_cut_the_same_the_one_kind_to_its_teeth_is_kept() -> None:
    """Four times the torque at one screw: threads overload there that do not on the other."""
    file = lathe_file("mini-7-metric")
    assert file is not None
    light = load_lathe(file)
    heavy = replace(light, name="heavy", policy=replace(light.policy, screw_torque=3.2))
    judged = compare((heavy, light), samples.wants())
    over = [
        [share is not None and share > 1 for share in shares]
        for shares in (
            [tooth_share(lathe, pair[side].answer.train) for pair in judged.states
             if all(state.verdict.covered for state in pair)]
            for side, lathe in enumerate((heavy, light))
        )
    ]  # fmt: skip
    worse, better = map(sum, over)
    assert worse > better
    assert not judged.only(0)
    assert not judged.only(1)
    said = verdict(judged)
    assert said.startswith(f"Keep “{light.name}”: both cut the same {len(judged.both)} of ")
    assert f"the other overloads teeth at {worse}, this one at {better or 'none'}." in said


def test_what_overloads_teeth_does_not_outweigh_what_they_bear(found: Comparison) -> None:
    """Of three threads the one lathe cuts all, two with teeth overloaded; the other two, on teeth
    that bear it; then as many."""
    one = next(a for a, _ in found.states if a.verdict.covered)
    none = next(a for a, b in found.states if not a.verdict.covered and b.verdict.covered)
    assert one.answer

    def at(share: float) -> WantStep:
        assert one.answer
        merit = replace(one.answer.merit, tooth_share=share)
        return replace(one, answer=replace(one.answer, merit=merit))

    good, hard = at(0.4), at(1.2)

    def said(*pairs: tuple[WantStep, WantStep]) -> str:
        wants = tuple(replace(want, weight=Fraction(1)) for want in found.wants[: len(pairs)])
        return verdict(replace(found, wants=wants, states=pairs, upgrades=((), ())))

    first, second = (f"Keep “{name}”: " for name in found.names)
    assert said((good, good), (hard, good), (hard, none)) == (
        f"{second}it cuts 2 of 3 threads on teeth that bear it; "
        "the other 1, and 2 on teeth overloaded."
    )
    assert said((good, good), (good, none), (hard, none)) == (
        f"{first}it cuts 2 of 3 threads on teeth that bear it, and 1 on teeth overloaded; "
        "the other 1."
    )
    assert said((good, good), (hard, none)) == (
        f"{first}on teeth that bear it both cut the same, and it cuts {found.wants[1].name} "
        "besides, on teeth overloaded."
    )
    # as much on teeth that bear it, but not the same: what it alone cuts is on sound teeth
    assert said((good, none), (hard, good)) == (
        f"{first}it cuts 1 of 2 threads on teeth that bear it, and 1 on teeth overloaded; "
        "the other 1."
    )
    assert said((good, good), (good, none)) == f"{first}it cuts 2 of 2 threads, the other 1."


def test_gears_that_level_two_lathes_say_where_they_overload_teeth() -> None:
    """Against the train with those gears, looked for by itself; nylon gears on an inch screw."""
    inch = load_lathe(Path("mini-7-inch"))
    loose = (*inch.chest.loose, (inch.making.gear(63), 1), (inch.making.gear(68), 1))
    full = replace(inch, name="full", chest=replace(inch.chest, loose=loose))
    wants = [
        want_from(pitch, lathe=inch, use=None, diameter=None, left=False)
        for pitch in ("M10", "Tr16x4", "module 1")
    ]
    offered = [(inch.making.gear(63), None)]
    found = compare((inch, full), wants, (offered, ()))
    upgrades = found.upgrades[0]
    assert [up.gears for up in upgrades] == [(inch.making.gear(63),)] * 2
    for up, want in zip(upgrades, wants[1:], strict=True):
        chest = replace(inch.chest, loose=(*inch.chest.loose, *((gear, 1) for gear in up.gears)))
        best = reach(replace(inch, chest=chest), want, []).best
        assert best
        assert up.overloaded == best.merit.overloaded
    assert any(up.overloaded for up in upgrades)
    lines = compare_lines(found)
    document: Any = compare_document(found)
    for up, told in zip(upgrades, document["additions"][0], strict=True):
        assert told["overloaded"] == up.overloaded
        (line,) = [line for line in lines if line.startswith(f"  {up.want}") and "63" in line]
        assert line.endswith(", teeth overloaded") == up.overloaded
        assert (up.want in levels(found)[0].partition(", but ")[2]) == up.overloaded
    assert " on teeth overloaded. That is enough" in levels(found)[0]


def test_unknown_teeth_decide_nothing(found: Comparison) -> None:
    one, _ = next(pair for pair in found.states if all(s.verdict.covered for s in pair))
    assert one.answer is not None
    blind, good, hard = (
        replace(one.answer, merit=replace(one.answer.merit, tooth_share=share, demerits=demerits))
        for share, demerits in ((None, 0), (0.3, 0), (1.9, 1900))
    )
    for answer, kept in ((blind, "either"), (good, f"“{found.names[0]}”")):
        pair = (replace(one, answer=answer), replace(one, answer=hard))
        same = replace(found, wants=found.wants[:1], states=(pair,), upgrades=((), ()))
        assert verdict(same).startswith(f"Keep {kept}")


def test_lathes_of_one_name_are_told_apart(page: str) -> None:
    head = words(table(page, "map").split("</thead>")[0])
    assert f"{MINI.name} (1)" in head
    assert f"{MINI.name} (2)" in head


def test_every_row_leads_to_its_wants_setups(found: Comparison, page: str) -> None:
    targets = re.findall(r'<th scope="row"><a href="#([^"]+)">', table(page, "map"))
    assert len(targets) == len(found.wants)
    assert len(set(targets)) == len(found.wants)
    for ident in set(targets):
        assert page.count(f'id="{ident}"') == 1


def test_both_trains_are_drawn_and_no_part_is_named_twice(found: Comparison, page: str) -> None:
    """Shared outlines are kept apart by lathe; every use of one finds its definition."""
    idents = re.findall(r'\sid="([^"]+)"', page)
    assert len(idents) == len(set(idents))
    used = set(re.findall(r'<use href="#([^"]+)"', page))
    assert used <= set(idents)
    assert {ident[:2] for ident in used} >= {"a-", "b-"}
    answers = [state.answer for pair in found.states for state in pair if state.answer]
    setups = page[page.index('id="setups"') : page.index('id="cautions"')]
    assert setups.count("<figure") >= len(answers)


def test_what_only_one_does_and_the_gears_that_level_them(found: Comparison, page: str) -> None:
    drawn = words(table(page, "upgrades-0"))
    for up in found.upgrades[0]:
        gears = ", ".join(str(gear.teeth) for gear in up.gears) or "no set of up to three"
        assert f"{up.want} {gears}" in drawn.replace("&lt;", "<").replace("&gt;", ">")
    assert all(up.want in {w.name for w in found.only(1)} for up in found.upgrades[0])


def test_each_want_both_cut_is_judged_by_three_measures(found: Comparison, page: str) -> None:
    """Recomputed from the two trains: less is better, equal is said."""
    drawn = table(page, "duels")
    rows = [words(row) for row in drawn.split("<tbody>")[1].split("<tr>")[1:]]
    assert len(rows) == len(found.both)
    pairs = dict(zip((want.name for want in found.wants), found.states, strict=True))
    for row, want in zip(rows, found.both, strict=True):
        answers = [state.answer for state in pairs[want.name]]
        one, other = answers
        assert one
        assert other
        errors = [
            Fraction(0) if state.verdict.value == "exact" else abs(state.answer.error)
            for state in pairs[want.name]
            if state.answer
        ]
        loads = [one.train.tooth_load, other.train.tooth_load]
        turns = [one.train.ratio, other.train.ratio]
        said = re.findall(r"\b(first|second|equal)\b", row.removeprefix(want.name))
        assert said == [_better(*values) for values in (errors, loads, turns)], want.name
        for train in (one.train, other.train):
            assert numbers.significant(train.ratio) in row


def _better(one: Fraction | float, other: Fraction | float) -> str:
    if one == other:
        return "equal"
    return "first" if one < other else "second"


def test_user_text_is_escaped(found: Comparison) -> None:
    markup = "</script><b>x"
    bad = replace(found, lathes=(replace(MINI, name=markup), found.lathes[1]))
    text = compare_sheet(bad, FACTS, document=compare_document(bad))
    assert "<b>x" not in text
    assert "<b>stand screw" not in text
    assert "&lt;/script&gt;&lt;b&gt;x" in text


def test_terminal_and_document_agree(found: Comparison) -> None:
    document = json.loads(json.dumps(compare_document(found)))
    lines = compare_lines(found)
    assert lines[0] == verdict(found)
    assert lines[1:3] == levels(found)
    assert lines[3] == f"both cut {len(document['both'])} of {len(document['pitches'])} threads"
    for side, name in enumerate(document["lathes"]):
        told = ", ".join(document["only"][side]) or "nothing"
        assert f"only {name}: {told}" in lines
        if not document["additions"][side]:
            continue
        first = lines.index(f"gears that would let {name} cut:") + 1
        wide = max(len(addition["name"]) for addition in document["additions"][side])
        for line, addition in zip(lines[first:], document["additions"][side], strict=False):
            gears = ", ".join(map(str, addition["gears"]))
            assert line == f"  {addition['name']:<{wide}}  {gears}"


def test_nothing_to_level_is_said() -> None:
    same = compare((MINI, MINI), samples.wants()[:3])
    text = compare_sheet(same, FACTS)
    alone = text[text.index('<section id="alone"') : text.index('<section id="both"')]
    assert alone.count("Nothing.") == 2
    assert "No gear to add would serve both lathes." in text
    assert 'id="upgrades-' not in text
