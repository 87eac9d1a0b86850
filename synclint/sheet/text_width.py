"""How wide a text is before anybody has drawn it: a table of letters, with a margin, and cutting and wrapping by it.

The table is that of a wide sans serif, so that a text set in whatever a reader's machine takes for `sans-serif` is
rather narrower than told. A letter that is not in the table is taken to be wider than most; `surely` tells whether a
text is made of known ones only.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache

from synclint.sheet.svg import visible

MARGIN = 1.02
"""By how much more than the table says a text is taken to be."""

_PLAIN = (
    318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361, 318, 337, 636, 636, 636, 636, 636, 636, 636,
    636, 636, 636, 337, 337, 838, 838, 838, 531, 1000, 684, 686, 698, 770, 632, 575, 775, 752, 295, 295, 656, 557, 863,
    748, 787, 603, 787, 695, 635, 611, 732, 684, 989, 685, 611, 685, 390, 337, 390, 838, 500, 500, 613, 635, 550, 635,
    615, 352, 635, 634, 278, 278, 579, 278, 974, 634, 612, 635, 635, 411, 521, 392, 634, 592, 818, 592, 592, 525, 636,
    337, 636, 838,
)  # fmt: skip
_BOLD = (
    348, 456, 521, 838, 696, 1002, 872, 306, 457, 457, 523, 838, 380, 415, 380, 365, 696, 696, 696, 696, 696, 696, 696,
    696, 696, 696, 400, 400, 838, 838, 838, 580, 1000, 774, 762, 734, 830, 683, 683, 821, 837, 372, 372, 775, 637, 995,
    837, 850, 733, 850, 770, 720, 682, 812, 774, 1103, 771, 724, 725, 457, 365, 457, 838, 500, 500, 675, 716, 593, 716,
    678, 435, 716, 712, 343, 343, 665, 343, 1042, 712, 687, 716, 716, 493, 595, 478, 712, 652, 924, 645, 652, 582, 712,
    365, 712, 838,
)  # fmt: skip
"""Thousandths of the size, of the characters from the space to the tilde."""

_SIGNS = {"…": 1000, "→": 838, "×": 838, "·": 380, "−": 838, "±": 838, "–": 500, "µ": 736}
_SCRIPTS = ((0x0370, 0x0530, 950), (0x0590, 0x0600, 760), (0x0600, 0x0700, 1250), (0x2E80, 0xA4D0, 1000))
"""From where to where scripts lie, and what the wider of their letters take."""
_ANY = 1300
"""What is taken of a letter that is in no table."""


@lru_cache(maxsize=4096)
def _thousandths(letter: str, *, bold: bool) -> tuple[int, bool]:
    """How wide a letter is, and whether that is known."""
    code = ord(letter)
    if 32 <= code < 127:
        return (_BOLD if bold else _PLAIN)[code - 32], True
    if letter in _SIGNS:
        return _SIGNS[letter], True
    if unicodedata.category(letter) in _ACCENTS:
        return 0, True
    base = unicodedata.normalize("NFD", letter)[0]
    if base != letter and ord(base) < 127:
        return _thousandths(base, bold=bold)
    wide = next((wide for start, end, wide in _SCRIPTS if start <= code < end), None)
    if wide is None:
        return _ANY, False
    heavy = 115 if bold else 100
    return wide * heavy * (115 if letter.isupper() else 100) // 10_000, True


def measured(text: str, size: float, *, bold: bool = False) -> float:
    """About how wide a text is, rather more than less, in the unit of its size."""
    return sum(_thousandths(each, bold=bold)[0] for each in text) * size / 1000 * MARGIN


def surely(text: str) -> bool:
    """Whether every letter of a text is in the table."""
    return all(_thousandths(each, bold=False)[1] for each in text)


def fitted(text: str, room: float, size: float, *, bold: bool = False) -> str:
    """The text as it is shown, cut with an ellipsis where it would take more room than there is."""
    plain = _shown(text)
    if measured(plain, size, bold=bold) <= room:
        return plain
    left = room - measured("…", size, bold=bold)
    for index, each in enumerate(plain):
        left -= measured(each, size, bold=bold)
        if left < 0:
            return f"{plain[:index].rstrip()}…"
    return plain


def wrapped(text: str, room: float, size: float, *, bold: bool = False, most: int = 6) -> list[str]:
    """The text as lines that fit the room; a word too long is broken, and what is beyond `most` lines is cut."""
    lines, line = [], ""
    for word in _pieces(_shown(text), room, size, bold=bold):
        longer = f"{line} {word}".strip()
        if line and measured(longer, size, bold=bold) > room:
            lines.append(line)
            longer = word
        line = longer
    lines.append(line)
    if len(lines) > most:
        lines = [*lines[: most - 1], fitted(f"{lines[most - 1]} {lines[most]}", room, size, bold=bold)]
    return lines


def _pieces(text: str, room: float, size: float, *, bold: bool) -> list[str]:
    """The words of a text, none wider than the room."""
    found = []
    for word in text.split():
        piece, width = "", 0.0
        for each in word:
            wide = measured(each, size, bold=bold)
            if piece and width + wide > room:
                found.append(piece)
                piece, width = "", 0.0
            piece, width = piece + each, width + wide
        found.append(piece)
    return found


MOST_LETTERS = 2000
_ACCENTS = ("Mn", "Me")
MOST_ACCENTS = 2
"""So many marks may stand on one letter; a tower of them would grow into the lines above."""


def _shown(text: str) -> str:
    """A text as it is shown, bounded, on one line."""
    letters: list[str] = []
    accents = 0
    for each in " ".join(text[:MOST_LETTERS].split()):
        accents = accents + 1 if unicodedata.category(each) in _ACCENTS else 0
        if accents <= MOST_ACCENTS:
            letters.append(each)
    return visible("".join(letters))
