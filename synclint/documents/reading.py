"""Files and standard input as text, and text as a document of a known kind."""

from __future__ import annotations

import os
import re
import stat
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Final, NoReturn

from synclint.documents.lines import Lines
from synclint.documents.nearest import nearest
from synclint.documents.nodes import Document, MappingNode, Node, Scalar
from synclint.documents.records import MISSING_KEY, UNREADABLE_FILE, WRONG_VALUE
from synclint.documents.where import KINDS as WITH_SCHEMA
from synclint.documents.yamltree import NotYamlError, parse
from synclint.findings import STDIN, AddKey, Finding, Fix, Place, RenameKey, SetValue, Span, shortened

MAX_BYTES: Final = 4_000_000
KINDS: Final = (*WITH_SCHEMA, "house/1")
"""The kinds of document."""
_BY_THEMSELVES: Final = ("setup/1", "kit/1")
"""Those that are checked by themselves."""


class CannotReadError(Exception):
    """There is no text to be had; `finding` says why."""

    def __init__(self, finding: Finding) -> None:
        """Carry the finding to whoever asked for the text."""
        super().__init__(finding.sentence)
        self.finding = finding


@dataclass(frozen=True, slots=True)
class Loaded:
    """A document, or none where the problems left nothing to go on; and the text it was read from."""

    document: Document | None
    problems: tuple[Finding, ...]
    text: str = ""


# --- text ------------------------------------------------------------------------------------------------------


def identity(path: str | Path) -> object:
    """What tells whether two paths lead to one file, by whatever links; where there is none, the whole path."""
    try:
        status = os.stat(path)  # noqa: PTH116 - a Path would drop what tells `a/` from `a`
    except (OSError, ValueError):
        return os.path.abspath(path)  # noqa: PTH100 - reading it will say what is wrong with it
    return (status.st_dev, status.st_ino)


def read_text(path: str | Path) -> str:
    """The text of a file in UTF-8, without its byte-order mark; raise `CannotReadError` where there is none."""
    name, file = str(path), Path(path)
    if not name:  # which a Path takes for the current folder
        _refuse(name, "this is not the name of a file")
    try:
        # Looked at before it is opened: a pipe would wait for its writer, and opening a device can set it going.
        status = file.stat()
        if stat.S_ISDIR(status.st_mode):
            _refuse(name, "this is a folder, and a file is wanted")
        if not stat.S_ISREG(status.st_mode):
            _refuse(name, "this is a pipe or a device, not a file", "To read what a program prints, give `-`")
        if status.st_size > MAX_BYTES:
            _refuse_size(name)
        with file.open("rb") as stream:
            content = stream.read(MAX_BYTES + 1)
    except (OSError, ValueError) as error:
        _refuse(name, _reason(error), _similar(file) if isinstance(error, FileNotFoundError) else "")
    return _decoded(content, name)


def read_stdin() -> str:
    """The text of standard input, read to its end like a file."""
    if sys.stdin is None or sys.stdin.closed:
        _refuse(STDIN, "there is no standard input to read")
    try:
        content = sys.stdin.buffer.read(MAX_BYTES + 1)
    except OSError as error:
        _refuse(STDIN, _reason(error))
    return _decoded(content, STDIN)


def _refuse(name: str, says: str, fix: str = "") -> NoReturn:
    at = Place((), Span(name, 0, 0, 0, 0))  # there is no text, and no place in it
    raise CannotReadError(UNREADABLE_FILE.finding(at=at, says=says, fix=Fix(fix) if fix else None))


def _refuse_size(name: str) -> NoReturn:
    _refuse(name, f"the file is larger than {MAX_BYTES // 1_000_000} MB; no setup is so large")


def _reason(error: Exception) -> str:
    """Why the system gave nothing, in plain words where it is one of the usual reasons."""
    usual = {FileNotFoundError: "there is no such file", PermissionError: "reading this is not permitted"}
    for kind, says in usual.items():
        if isinstance(error, kind):
            return says
    if isinstance(error, OSError) and error.strerror:
        return error.strerror.lower()
    return "this is not the name of a file"


def _similar(missing: Path) -> str:
    """A hint at a file of almost the same name in the same folder."""
    try:
        found = nearest(missing.name, sorted(each.name for each in missing.parent.iterdir()))
    except OSError:
        return ""
    return f"Did you mean `{missing.with_name(found)}`?" if found else ""


_OTHER_ENCODINGS: Final = (
    (b"\xff\xfe\x00\x00", "UTF-32"),
    (b"\x00\x00\xfe\xff", "UTF-32"),
    (b"\xff\xfe", "UTF-16"),
    (b"\xfe\xff", "UTF-16"),
)


