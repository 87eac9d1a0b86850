"""Clocks that were calibrated too long ago for the accuracy that is claimed of them."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from fractions import Fraction

from synclint.findings import (
    WHO,
    Amount,
    Confirmed,
    Cost,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Record,
    Source,
    either,
)
from synclint.rig.measured import a_year_after
from synclint.rig.model import Device
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.label_rates import HOUR
from synclint.rules.moments import in_frames
from synclint.rules.wording import PRACTICE, a_day
from synclint.trade.drift import drift_seconds
from synclint.trade.quantities import say_duration, say_ppm

_AGEING = Source(
    "compensated oscillators: 2 ppm a year, of it 0.5 ppm by ageing; Vig, SLCET-TR-92-1, table 1", Confirmed.TABULATED
)

_AGED = Fraction(1), Fraction(5, 2)
"""From where to where, in ppm, a compensated generator is that nobody has tuned for more than a year."""


@rule(
    Record(
        name="calibration-out-of-date",
        summary="A clock was calibrated more than 12 months before the last day of the shoot",
        level=Level.NOTE,
        hurts=Hurts.HABIT,
        mended=Mended.RENTAL,
        why="Oscillators age, so what is claimed of one holds for about a year after it was tuned. A set that is tuned "
        "together agrees; one of mixed ages does not.",
        sources=(PRACTICE, _AGEING),
        answers=("generators never tuned or calibration expired",),
    )
)
def calibration_out_of_date(case: Case) -> Iterator[Yielded]:
    """The day of a calibration is too long past, and the claim is better than what an aged clock keeps."""
    last = max((day.date.value for day in case.setup.days if day.date.value is not None), default=None)
    if last is None:
        return
    for device in case.setup.devices.values():
        calibrated, accuracy = device.clock.calibrated.value, device.clock.accuracy.value
        paces = not device.through and _counts(case, device.key)
        if calibrated is None or accuracy is None or accuracy >= _AGED[1] or not paces:
            continue
        if last > a_year_after(calibrated):
            yield _finding(case, device, calibrated, last)


def _counts(case: Case, key: str) -> bool:
    """Whether a device's own oscillator keeps a time or paces a recording at some moment."""
    runs = any(state.time is not None and not state.time.through for state in case.run.histories.get(key, ()))
    return runs or any(pace.key == key for pace in case.phases.paces.history(key))


def _finding(case: Case, device: Device, calibrated: date, last: date) -> Finding:
    """The note on one clock; like ones merge."""
    claimed = device.clock.accuracy.value or Fraction(0)
    seconds = case.day_seconds or HOUR
    low, high = max(claimed, _AGED[0]), _AGED[1]
    aged = tuple(drift_seconds(ppm, seconds) for ppm in (low, high))
    over = f"over {a_day(case)}" if case.day_seconds else "an hour"
    place = device.clock.calibrated.place
    return calibration_out_of_date.record.finding(
        at=place,
        says=f"the clock of {WHO} was calibrated on {calibrated.isoformat()}, more than 12 months before the last day, "
        f"{last.isoformat()}",
        who=(device.called,),
        cause=("calibrated", calibrated, claimed),
        costs=Cost(
            f"{say_ppm(low).removesuffix(' ppm')} to {say_ppm(high)} where {say_ppm(claimed)} is claimed: "
            f"{say_duration(aged[0])} to {in_frames(case, aged[1])} {over} and not "
            f"{say_duration(drift_seconds(claimed, seconds))}",
            (
                Amount("drift at worst", float(aged[1] * 1000), "ms"),
                Amount("drift as claimed", float(drift_seconds(claimed, seconds) * 1000), "ms"),
            ),
            float(aged[1]),
        ),
        fix=Fix(
            f"Have {WHO} tuned with the others against one reference before the hire; or compare over lunch, 1 ppm is "
            f"3.6 ms an hour, and write what {either('it runs', 'they run')} at"
        ),
        numbers_from=(device.clock.accuracy,),
        also=(Mention(device.clock.accuracy.place, f"{say_ppm(claimed)} is claimed"),),
    )


RULES: tuple[Rule, ...] = (calibration_out_of_date,)
