"""`synclint sheet`: the sync sheet of a setup, for whoever holds it on set and in post, and the rig as a picture."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, TextIO

from synclint.cli.common import FAILED, FOUND, SOUND, Parser, UsageError, say
from synclint.cli.reporting import print_traces, put, write_report

if TYPE_CHECKING:  # starting is to be cheap: `--help` needs none of this
    from synclint.checker import Examined
    from synclint.result import Report
    from synclint.rules.framework import Case
    from synclint.sheet.values import Since

SUMMARY = "write the sync sheet for the crew and post, and draw the rig"
DESCRIPTION = """\
Writes the sync sheet of a setup: the five numbers, a line a device, the rig as a picture, cables,
the order of the jams, times, drift, what to do if something happens, what post finds, and what is
open. HTML is one file that opens on a phone without a network, keeps ticks and offsets there, gives
them back as a log, and prints on a page or two; Markdown is text. With errors open it is a draft
and says so.
"""
EXAMPLES = """\
  synclint sheet day4.setup.yaml --output day4.html
  synclint sheet day4.setup.yaml --output day4.md --since day4_revision_b.setup.yaml
  synclint sheet day4.setup.yaml --picture day4_rig.svg
  synclint sheet day4.setup.yaml --log day4.log.yaml --output - --format html > day4.html

exit status:
  0 written, 1 written as a draft, or not written because a file is at fault, 2 it could not be done
"""
FORMATS = {"html": (".html", ".htm"), "markdown": (".md", ".markdown")}


def add_arguments(parser: Parser) -> None:
    """Add what `sheet` takes."""
    add = parser.add_argument
    add("setup", metavar="SETUP", help="a setup, or - for standard input")
    add("--output", metavar="FILE", help="write the sheet to FILE, or to standard output with -")
    add("--format", choices=list(FORMATS), help="of the sheet (default: by the name of FILE, .html or .md)")
    add("--picture", metavar="FILE", help="draw the rig by itself to FILE (SVG)")
    add("--log", metavar="LOG", help="a log of the day (*.log.yaml): what was jammed and what comparisons showed")
    add("--since", metavar="OLD", help="an earlier version of the setup: say what changed since")
    add("--color", choices=["auto", "always", "never"], default="auto", help="colour (default: on a terminal)")


def run(arguments: argparse.Namespace) -> int:
    """Write what was asked for and return the exit status."""
    from synclint.checker import Choice, Kits, examine

    targets = _targets(arguments)
    form = _format(arguments) if arguments.output else ""
    if arguments.setup == arguments.since == "-":
        raise UsageError("the setup and its earlier version cannot both be read from standard input")
    read = [each for each in (arguments.setup, arguments.log, arguments.since) if each]
    _spare(targets, read)
    kits = Kits()
    examined = examine(arguments.setup, Choice(log=arguments.log, drift=form != ""), kits)
    old = examine(arguments.since, Choice(), kits) if arguments.since else None
    every = [examined, *([old] if old is not None else [])]
    _spare(targets, [kit for each in every for kit in each.report.kits])
    print_traces(each.report for each in every)
    case = examined.case
    if case is None or (old is not None and old.case is None):
        return max(_told(each.report, arguments) for each in every if each.case is None)
    if any(each.report.could_not_check for each in every):
        return FAILED
    statuses = [_status(examined.report), FAILED if old is not None and old.report.crashes else SOUND]
    if form:
        statuses.append(_write(examined, case, old, form, arguments.output))
    if arguments.picture:
        statuses.append(_draw(examined.report, case, arguments.picture))
    return max(statuses)


# --- what was asked for ----------------------------------------------------------------------------------------


def _targets(arguments: argparse.Namespace) -> list[tuple[str, str]]:
    """The options that name a file to write, each with its file, which are two files."""
    import os

    named = [("--output", arguments.output), ("--picture", arguments.picture)]
    targets = [(option, file) for option, file in named if file is not None]
    for option, file in targets:
        if not file:
            suffix = ".html" if option == "--output" else ".svg"
            raise UsageError(f"{option} names no file; write {option} day4{suffix}")
    if not targets:
        raise UsageError("where is it to go? --output FILE writes the sheet, --picture FILE the rig alone")
    places = [file if file == "-" else os.path.realpath(file) for _, file in targets]
    if len(set(places)) < len(places):
        raise UsageError("the sheet and the picture cannot both go to one place")
    return targets


def _format(arguments: argparse.Namespace) -> str:
    """The format of the sheet: as said, else by the name of its file."""
    if arguments.format:
        return str(arguments.format)
    name = arguments.output.lower()
    for form, suffixes in FORMATS.items():
        if name.endswith(suffixes):
            return form
    if name == "-":
        return "html"
    raise UsageError(f"the name {arguments.output!r} tells no format; say --format html or --format markdown")


def _spare(targets: Iterable[tuple[str, str]], read: Sequence[str]) -> None:
    """Refuse to write over a file that was read, or over a document of the user."""
    from synclint.cli.files import is_precious

    for option, file in targets:
        if file != "-" and is_precious(file, read):
            raise UsageError(f"{option} {file} would overwrite what you wrote; name another file")


# --- what comes of it ------------------------------------------------------------------------------------------


def _told(report: Report, arguments: argparse.Namespace) -> int:
    """Tell why there is no sheet, as `check` would; return the exit status."""
    from synclint.report import REPORTERS

    if report.kind == "kit" and not report.could_not_check:
        say(f"{report.file} is a kit; a sheet is of a setup and its days")
        return FAILED
    write_report([report], REPORTERS["terminal"], "-", arguments)
    say(f"nothing is written: {report.file} cannot be used as it is")
    return FAILED if report.could_not_check or report.crashes else FOUND


def _status(report: Report) -> int:
    """The exit status that a sheet asks for."""
    from synclint.findings import Level

    if report.crashes:
        return FAILED
    errors = report.count(Level.ERROR)
    if errors:
        are = "1 error is" if errors == 1 else f"{errors} errors are"
        say(f"a draft: {are} open; `synclint check` tells what to do")
    return FOUND if errors else SOUND


def _write(examined: Examined, case: Case, old: Examined | None, form: str, file: str) -> int:
    """Write the sheet of a setup."""
    from synclint.sheet.build import build
    from synclint.sheet.crew import Given

    since = _since(old, examined) if old is not None else None
    sheet = build(Given(case.setup, case.timecode, case.clock, case.run), examined.report, since)

    def write(stream: TextIO) -> None:
        if form == "html":
            from synclint.sheet.html import html

            stream.write(html(sheet))
        else:
            from synclint.sheet.markdown import markdown

            stream.write(markdown(sheet))

    return put(file, write)


def _since(old: Examined, new: Examined) -> Since | None:
    """What changed between two versions that could both be read."""
    from synclint.rig.compare import Version
    from synclint.sheet.changes import since

    if old.case is None or new.case is None or old.root is None or new.root is None:
        return None
    before, after = Version(old.case.setup, old.root), Version(new.case.setup, new.root)
    return since(before, old.report, after, new.report)


def _draw(report: Report, case: Case, file: str) -> int:
    """Draw the rig by itself."""
    from synclint.sheet.rig_picture import rig_picture

    def write(stream: TextIO) -> None:
        stream.write(rig_picture(case.setup, case.timecode, case.clock, report.findings))

    return put(file, write)
