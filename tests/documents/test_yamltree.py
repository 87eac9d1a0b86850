"""The tree of a document: values and places."""

from collections.abc import Iterator
from decimal import Decimal

import pytest
import yaml
from hypothesis import example, given
from hypothesis import strategies as st

from synclint.documents import yamltree
from synclint.documents.lines import Lines
from synclint.documents.nodes import MappingNode, Node, Scalar, SequenceNode, find, walk
from synclint.documents.yamltree import NotYamlError, Parsed, parse
from synclint.findings import Path, Span

SETUP = """\
synclint: setup/1
title: Tideline, day 4   # the last one
project:
    rate: 23.976 NDF
    timecode: {as: time of day, zone: Europe/Lisbon}

# a comment between
days:
- date: 2026-06-14
  call: 06:30
  events:
    - {at: 07:00, do: jam,
       of: [cam_a, 'box "é"', "😀 b"]}   # all
    - {at: 12:10, until: 12:14, why: "battery"}
  note: >-
    two lines
    of text

  spare:
devices:
  cam_a: &cam {firmware: 2.10, serial: 012, user_bits: 01000000, on: true}
  cam_b: *cam
  long: a sentence
    on two lines
empty: []
"""


def plain(node: Node | None) -> object:
    """The values alone."""
    if isinstance(node, MappingNode):
        return {key: plain(entry.value) for key, entry in node.entries.items()}
    if isinstance(node, SequenceNode):
        return [plain(item) for item in node.items]
    return node.value if node else None


def root(text: str) -> Node:
    parsed = parse(text, "f")
    assert parsed.problems == ()
    assert parsed.root is not None
    return parsed.root


def at(text: str, *path: str | int) -> Node:
    found = find(root(text), path)
    assert found is not None
    return found


def place(node: Node) -> tuple[int, int, int, int]:
    return (node.span.line, node.span.column, node.span.end_line, node.span.end_column)


# --- values ----------------------------------------------------------------------------------------------------


def test_values_and_order() -> None:
    assert plain(root(SETUP)) == {
        "synclint": "setup/1",
        "title": "Tideline, day 4",
        "project": {"rate": "23.976 NDF", "timecode": {"as": "time of day", "zone": "Europe/Lisbon"}},
        "days": [
            {
                "date": "2026-06-14",
                "call": "06:30",
                "events": [
                    {"at": "07:00", "do": "jam", "of": ["cam_a", 'box "é"', "😀 b"]},
                    {"at": "12:10", "until": "12:14", "why": "battery"},
                ],
                "note": "two lines of text",
                "spare": None,
            }
        ],
        "devices": {
            "cam_a": {"firmware": Decimal("2.10"), "serial": 12, "user_bits": 1000000, "on": True},
            "cam_b": {"firmware": Decimal("2.10"), "serial": 12, "user_bits": 1000000, "on": True},
            "long": "a sentence on two lines",
        },
        "empty": [],
    }


@pytest.mark.parametrize("text", ["2.10", "012", "01000000", "+0.31", "1e3", "~", "true", "NULL", "0x1F", "07:00"])
def test_source_text_stands_as_it_is(text: str) -> None:
    node = at(f"key: {text}  # comment\n", "key")
    assert isinstance(node, Scalar)
    assert (node.text, node.plain) == (text, True)


@pytest.mark.parametrize(
    ("written", "text"), [('"2.10"', "2.10"), ("'it''s'", "it's"), ('"a\\tb"', "a\tb"), ("''", "")]
)
def test_quoted_values_are_text(written: str, text: str) -> None:
    node = at(f"key: {written}\n", "key")
    assert isinstance(node, Scalar)
    assert (node.text, node.value, node.plain) == (text, text, False)


def test_numbers_of_thousands_of_digits_are_text() -> None:
    assert plain(root(f"a: {'9' * 10_000}")) == {"a": "9" * 10_000}


@pytest.mark.parametrize("text", ["", "\n\n", "# only a comment\n", "---\n", "--- # nothing\n...\n", "\ufeff"])
def test_a_text_that_says_nothing_has_no_root(text: str) -> None:
    assert parse(text, "f").root is None


