"""The entrance: it loads the program, and knows what to say where somebody stops it."""

from __future__ import annotations

import sys

INTERRUPTED = 130
"""The exit status of a program that was stopped from the keyboard."""


def main(argv: list[str] | None = None) -> int:
    """Run the program and return the exit status."""
    try:
        from synclint.cli.program import run  # here, so that it may be interrupted while it loads, too

        return run(sys.argv[1:] if argv is None else argv)
    except KeyboardInterrupt:
        if sys.stderr is not None:
            print("synclint: interrupted", file=sys.stderr)
        return INTERRUPTED
