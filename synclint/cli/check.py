"""`synclint check`: reads setups and kits and reports what will not line up."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from synclint.cli.common import FAILED, FOUND, SOUND, Parser, UsageError, say, unknown_rule
from synclint.cli.reporting import print_traces, spare, targets_of, with_progress, write_report
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
  synclint check day4.setup.yaml --log day4.log.yaml
  synclint check day4.setup.yaml --report terminal --report json=day4.json
  cat day4.setup.yaml | synclint check - --show warning --color never
"""
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
    add("--log", metavar="LOG", help="a log of the day (*.log.yaml): what was jammed and what comparisons showed")
    add("--only", action="append", default=[], metavar="RULE,RULE", help="run these rules and no others")
    add("--except", action="append", default=[], metavar="RULE,RULE", dest="without", help="run all but these rules")
    add(
        "--today",
        type=_day,
        metavar="YYYY-MM-DD",
        help="the day on which kits by themselves and setups without a dated day are judged; others on their last day",
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

    targets = targets_of(arguments.report, REPORTERS)
    only, without = _rules("--only", arguments.only), _rules("--except", arguments.without)
    if only and not only - without:
        raise UsageError("--only and --except together leave no rule to run")
    files = chosen(arguments.paths)
    if arguments.log is not None and len(files.files) != 1:
        raise UsageError("--log goes with one setup; check the others by themselves")
    spare(targets, [*files.files, *([arguments.log] if arguments.log else [])])
    for problem in files.problems:
        say(problem)
    choice = Choice(only=only, without=without, today=arguments.today, log=arguments.log, drift=_tells_drift(targets))
    reports = list(with_progress(check_all(files.files, choice), len(files.files)))
    spare(targets, [kit for report in reports for kit in report.kits])
    if any(form == "terminal" for form, _ in targets):
        print_traces(reports)
    statuses = [FAILED if files.problems else SOUND, *(_status(report, arguments.fail_at) for report in reports)]
    if reports:
        statuses += [write_report(reports, REPORTERS[form], file, arguments, files.skipped) for form, file in targets]
    return max(statuses)


def _tells_drift(targets: Iterable[tuple[str, str]]) -> bool:
    """Whether a report is asked for that has drift in it."""
    return any(form == "json" for form, _ in targets)


def _status(report: Report, fail_at: str) -> int:
    """The exit status that one file asks for."""
    if report.could_not_check or report.crashes:
        return FAILED
    if fail_at == "never":
        return SOUND
    return FOUND if any(LEVELS.index(each.level.value) <= LEVELS.index(fail_at) for each in report.findings) else SOUND


# --- what was asked for ----------------------------------------------------------------------------------------


def _rules(option: str, asked: Sequence[str]) -> frozenset[str]:
    """The rules that were named, all of which exist."""
    names = frozenset(name.strip() for word in asked for name in word.split(",") if name.strip())
    if asked and not names:
        raise UsageError(f"{option} names no rule; `synclint rules` lists them")
    if names:
        from synclint.records import RECORDS
        from synclint.rules.catalogue import RULES

        known = [rule.name for rule in RULES]
        for name in sorted(names.difference(known)):
            if name in RECORDS:
                raise UsageError(f"{name} is a problem of a file; those are always told, and {option} takes rules")
            raise unknown_rule(name, known)
    return names
