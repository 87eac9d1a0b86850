"""What a check comes to: the Report of one file, which every reporter is given."""

from __future__ import annotations

from dataclasses import dataclass, field

from synclint.drift.values import Drift
from synclint.findings import CheckLine, Finding, Level, Unjudged
from synclint.overview import Overview


@dataclass(frozen=True, slots=True)
class Waived:
    """A finding that the setup accepts, with its reason."""

    finding: Finding
    why: str
    by: str
    until: str


@dataclass(frozen=True, slots=True)
class Crash:
    """A fault of the program; told with exit status 2, never swallowed."""

    rule: str
    """The rule that failed, or empty where it was something else, and the whole file could not be checked."""
    error: str
    trace: str = field(compare=False)


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
    drift: Drift | None = None
    """How far apart the devices are through the days, where that was asked for and can be told."""
    could_not_check: bool = False
    """Whether the program could not do its work on this file (no such file, not YAML): exit status 2."""
    held_back: str = ""
    """Why the rules did not run, as it follows on "for"; empty where they did."""
    digest: str = ""
    """Of the texts of a setup, its kits and its log: sixteen hexadecimal digits that change with any of them."""
    kits: tuple[str, ...] = ()
    """The paths of the kits that the setup names, read or not."""
    log: str = ""
    """The path of the log that it was checked with, read or not; empty where none was given."""

    @property
    def rules_held_back(self) -> bool:
        """Whether the rules did not run."""
        return bool(self.held_back)

    def count(self, level: Level) -> int:
        """How many findings of a level it has."""
        return sum(finding.level is level for finding in self.findings)
