"""The reporters: each takes reports and a stream, and knows nothing of rules.

A new form is one module with a `write` of the shape of `Reporter` and one line in `REPORTERS`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from importlib import import_module
from types import MappingProxyType
from typing import TYPE_CHECKING, Protocol, TextIO

if TYPE_CHECKING:  # knowing the names of the forms is to be cheap
    from synclint.findings import Level
    from synclint.result import Report


class Reporter(Protocol):
    """Writes reports in one form."""

    def __call__(self, reports: Sequence[Report], stream: TextIO, *, show: Level, color: str, skipped: int) -> None:
        """Write the reports; `show` is the mildest level that is printed, `color` is auto, always or never."""


def _of(module: str) -> Reporter:
    """The reporter of a module that is imported when it first writes, so that starting loads no library for it."""

    def write(reports: Sequence[Report], stream: TextIO, *, show: Level, color: str, skipped: int) -> None:
        late: Reporter = import_module(module).write
        late(reports, stream, show=show, color=color, skipped=skipped)

    return write


REPORTERS: Mapping[str, Reporter] = MappingProxyType(
    {
        "terminal": _of("synclint.report.terminal"),
        "json": _of("synclint.report.json_report"),
    }
)
"""Every form a report can take, by the name that `--report` knows it by."""

DRIFT_REPORTERS: Mapping[str, Reporter] = MappingProxyType(
    {
        "terminal": _of("synclint.report.drift"),
        "json": _of("synclint.report.json_report"),
    }
)
"""Every form in which drift can be told."""
