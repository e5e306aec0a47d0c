"""A lathe in exact fractions on which claims about half-nuts are tried."""

from __future__ import annotations

from fractions import Fraction

from gearchest.optimizer.turning.half_nuts import HalfNuts, How


class Bench:
    """A lathe in exact fractions, lengths in leadscrew pitches, one spindle turn `lead` of them.

    The spindle stands at `turned` turns, the carriage at `at`. A groove goes through the place of
    the tool where it was begun, at turn 0 and place 0.
    """

    def __init__(self, lead: Fraction) -> None:
        self.lead, self.turned, self.at = lead, Fraction(0), Fraction(0)

    def cut(self, turns: Fraction) -> None:
        """Half-nuts closed: the screw takes the carriage along."""
        self.turned += turns
        self.at += turns * self.lead

    @property
    def closes(self) -> bool:
        """Whether the half-nuts fall into the screw: its thread comes by once a pitch."""
        return (self.at - self.turned * self.lead).denominator == 1

    @property
    def in_groove(self) -> bool:
        """Whether the tool stands in its own groove: the thread comes by once a lead."""
        return ((self.at - self.turned * self.lead) / self.lead).denominator == 1

    def closings(self, count: int) -> list[bool]:
        """Carriage held, spindle turning: at each of the next closings, is it the groove?"""
        found = []
        for _ in range(count):
            past = self.turned * self.lead - self.at
            ahead = 1 - past % 1 if past.denominator != 1 else Fraction(1)
            self.turned += ahead / self.lead
            assert self.closes
            found.append(self.in_groove)
        return found


def after_a_pass(nuts_lead: Fraction, passed: Fraction, back: Fraction) -> Bench:
    """Cut for some turns, opened, carriage wound back some pitches."""
    bench = Bench(nuts_lead)
    bench.cut(passed)
    bench.at -= back
    return bench


def prove(found: HalfNuts, lead: Fraction, passed: Fraction, back: Fraction, travel: int) -> None:
    """What a sheet tells of the half-nuts, tried on the bench."""
    turning = after_a_pass(lead, passed, back)
    right = turning.closings(2 * found.pitches)
    assert right.count(True) == 2  # one in `pitches`
    match found.how:
        case How.ANYWHERE:
            assert all(right)
        case How.DIAL:
            for use in found.dials:
                assert isinstance(use.lines, tuple)
                for line in use.lines:
                    bench = after_a_pass(lead, passed, back)
                    first = Fraction(0)  # the dial stood at line 0 when the thread was begun
                    for _ in range(3 * use.dial.lines + 1):
                        # the dial turns by screw against carriage, once in `teeth` pitches
                        reading = (bench.turned * lead - bench.at - first) / use.dial.teeth
                        ahead = (Fraction(line, use.dial.lines) - reading) % 1 or Fraction(1)
                        bench.turned += ahead * use.dial.teeth / lead
                        assert bench.closes
                        assert bench.in_groove
        case How.STANDING:
            steps = found.back or 1
            standing = after_a_pass(lead, passed, Fraction(steps * found.pitches))
            assert standing.closes
            assert standing.in_groove
            assert not all(right)  # closed with the spindle turning it would not do
            assert steps * found.pitches <= travel
            for pitches in range(1, found.pitches):
                assert not after_a_pass(lead, passed, Fraction(pitches)).in_groove
        case How.CLOSED:
            for pitches in range(1, travel + 1):
                whole = pitches % found.pitches == 0
                assert after_a_pass(lead, passed, Fraction(pitches)).in_groove == whole
