"""Which files are meant by what was typed, which must never be written to, and how a file is replaced whole."""

from __future__ import annotations

import contextlib
import os
import re
import stat
import sys
import tempfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from synclint.documents.reading import identity
from synclint.findings import STDIN

SUFFIXES = (".setup.yaml", ".setup.yml", ".kit.yaml", ".kit.yml")
"""The ends of the names that are read in folders; the word before `.yaml` is the kind of document."""
_DOCUMENT = re.compile(r".*\.(setup|kit|log|house)\.ya?ml", re.IGNORECASE | re.DOTALL)


# --- reading ---------------------------------------------------------------------------------------------------


@dataclass
class Chosen:
    """The files to check, how many in the folders are left out, and what is wrong with folders that were named."""

    files: list[str] = field(default_factory=list)
    skipped: int = 0
    problems: list[str] = field(default_factory=list)
    """What to say of folders that hold nothing to check or may not be read."""


def chosen(paths: Iterable[str]) -> Chosen:
    """The files that paths mean: files as they are, folders by the suffixes in them; each file once, however named."""
    found = Chosen()
    taken: dict[object, str] = {}
    passed: set[object] = set()
    for path in paths:
        if path == STDIN or not os.path.isdir(path):  # noqa: PTH112 - a Path makes the current folder of an empty name
            taken.setdefault(path if path == STDIN else identity(path), path)
            continue
        refused: list[OSError] = []
        inside = list(_inside(path, refused))
        fitting = [file for file in inside if file.endswith(SUFFIXES)]
        others = [file for file in inside if not file.endswith(SUFFIXES)]
        for file in fitting:
            taken.setdefault(identity(file), file)
        passed.update(map(identity, others))
        found.problems += [f"cannot look into {error.filename or path!r}: {error.strerror}" for error in refused]
        if not fitting and not refused:
            near = next((f"; {file!r} does not" for file in others if file.endswith((".yaml", ".yml"))), "")
            found.problems.append(
                f"there is no setup and no kit in {path!r}; their names end in .setup.yaml and .kit.yaml{near}"
            )
    found.files = list(taken.values())
    found.skipped = len(passed.difference(taken))
    return found


def _inside(folder: str, refused: list[OSError]) -> Iterator[str]:
    """Every file below a folder, in an order that is the same everywhere; what is hidden stays so.

    Folders behind links are not entered, and those that may not be read are added to `refused`.
    """
    for here, folders, files in os.walk(folder, onerror=refused.append):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        yield from (str(Path(here, name)) for name in sorted(files) if not name.startswith("."))


# --- writing ---------------------------------------------------------------------------------------------------


def is_precious(target: str, read: Iterable[str]) -> bool:
    """Whether a file that is there must not be written to: one that was read, or a document by its name."""
    if not os.path.isfile(target):  # noqa: PTH113 - a Path makes the current folder of an empty name
        return False
    names = (target, os.path.realpath(target))
    return any(map(_DOCUMENT.fullmatch, names)) or identity(target) in set(map(identity, read))


def is_stdout(target: str) -> bool:
    """Whether a path leads to where standard output goes already, as `/dev/stdout` does."""
    try:
        return os.path.samestat(os.stat(target), os.fstat(sys.stdout.fileno()))  # noqa: PTH116 - beside fstat
    except (OSError, ValueError, AttributeError):  # no such file, or an output that is no file
        return False


def replace_whole(path: str, text: str) -> None:
    """Put text in a file so that it holds either all of the old text or all of the new; raises OSError.

    The permissions of a file that is there stay. A link stays a link. What is no ordinary file (a pipe, a terminal)
    is written to.
    """
    try:
        mode = Path(path).stat().st_mode  # before links are followed: those below /dev lead to no path
    except FileNotFoundError:
        mode = None
    if mode is not None and not stat.S_ISREG(mode):
        with Path(path).open("w", encoding="utf-8", newline="\n") as stream:
            stream.write(text)
        return
    target = Path(os.path.realpath(path))
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
