"""What paces a device and what it runs on, from its settings, its abilities and the numbered piece that it is."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from synclint.documents.nodes import MappingNode
from synclint.findings import Fact, unknown
from synclint.rig.assumed import OWN_CLOCK_WHY, accuracy_of
from synclint.rig.model import OWN_CLOCK, ClockSide, PowerSide
from synclint.rig.reading import Reader, first_written
from synclint.trade.phase import parse_phase
from synclint.trade.quantities import parse_date, parse_duration, parse_ppm
from synclint.trade.rates import parse_rate

_NEVER = "never"


def clock_side(
    settings: Reader, own: Reader, abilities: Reader, piece: MappingNode | None, cls: Fact[str], *, through: bool
) -> ClockSide:
    """What paces a device; how good its clock is by its `own` abilities, as measured, or by its type or class."""
    side = settings.below("clock")
    runs = _runs(settings, piece) if piece is not None else unknown(side.place)
    measured = _at_most(runs)
    accuracy = first_written(own.fact("clock", "accuracy", read=parse_ppm), measured)
    accuracy = first_written(accuracy, abilities.fact("clock", "accuracy", read=parse_ppm))
    assumed = accuracy_of(cls.value)
    if assumed is not None:
        accuracy = accuracy.else_assume(assumed[0], assumed[1])
    source = side.text("from")
    return ClockSide(
        place=side.place,
        source=source if through else source.else_assume(OWN_CLOCK, OWN_CLOCK_WHY),
        expects=side.fact("expects", read=parse_rate),
        accuracy=accuracy,
        varying=abilities.fact("clock", "varying", read=parse_ppm),
        runs=runs if accuracy is measured else unknown(side.place),
        tunes_to=abilities.fact("clock", "tunes_to", read=parse_ppm),
        calibrated=_calibrated(own, abilities, piece if accuracy is measured else None, settings),
        phase=side.fact("phase", read=parse_phase),
        on_loss=first_written(side.text("on_loss"), abilities.text("clock", "on_loss")),
    )


def _runs(settings: Reader, piece: MappingNode) -> Fact[tuple[Fraction, Fraction]]:
    """What a measured clock runs at, and how well that is known."""
    reader = Reader(settings.desk, piece, settings.place)
    rate = reader.fact("runs", "rate", read=parse_ppm)
    within = reader.fact("runs", "within", read=parse_ppm)
    if rate.value is None:
        return unknown(rate.place, rate.text)
    return Fact((rate.value, within.value or Fraction(0)), rate.place, text=rate.text)


def _at_most(runs: Fact[tuple[Fraction, Fraction]]) -> Fact[Fraction]:
    """The largest error of a measured clock."""
    if runs.value is None:
        return unknown(runs.place, runs.text)
    return Fact(abs(runs.value[0]) + runs.value[1], runs.place, text=runs.text)


def _calibrated(own: Reader, abilities: Reader, piece: MappingNode | None, settings: Reader) -> Fact[date]:
    """When what is known of a clock was found: of a measured piece, the day of its measurement."""
    stated = own.fact("clock", "calibrated", read=parse_date)
    if piece is not None:
        measured = Reader(settings.desk, piece, settings.place).fact("measured", read=parse_date)
        return first_written(stated, measured)
    return first_written(stated, abilities.fact("clock", "calibrated", read=parse_date))


def power_side(settings: Reader, abilities: Reader) -> PowerSide:
    """What a device runs on."""
    side = settings.below("power")
    runtime, auto_off = side.fact("runtime", read=parse_duration), side.fact("auto_off", read=idle_time)
    return PowerSide(
        place=side.place,
        source=side.text("from"),
        runtime=first_written(runtime, abilities.fact("power", "runtime", read=parse_duration)),
        auto_off=first_written(auto_off, abilities.fact("power", "auto_off", read=idle_time)),
    )


def idle_time(text: str) -> Fraction:
    """After how long without use a device switches itself off or sleeps; zero for `never`. Raises QuantityError."""
    return Fraction(0) if text == _NEVER else parse_duration(text)
