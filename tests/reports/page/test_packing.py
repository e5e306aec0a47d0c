"""Texts packed as forms and numbers are the same texts again."""

from __future__ import annotations

import random

import report_samples as samples

from gearchest.reports.page.packing import packed_forms, packed_json

NUMBERS = ("7", "0.250", "00", "1.", ".5", "1.2.3", "12345678901234567890", "٣", "½", "")
WORDS = ("<li>", "<b>M", " mm", "</b>", "<tr data-no=", ">", "_", "\u202f", " ", "é<p>")


def test_every_text_comes_back_letter_for_letter() -> None:
    lot = random.Random(5)
    texts = {
        str(name): [
            "".join(lot.choice(NUMBERS + WORDS) for _ in range(lot.randrange(12)))
            for _ in range(lot.randrange(4))
        ]
        for name in range(300)
    }
    block = f'<script type="application/json" id="a">"{packed_forms(texts)}"</script>'
    assert samples.filled(block, "a") == texts


def test_what_differs_in_numbers_alone_is_said_once() -> None:
    line = "<dl><dt>Stud<dd>{0} mm<small>, in the slot, from the foot of the perpendicular</small>"
    texts = {f"w-{n}": [line.format(n * n % 977) * 3] for n in range(400)}
    assert len(packed_forms(texts)) < 0.8 * len(packed_json(texts))
