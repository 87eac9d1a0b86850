"""What the numbers on drift rest on where neither kit nor setup says it."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from synclint.day.forecast import Forecast
from synclint.findings import Fact
from synclint.overview import Assumed
from synclint.trade.quantities import Offset, say_duration, say_number, say_ppm

_JAM_WHY = "what a jam leaves where nobody states it (common practice, no source)"


def tolerance_words(tolerance: Fact[Offset]) -> str:
    """The tolerance as it is written, such as `1 frame`."""
    value = tolerance.value
    if value is None:
        return tolerance.text
    if value.frames is None:
        return say_duration(value.seconds or Fraction(0))
    return f"{say_number(value.frames)} frame{'s' if value.frames > 1 else ''}"


def assumed(forecast: Forecast) -> tuple[Assumed, ...]:
    """The facts that were taken for granted, devices with the same one together."""
    found: dict[tuple[str, str, str], list[str]] = {}
    for what, value, why, who in _taken_for_granted(forecast):
        found.setdefault((what, value, why), []).append(who)
    return tuple(Assumed(what, tuple(dict.fromkeys(who)), value, why) for (what, value, why), who in found.items())


def _taken_for_granted(forecast: Forecast) -> Iterator[tuple[str, str, str, str]]:
    setup, phases = forecast.setup, forecast.phases
    for key in _that_count(forecast):
        facts: tuple[tuple[str, Fact[Any]], ...] = (
            ("clock accuracy", setup.devices[key].clock.accuracy),
            ("rate that wanders", phases.varying(key)),
        )
        for what, fact in facts:
            if fact.assumed and fact.value:
                yield what, say_ppm(fact.value), fact.why, setup.called(key)
    for jam in forecast.run.jams:
        if setup.devices[jam.target].timecode.jam_error.value is None:
            unknown = phases.jam_unknown((), jam.target, jam.source)
            sign = "0 to " if unknown.low == 0 else "±"
            yield "error of a jam", f"{sign}{say_duration(unknown.high)}", _JAM_WHY, setup.called(jam.target)
    tolerance = setup.project.tolerance
    if tolerance.assumed and tolerance.value is not None:
        yield "tolerance", tolerance_words(tolerance), tolerance.why, "the whole rig"


def _that_count(forecast: Forecast) -> Iterator[str]:
    """The devices whose clocks count: those that ever run by themselves, and those that pace a recording."""
    for key, states in forecast.run.histories.items():
        runs = any(state.time is not None and not state.time.through for state in states)
        if runs or (forecast.setup.devices[key].records and forecast.phases.pace_of(key) == key):
            yield key
