"""`synclint explain`: the page of one rule."""

from __future__ import annotations

import argparse

from synclint.cli.common import SOUND, Parser, unknown_rule

SUMMARY = "print the page of a rule: why it matters, what it rests on, two small setups"
DESCRIPTION = """\
Prints the page of a rule: what it finds, whom that hurts, where it is mended, why it matters,
what it rests on and how far that was confirmed, a setup that breaks it and one that does not.
"""
EXAMPLES = """\
  synclint explain two-timecode-masters
  synclint explain unknown-key
  synclint explain timecode-loop | less
"""


def add_arguments(parser: Parser) -> None:
    """Add what `explain` takes."""
    parser.add_argument("rule", metavar="RULE", help="the name of a rule, as findings give it")


def run(arguments: argparse.Namespace) -> int:
    """Print the page."""
    from synclint.cli.pages import text_page
    from synclint.records import RECORDS

    if arguments.rule not in RECORDS:
        raise unknown_rule(arguments.rule, RECORDS)
    print(text_page(RECORDS[arguments.rule]), end="")
    return SOUND
