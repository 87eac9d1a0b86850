"""The program: which command is meant, and with what status it ends."""

from __future__ import annotations

import contextlib
import os
import shlex
import sys

from synclint import __version__
from synclint.cli import check, drift, explain, rules, schema, sheet
from synclint.cli.common import FAILED, SOUND, Parser, UsageError, did_you_mean, let_go_of_stdout, say

COMMANDS = {"check": check, "drift": drift, "sheet": sheet, "explain": explain, "rules": rules, "schema": schema}

DESCRIPTION = """\
Checks the timecode and sync of a film shoot's rig on paper, before anyone pulls a cable:
what will not line up, what that costs on the day, and how to mend it.
"""
EXAMPLES = """\
  synclint check day4.setup.yaml               read a setup and say what will not line up
  synclint check setups/ --report json=out.json
  synclint drift day4.setup.yaml               how far the devices drift, and when to jam again
  synclint sheet day4.setup.yaml --output day4.html
  synclint explain two-timecode-masters        what a rule is about, with two small setups
  synclint rules                               all rules, one a line
  synclint schema setup > setup.schema.json    for an editor that completes and explains

exit status:
  0 nothing found, 1 something found, 2 the program could not do its work, 130 interrupted
"""


def run(argv: list[str]) -> int:
    """Run a command and return the exit status."""
    with contextlib.suppress(AttributeError, ValueError):  # a stream that is missing or closed
        sys.stdout.reconfigure(errors="backslashreplace")  # type: ignore[union-attr] # what it cannot say it spells
    try:
        status = _run(argv)
        if sys.stdout is not None:
            sys.stdout.flush()
    except BrokenPipeError:
        let_go_of_stdout()
        return SOUND
    except OSError as error:
        say(f"cannot go on: {error}")
        let_go_of_stdout()
        return FAILED
    except Exception:  # noqa: BLE001 - whatever else goes wrong is ours, and is told as such
        say("this is a fault of synclint and not of your file:")
        _print_trace()
        return FAILED
    return status


def _print_trace() -> None:
    """What a person who mends the program needs to see."""
    import traceback

    traceback.print_exc()


def _run(argv: list[str]) -> int:
    parser = _parser()
    try:
        _turn_back_strangers(argv, parser)
        arguments = parser.parse_args(argv)
    except SystemExit as stop:
        return stop.code if isinstance(stop.code, int) else SOUND
    try:
        status: int = arguments.run(arguments)
    except UsageError as error:
        say(str(error))
        return FAILED
    return status


def _turn_back_strangers(argv: list[str], parser: Parser) -> None:
    """Say what is meant where the first word is no command; argparse would list them all and guess nothing."""
    first = argv[0] if argv else ""
    if first in COMMANDS or first in {"--help", "-h", "--version"}:
        return
    if not first:
        parser.error("which command?")
    if first.endswith((".yaml", ".yml")) or os.path.exists(first):  # noqa: PTH110 - pathlib would slow the start
        parser.error(f"{first!r} is no command; did you mean `synclint check {shlex.quote(first)}`?")
    if first.startswith("-"):
        parser.error(f"{first!r} comes after a command")
    known = ", ".join(COMMANDS)
    parser.error(f"there is no command {first!r}{did_you_mean(first, COMMANDS) or f'; the commands are {known}'}")


def _parser() -> Parser:
    parser = Parser(prog="synclint", description=DESCRIPTION, examples=EXAMPLES)
    parser.add_argument("--version", action="version", version=f"synclint {__version__}")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True, parser_class=Parser)
    for name, command in COMMANDS.items():
        own = commands.add_parser(
            name, help=command.SUMMARY, description=command.DESCRIPTION, examples=command.EXAMPLES
        )
        command.add_arguments(own)
        own.set_defaults(run=command.run)
    return parser
