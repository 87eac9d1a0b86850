"""How a number with its unit is read from a text, and what is said where it cannot be.

Every form is strict and bounded: decimal digits, at most one point, no exponent, no thousands separator, a unit.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

TEXT_LIMIT: Final = 60
"""Characters that the text of a quantity may have."""

NUMBER: Final = r"[0-9]{1,12}(?:\.[0-9]{1,12})?"
SIGNED: Final = rf"[+-]?{NUMBER}"
UNIT: Final = "[A-Za-zµΩ°]{1,8}"

_BARE: Final = re.compile(SIGNED)
_BARE_RANGE: Final = re.compile(rf"{SIGNED} *\.\. *{SIGNED}")
_ONE: Final = re.compile(rf"({SIGNED}) *({UNIT})")
_RANGE: Final = re.compile(rf"({SIGNED}) *({UNIT})? *\.\. *({SIGNED}) *({UNIT})")


class QuantityError(ValueError):
    """A text that gives no quantity of the wanted kind.

    `text` is what was read (cut at the limit), `kind` the word for what was wanted, `example` how it is written.
    """

    def __init__(self, text: str, kind: str, example: str, problem: str) -> None:
        """Say the problem and show the form."""
        article = "an" if kind[:1] in "aeiou" else "a"
        super().__init__(f"{_shown(text)} {problem}: write {article} {kind} such as {example}")
        self.text = text[:TEXT_LIMIT]
        self.kind = kind
        self.example = example


def _shown(text: str) -> str:
    cut = text if len(text) <= TEXT_LIMIT else text[:TEXT_LIMIT] + "..."
    if not cut.strip():
        return "an empty text"
    return cut if cut.isprintable() else ascii(cut)


@dataclass(frozen=True, slots=True)
class Form:
    """How one kind of quantity is written: its word, an example, and its units as multiples of the base unit.

    Keys of `units` are in small letters; texts may mix cases.
    """

    kind: str
    example: str
    units: Mapping[str, Fraction]
    signed: bool = False

    def clean(self, text: str) -> str:
        """Drop spaces around the text; QuantityError if it is too long or empty."""
        if len(text) > TEXT_LIMIT:
            raise self.error(text, "is too long")
        clean = text.strip(" ")
        if not clean:
            raise self.error(text, f"is no {self.kind}")
        return clean

    def error(self, text: str, problem: str) -> QuantityError:
        """Make the error of this form for a text."""
        return QuantityError(text, self.kind, self.example, problem)

    def refusal(self, text: str) -> QuantityError:
        """Make the error for a text of a wrong form, naming the likeliest reason."""
        clean = text.strip(" ")
        if _BARE.fullmatch(clean):
            return self.error(clean, "has no unit")
        if re.search("[0-9],[0-9]", clean):
            return self.error(clean, "has a comma, which is neither a point nor parts thousands here")
        one = _ONE.match(clean)
        if one is not None and one[2].lower() not in self.units:
            article = "an" if self.kind[:1] in "aeiou" else "a"
            return self.error(clean, f"is not {article} {self.kind}, {one[2]} is none of its units")
        if not self.signed and one is not None and clean[0] in "+-":
            return self.error(clean, "has a sign where none belongs")
        return self.error(clean, "cannot be read")

    def value(self, number: str, unit: str, text: str) -> Fraction:
        """Give number times unit in base units; QuantityError if the unit is unknown or a sign does not belong."""
        factor = self.units.get(unit.lower())
        if factor is None or (not self.signed and number[0] in "+-"):
            raise self.refusal(text)
        return Fraction(number) * factor

    def read(self, text: str) -> Fraction:
        """Read one number and its unit, in base units; QuantityError if it is not of this form."""
        clean = self.clean(text)
        match = _ONE.fullmatch(clean)
        if match is None:
            raise self.refusal(clean)
        return self.value(match[1], match[2], clean)

    def read_range(self, text: str) -> tuple[Fraction, Fraction]:
        """Read a range, low and high in base units: 8..31 C, 0.3 mVpp..5 Vpp; a single value is both its ends.

        QuantityError if it is not of this form or runs backwards.
        """
        clean = self.clean(text)
        if ".." not in clean:
            both = self.read(clean)
            return both, both
        match = _RANGE.fullmatch(clean)
        if match is None:
            raise self.error(clean, "has no unit" if _BARE_RANGE.fullmatch(clean) else "cannot be read")
        low = self.value(match[1], match[2] or match[4], clean)
        high = self.value(match[3], match[4], clean)
        if low > high:
            raise self.error(clean, "runs backwards")
        return low, high
