"""From what is to be changed to the changed text: only what an edit is about is touched, all else stays byte for byte.

The new text is read again, and must give the old tree with the change done and nothing else. Where it does not (an
alias repeats what was changed, a comment would be lost, a value cannot stand where it is to stand) nothing is edited.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from synclint.documents.changes import CannotEditError, Changes, ClashingEditsError, collect
from synclint.documents.cuts import Cut, cuts_of
from synclint.documents.edited_tree import as_values, with_changes
from synclint.documents.lines import Lines
from synclint.documents.yamltree import NotYamlError, Parsed, parse
from synclint.findings import Edit

__all__ = ["CannotEditError", "ClashingEditsError", "apply_edits"]

_BYTE_ORDER_MARK: Final = "\ufeff"


def apply_edits(text: str, file: str, edits: Iterable[Edit]) -> str:
    """The text of `file` with all edits made; raises `CannotEditError` where one cannot be made, or they contradict.

    The places of the edits are those of this very text: one that has been changed since is refused.
    """
    mark = _BYTE_ORDER_MARK if text.startswith(_BYTE_ORDER_MARK) else ""
    bare = text.removeprefix(mark)
    before = _read(bare, file, "the file cannot be read")
    if before.root is None:
        raise CannotEditError("the file is empty")
    lines = Lines(bare, file)
    changes = collect(lines, before.root, edits)
    edited = _spliced(bare, cuts_of(lines, changes))
    _check(before, edited, file, changes)
    return mark + edited


def _read(text: str, file: str, otherwise: str) -> Parsed:
    try:
        return parse(text, file)
    except NotYamlError as error:
        raise CannotEditError(f"{otherwise}: {error.finding.sentence}") from error


def _spliced(text: str, cuts: Sequence[Cut]) -> str:
    """The text with stretches of it replaced, of which no two may overlap."""
    pieces: list[str] = []
    done = 0
    for cut in sorted(cuts):
        if cut.start < done:
            raise ClashingEditsError("two edits change the same stretch of the file")
        pieces += (text[done : cut.start], cut.text)
        done = cut.end
    return "".join((*pieces, text[done:]))


def _check(before: Parsed, edited: str, file: str, changes: Changes) -> None:
    """Read the new text again, and refuse it where it says anything else than was asked for."""
    after = _read(edited, file, "with the edit the file could not be read any more")
    if before.root is None or after.root is None or as_values(after.root) != with_changes(before.root, changes):
        raise CannotEditError("with the edit the file would say something else than was meant; edit it by hand")
    if len(after.problems) > len(before.problems):
        raise CannotEditError(f"with the edit something would be wrong in the file: {after.problems[-1].sentence}")
