"""What stands after the findings: what to look at on the day, what is accepted, assumed, not judged, and looked at."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from synclint.findings import CheckLine, Unjudged, listed
from synclint.merging import looked_at
from synclint.overview import Assumed
from synclint.report.words import aside, clipped, counted, named, one_line, short
from synclint.result import Report, Waived

MOST_ENTRIES = 60


@dataclass(frozen=True, slots=True)
class Section:
    """A heading and its entries; an entry is a mark before it and its text."""

    title: str
    entries: tuple[tuple[str, str], ...]


def sections(report: Report) -> Iterator[Section]:
    """The sections that have something to say, in order."""
    overview = report.overview
    every = (
        Section("To look at on the day", tuple(_checklist(report.checklist))),
        Section("Accepted", tuple(_accepted(report.accepted))),
        Section("Assumed", tuple(_assumed(overview.assumed if overview else ()))),
        Section("Not judged, for want of a fact", tuple(_unjudged(report.unjudged))),
        Section("Read, and judged by no rule yet", tuple(_unread(report.unread_keys))),
        Section("Looked at", tuple(_looked_at(report))),
    )
    return (Section(section.title, _bounded(section.entries)) for section in every if section.entries)


def _bounded(entries: tuple[tuple[str, str], ...]) -> tuple[tuple[str, str], ...]:
    if len(entries) <= MOST_ENTRIES:
        return entries
    return (*entries[:MOST_ENTRIES], ("", f"and {len(entries) - MOST_ENTRIES} more"))


def _checklist(lines: Sequence[CheckLine]) -> Iterator[tuple[str, str]]:
    for heading, told in looked_at(lines):
        yield "", heading
        yield from (("  [ ] ", clipped(one_line(sentence), 600)) for sentence in told)


def _accepted(accepted: Sequence[Waived]) -> Iterator[tuple[str, str]]:
    for waived in accepted:
        who = f", {named(waived.finding.who)}" if waived.finding.who else ""
        by = f", by {one_line(waived.by)}" if waived.by else ""
        until = f", until {one_line(waived.until)}" if waived.until else ""
        yield "- ", clipped(f"{waived.finding.rule}{who}{by}{until}: {one_line(waived.why)}", 600)


def _assumed(assumed: Sequence[Assumed]) -> Iterator[tuple[str, str]]:
    for fact in assumed:
        yield "- ", clipped(one_line(aside(f"{fact.what} {fact.value}: {named(fact.devices)}", fact.why)), 600)


def _unjudged(unjudged: Sequence[Unjudged]) -> Iterator[tuple[str, str]]:
    """Facts that were lacking, each once, with the devices and the rules that wait for it."""
    lacking: dict[str, list[Unjudged]] = {}
    for each in unjudged:
        lacking.setdefault(each.lacks, []).append(each)
    for lacks, group in lacking.items():
        who = list(dict.fromkeys(name for each in group for name in each.who))
        rules = listed(dict.fromkeys(each.record.name for each in group), limit=4)
        of_whom = f" ({named(who)})" if who else ""
        times = f", {len(group)} times" if len(group) > 1 else ""
        yield "- ", clipped(one_line(f"{lacks}{of_whom}: {rules}{times}"), 600)


def _unread(keys: Sequence[tuple[str, int]]) -> Iterator[tuple[str, str]]:
    if keys:
        words = [f"{short(key, 60)} ({count})" if count > 1 else short(key, 60) for key, count in keys]
        yield "", one_line(listed(words, limit=40))


def _looked_at(report: Report) -> Iterator[tuple[str, str]]:
    if report.overview:
        looked = report.overview.checked
        things = f"{counted(looked.devices, 'device')} and {counted(looked.links, 'link')}"
        yield "", f"{things}, with {counted(looked.rules, 'rule')}"
