"""The files at hand: every change undone to the beginning, and what others change seen."""

from __future__ import annotations

import errno
import os
from itertools import product
from pathlib import Path

import pytest

from gearchest.cli.faults import FaultsError
from gearchest.cli.page import shelf
from gearchest.cli.page.desk import OUTSIDE, Desk, FileChange
from gearchest.cli.page.shelf import LATHE, OFFERS, WANTS, Shelf


def on_disk(folder: Path) -> dict[str, str]:
    return {path.name: path.read_text(encoding="utf-8") for path in folder.iterdir()}


def touched(path: Path, text: str) -> None:
    """Written by somebody else, a moment later as clocks tell."""
    path.write_text(text, encoding="utf-8")
    there = path.stat()
    os.utime(path, ns=(there.st_atime_ns, there.st_mtime_ns + 10_000_000))


def test_all_is_undone_to_the_beginning_and_done_again(tmp_path: Path) -> None:
    (tmp_path / "wants.toml").write_text("# first\n", encoding="utf-8")
    desk = Desk(Shelf(tmp_path))
    states = [on_disk(tmp_path)]
    for name, text in ((LATHE, "a = 1\n"), (WANTS, "# second\n"), (OFFERS, "teeth,price\n20,1\n"),
                       (LATHE, "a = 2\n"), (OFFERS, None)):  # fmt: skip
        desk.put(name, text, "change")
        states.append(on_disk(tmp_path))
    for before in reversed(states[:-1]):
        assert desk.undo() is not None
        assert on_disk(tmp_path) == before
    assert desk.undo() is None
    for after in states[1:]:
        assert desk.redo() is not None
        assert on_disk(tmp_path) == after
    assert desk.redo() is None


def test_a_change_from_outside_is_seen_kept_and_can_be_undone(tmp_path: Path) -> None:
    desk = Desk(Shelf(tmp_path))
    desk.put(LATHE, "a = 1\n", "first")
    version = desk.version
    touched(tmp_path / "lathe.toml", "a = 9 # by hand\n")
    assert desk.look()
    assert desk.version > version
    assert not desk.look()
    assert desk.texts[LATHE] == "a = 9 # by hand\n"
    desk.put(WANTS, "# w\n", "second")
    desk.undo()
    change = desk.undo()
    assert change is not None
    assert change.what == OUTSIDE
    assert on_disk(tmp_path)["lathe.toml"] == "a = 1\n"


def test_what_was_written_outside_a_moment_ago_is_not_written_over_unseen(tmp_path: Path) -> None:
    """`put` looks first, so that the text of others is in the history at least."""
    desk = Desk(Shelf(tmp_path))
    desk.put(LATHE, "a = 1\n", "first")
    touched(tmp_path / "lathe.toml", "precious = 1\n")
    desk.put(LATHE, "a = 2\n", "second")
    desk.undo()
    assert on_disk(tmp_path)["lathe.toml"] == "precious = 1\n"


def test_a_file_taken_away_outside_is_seen(tmp_path: Path) -> None:
    desk = Desk(Shelf(tmp_path))
    desk.put(LATHE, "a = 1\n", "first")
    (tmp_path / "lathe.toml").unlink()
    assert desk.look()
    assert desk.texts[LATHE] is None


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EROFS, errno.EIO])
def test_where_nothing_can_be_written_all_stays_and_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    desk = Desk(Shelf(tmp_path))
    desk.put(LATHE, "a = 1\n", "first")

    def fails(*_: object) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(os, "fsync", fails)
    with pytest.raises(FaultsError) as raised:
        desk.put(LATHE, "a = 2\n", "second")
    assert os.strerror(number) in raised.value.faults[0].problem
    monkeypatch.undo()
    assert on_disk(tmp_path) == {"lathe.toml": "a = 1\n"}
    assert desk.texts[LATHE] == "a = 1\n"
    assert [change.what for change in desk.done] == ["first"]


def test_a_file_that_cannot_be_read_is_told_and_the_rest_goes_on(tmp_path: Path) -> None:
    (tmp_path / "lathe.toml").mkdir()
    desk = Desk(Shelf(tmp_path))
    assert "folder" in desk.unreadable[0].problem
    desk.put(WANTS, "# w\n", "first")
    assert (tmp_path / "wants.toml").exists()


def test_only_files_of_our_names_are_known() -> None:
    assert {Path(name).name for name in shelf.NAMES.values()} == set(shelf.NAMES.values())


def test_a_change_is_taken_back_and_done_again() -> None:
    """Whatever two texts have in common, also where a part of it comes twice, or no file is."""
    texts = [None, "", "a", "aa", "aaa", "aba", "abba", "b", "xaay", "xay", "é\r\n", "a\n"]
    for before, after in product(texts, repeat=2):
        change = FileChange.between("lathe", before, after, "x")
        assert change.taken_back(after) == before
        assert change.done_again(before) == after
        assert change.size <= len(before or "") + len(after or "")


def test_a_thousand_changes_of_a_long_file_are_kept_in_little(tmp_path: Path) -> None:
    first = "# a remark\n" * 20_000
    (tmp_path / "wants.toml").write_text(first, encoding="utf-8")
    desk = Desk(Shelf(tmp_path))
    for number in range(1000):
        desk.put("wants", f"{first}# {number}\n{first}", "x")
    assert sum(change.size for change in desk.done) < 2 * len(first)
    while desk.undo():
        pass
    assert (tmp_path / "wants.toml").read_text(encoding="utf-8") == first


def test_changes_beyond_what_is_kept_go_the_oldest_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("gearchest.cli.page.desk.MOST_CHARACTERS", 100)
    desk = Desk(Shelf(tmp_path))
    for letter in "abcdef":
        desk.put("lathe", letter * 30, letter)
    assert [change.what for change in desk.done] == ["f"]
    desk.undo()
    assert desk.texts["lathe"] == "e" * 30
