"""`synclint check`: reads setups and kits and reports what will not line up."""

from __future__ import annotations

import argparse
import io
import os
import sys
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from synclint.cli.common import FAILED, FOUND, SOUND, Parser, UsageError, let_go_of_stdout, nearest, say, unknown_rule
from synclint.report import REPORTERS

if TYPE_CHECKING:  # starting is to be cheap: `--help` needs none of this
    from datetime import date

    from synclint.result import Report

SUMMARY = "say what will not line up in a setup, what it costs and how to mend it"
DESCRIPTION = """\
Reads setups and kits and says what will not line up, what that costs on the day and how to mend it.
A folder is read by the names in it (*.setup.yaml, *.kit.yaml); `-` is standard input.
"""
EXAMPLES = """\
  synclint check day4.setup.yaml
  synclint check setups/ kits/ --fail-at error
  synclint check day4.setup.yaml --only two-timecode-masters,timecode-loop
  synclint check day4.setup.yaml --report terminal --report json=day4.json
  cat day4.setup.yaml | synclint check - --show warning --color never
"""
MANY_FILES = 10
"""From so many files on, a terminal is told how far the work is."""

LEVELS = ("error", "warning", "note")
"""The levels of findings, spelt out because starting does not load them; a test holds them to `Level`."""


def add_arguments(parser: Parser) -> None:
    """Add what `check` takes."""
    add = parser.add_argument
    add("paths", nargs="+", metavar="SETUP", help="a setup, a kit, a folder of them, or - for standard input")
    add(
        "--report",
        action="append",
        default=[],
        metavar="FORMAT[=FILE]",
        help=f"{', '.join(REPORTERS)}; to FILE, or printed (default: terminal); may be given several times",
    )
    add(
        "--fail-at",
        choices=[*LEVELS, "never"],
        default="warning",
        help="exit with 1 from this level on (default: %(default)s)",
    )
    add("--show", choices=LEVELS, default="note", help="print findings from this level on (default: %(default)s)")
    add("--only", action="append", default=[], metavar="RULE,RULE", help="run these rules and no others")
    add("--except", action="append", default=[], metavar="RULE,RULE", dest="without", help="run all but these rules")
    add(
        "--today",
        type=_day,
        metavar="YYYY-MM-DD",
        help="the day on which kits by themselves are judged; a setup is judged on its last day",
    )
    add("--color", choices=["auto", "always", "never"], default="auto", help="colour (default: on a terminal)")


def _day(text: str) -> date:
    from datetime import date

    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is no day; a day is written 2026-06-14") from None


def run(arguments: argparse.Namespace) -> int:
    """Check all that was named, write every report that was asked for, and return the exit status."""
    from synclint.checker import Choice, check_all
    from synclint.cli.files import chosen

    targets = _targets(arguments.report)
    only, without = _rules(arguments.only), _rules(arguments.without)
    if only and not only - without:
        raise UsageError("--only and --except together leave no rule to run")
    files = chosen(arguments.paths)
    for folder in files.empty:
        say(f"there is no setup and no kit in {folder!r}; their names end in .setup.yaml and .kit.yaml")
    choice = Choice(only=only, without=without, today=arguments.today)
    reports = list(_with_progress(check_all(files.files, choice), len(files.files)))
    statuses = [FAILED if files.empty else SOUND, *(_status(report, arguments.fail_at) for report in reports)]
    if reports:
        statuses += [_write(reports, form, file, arguments, files.skipped) for form, file in targets]
    return max(statuses)


def _status(report: Report, fail_at: str) -> int:
    """The exit status that one file asks for."""
    if report.could_not_check or report.crashes:
        return FAILED
    if fail_at == "never":
        return SOUND
    return FOUND if any(LEVELS.index(each.level.value) <= LEVELS.index(fail_at) for each in report.findings) else SOUND


# --- what was asked for ----------------------------------------------------------------------------------------


def _targets(asked: Sequence[str]) -> list[tuple[str, str]]:
    """Formats with the files they go to; `-` is standard output."""
    targets = []
    for word in asked or ["terminal"]:
        form, equals, file = word.partition("=")
        if form not in REPORTERS:
            formats = f"the formats are {', '.join(REPORTERS)}"
            raise UsageError(f"there is no report format {form!r}{nearest(form, REPORTERS) or f'; {formats}'}")
        if equals and not file:
            raise UsageError(f"--report {word} names no file; write --report {form}=FILE")
        targets.append((form, file or "-"))
    places = [file if file == "-" else os.path.realpath(file) for _, file in targets]
    for (form, file), place in zip(targets, places, strict=True):
        if places.count(place) > 1:
            where = "standard output" if file == "-" else repr(file)
            raise UsageError(f"two reports cannot both go to {where}; write --report {form}=FILE")
    return targets


def _rules(asked: Iterable[str]) -> frozenset[str]:
    """The rules that were named, all of which exist."""
    names = frozenset(name.strip() for word in asked for name in word.split(",") if name.strip())
    if names:
        from synclint.rules.catalogue import RULES

        known = [rule.name for rule in RULES]
        for name in sorted(names.difference(known)):
            raise unknown_rule(name, known)
    return names


# --- doing it --------------------------------------------------------------------------------------------------


def _with_progress(reports: Iterable[Report], total: int) -> Iterator[Report]:
    """The reports as they come, with a count on standard error where that is a terminal and there are many."""
    told = total >= MANY_FILES and sys.stderr is not None and sys.stderr.isatty()
    for number, report in enumerate(reports, 1):
        if told:
            print(f"\rsynclint: {number} of {total} files", end="", file=sys.stderr, flush=True)
        yield report
    if told:
        print("\r\x1b[K", end="", file=sys.stderr, flush=True)


def _write(reports: Sequence[Report], form: str, file: str, arguments: argparse.Namespace, skipped: int) -> int:
    """Write one report where it belongs and return the exit status that this asks for."""
    from synclint.cli.files import replace_whole
    from synclint.findings import Level

    stream = io.StringIO() if file != "-" else sys.stdout
    if stream is None:  # the program was started without a standard output
        return SOUND
    try:
        REPORTERS[form](reports, stream, show=Level(arguments.show), color=arguments.color, skipped=skipped)
        if isinstance(stream, io.StringIO) and file != "-":
            replace_whole(file, stream.getvalue())
        else:
            stream.flush()
    except BrokenPipeError:  # that the reader has gone away changes nothing in what was found
        let_go_of_stdout()
    except OSError as error:
        say(f"cannot write {'what was found' if file == '-' else repr(file)}: {error.strerror or error}")
        if file == "-":
            let_go_of_stdout()
        return FAILED
    return SOUND
