"""What a check comes to: the Report of one file, which every reporter is given."""

from __future__ import annotations

from dataclasses import dataclass

from synclint.findings import CheckLine, Crash, Finding, Level, Unjudged
from synclint.overview import Overview


@dataclass(frozen=True, slots=True)
class Waived:
    """A finding that the setup accepts, with its reason."""

    finding: Finding
    why: str
    by: str
    until: str


@dataclass(frozen=True, slots=True)
class Report:
    """What was found in one file, most pressing first."""

    file: str
    kind: str
    """`setup`, `kit`, or empty where the file could not be read."""
    findings: tuple[Finding, ...] = ()
    accepted: tuple[Waived, ...] = ()
    unjudged: tuple[Unjudged, ...] = ()
    checklist: tuple[CheckLine, ...] = ()
    crashes: tuple[Crash, ...] = ()
    unread_keys: tuple[tuple[str, int], ...] = ()
    """Keys that are read and that no rule judges yet, with how often each is written."""
    overview: Overview | None = None
    could_not_check: bool = False
    """Whether the program could not do its work on this file (no such file, not YAML): exit status 2."""
    rules_held_back: bool = False
    """Whether the rules did not run because names in the file do not resolve."""

    def count(self, level: Level) -> int:
        """How many findings of a level it has."""
        return sum(finding.level is level for finding in self.findings)