@pytest.mark.parametrize(
    ("text", "value"), [("null", None), ("--- a\n", "a"), ("[1, x]", [1, "x"]), ("%YAML 1.2\n--- 1\n", 1)]
)
def test_a_root_need_not_be_a_mapping(text: str, value: object) -> None:
    assert plain(root(text)) == value


# --- places ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("path", "expected"),
    [
        ((), (1, 1, 25, 10)),
        (("title",), (2, 8, 2, 23)),
        (("project",), (4, 5, 5, 53)),
        (("project", "timecode"), (5, 15, 5, 53)),
        (("days",), (9, 1, 19, 9)),
        (("days", 0, "events"), (12, 5, 14, 48)),
        (("days", 0, "events", 0), (12, 7, 13, 38)),
        (("days", 0, "events", 0, "of"), (13, 12, 13, 37)),
        (("days", 0, "events", 0, "of", 1), (13, 20, 13, 29)),
        (("days", 0, "events", 0, "of", 2), (13, 31, 13, 36)),
        (("days", 0, "note"), (15, 9, 17, 12)),
        (("days", 0, "spare"), (19, 9, 19, 9)),
        (("devices", "cam_a", "firmware"), (21, 26, 21, 30)),
        (("devices", "cam_b"), (22, 10, 22, 14)),
        (("devices", "cam_b", "serial"), (21, 40, 21, 43)),
        (("devices", "long"), (23, 9, 24, 17)),
        (("empty",), (25, 8, 25, 10)),
    ],
)
def test_places(path: Path, expected: tuple[int, int, int, int]) -> None:
    assert place(at(SETUP, *path)) == expected


def test_keys_have_places() -> None:
    tree = root(SETUP)
    assert isinstance(tree, MappingNode)
    assert tree.entries["project"].key.span == Span("f", 3, 1, 3, 8)


def test_a_byte_order_mark_moves_nothing() -> None:
    assert parse("\ufeff" + SETUP, "f") == parse(SETUP, "f")


def test_windows_line_breaks_move_nothing() -> None:
    assert parse(SETUP.replace("\n", "\r\n"), "f") == parse(SETUP, "f")


def test_anchors_are_not_part_of_a_value() -> None:
    text = "a: &x 1.50\nb: &y # why\n  'q'\nc: *x\n"
    assert [place(at(text, key)) for key in "abc"] == [(1, 7, 1, 11), (3, 3, 3, 6), (4, 4, 4, 6)]
    assert plain(root(text)) == {"a": Decimal("1.50"), "b": "q", "c": Decimal("1.50")}


def scalars(node: Node) -> Iterator[Scalar]:
    for _, each in walk(node):
        if isinstance(each, Scalar):
            yield each
        elif isinstance(each, MappingNode):
            yield from (entry.key for entry in each.entries.values())


def composed(text: str) -> Iterator[tuple[int, int]]:
    """Where the slower, independent parser of the same library sees every key and value start."""
    stack = [yaml.compose(text, Loader=yaml.SafeLoader)]
    while stack:
        node = stack.pop()
        if node is None or (isinstance(node, yaml.ScalarNode) and not node.value):
            continue
        yield node.start_mark.line + 1, node.start_mark.column + 1
        if isinstance(node, yaml.MappingNode):
            stack += [each for pair in node.value for each in pair]
        elif isinstance(node, yaml.SequenceNode):
            stack += node.value


def starts(text: str) -> list[tuple[int, int]]:
    tree = root(text)
    keys = [
        entry.key.span for _, each in walk(tree) if isinstance(each, MappingNode) for entry in each.entries.values()
    ]
    nodes = [each.span for _, each in walk(tree) if not (isinstance(each, Scalar) and not each.text)]
    return sorted((span.line, span.column) for span in (*keys, *nodes))


