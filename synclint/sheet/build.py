"""The sync sheet of a rig, from the rig, its days, the forecast and the report."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import PurePath

from synclint.findings import STDIN, Finding, Level, Mended
from synclint.merging import LOOKED_AT, looked_at
from synclint.result import Report, Waived
from synclint.sheet import values
from synclint.sheet.cables import cables
from synclint.sheet.crew import Given, days_told, device_lines, five_numbers
from synclint.sheet.drift_picture import draw
from synclint.sheet.drift_picture import told as drift_told
from synclint.sheet.for_post import post_lines
from synclint.sheet.if_then import rules
from synclint.sheet.rig_content import content_of
from synclint.sheet.rig_picture import rig_picture
from synclint.sheet.rig_told import described
from synclint.sheet.rounds import following, log_days, rounds, times, unplanned

NOT_SAID = "–"
NARROW, WIDE = 348.0, 960.0
"""The widths of the pictures: what a phone of 390 pixels leaves beside its margins, and what stands on a desk."""

_BEFORE = (LOOKED_AT[Mended.RENTAL], LOOKED_AT[Mended.TEST_DAY])


def build(given: Given, report: Report, since: values.Since | None = None) -> values.Sheet:
    """The sheet of a setup that could be checked."""
    setup, errors = given.setup, report.count(Level.ERROR)
    tolerance, rate = setup.project.tolerance_seconds, setup.project.rate.value
    return values.Sheet(
        title=setup.title.value or ("Setup without a title" if setup.file == STDIN else PurePath(setup.file).name),
        revision=setup.revision.value or NOT_SAID,
        digest=report.digest,
        days=tuple(days_told(setup)),
        errors=errors,
        draft=_draft(errors, report),
        numbers=five_numbers(given),
        devices=device_lines(given),
        cables=cables(setup),
        rounds=rounds(given),
        unplanned=unplanned(given),
        following=following(given),
        times=times(given, report.drift),
        rules=rules(given),
        post=post_lines(given),
        looks=tuple(values.Look(heading, lines, heading in _BEFORE) for heading, lines in looked_at(report.checklist)),
        accepted=tuple(map(_accepted, report.accepted)),
        open=tuple(map(open_finding, report.findings)),
        assumed=_assumed(report),
        tolerance_ms=None if tolerance is None else float(tolerance * 1000),
        frame_ms=None if rate is None else float(rate.rate.frame * 1000),
        setup_file="" if setup.file == STDIN else PurePath(setup.file).name,
        log_days=log_days(given),
        pictures=_pictures(given, report),
        since=since,
    )


def _pictures(given: Given, report: Report) -> values.Pictures:
    graphs = (given.setup, given.timecode, given.clock, report.findings)
    drift = report.drift if report.drift is not None and report.drift.panels else None
    return values.Pictures(
        rig_narrow=rig_picture(*graphs, width=NARROW, name="rig-narrow"),
        rig_wide=rig_picture(*graphs, width=WIDE, name="rig-wide"),
        rig_told=described(content_of(*graphs)),
        drift_narrow="" if drift is None else draw(drift, width=NARROW, name="drift-narrow"),
        drift_wide="" if drift is None else draw(drift, name="drift-wide"),
        drift_told="" if drift is None else drift_told(drift),
    )


def _draft(errors: int, report: Report) -> str:
    """Why nobody should work by it yet."""
    if errors:
        return f"Draft: {errors} {'error is' if errors == 1 else 'errors are'} open. Do not shoot by this sheet."
    return "Draft: not all rules could be run." if report.crashes else ""


def open_finding(finding: Finding) -> values.Open:
    """A finding as the sheet tells it."""
    return values.Open(finding.level.value, finding.rule, finding.sentence, finding.cost_sentence, finding.fix_sentence)


def _accepted(waived: Waived) -> values.Accepted:
    return values.Accepted(waived.finding.rule, waived.finding.sentence, waived.why, waived.by, waived.until)


def _assumed(report: Report) -> tuple[str, ...]:
    found = report.overview.assumed if report.overview is not None else ()
    told: Iterable[str] = (f"{each.what} {each.value}: {', '.join(each.devices)} ({each.why})" for each in found)
    return tuple(told)
