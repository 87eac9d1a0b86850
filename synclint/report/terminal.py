"""The report for a person at a desk, from the verdict down to what was looked at."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import TextIO

from synclint.findings import Finding, Level, listed
from synclint.merging import in_order
from synclint.report import day, drawings, endnotes, words
from synclint.report.page import BAD, DOUBTFUL, GOOD, HEADING, MILD, PLAIN, QUIET, Page, padded, wide
from synclint.report.words import clipped, counted, named, one_line
from synclint.result import Crash, Report

MOST_FINDINGS = 200
MOST_OF_A_RULE = 25
MOST_PLACES = 5
MOST_SOURCES = 3
LONGEST_SENTENCE = 1000

LEVEL_STYLES = {Level.ERROR: BAD, Level.WARNING: DOUBTFUL, Level.NOTE: MILD}
_LABEL = 13
"""Columns before the text of a finding: its number and the word that says what the text is."""


def write(reports: Sequence[Report], stream: TextIO, *, show: Level, color: str, skipped: int) -> None:
    """Write the reports, and where there are several a line on each at the end."""
    page = Page(stream, color=color)
    several = len(reports) > 1
    for report in reports:
        if not several or _has_something_to_say(report):
            page.gap()
            write_file(page, report, show)
    if several:
        _write_summaries(page, reports)
    if skipped:
        page.gap()
        files = counted(skipped, "file")
        page.line((f"{files} in the folders left out, for want of a suffix that says what kind it is.", QUIET))


def _has_something_to_say(report: Report) -> bool:
    """Whether it takes more than its line in the summary to say what a file is like."""
    return bool(report.findings or report.crashes or report.could_not_check or report.rules_held_back)


def write_file(page: Page, report: Report, show: Level) -> None:
    """All that is to be told of one file."""
    if report.could_not_check:
        _write_unchecked(page, report)
        return
    _write_verdict(page, report)
    if report.overview:
        drawings.write_rates(page, report.overview.rates)
        drawings.write_trees(page, report.overview)
        day.write_day(page, report.overview)
    _write_findings(page, report, show)
    for section in endnotes.sections(report):
        page.heading(section.title)
        for mark, text in section.entries:
            page.paragraph((text, PLAIN), lead=[(f"  {mark}", PLAIN)])


def _write_unchecked(page: Page, report: Report) -> None:
    """Why a file could not be checked and what to do about it; there is no rig to speak of."""
    for finding in report.findings:
        page.paragraph((f"{words.file_words(finding.at)}: ", HEADING), (_told(finding.sentence), BAD), lead=(), hang=2)
        if finding.fix_sentence:
            page.paragraph((_told(finding.fix_sentence), PLAIN), lead=[("  fix  ", QUIET)])
    for crash in report.crashes:
        fault = f"{_error(crash)}. That is a fault of synclint, and not of the file."
        page.paragraph((f"{words.file_name(report.file)}: ", HEADING), (fault, BAD), lead=(), hang=2)


def _error(crash: Crash) -> str:
    return clipped(one_line(crash.error), 300)


# --- the verdict -----------------------------------------------------------------------------------------------


def _write_verdict(page: Page, report: Report) -> None:
    title = one_line(clipped(report.overview.title, 200)) if report.overview else ""
    page.paragraph((words.file_name(report.file), HEADING), (f"  {title}", PLAIN), lead=(), hang=2)
    page.gap()
    verdict = words.verdict(report)
    style = LEVEL_STYLES[verdict.level] if verdict.level else GOOD
    page.paragraph((verdict.says, style), (f": {words.tally(report)}.", PLAIN))
    if verdict.worst:
        page.paragraph(("The worst: ", QUIET), (_told(verdict.worst), PLAIN))
    if report.rules_held_back:
        page.paragraph((f"The rules did not run, for {report.held_back}. Mend that first.", PLAIN))
    for crash in report.crashes:
        fault = f"The rule {crash.rule} failed ({_error(crash)}). That is a fault of synclint; the other rules ran."
        page.paragraph((fault, BAD))


def _told(sentence: str) -> str:
    return words.sentence(clipped(sentence, LONGEST_SENTENCE))


# --- the findings ----------------------------------------------------------------------------------------------


def _write_findings(page: Page, report: Report, show: Level) -> None:
    """The findings under the headings of the work; numbers are the same whatever `show` leaves out."""
    every = list(enumerate(in_order(report.findings), 1))
    told = [(number, finding) for number, finding in every if finding.level.rank <= show.rank]
    printed, left_out = _bounded(told)
    for hurts, group in groupby(printed, key=lambda each: each[1].record.hurts):
        page.heading(words.HEADINGS[hurts])
        for mended, findings in groupby(group, key=lambda each: each[1].mended):
            page.gap()
            page.line((f"  {words.MENDED[mended]}", HEADING))
            for number, finding in findings:
                page.gap()
                _write_finding(page, number, finding)
    for rule, count in left_out.items():
        page.gap()
        page.paragraph((f"and {count} more of {rule}; --report json has them all", QUIET))
    if len(told) < len(every):
        page.gap()
        milder = counted(len(every) - len(told), "milder finding")
        page.paragraph((f"{milder} not shown, by your --show {show.value}.", QUIET))


def _bounded(told: Sequence[tuple[int, Finding]]) -> tuple[list[tuple[int, Finding]], dict[str, int]]:
    """As many findings as one can read, and how many of each rule are left out."""
    printed: list[tuple[int, Finding]] = []
    of_rule: dict[str, int] = {}
    left_out: dict[str, int] = {}
    for number, finding in told:
        of_rule[finding.rule] = of_rule.get(finding.rule, 0) + 1
        if len(printed) < MOST_FINDINGS and of_rule[finding.rule] <= MOST_OF_A_RULE:
            printed.append((number, finding))
        else:
            left_out[finding.rule] = left_out.get(finding.rule, 0) + 1
    return printed, left_out


def _write_finding(page: Page, number: int, finding: Finding) -> None:
    level = finding.level
    label = f"{number:>4} {level.value.upper():>{_LABEL - 5}}  "
    page.paragraph((_told(finding.sentence), HEADING), lead=[(label, LEVEL_STYLES[level])])
    for word, text, style in _particulars(finding):
        page.paragraph((text, style), lead=[(f"{word:>{_LABEL}}  ", QUIET)])


def _particulars(finding: Finding) -> Iterator[tuple[str, str, str]]:
    """What is said of a finding below its sentence: the word before it, the text and its style."""
    yield "where", _where(finding), PLAIN
    if finding.cost_sentence:
        yield "costs", _told(finding.cost_sentence), PLAIN
    if finding.fix_sentence:
        yield "fix", _told(finding.fix_sentence), PLAIN
    if len(finding.who) > 6:  # the sentence has named the first of them
        yield "devices", named(finding.who, limit=40), PLAIN
    for number, mention in enumerate(finding.also[:MOST_PLACES]):
        says = f"  {one_line(clipped(mention.says, 300))}" if mention.says else ""
        yield "" if number else "also", f"{words.file_words(mention.place)}{says}", PLAIN
    if len(finding.also) > MOST_PLACES:
        yield "", f"and {counted(len(finding.also) - MOST_PLACES, 'place')} more", PLAIN
    if finding.assumptions:
        yield "assumes", _assumptions(finding), QUIET
    yield "rule", f"{finding.rule}: {_sources(finding)}", QUIET


def _where(finding: Finding) -> str:
    place = " · ".join(words.place_words(finding.at.path))
    return f"{words.file_words(finding.at)}  {place}"


def _assumptions(finding: Finding) -> str:
    facts = [
        words.aside(" · ".join(words.place_words(fact.place.path)), one_line(fact.why)) if fact.why else str(fact.place)
        for fact in finding.assumptions
    ]
    decided = any(fact.assumed for fact in finding.decided_by)
    cap = "; so at most a warning" if decided else ""
    return f"{clipped('; '.join(facts[:MOST_PLACES]), 600)}{_more(facts, MOST_PLACES)}{cap}"


def _sources(finding: Finding) -> str:
    sources = [words.source_words(source) for source in finding.record.sources]
    return "; ".join(sources[:MOST_SOURCES]) + _more(sources, MOST_SOURCES)


def _more(every: Sequence[object], most: int) -> str:
    return f" and {len(every) - most} more" if len(every) > most else ""


# --- several files ---------------------------------------------------------------------------------------------


def _write_summaries(page: Page, reports: Sequence[Report]) -> None:
    names = [words.file_name(report.file) for report in reports]
    column = min(max(map(wide, names)), max((page.width or 200) - 56, 22))
    page.heading("All files")
    for report, name in zip(reports, names, strict=True):
        verdict = words.verdict(report)
        style = LEVEL_STYLES[verdict.level] if verdict.level else PLAIN
        if wide(name) > column:
            page.line((f"  {name}", PLAIN))
            name = ""  # noqa: PLW2901 - it has a line of its own
        page.paragraph((_summary(report), style), lead=[(f"  {padded(name, column)}  ", PLAIN)])


def _summary(report: Report) -> str:
    """A file in a few words: the verdict and what it rests on."""
    says = words.verdict(report).says
    found = listed(counted(report.count(level), level.value) for level in Level if report.count(level))
    rest = [
        counted(len(report.accepted), "accepted", "accepted") if report.accepted else "",
        counted(len(report.unjudged), "not judged", "not judged") if report.unjudged else "",
        counted(len(report.crashes), "fault of synclint", "faults of synclint") if report.crashes else "",
    ]
    nothing = "" if report.could_not_check else ": nothing found"
    return "; ".join([f"{says}: {found}" if found else f"{says}{nothing}", *filter(None, rest)])
