"""What an unquoted YAML value means: the core schema of YAML 1.2, limited to decimal numbers.

YAML 1.1, which most libraries still read, takes `10:00:00:00` for a number and `off` for a truth value; here a time
stays text and a word stays a word. `0x1F` and `0o17` are text as well, because nobody writes a rig in them.
"""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Final

from synclint.documents.nodes import Value

_WORDS: Final[dict[str, bool | None]] = {
    "": None,
    "~": None,
    "null": None,
    "Null": None,
    "NULL": None,
    "true": True,
    "True": True,
    "TRUE": True,
    "false": False,
    "False": False,
    "FALSE": False,
}
_NUMERIC_START: Final = frozenset("0123456789+-.")
_WHOLE: Final = re.compile(r"[-+]?[0-9]+")
_DECIMAL: Final = re.compile(r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]{1,2})?")
_NOT_FINITE: Final = frozenset(
    [sign + word for sign in ("", "+", "-") for word in (".inf", ".Inf", ".INF")] + [".nan", ".NaN", ".NAN"]
)
MAX_NUMBER_LENGTH: Final = 64
"""A longer number stays text, and so does an exponent of three digits: no setting needs it, and it costs memory."""


def resolved(text: str) -> Value:
    """The value of an unquoted scalar: null, a truth value, a decimal number, or the text itself."""
    if text[:1] in _NUMERIC_START and len(text) <= MAX_NUMBER_LENGTH:
        if _WHOLE.fullmatch(text):
            return int(text)
        return Decimal(text) if _DECIMAL.fullmatch(text) else text
    return _WORDS.get(text, text)


def is_not_finite(text: str) -> bool:
    """Whether an unquoted scalar is one of YAML's words for an infinite number or for no number at all."""
    return text in _NOT_FINITE
