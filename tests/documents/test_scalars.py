"""Values against YAML 1.2.2, section 10.3.2 (core schema, tag resolution), decimal numbers only."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from synclint.documents.scalars import MAX_NUMBER_LENGTH, is_not_finite, resolved


@pytest.mark.parametrize(
    ("text", "value"),
    [
        # null | Null | NULL | ~ and nothing at all
        ("null", None),
        ("Null", None),
        ("NULL", None),
        ("~", None),
        ("", None),
        # true | True | TRUE | false | False | FALSE
        ("true", True),
        ("True", True),
        ("TRUE", True),
        ("false", False),
        ("False", False),
        ("FALSE", False),
        # [-+]? [0-9]+
        ("0", 0),
        ("-0", 0),
        ("3", 3),
        ("-19", -19),
        ("+7", 7),
        ("012", 12),
        ("01000000", 1000000),
        # [-+]? ( \. [0-9]+ | [0-9]+ ( \. [0-9]* )? ) ( [eE] [-+]? [0-9]+ )?
        ("0.", Decimal(0)),
        ("-0.0", Decimal("-0.0")),
        (".5", Decimal("0.5")),
        ("-.5", Decimal("-0.5")),
        ("+12e03", Decimal("12E+3")),
        ("-2E+05", Decimal("-2E+5")),
        ("23.976", Decimal("23.976")),
        ("2.10", Decimal("2.10")),
        ("+0.31", Decimal("0.31")),
    ],
)
def test_value_of_the_core_schema(text: str, value: object) -> None:
    found = resolved(text)
    assert found == value
    assert type(found) is type(value)
    assert str(found) == str(value)


@pytest.mark.parametrize(
    "text",
    [
        # what YAML 1.1 takes for something else
        *("07:00", "1:30", "10:00:00:00", "01:00:00:00", "23:59:59", "-1:30", "yes", "no", "on", "off", "y", "NO"),
        *("2026-06-14", "1_000", "0b101", "0777 ", "="),
        # of the core schema, and no decimal number
        *("0o7", "0x3A", ".inf", "-.Inf", "+.INF", ".nan"),
        # near to something, and not it
        *(
            "nULL",
            "tRUE",
            "none",
            ".",
            "+",
            "-",
            "e3",
            "1e",
            "1e+",
            "1.2.3",
            "1 000",
            "1,5",
            "--1",
            "٣",
            "½",
            "nan",
            "inf",
        ),
        *("23.976 NDF", "8..31", "+2 frames", "1080/23.98 PsF", "1" * (MAX_NUMBER_LENGTH + 1), "1e999", "1e-100"),
    ],
)
def test_everything_else_is_text(text: str) -> None:
    assert resolved(text) == text
    assert isinstance(resolved(text), str)


def test_words_for_no_number() -> None:
    words = {".inf", ".Inf", ".INF", "+.inf", "-.Inf", ".nan", ".NaN", ".NAN"}
    assert all(map(is_not_finite, words))
    assert not any(map(is_not_finite, ("inf", "nan", ".iNf", "-.nan", "0", "", ".info")))


@given(st.decimals(allow_nan=False, allow_infinity=False, places=3, min_value=-(10**9), max_value=10**9))
def test_decimals_are_exact(number: Decimal) -> None:
    assert resolved(f"{number:f}") == number


@given(st.text())
def test_any_text_has_a_value(text: str) -> None:
    value = resolved(text)
    assert value is None or isinstance(value, (bool, int, Decimal)) or value == text
