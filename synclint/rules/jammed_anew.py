"""What the jam would mend that is wanted anyway because a master was set anew."""

from __future__ import annotations

from fractions import Fraction

from synclint.day.forecast import Pair
from synclint.day.moments import Carried, Handed, Roll
from synclint.day.phases import Phase
from synclint.rules.framework import Case


def mended_by_the_jam_anew(case: Case, pair: Pair, at: Fraction, roll: Roll | None, tolerance: Fraction) -> bool:
    """Whether two still carry what their master had before it was set anew, and the jam that this asks for would do.

    That is told with the master; where they would leave the tolerance again after that jam their drift is told too.
    """
    look = case.run.before if roll is not None and at > roll.start else case.run.at
    end = at if roll is None else roll.end
    one, other = (_jammed_anew(case, key, look(key, at).time, end) for key in (pair.first, pair.second))
    apart = case.phases.apart(one, other)
    return apart is not None and apart.worst <= tolerance


def _jammed_anew(case: Case, key: str, time: Carried | None, at: Fraction) -> Phase | None:
    """The error of a device at an instant had it been jammed before the first take since its master was set anew.

    None where its master was not set anew.
    """
    root = time.line.root if time is not None else ""
    now = case.run.before(root, at).time if root in case.run.histories else None
    if time is None or now is None or now.line == time.line:
        return None
    since = now.line.since
    jam = min((roll.start for roll in case.forecast.takes if since <= roll.start <= at), default=since)
    given = case.run.at(root, jam).time
    if given is None:
        return None
    keeper = time.through[-1] if time.through else key
    hand = Handed(keeper, root, jam, now.line.cause, through=given.through)
    return case.phases.of_time(key, Carried(given.line, (*given.hands, hand), time.through), at)
