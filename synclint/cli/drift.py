"""`synclint drift`: how far apart the devices are through the days, when to jam again, and a picture of it."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, TextIO

from synclint.cli.common import FAILED, FOUND, SOUND, Parser, UsageError, say
from synclint.cli.reporting import print_traces, put, spare, targets_of, with_progress, write_report
from synclint.report import DRIFT_REPORTERS

if TYPE_CHECKING:  # starting is to be cheap: `--help` needs none of this
    from synclint.result import Report

SUMMARY = "say how far apart the devices drift, and when to jam again"
DESCRIPTION = """\
Says how far apart the devices of a setup may be at worst: each against the master at every event
of the days, the worst pairs, what is added inside takes, whether the jams as written hold the
tolerance, the fewest that would, and by when each must be done. With a log of the day it goes on
from what was jammed and measured. The picture shows the same over the clock.
"""
EXAMPLES = """\
  synclint drift day4.setup.yaml
  synclint drift day4.setup.yaml --picture day4_drift.svg
  synclint drift day4.setup.yaml --log day4.log.yaml
  synclint drift day4.setup.yaml day5.setup.yaml --report json=drift.json
  synclint drift - < day4.setup.yaml

exit status:
  0 the tolerance holds, 1 it is left, or a file is at fault, 2 the program could not do its work
"""


def add_arguments(parser: Parser) -> None:
    """Add what `drift` takes."""
    add = parser.add_argument
    add("paths", nargs="+", metavar="SETUP", help="a setup, a folder of them, or - for standard input")
    add("--log", metavar="LOG", help="a log of the day (*.log.yaml): what was jammed and what comparisons showed")
    add("--picture", metavar="FILE", help="draw the drift over the clock to FILE (SVG); of one setup")
    add(
        "--report",
        action="append",
        default=[],
        metavar="FORMAT[=FILE]",
        help=f"{', '.join(DRIFT_REPORTERS)}; to FILE, or printed (default: terminal); may be given several times",
    )
    add("--color", choices=["auto", "always", "never"], default="auto", help="colour (default: on a terminal)")


def run(arguments: argparse.Namespace) -> int:
    """Forecast the drift of all that was named, write what was asked for, and return the exit status."""
    from synclint.checker import Choice, check_all
    from synclint.cli.files import chosen

    targets = targets_of(arguments.report, DRIFT_REPORTERS)
    written = [*targets, *([("picture", arguments.picture)] if arguments.picture else [])]
    if arguments.picture is not None:
        _one_place(targets, arguments.picture)
    files = chosen(arguments.paths)
    setups = [file for file in files.files if file in arguments.paths or not file.endswith((".kit.yaml", ".kit.yml"))]
    for option, value in (("--log", arguments.log), ("--picture", arguments.picture)):
        if value is not None and len(setups) != 1:
            raise UsageError(f"{option} goes with one setup; take the others by themselves")
    spare(written, [*setups, *([arguments.log] if arguments.log else [])])
    for problem in files.problems:
        say(problem)
    choice = Choice(log=arguments.log, drift=True)
    reports = list(with_progress(check_all(setups, choice), len(setups)))
    spare(written, [kit for report in reports for kit in report.kits])
    print_traces(reports)
    statuses = [FAILED if files.problems else SOUND, *map(_status, reports)]
    if reports:
        statuses += [write_report(reports, DRIFT_REPORTERS[form], file, arguments) for form, file in targets]
        statuses += [_draw(report, arguments.picture) for report in reports if arguments.picture is not None]
    return max(statuses)


def _one_place(targets: list[tuple[str, str]], picture: str) -> None:
    """Refuse a picture that is to go where a report goes, or nowhere."""
    import os

    if not picture:
        raise UsageError("--picture names no file; write --picture drift.svg")
    places = [file if file == "-" else os.path.realpath(file) for _, file in targets]
    if (picture if picture == "-" else os.path.realpath(picture)) in places:
        raise UsageError("the picture and a report cannot both go to one place; write --report FORMAT=FILE")


def _status(report: Report) -> int:
    """The exit status that one file asks for."""
    if report.could_not_check or report.crashes:
        return FAILED
    if report.kind == "kit":
        say(f"{report.file} is a kit; drift is of a setup and its days")
        return FAILED
    return SOUND if report.drift is not None and report.drift.holds else FOUND


def _draw(report: Report, file: str) -> int:
    """Draw the picture of one setup; there is none where its files are at fault, which the report tells."""
    from synclint.sheet.drift_picture import draw

    drift = report.drift
    if drift is None:
        say(f"no picture is drawn, for the drift of {report.file} cannot be told")
        return FOUND

    def write(stream: TextIO) -> None:
        stream.write(draw(drift))

    return put(file, write)
