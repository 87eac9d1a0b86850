"""`synclint schema`: the JSON Schema of a kind of document."""

from __future__ import annotations

import argparse

from synclint.cli.common import SOUND, Parser, UsageError

SUMMARY = "print the JSON Schema of a kind of document, for editors and other programs"
DESCRIPTION = """\
Prints the JSON Schema of a kind of document. An editor that knows it completes keys and words
and explains them while you write; a program checks the JSON report against it.
"""
EXAMPLES = """\
  synclint schema setup > setup.schema.json
  synclint schema kit > kit.schema.json
  synclint schema log > log.schema.json
  synclint schema report
"""
KINDS = ("setup", "kit", "log", "report")


def add_arguments(parser: Parser) -> None:
    """Add what `schema` takes."""
    parser.add_argument("kind", choices=KINDS, metavar="KIND", help="setup, kit, log, or report (the JSON report)")


def run(arguments: argparse.Namespace) -> int:
    """Print the schema."""
    from synclint.documents.where import schema_folder

    try:
        text = (schema_folder() / f"{arguments.kind}-1.schema.json").read_text(encoding="utf-8")
    except FileNotFoundError as error:
        raise UsageError(f"the schema is not installed: {error}") from None
    print(text, end="")
    return SOUND
