"""What the commands share: exit statuses, usage errors that show the way, and what they print."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Collection, Iterable
from typing import NoReturn

SOUND, FOUND, FAILED, INTERRUPTED = 0, 1, 2, 130
"""Exit statuses: nothing found, something found, the program could not do its work, stopped from the keyboard."""


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
        self.exit(FAILED, f"synclint: {message}\n{self.advice}")

    @property
    def advice(self) -> str:
        """An example of what would be right, and where there are more."""
        example = f"  for example: {self.first_example}\n" if self.first_example else ""
        return f"{example}  more of them: {self.prog} --help\n"


def say(message: str) -> None:
    """A message to the person, apart from what is printed for the next program."""
    if sys.stderr is not None:
        print(f"synclint: {message}", file=sys.stderr)


def let_go_of_stdout() -> None:
    """Send what is left of standard output nowhere, so that the interpreter does not complain when it ends."""
    try:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except (OSError, ValueError, AttributeError):
        sys.stdout = None  # as the interpreter has it where there is none


def nearest(word: str, known: Iterable[str]) -> str:
    """The known word that is most like a mistyped one, as a question, or nothing."""
    from difflib import get_close_matches

    found = get_close_matches(word, list(known), 1, 0.5)
    return f"; did you mean {found[0]}?" if found else ""


def unknown_rule(name: str, known: Collection[str]) -> UsageError:
    """The error for a rule that does not exist."""
    return UsageError(f"there is no rule {name!r}{nearest(name, known) or '; `synclint rules` lists them'}")
