"""The drift of a setup for a person at a desk: does the day hold, who is how far off when, and when to jam again."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import chain
from typing import TextIO

from synclint.drift import words
from synclint.drift.values import Drift, JamPlan, JamRound, Leaves, MeasuredRate, Needed, TakeRow
from synclint.findings import Level, listed
from synclint.report import drift_table
from synclint.report.page import BAD, GOOD, HEADING, PLAIN, QUIET, Page
from synclint.report.terminal import write_file
from synclint.report.words import aside, clipped, counted, file_name, named, one_line, short
from synclint.result import Report

MOST_LINES = 40
MOST_NAMED = 6


def write(reports: Sequence[Report], stream: TextIO, *, show: Level, color: str, skipped: int) -> None:  # noqa: ARG001 - nothing in folders is told here
    """Write the drift of each setup."""
    page = Page(stream, color=color)
    for report in reports:
        page.gap()
        _write_one(page, report, show)


def _write_one(page: Page, report: Report, show: Level) -> None:
    drift = report.drift
    if drift is None:
        write_file(page, report, show)
        return
    page.paragraph(
        (file_name(report.file), HEADING), (f"  {one_line(clipped(drift.title, 200))}", PLAIN), lead=(), hang=2
    )
    page.gap()
    for text, style in _verdict(drift):
        page.paragraph((text, style))
    if report.count(Level.ERROR):
        errors = counted(report.count(Level.ERROR), "error")
        says = f"`synclint check` finds {errors} in this setup; what is told here is of the rig as it is written."
        page.paragraph((says, PLAIN))
    drift_table.write_devices(page, drift)
    drift_table.write_pairs(page, drift)
    _section(page, "Measured", chain(map(_measured, drift.measured), drift.unused))
    _section(page, "Inside a take", (_take(drift, row) for row in drift.takes))
    _section(page, "When to jam", _jams(drift))
    _section(page, "Frames of their own", _phases(drift))
    told = (f"{each.what} {each.value}: {aside(named(each.devices), each.why)}" for each in drift.assumed)
    _section(page, "Assumed", told)


def _section(page: Page, title: str, texts: Iterable[str]) -> None:
    told = list(texts)
    if not told:
        return
    page.heading(title)
    for text in told[:MOST_LINES]:
        page.paragraph((one_line(clipped(text, 900)), PLAIN), lead=[("  - ", PLAIN)])
    if len(told) > MOST_LINES:
        page.line((f"  and {len(told) - MOST_LINES} more; --report json has them all", QUIET))


# --- the verdict -----------------------------------------------------------------------------------------------


def _verdict(drift: Drift) -> Iterator[tuple[str, str]]:
    """Whether the day holds, and what does not."""
    plan = drift.plan
    if plan is None:
        yield "Nobody says what the tolerance is: the project states no rate that its frames are counted at.", BAD
        return
    within = f"the tolerance of {words.tolerance(drift)}"
    if drift.holds:
        yield f"Holds: nothing that rolls together leaves {within}.", GOOD
    if plan.leaves is not None:
        yield f"Leaves {within} {_leaves(plan.leaves)}.", BAD
    if drift.long:
        worst = max(drift.long, key=lambda row: row.total)
        many = f"{counted(len(drift.long), 'take')}, the worst" if len(drift.takes) > 1 else "the take"
        both = f"{_both(worst.first, worst.second)}, {words.said(worst.total)}"
        yield f"Leaves {within} inside {many} from {worst.start} to {worst.end}: {both} at its end.", BAD
    for each in drift.unbounded[:MOST_LINES]:
        why = each.why.removeprefix("no bound: ")
        both = _both(each.first, each.second)
        when = f", which roll at {each.clock}" if each.rolling else f" from {each.clock} on"
        cure = "jam before that take" if each.rolling else "jam then"
        yield f"No bound between {both}{when}: {why}; {cure}.", BAD


def _leaves(leaves: Leaves) -> str:
    held = f"; their jams hold until {leaves.held_until}" if leaves.held_until != leaves.clock else ""
    return f"at {leaves.clock}: {_both(leaves.first, leaves.second)}{held}"


def _both(first: str, second: str) -> str:
    return f"{short(first, 40)} and {short(second, 40)}"


# --- takes, jams, frames ---------------------------------------------------------------------------------------


def _take(drift: Drift, row: TakeRow) -> str:
    scene = f", scene {one_line(short(row.scene, 40))}" if row.scene else ""
    both = f"{_both(row.first, row.second)} over {words.said(row.length)}"
    frames = f", {words.frames(row.total, drift.frame)} frames" if drift.frame else ""
    sums = f"label {words.said(row.label)} at its start, slip {words.said(row.slip)}, together {words.said(row.total)}"
    told = f"{row.start} to {row.end}{scene}: {both}: {sums}{frames}"
    if row.holds_for is None:
        return told
    after = f"after {words.length(row.holds_for)}" if row.holds_for > 0 else "from its start"
    alone = drift.tolerance is not None and row.slip > drift.tolerance
    cure = "no jam mends that: cut sooner, or pace both from one reference" if alone else "jam before it, or cut sooner"
    return f"{told}; beyond the tolerance {after}; {cure}"


def _jams(drift: Drift) -> Iterator[str]:
    plan = drift.plan
    if plan is None:
        return
    yield _as_written(plan) + (" That is said of what has a bound." if drift.unbounded and plan.holds else "")
    after = _first_jam(plan)
    if plan.morning_leaves is None:
        yield f"No jam is needed{f' after {after}' if after else ''}."
        return
    leaves, alone = plan.morning_leaves, f"With no jam{f' after {after}' if after else ''}"
    both = _both(leaves.first, leaves.second)
    if leaves.why:
        yield f"{alone} nobody can say from {leaves.clock} on how far {both} are apart: {leaves.why}."
    else:
        yield f"{alone} the tolerance is kept until {leaves.clock}: {both}."
    if not plan.possible:
        yield "No rounds of jams outside of takes hold the day."
    else:
        rounds = counted(len(plan.rounds), "round")
        behind = " after it" if after else ""
        yield f"{rounds} of jams{behind} would do: {'; '.join(map(_round, plan.rounds))}."
    if plan.added:
        more = counted(len(plan.added), "more round")
        yield f"With the jams as written kept, {more} would do: {'; '.join(map(_round, plan.added))}."
    yield from _accuracies(plan.needed)


def _first_jam(plan: JamPlan) -> str:
    """The jam after which rounds are planned; nothing where there is none."""
    if plan.logged:
        return f"the last jam of the log ({plan.morning})"
    if not plan.jams:
        return ""
    return f"the first jam ({plan.morning})" if plan.morning == plan.jams[0] else f"the jams up to {plan.morning}"


def _as_written(plan: JamPlan) -> str:
    if plan.granted and not plan.jams:
        return "The days tell of no jam."
    if plan.granted:
        return "The days tell of no jam; one at each call is taken for granted."
    verdict = "hold" if plan.holds else "do not hold"
    return f"The jams as written ({listed(plan.jams, limit=12)}) {verdict}."


def _round(each: JamRound) -> str:
    """A round of jams: when, by when, and who by a lead because their link is lost."""
    where = f"in the break of {each.in_break}" if each.in_break else f"at {each.clock}, in working time"
    if each.in_break and not each.in_break.startswith(each.clock):
        where += f", from {each.clock} on"
    leads = listed(f"{one} from {other}" for one, other in each.by_lead)
    who = f" ({'and ' if each.others else ''}{leads} by a lead)" if leads else ""
    return f"{where}, by {each.by}{who}" if each.by else f"{where}{who}"


def _accuracies(needed: Sequence[Needed]) -> Iterator[str]:
    """What accuracy of one device would spare all jams but the first."""
    able = [each for each in needed if each.ppm is not None]
    unable = [each.device for each in needed if each.ppm is None]
    for each in able:
        now = f" (now {words.ppm(each.now)})" if each.now is not None else ""
        if each.ppm is not None:
            accuracy = words.needed_ppm(each.ppm)
            yield f"All others as they are, {each.device} at {accuracy}{now} would need none of them."
    if unable and not able:
        yield f"No accuracy of one device alone would do: of none of {listed(unable)}."
    elif unable:
        yield f"No accuracy of {' or of '.join(unable[:MOST_NAMED])} alone would do."


def _phases(drift: Drift) -> Iterator[str]:
    for each in drift.phases:
        odds = words.odds(each.odds)
        good = "no reference holds the frames, so a label is good to a frame whatever the clocks do"
        yield f"{named(each.devices)}: {good}; odds of one a frame off at the worst moment: {odds}."
    if drift.wants_reference:
        yield "A tolerance under half a frame asks for a reference: genlock these cameras."


def _measured(each: MeasuredRate) -> str:
    interval = f"{words.ppm(each.low, signed=True)} to {words.ppm(each.high, signed=True)}"
    sure = f"{interval} with 95 % confidence, {counted(each.readings, 'reading')}"
    told = f"{each.device} against {each.against}: {words.ppm(each.rate, signed=True)} ({sure})"
    if each.stated is not None:
        low, high = (words.ppm(rate, signed=True) for rate in each.stated)
        lies = "is outside" if each.outside else "is within" if each.inside else "may be within"
        told += f"; stated {low} to {high}, and it {lies}"
    return "; ".join([told, *each.off])
