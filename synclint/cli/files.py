"""Which files are meant by what was typed, and how a file is replaced whole."""

from __future__ import annotations

import contextlib
import os
import stat
import tempfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

SUFFIXES = (".setup.yaml", ".setup.yml", ".kit.yaml", ".kit.yml")
"""The ends of the names that are read in folders; the word before `.yaml` is the kind of document."""


@dataclass
class Chosen:
    """The files to check, how many in the folders are left out, and the folders in which there are none."""

    files: list[str] = field(default_factory=list)
    skipped: int = 0
    empty: list[str] = field(default_factory=list)


def chosen(paths: Iterable[str]) -> Chosen:
    """The files that paths mean: files as they are, folders by the suffixes in them, each file once."""
    found = Chosen()
    for path in paths:
        if not Path(path).is_dir():
            found.files.append(path)
            continue
        inside = list(_inside(path))
        fitting = [file for file in inside if file.endswith(SUFFIXES)]
        found.files += fitting
        found.skipped += len(inside) - len(fitting)
        if not fitting:
            found.empty.append(path)
    found.files = list(dict.fromkeys(found.files))
    return found


def _inside(folder: str) -> Iterator[str]:
    """Every file below a folder, in an order that is the same everywhere; what is hidden stays so."""
    for here, folders, files in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        yield from (str(Path(here, name)) for name in sorted(files) if not name.startswith("."))


def replace_whole(path: str, text: str) -> None:
    """Put text in a file so that it holds either all of the old text or all of the new; raises OSError.

    The permissions of a file that is there stay. A link stays a link. What is no ordinary file (a pipe, a terminal)
    is written to.
    """
    target = Path(os.path.realpath(path))
    mode = target.stat().st_mode if target.exists() else None
    if mode is not None and not stat.S_ISREG(mode):
        target.write_text(text, encoding="utf-8", newline="\n")
        return
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=".synclint-", suffix=".tmp")
    draft = Path(name)
    try:
        with open(handle, "w", encoding="utf-8", newline="\n") as stream:  # noqa: PTH123 - an open handle has no path
            stream.write(text)
            stream.flush()
            os.fsync(stream.fileno())
        draft.chmod(stat.S_IMODE(mode) if mode is not None else _usual_mode())
        draft.replace(target)
    except BaseException:
        with contextlib.suppress(OSError):
            draft.unlink()
        raise


def _usual_mode() -> int:
    """The permissions that a new file gets here; the mask can only be read by setting it."""
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