WORDS = st.sampled_from(
    ["bag", "23.976 NDF", "07:00", "it's", "a: b", "# no", "", "-1", "é 😀", "x\ny", "[", "true", "- "]
)
DATA = st.recursive(
    WORDS | st.integers() | st.booleans() | st.none(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(WORDS.filter(bool), inner, max_size=4),
    max_leaves=20,
)


@given(DATA, st.sampled_from([True, False, None]), st.integers(10, 80))
def test_what_a_writer_dumps_comes_back(data: object, flow: bool | None, width: int) -> None:
    text = yaml.safe_dump(data, default_flow_style=flow, width=width, allow_unicode=True, sort_keys=False)
    if "&id" in text or "? " in text:
        return
    assert plain(parse(text, "f").root) == data


@given(DATA, st.sampled_from([True, False, None]))
@example({"a": ["b", {"c": "d"}], "e": "f"}, None)
def test_places_start_where_an_independent_parser_sees_them(data: object, flow: bool | None) -> None:
    text = yaml.safe_dump(data, default_flow_style=flow, allow_unicode=True)
    if "&id" not in text and parse(text, "f").root is not None:
        assert starts(text) == sorted(composed(text))


def test_places_of_a_setup_start_where_an_independent_parser_sees_them() -> None:
    text = SETUP.replace("&cam ", "").replace("*cam", "cam")
    assert starts(text) == sorted(composed(text))


@given(DATA, st.sampled_from([True, False, None]))
def test_the_span_of_a_plain_value_is_its_text(data: object, flow: bool | None) -> None:
    text = yaml.safe_dump(data, default_flow_style=flow, allow_unicode=True, width=1000)
    tree = parse(text, "f").root
    if tree is None or "&id" in text:
        return
    lines = Lines(text, "f")
    for scalar in scalars(tree):
        span = scalar.span
        start, end = lines.offset(span.line, span.column), lines.offset(span.end_line, span.end_column)
        assert not scalar.plain or text[start:end] == scalar.text


# --- any text --------------------------------------------------------------------------------------------------

YAMLISH = st.text(alphabet="ab1 \t\r\n:-,#?|>%@&*!'\"`{}[]<~.=é😀\\/\ufeff\u2028\x85\x00", max_size=60)
PIECES = st.lists(
    st.sampled_from(
        [
            *("a: ", "b:", "- ", "\n", "  ", "{", "}", "[", "]", ", ", ": ", " #", "'", '"', "x", "07:00", "&a ", "*a"),
            *("|\n", "---", "...", "%YAML 1.2\n", "<<", "!t ", "? ", "\t", "\\", ".nan", "why: ", "# 3"),
        ]
    ),
    max_size=25,
).map("".join)


def inside(span: Span, lines: Lines) -> bool:
    ends = ((span.line, span.column), (span.end_line, span.end_column))
    return ends[0] <= ends[1] and all(
        1 <= line <= len(lines) and 1 <= column <= len(lines.line(line)) + 1 for line, column in ends
    )


def check_any(text: str) -> None:
    """Parse, and hold every place against the text."""
    lines = Lines(text.removeprefix("\ufeff"), "f")
    try:
        parsed = parse(text, "f")
    except NotYamlError as refused:
        parsed = Parsed(None, (refused.finding,))
    assert all(finding.sentence for finding in parsed.problems)
    spans = [finding.at.span for finding in parsed.problems]
    for _, node in walk(parsed.root) if parsed.root else ():
        spans.append(node.span)
        if isinstance(node, MappingNode):
            spans += [entry.key.span for entry in node.entries.values()]
    assert all(inside(span, lines) for span in spans)


@given(YAMLISH | PIECES | st.text())
@example("a: |\n")
@example("- ")
@example("a:")
@example("? a")
@example("'a': \"b\"\r")
def test_any_text_is_parsed_or_refused(text: str) -> None:
    check_any(text)


@given(YAMLISH | PIECES)
@example('a: "\\ud800"')
@example('a: "\\UFFFFFFFF"')
def test_any_text_is_parsed_or_refused_without_the_faster_parser(text: str) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(yamltree, "_Loader", yaml.SafeLoader)
        check_any(text)


def test_without_the_faster_parser_the_tree_is_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    fast = parse(SETUP, "f")
    monkeypatch.setattr(yamltree, "_Loader", yaml.SafeLoader)
    assert parse(SETUP, "f") == fast
