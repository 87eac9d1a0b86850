"""How much a document may hold: depth, size and aliases are bounded, and no text takes long."""

import gc
import time
from contextlib import suppress

import pytest

from synclint.documents.yamltree import MAX_ALIASES, MAX_CHARACTERS, MAX_DEPTH, MAX_NODES, NotYamlError, parse


def refusal(text: str) -> tuple[int, int, str]:
    with pytest.raises(NotYamlError) as caught:
        parse(text, "f")
    finding = caught.value.finding
    assert finding.rule == "unreadable-file"
    return finding.at.span.line, finding.at.span.column, finding.sentence


DEEP = {
    "block mapping": ("\n".join(" " * level + "a:" for level in range(2000)), (65, 65)),
    "block sequence": ("- " * 2000, (1, 129)),
    "flow": ("[" * 2000 + "]" * 2000, None),
    "flow over lines": ("[\n" * 2000 + "]\n" * 2000, (65, 1)),
    "flow mapping": ("{a: " * 2000 + "}" * 2000, (1, 257)),
}


@pytest.mark.parametrize("form", DEEP)
def test_two_thousand_levels(form: str) -> None:
    text, where = DEEP[form]
    line, column, says = refusal(text)
    assert "nested" in says
    assert "deep" in says
    assert where in {None, (line, column)}


def test_as_deep_as_allowed() -> None:
    assert parse("[" * MAX_DEPTH + "]" * MAX_DEPTH, "f").root
    assert refusal("[" * (MAX_DEPTH + 1) + "]" * (MAX_DEPTH + 1))[:2] == (1, MAX_DEPTH + 1)


def test_too_many_characters() -> None:
    assert "4,000,000" in refusal("#" * (MAX_CHARACTERS + 1))[2]


def test_too_many_nodes() -> None:
    assert "keys and values" in refusal("-\n" * (MAX_NODES + 1))[2]


def test_a_bomb_of_aliases() -> None:
    bomb = "a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n"
    bomb += "".join(f"a{each}: &a{each} [{', '.join([f'*a{each - 1}'] * 10)}]\n" for each in range(1, 10))
    began = time.perf_counter()
    line, column, says = refusal(bomb)
    assert (line, column) == (6, 25)
    assert "aliases" in says
    assert time.perf_counter() - began < 10


def test_aliases_make_nothing_deeper() -> None:
    chain = "a0: &a0 " + "[" * 40 + "]" * 40 + "\na1: " + "[" * 40 + "*a0" + "]" * 40
    assert "aliases" in refusal(chain)[2]


def test_too_many_aliases() -> None:
    assert parse("a: &a x\nb: [" + "*a, " * MAX_ALIASES + "]", "f").root
    line, column, says = refusal("a: &a x\nb: [" + "*a, " * (MAX_ALIASES + 1) + "]")
    assert (line, column) == (2, 5 + 4 * MAX_ALIASES)
    assert f"more than {MAX_ALIASES} aliases" in says


def test_an_alias_inside_what_it_refers_to() -> None:
    assert refusal("a: &x\n  b: [*x]\n") == (2, 7, "`*x` stands inside the very thing it refers to")


def test_an_alias_to_nothing() -> None:
    line, column, says = refusal("a: *x\n")
    assert (line, column) == (1, 4)
    assert "`&x`" in says


@pytest.mark.parametrize("running", [True, False])
@pytest.mark.parametrize("text", ["a: 1", "a: ]"])
def test_the_collector_is_left_as_it_was(text: str, running: bool) -> None:
    was = gc.isenabled()
    try:
        (gc.enable if running else gc.disable)()
        with suppress(NotYamlError):
            parse(text, "f")
        assert gc.isenabled() is running
    finally:
        (gc.enable if was else gc.disable)()


def test_long_lines_of_signs_cost_little() -> None:
    began = time.perf_counter()
    for piece in ('{a: "\\"', "{a '", "a: b: ", "a  ", "{a, ", "'", ' "#', "!a#", "a:b "):
        with suppress(NotYamlError):
            parse(piece * 20_000, "f")
    assert time.perf_counter() - began < 30
