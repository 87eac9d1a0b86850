"""What a number on drift rests on, in words: how far off the clocks are taken to be, and which jams came before."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from synclint.day.moments import Handed
from synclint.day.phases import Offset
from synclint.findings import listed
from synclint.rules.framework import Case
from synclint.rules.moments import clock_of
from synclint.trade.quantities import say_ppm

_COUNTS = 10
"""What is less than a tenth of the whole is not worth a word."""


def clocks_told(case: Case, offset: Offset) -> str:
    """How far off the clocks behind an offset are taken to be in all, where a part of that wanders; else empty.

    Such as `; the clocks of cam_a and cam_b are taken to be up to 3 ppm off each, 1 ppm of it wandering with
    temperature`: what is stated as accuracy alone would come to a smaller number.
    """
    alike: dict[tuple[Fraction, Fraction], list[str]] = {}
    for called, total, wander in _wandering(case, offset):
        alike.setdefault((total, wander), []).append(called)
    said: list[str] = []
    for (total, wander), who in alike.items():
        one, many = ("that", "those") if said else ("the clock", "the clocks")
        begins = f"{one if len(who) == 1 else many} of"
        taken = "" if said else f"{'is' if len(who) == 1 else 'are'} taken to be "
        off = f"up to {say_ppm(total)} off{' each' if len(who) > 1 else ''}"
        with_what = "" if said else " with temperature"
        said.append(f"{begins} {listed(who)} {taken}{off}, {say_ppm(wander)} of it wandering{with_what}")
    return f"; {'; '.join(said)}" if said else ""


def _wandering(case: Case, offset: Offset) -> Iterator[tuple[str, Fraction, Fraction]]:
    """The clocks of an offset that wander, the largest share first: who, how far off in all, and how far it wanders."""
    left = {oscillator.fixed.name: oscillator for oscillator in offset.error.oscillators}
    for share in offset.error.shares:
        oscillator = left.get(share.name)
        if oscillator is not None and oscillator.varying and share.seconds * _COUNTS >= offset.worst:
            called = " against ".join(map(case.setup.called, share.name[1:]))  # a measured one is of two
            fixed = max(abs(oscillator.fixed.low), abs(oscillator.fixed.high))
            yield called, fixed + oscillator.varying, oscillator.varying


def jams_told(case: Case, jams: Iterable[Handed]) -> str:
    """Jams in words: `the jam at 07:00`, `the jams at 07:00 and 07:10`."""
    times = list(dict.fromkeys(clock_of(case, hand.at) for hand in sorted(jams, key=lambda hand: hand.at)))
    return f"the {'jam' if len(times) == 1 else 'jams'} at {listed(times)}"
