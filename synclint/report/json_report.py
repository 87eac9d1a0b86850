"""The report for machines, in the form that `schemas/report-1.schema.json` describes."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Sequence
from typing import Any, TextIO

from synclint import __version__
from synclint.findings import (
    AddItem,
    AddKey,
    CheckLine,
    Edit,
    Fact,
    Finding,
    Level,
    Place,
    Remove,
    RenameKey,
    SetValue,
    Unjudged,
    told,
)
from synclint.overview import Branch, Overview
from synclint.report import trees, words
from synclint.report.drift_json import drift_object
from synclint.result import Report, Waived

FORM = "report/1"

Object = dict[str, Any]


def write(reports: Sequence[Report], stream: TextIO, *, show: Level, color: str, skipped: int) -> None:  # noqa: ARG001 - machines see no colour
    """Write the reports as one JSON document, the same for the same reports byte for byte."""
    document = {
        "synclint": FORM,
        "version": __version__,
        "show": show.value,
        "skipped": skipped,
        "counts": {level.value: sum(report.count(level) for report in reports) for level in Level},
        "files": [_file(report, show) for report in reports],
    }
    stream.write(json.dumps(_sound(document), indent=2, allow_nan=False) + "\n")


def _sound(value: Any) -> Any:
    """The value without what strict readers of JSON refuse: halves of surrogate pairs, which are written out."""
    if isinstance(value, str):
        return value if value.isascii() else value.encode("utf-8", "backslashreplace").decode("utf-8")
    if isinstance(value, dict):
        return {key: _sound(each) for key, each in value.items()}
    if isinstance(value, list):
        return [_sound(each) for each in value]
    return value


def _file(report: Report, show: Level) -> Object:
    verdict = words.verdict(report)
    findings = words.shown(report.findings, show)
    return {
        "file": report.file,
        "kind": report.kind or None,
        "verdict": verdict.says,
        "worst": verdict.worst or None,
        "counts": {level.value: report.count(level) for level in Level},
        "could_not_check": report.could_not_check,
        "rules_held_back": report.rules_held_back,
        "held_back_because": report.held_back or None,
        "crashes": [{"rule": crash.rule or None, "error": crash.error} for crash in report.crashes],
        "findings": [_finding(finding) for finding in findings],
        "not_shown": len(report.findings) - len(findings),
        "accepted": [_accepted(waived) for waived in report.accepted],
        "checklist": [_check_line(line) for line in report.checklist],
        "unjudged": [_unjudged(each) for each in report.unjudged],
        "unread_keys": [{"key": key, "times": times} for key, times in report.unread_keys],
        "overview": _overview(report.overview) if report.overview else None,
        "drift": drift_object(report.drift) if report.drift else None,
    }


# --- findings --------------------------------------------------------------------------------------------------


def _finding(finding: Finding) -> Object:
    return {
        "rule": finding.rule,
        "level": finding.level.value,
        "hurts": finding.record.hurts.value,
        "mended": finding.mended.value,
        "says": finding.sentence,
        "devices": list(finding.who),
        "place": _place(finding.at),
        "also": [{"place": _place(each.place), "says": told(each.says, finding.who)} for each in finding.also],
        "costs": _costs(finding),
        "fix": _fix(finding),
        "rests_on": [_assumption(fact, finding) for fact in finding.assumptions],
        "sources": [{"text": each.text, "confirmed": each.confirmed.value} for each in finding.record.sources],
    }


def _place(place: Place) -> Object:
    span = place.span
    return {
        "path": str(place),
        "file": span.file,
        "line": span.line,
        "column": span.column,
        "end_line": span.end_line,
        "end_column": span.end_column,
    }


def _costs(finding: Finding) -> Object | None:
    if finding.costs is None:
        return None
    amounts = [
        {"name": each.name, "value": each.value if math.isfinite(each.value) else None, "unit": each.unit}
        for each in finding.costs.amounts
    ]
    return {"says": finding.cost_sentence, "amounts": amounts}


def _fix(finding: Finding) -> Object | None:
    if finding.fix is None:
        return None
    return {"says": finding.fix_sentence, "edits": [_edit(edit) for edit in finding.fix.edits]}


def _edit(edit: Edit) -> Object:
    match edit:
        case SetValue(place, value):
            return {"do": "set value", "place": _place(place), "value": value}
        case AddKey(place, key, value):
            return {"do": "add key", "place": _place(place), "key": key, "value": value}
        case RenameKey(place, name):
            return {"do": "rename key", "place": _place(place), "key": name}
        case Remove(place):
            return {"do": "remove", "place": _place(place)}
        case AddItem(place, value, key):
            return {"do": "add item", "place": _place(place), **({"key": key} if key else {}), "value": value}


def _assumption(fact: Fact[object], finding: Finding) -> Object:
    return {"place": _place(fact.place), "why": fact.why, "decides": fact in finding.decided_by}


def _accepted(waived: Waived) -> Object:
    return {
        "finding": _finding(waived.finding),
        "why": waived.why,
        "by": waived.by or None,
        "until": waived.until or None,
    }


def _check_line(line: CheckLine) -> Object:
    return {
        "rule": line.record.name,
        "when": line.when.value,
        "says": line.sentence,
        "devices": list(line.who),
        "place": _place(line.at) if line.at else None,
    }


def _unjudged(each: Unjudged) -> Object:
    return {"rule": each.record.name, "lacks": each.lacks, "devices": list(each.who), "place": _place(each.at)}


# --- overview --------------------------------------------------------------------------------------------------


def _overview(overview: Overview) -> Object:
    checked = overview.checked
    return {
        "title": overview.title,
        "rates": [
            {
                "devices": list(row.devices),
                "timecode": row.timecode,
                "picture": row.picture,
                "sound": row.sound,
                "unlike_the_project": list(row.odd),
            }
            for row in overview.rates
        ],
        "timecode": {"tree": _tree(overview.timecode_tree), "loose": list(overview.timecode_loose)},
        "clock": {"tree": _tree(overview.clock_tree), "loose": list(overview.clock_loose)},
        "day": {
            "devices": [{"devices": list(line.devices), "says": line.says} for line in overview.day.devices],
            "generations": list(overview.day.generations),
            "morning": list(overview.day.morning),
        },
        "assumed": [
            {"what": fact.what, "devices": list(fact.devices), "value": fact.value, "why": fact.why}
            for fact in overview.assumed
        ],
        "checked": {"devices": checked.devices, "links": checked.links, "rules": checked.rules},
    }


def _tree(branches: Iterable[Branch]) -> list[Object]:
    """The branches as a list with their depths, for a chain of devices may be longer than JSON readers nest."""
    return [
        {"depth": depth, "devices": list(branch.devices), "how": branch.how}
        for depth, branch in trees.flat(tuple(branches))
    ]