def _decoded(content: bytes, name: str) -> str:
    """Bytes as text; what is not UTF-8 is refused at the first byte that shows it."""
    if len(content) > MAX_BYTES:
        _refuse_size(name)
    for mark, encoding in _OTHER_ENCODINGS:
        if content.startswith(mark):
            _refuse(name, f"the file is saved as {encoding}", "Save it as UTF-8")
    if b"\x00" in content:
        _refuse(name, "this is not a text file")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = error.object[: error.start].decode("utf-8-sig")
        byte = error.object[error.start]
    span = Lines(before + "?", name).span(len(before), len(before) + 1)
    says = f"the file is not saved as UTF-8 but perhaps as Latin-1 or Windows-1252 (the byte {byte:02X} here shows it)"
    raise CannotReadError(UNREADABLE_FILE.finding(at=Place((), span), says=says, fix=Fix("Save it as UTF-8")))


# --- documents -------------------------------------------------------------------------------------------------

OPENING: Final = "synclint"
_KIND: Final = re.compile(r"([a-z]+)/([0-9]{1,6})")


def load_document(path: str | Path) -> Loaded:
    """The document in a file, or on standard input for `-`; raise `CannotReadError` where there is no text at all.

    What is wrong with the text itself stands in the problems.
    """
    if str(path) == STDIN:
        return load_text(read_stdin(), STDIN)
    return load_text(read_text(path), str(path))


def load_text(text: str, file: str) -> Loaded:
    """The document that a text is, with `file` as the name it is reported under."""
    try:
        parsed = parse(text, file)
    except NotYamlError as error:
        return Loaded(None, (error.finding,), text)
    root, problems = parsed.root, parsed.problems
    if root is None:
        return Loaded(None, (*problems, _empty(file)), text)
    if not isinstance(root, MappingNode):
        return Loaded(None, (*problems, _no_keys(root)), text)
    opening = root.get(OPENING)
    if opening is None:
        return Loaded(None, (*problems, _no_opening(root, file)), text)
    kind = opening.text if isinstance(opening, Scalar) else ""
    if kind not in KINDS:
        return Loaded(None, (*problems, _wrong_kind(opening, kind)), text)
    return Loaded(Document(kind, file, root), problems, text)


def _empty(file: str) -> Finding:
    at = Place((), Span(file, 1, 1, 1, 1))
    return UNREADABLE_FILE.finding(at=at, says="the file is empty", fix=Fix(f"Begin it with {_openings()}"))


def _openings() -> str:
    """The first lines of the documents that are checked by themselves."""
    return " or ".join(f"`{OPENING}: {kind}`" for kind in _BY_THEMSELVES)


def _no_keys(root: Node) -> Finding:
    """The finding for a file that is a list, or one text from end to end."""
    found = re.match(r"([a-z]\w*):(\S+)", root.text) if isinstance(root, Scalar) and root.plain else None
    says = f"the file is {'one text' if isinstance(root, Scalar) else 'a list'}, and should be keys with their values"
    fix = f"Begin it with {_openings()}"
    if found:
        fix = f"Put a space after the colon: `{shortened(f'{found[1]}: {found[2]}')}`"
    return WRONG_VALUE.finding(at=Place((), root.span), says=says, fix=Fix(fix))


def _no_opening(root: MappingNode, file: str) -> Finding:
    """The finding for a file that does not say what kind of document it is."""
    says = "the file does not say what kind of document it is"
    misspelt = nearest(OPENING, root.entries)
    if misspelt:
        key = root.entries[misspelt].key
        # The edit's place has the path of the entry, whose key it renames.
        edit = RenameKey(Place((misspelt,), root.entries[misspelt].value.span), OPENING)
        fix = Fix(f"Write `{OPENING}` for `{misspelt}`", (edit,))
        return MISSING_KEY.finding(at=Place((), key.span), says=says, fix=fix)
    first = Span(file, root.span.line, root.span.column, root.span.line, root.span.column)
    kind = next((kind for kind in KINDS if f".{kind.split('/')[0]}." in Path(file).name), None)
    if kind:
        edit_in = AddKey(Place((), root.span), OPENING, kind)
        fix = Fix(f"By its name it should begin with `{OPENING}: {kind}`", (edit_in,))
    else:
        fix = Fix(f"Begin it with {_openings()}")
    return MISSING_KEY.finding(at=Place((), first), says=says, fix=fix)


def _wrong_kind(opening: Node, kind: str) -> Finding:
    """The finding for a kind or version of document that this program does not read."""
    at = Place((OPENING,), opening.span)
    found = _KIND.fullmatch(kind)
    known = {name: int(version) for name, version in (each.split("/") for each in KINDS)}
    if found and int(found[2]) > known.get(found[1], int(found[2])):
        return WRONG_VALUE.finding(
            at=at,
            says=f"{kind}: this file is newer than this program, which reads {found[1]}/{known[found[1]]}",
            fix=Fix("Use a newer synclint"),
        )
    word = kind.partition("/")[0].strip()
    name = word if word in known else nearest(word, known)
    if name:
        meant = f"{name}/{known[name]}"
        fix = Fix(f"Write `{meant}`", (SetValue(at, meant),))
    else:
        fix = Fix(f"Write {' or '.join(_BY_THEMSELVES)}")
    what = f"`{shortened(kind)}` is" if kind else "this is"
    return WRONG_VALUE.finding(at=at, says=f"{what} no kind of document that this program knows", fix=fix)
