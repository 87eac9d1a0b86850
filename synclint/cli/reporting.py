"""What commands that report share: which reports are asked for, what they must not overwrite, and writing them."""

from __future__ import annotations

import argparse
import io
import os
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, TextIO

from synclint.cli.common import FAILED, SOUND, UsageError, did_you_mean, let_go_of_stdout, say

if TYPE_CHECKING:  # starting is to be cheap: `--help` needs none of this
    from synclint.report import Reporter
    from synclint.result import Report

MANY_FILES = 10
"""From so many files on, a terminal is told how far the work is."""


def targets_of(asked: Sequence[str], reporters: Mapping[str, Reporter]) -> list[tuple[str, str]]:
    """Formats with the files they go to; `-` is standard output."""
    targets = []
    for word in asked or ["terminal"]:
        form, equals, file = word.partition("=")
        if form not in reporters:
            formats = f"the formats are {', '.join(reporters)}"
            raise UsageError(f"there is no report format {form!r}{did_you_mean(form, reporters) or f'; {formats}'}")
        if equals and not file:
            raise UsageError(f"--report {word} names no file; write --report {form}=FILE")
        targets.append((form, file or "-"))
    places = [file if file == "-" else os.path.realpath(file) for _, file in targets]
    for (form, file), place in zip(targets, places, strict=True):
        if places.count(place) > 1:
            where = "standard output" if file == "-" else repr(file)
            raise UsageError(f"two reports cannot both go to {where}; write --report {form}=FILE")
    return targets


def spare(targets: Iterable[tuple[str, str]], read: Sequence[str]) -> None:
    """Refuse to write a report over a file that was read, or over a document of the user."""
    from synclint.cli.files import is_precious

    for form, file in targets:
        if file != "-" and is_precious(file, read):
            raise UsageError(f"--report {form}={file} would overwrite what you wrote; name another file")


def with_progress(reports: Iterable[Report], total: int) -> Iterator[Report]:
    """The reports as they come, with a count on standard error where that is a terminal and there are many."""
    told = total >= MANY_FILES and sys.stderr is not None and sys.stderr.isatty()
    for number, report in enumerate(reports, 1):
        if told:
            print(f"\rsynclint: {number} of {total} files", end="", file=sys.stderr, flush=True)
        yield report
    if told:
        print("\r\x1b[K", end="", file=sys.stderr, flush=True)


def print_traces(reports: Iterable[Report]) -> None:
    """What a person who mends the program needs to see of its faults."""
    for report in reports:
        for crash in report.crashes:
            say(f"a fault of synclint, {f'in the rule {crash.rule}' if crash.rule else 'outside of any rule'}:")
            for line in crash.trace.splitlines():
                say(f"  {line}")


def write_report(
    reports: Sequence[Report], reporter: Reporter, file: str, arguments: argparse.Namespace, skipped: int = 0
) -> int:
    """Write one report where it belongs and return the exit status that this asks for."""
    from synclint.findings import Level

    show = Level(getattr(arguments, "show", "note"))

    def write(stream: TextIO) -> None:
        reporter(reports, stream, show=show, color=arguments.color, skipped=skipped)

    return put(file, write)


def put(file: str, write: Callable[[TextIO], None]) -> int:
    """Let something be written to a file, which is replaced whole, or to standard output; return the exit status."""
    from synclint.cli.files import is_stdout, replace_whole

    if file != "-" and is_stdout(file):
        file = "-"
    stream = io.StringIO() if file != "-" else sys.stdout
    if stream is None:  # the program was started without a standard output
        return SOUND
    try:
        write(stream)
        if isinstance(stream, io.StringIO) and file != "-":
            replace_whole(file, stream.getvalue())
        else:
            stream.flush()
    except OSError as error:
        if file == "-" and isinstance(error, BrokenPipeError):
            let_go_of_stdout()
            return SOUND  # that the reader has gone away changes nothing in what was found
        say(f"cannot write {'what was found' if file == '-' else repr(file)}: {error.strerror or error}")
        if file == "-":
            let_go_of_stdout()
        return FAILED
    return SOUND
