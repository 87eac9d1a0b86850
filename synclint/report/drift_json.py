"""Drift for machines, as `schemas/report-1.schema.json` describes it: offsets in milliseconds and in frames."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from synclint.drift.values import (
    Bound,
    Cell,
    Drift,
    JamPlan,
    JamRound,
    Leaves,
    LongTake,
    MeasuredRate,
    Moment,
    PairRow,
    Peak,
    Row,
    TakeRow,
)

Object = dict[str, Any]

_PLACES = 6
"""So many places of a millisecond are told."""


def drift_object(drift: Drift) -> Object:
    """All that is told of drift."""
    tell = _Teller(drift)
    return {
        "holds": drift.holds,
        "masters": list(drift.masters),
        "tolerance": None if drift.tolerance is None else tell.offset(drift.tolerance),
        "frame_ms": None if drift.frame is None else _number(drift.frame * 1000),
        "longest_take_seconds": None if drift.long_take is None else _number(drift.long_take),
        "moments": [_moment(each) for each in drift.moments],
        "devices": [tell.row(row) for row in drift.rows],
        "pairs": [tell.pair(row) for row in drift.pairs],
        "takes": [tell.take(row) for row in drift.takes],
        "no_bound": [
            {"first": each.first, "second": each.second, "clock": each.clock, "why": each.why}
            for each in drift.unbounded
        ],
        "measured": [_measured(each) for each in drift.measured],
        "unused_comparisons": list(drift.unused),
        "jams": None if drift.plan is None else _jams(drift.plan),
        "frame_phase": [{"devices": list(each.devices), "odds": _number(each.odds)} for each in drift.phases],
        "wants_reference": drift.wants_reference,
        "assumed": [
            {"what": fact.what, "devices": list(fact.devices), "value": fact.value, "why": fact.why}
            for fact in drift.assumed
        ],
    }


def _number(value: Fraction) -> float:
    return round(float(value), _PLACES)


class _Teller:
    """Tells offsets in the frames of one setup."""

    def __init__(self, drift: Drift) -> None:
        self.frame = drift.frame

    def offset(self, seconds: Fraction) -> Object:
        """An offset that has a bound."""
        return {
            "ms": _number(seconds * 1000),
            "frames": None if self.frame is None else _number(seconds / self.frame),
        }

    def bound(self, bound: Bound) -> Object:
        """A worst case, or why there is none."""
        if bound.seconds is None:
            return {"ms": None, "frames": None, "why": bound.why}
        return {**self.offset(bound.seconds), "why": None}

    def cells(self, cells: Sequence[Cell]) -> list[Object]:
        """The worst cases at each moment."""
        return [{"before": self.bound(each.before), "after": self.bound(each.after)} for each in cells]

    def peak(self, peak: Peak | None) -> Object | None:
        """The largest worst case."""
        return None if peak is None else {**self.offset(peak.seconds), "clock": peak.clock}

    def long_take(self, take: LongTake | None) -> Object | None:
        """The longest take."""
        if take is None:
            return None
        return {"clock": take.clock, "seconds": _number(take.length), "at_end": self.bound(take.total)}

    def row(self, row: Row) -> Object:
        """Devices against their master."""
        return {
            "devices": list(row.devices),
            "against": row.against,
            "worst": self.peak(row.peak),
            "moments": self.cells(row.cells),
            "longest_take": self.long_take(row.long_take),
        }

    def pair(self, row: PairRow) -> Object:
        """The worst pair of a kind."""
        return {
            "kind": row.kind,
            "first": row.first,
            "second": row.second,
            "worst": self.peak(row.peak),
            "moments": self.cells(row.cells),
            "no_bound_at": list(row.unbounded),
            "longest_take": self.long_take(row.long_take),
        }

    def take(self, row: TakeRow) -> Object:
        """The worst pair of a take."""
        return {
            "start": row.start,
            "end": row.end,
            "scene": row.scene or None,
            "seconds": _number(row.length),
            "first": row.first,
            "second": row.second,
            "label": self.offset(row.label),
            "slip": self.offset(row.slip),
            "total": self.offset(row.total),
            "holds_for_seconds": None if row.holds_for is None else _number(row.holds_for),
        }


def _moment(moment: Moment) -> Object:
    return {"day": moment.day, "clock": moment.clock, "what": moment.what}


def _measured(each: MeasuredRate) -> Object:
    stated = None if each.stated is None else {"low_ppm": _number(each.stated[0]), "high_ppm": _number(each.stated[1])}
    return {
        "device": each.device,
        "against": each.against,
        "ppm": _number(each.rate),
        "low_ppm": _number(each.low),
        "high_ppm": _number(each.high),
        "stated": stated,
        "outside": each.outside,
        "inside": each.inside,
        "readings": each.readings,
        "off_the_line": list(each.off),
    }


def _leaves(leaves: Leaves | None) -> Object | None:
    if leaves is None:
        return None
    return {
        "clock": leaves.clock,
        "first": leaves.first,
        "second": leaves.second,
        "held_until": leaves.held_until,
        "why": leaves.why or None,
    }


def _round(each: JamRound) -> Object:
    return {
        "clock": each.clock,
        "by": each.by,
        "in_break": each.in_break,
        "by_lead": [{"device": device, "from": source} for device, source in each.by_lead],
        "others": each.others,
    }


def _jams(plan: JamPlan) -> Object:
    return {
        "hold": plan.holds,
        "written": list(plan.jams),
        "taken_for_granted": plan.granted,
        "leaves": _leaves(plan.leaves),
        "logged": plan.logged,
        "morning": plan.morning,
        "morning_leaves": _leaves(plan.morning_leaves),
        "possible": plan.possible,
        "rounds": list(map(_round, plan.rounds)),
        "added": list(map(_round, plan.added)),
        "needed_accuracy": [
            {
                "device": each.device,
                "ppm": None if each.ppm is None else _number(each.ppm),
                "now_ppm": None if each.now is None else _number(each.now),
            }
            for each in plan.needed
        ],
    }
