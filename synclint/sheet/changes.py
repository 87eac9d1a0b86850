"""What changed since an earlier version of the setup: in the rig and its days, and among the findings."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from synclint.findings import Finding
from synclint.result import Report
from synclint.rig.compare import Version, compare
from synclint.sheet.build import NOT_SAID, open_finding
from synclint.sheet.values import Change, Open, Since


def since(old: Version, old_report: Report, new: Version, new_report: Report) -> Since:
    """What the newer of two versions of a setup has otherwise, and which findings came, went and stayed."""
    before, after = Counter(map(_key, old_report.findings)), Counter(map(_key, new_report.findings))
    return Since(
        revision=old.setup.revision.value or NOT_SAID,
        digest=old_report.digest,
        changes=tuple(Change(each.where, each.says) for each in compare(old, new)),
        new=_left(new_report.findings, after - before),
        solved=_left(old_report.findings, before - after),
        still=(before & after).total(),
    )


def _key(finding: Finding) -> tuple[str, object]:
    """What a finding is known by in both versions: its rule and devices; where it names none, the path of its place.

    Lines and the places of events in their list move with every edit.
    """
    return (finding.rule, frozenset(finding.who) or finding.at.path)


def _left(findings: Sequence[Finding], wanted: Counter[tuple[str, object]]) -> tuple[Open, ...]:
    """As many findings of each kind as are wanted."""
    return tuple(map(open_finding, _picked(findings, Counter(wanted))))


def _picked(findings: Sequence[Finding], wanted: Counter[tuple[str, object]]) -> Iterable[Finding]:
    for finding in findings:
        if wanted[_key(finding)] > 0:
            wanted[_key(finding)] -= 1
            yield finding
