"""What the commands share: exit statuses, usage errors that show the way, and what they print."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Collection, Iterable
from typing import NoReturn

SOUND, FOUND, FAILED = 0, 1, 2
"""Exit statuses: nothing found, something found, the program could not do its work."""


class UsageError(Exception):
    """What was asked for cannot be done as it was asked; the message says what can."""


class Parser(argparse.ArgumentParser):
    """A parser whose errors come with an example, and whose examples keep their lines."""

    def __init__(self, *, examples: str = "", **options: object) -> None:
        epilog = f"examples:\n{examples}" if examples else None
        super().__init__(
            **{"formatter_class": argparse.RawDescriptionHelpFormatter, "allow_abbrev": False, "epilog": epilog}
            | options,  # type: ignore[arg-type]
        )
        self.first_example = examples.partition("\n")[0].strip().partition("   ")[0]  # without what it is for

    def error(self, message: str) -> NoReturn:
        """Say what is wrong and what would be right, and exit with status 2."""
        self.exit(FAILED, f"synclint: {printable(message)}\n{self.advice}")

    @property
    def advice(self) -> str:
        """An example of what would be right, and where there are more."""
        example = f"  for example: {self.first_example}\n" if self.first_example else ""
        return f"{example}  more of them: {self.prog} --help\n"


def printable(text: str) -> str:
    """The text with what a terminal would obey or could not show written out."""
    return "".join(each if each.isprintable() else each.encode("unicode_escape").decode("ascii") for each in text)


def say(message: str) -> None:
    """A message to the person, apart from what is printed for the next program."""
    if sys.stderr is not None:
        print(f"synclint: {printable(message)}", file=sys.stderr)


def let_go_of_stdout() -> None:
    """Send what is left of standard output nowhere, so that the interpreter does not complain when it ends."""
    try:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except (OSError, ValueError, AttributeError):
        sys.stdout = None  # as the interpreter has it where there is none


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """The known word that is most like a mistyped one, as a question, or nothing."""
    from synclint.documents.nearest import nearest

    found = nearest(word, known)
    return f"; did you mean {found}?" if found else ""


def unknown_rule(name: str, known: Collection[str]) -> UsageError:
    """The error for a rule that does not exist."""
    return UsageError(f"there is no rule {name!r}{did_you_mean(name, known) or '; `synclint rules` lists them'}")
