"""Mistakes of writing: each is told at its place, in words that say what to write instead."""

import pytest

from synclint.documents.nodes import MappingNode, find
from synclint.documents.yamltree import NotYamlError, parse
from synclint.findings import Finding, Level, Mention


def told(finding: Finding) -> tuple[int, int, str]:
    """Line, column and all words of a finding; what to do begins with a capital."""
    assert not finding.fix_sentence[:1].islower()
    words = " | ".join(filter(None, (finding.sentence, finding.fix_sentence)))
    return finding.at.span.line, finding.at.span.column, words


def refused(text: str) -> tuple[int, int, str]:
    with pytest.raises(NotYamlError) as caught:
        parse(text, "f")
    assert caught.value.finding.rule == "unreadable-file"
    assert str(caught.value) == caught.value.finding.sentence
    return told(caught.value.finding)


def problems(text: str) -> list[tuple[str, str, int, int, str]]:
    return [(each.rule, str(each.at), *told(each)) for each in parse(text, "f").problems]


# --- what does not parse ---------------------------------------------------------------------------------------

BROKEN = {
    # colons
    "sentence with a colon": (
        "note: this: that\n",
        1,
        7,
        'a sentence with a colon in it needs quotes | Write `note: "this: that"`',
    ),
    "sentence with a colon in a list": ("- why: so: it is  # c\n", 1, 8, 'Write `why: "so: it is"`'),
    "sentence with a colon and quotes": ('note: he said: "x"\n', 1, 7, "needs quotes | Put it in single quotes"),
    "sentence with a colon in braces": ("a: {note: this: that}\n", 1, 11, 'needs quotes | Write `note: "this: that"`'),
    "missing comma in braces": ("{at: 07:00 do: jam}", 1, 6, "or a comma before `do:`"),
    "no space after the first colon": (
        "synclint:setup/1\ntitle: x\n",
        1,
        1,
        "a colon needs a space after it to make a key | Write `synclint: setup/1`",
    ),
    "no space after a colon": ("p:\n  rate:25\n  s: 48\n", 2, 3, "Write `rate: 25`"),
    "no space after the last colon": ("a: 1\nrate:25\n", 2, 1, "Write `rate: 25`"),
    "word without a colon": ("a: 1\nfoo bar\nb: 2\n", 2, 1, "`foo bar` stands alone"),
    "colon without a value in braces": ("{a:}", 1, 3, "in braces a colon needs a space"),
    "colon without a key": ("a: 1\n: b\n", 2, 1, "a key is missing"),
    "comment takes the colon": (
        "a: 1\ncam #2: x\nb: 2\n",
        2,
        1,
        "`cam` stands alone: a key is followed by a colon and a space | Everything after ` #` is a comment",
    ),
    "brace before a key": ("a: 1\n{b:\n  c: 1\n", 2, 1, "the `{` opened on line 2 is not closed"),
    "closing brace without an opening one": (
        "a: b: 1, c: d}\n",
        1,
        4,
        "the `}` at the end of this value closes nothing",
    ),
    "dash in braces": ("{a: - b}", 1, 5, "a dash with a space after it"),
    "colon after a comma": ("{a,: b}", 1, 4, "a key is missing before this colon"),
    # comments
    "comment takes the brace": (
        "a: {why: box # 3 is spare}\nb: 1\n",
        1,
        14,
        "everything after ` #` is a comment, the closing brace included | Put the sentence in quotes",
    ),
    "comment takes the bracket": ("a: [x, box #3]\nb: 1\n", 1, 12, "the closing bracket included"),
    "comment takes the brace at the end": ("a: {why: box # 3}", 1, 14, "everything after ` #` is a comment"),
    "comment takes the brace on a later line": (
        "a: {x: '# }', \n  why: box # 3}\nb: 1\n",
        2,
        12,
        "everything after ` #` is a comment",
    ),
    # braces, brackets
    "open brace": ("a: 1\nb: {x: 1, y: 2\nc: 3\n", 2, 4, "the `{` opened on line 2 is not closed | Close it with `}`"),
    "open brace in a list": ("x:\n  - {a: 1, b: 2\n  - {a: 3}\n", 2, 5, "the `{` opened on line 2 is not closed"),
    "open bracket at the end": ("a: [1,\n  2\n", 1, 4, "the `[` opened on line 1 is not closed | Close it with `]`"),
    "open brace after an anchor": ("a: &x {b: 1\nc: 2\n", 1, 7, "the `{` opened on line 1 is not closed"),
    "wrong closing": ("a:\n  {x: [1, 2}\n", 2, 12, "this `}` cannot close the `[` opened on line 2"),
    "closing alone": ("a: }\n", 1, 4, "nothing stands before this `}`"),
    "two commas": ("a: [1,, 2]\n", 1, 7, "nothing stands before this `,`"),
    "missing comma at the end of a line": (
        "a: {b: 1,\n  c: 2\n  d: 3}\n",
        2,
        6,
        "a comma is missing at the end of this line",
    ),
    "missing comma after a bracket": ("a: {b: [1] c: 2}\n", 1, 12, "a comma is missing before this"),
    "text after a bracket": (
        "name: [A] camera\n",
        1,
        11,
        "goes on after the closing `]` | Put a text that begins with a bracket",
    ),
    # quotes
    "open quote": ('a: 1\nb: "abc\nc: 3\n', 2, 4, "the quote opened on line 2 is not closed"),
    "open quote before another": ('a: "abc\nb: "x"\nc: 2\n', 1, 4, "the quote opened on line 1 is not closed"),
    "open quote of a key": ('"abc: 1\nb: "x"\n', 1, 1, "the quote opened on line 1 is not closed"),
    "open quote in braces": ("a: {why: 'abc}\nb: 1\n", 1, 10, "the quote opened on line 1 is not closed"),
    "text after quotes": (
        'name: "A" camera\n',
        1,
        11,
        'goes on after the closing " of "A" | Put all of it in single quotes',
    ),
    "apostrophe in quotes": (
        "name: 'Sam's bag'\n",
        1,
        12,
        "goes on after the closing ' of 'Sam' | Put all of it in double quotes",
    ),
    "text after quotes in braces": ('{name: "A" camera}\n', 1, 12, 'goes on after the closing "'),
    "code that is none": (r'a: "C:\clips"', 1, 7, "in double quotes a backslash begins a code"),
    "code for an invisible character": (r'a: "x\0"', 1, 4, "makes an invisible character"),
    # indentation
    "tab": ("a:\n\tb: 1\n", 2, 1, "YAML does not take tabs for indentation; use spaces"),
    "tab after spaces": ("a:\n  b: 1\n  \tc: 2\n", 3, 3, "YAML does not take tabs for indentation"),
    "tab in a list": ("a:\n  - b\n\t- c\n", 3, 1, "YAML does not take tabs for indentation"),
    "deeper than its value allows": ("a: 1\n  b: 2\n", 2, 3, "as if it continued the line above"),
    "between two levels": ("a:\n    b: 1\n  c: 2\n", 3, 3, "indented like none of the lines above"),
    "key after a list": ("- a\nb: 1\n", 2, 1, "this is a key, and does not go with what began on line 1"),
    "item after a key": ("a: 1\n- b\n", 2, 1, "this is an item of a list"),
    "less than the first line": ("{a: 1}\nb: 2\n", 2, 1, "had already ended"),
    # characters that YAML keeps for itself
    "at sign": ("name: @home\n", 1, 7, 'a value cannot begin with `@` unless it is in quotes | Write "@home"'),
    "star": ("name: *Boom*\n", 1, 7, "cannot begin with `*`"),
    "ampersand": ("name: & more\n", 1, 7, "cannot begin with `&`"),
    "percent": ("{level: %5}\n", 1, 9, "cannot begin with `%`"),
    "greater than": ("offset: > 3 ms\n", 1, 9, 'cannot begin with `>` unless it is in quotes | Write "> 3 ms"'),
    "exclamation marks": ("name: !a!b\n", 1, 7, "cannot begin with `!`"),
    "dash and space": ("pad: - 10 dB\n", 1, 6, "a dash with a space after it begins an item"),
    "order to the reader": ("%TITLE x\na: 1\n", 1, 1, "a line that begins with `%`"),
    "version of YAML": ("%YAML 3.0\n---\na: 1\n", 1, 1, "a line that begins with `%`"),
    # what this reader does not take
    "two documents": (
        "a: 1\n---\nb: 2\n",
        2,
        1,
        "a second document begins here; a file holds one | Give every document a file of its own",
    ),
    "key that is a list": ("a:\n  ? [x]\n  : b\n", 2, 5, "a list or a mapping stands here as a key"),
    "key that is a template": ("a: {{b}}\n", 1, 5, "a list or a mapping stands here as a key"),
    "key that is an alias": ("a: &x b\n*x : c\n", 2, 1, "an alias stands here as a key"),
    "key without a word": ('a: 1\n"": 2\n', 2, 1, "a key is missing here"),
    "invisible character": ("a: 1\nb: x\x07y\n", 2, 5, "an invisible character stands here (U+0007)"),
    "no character at all": ("a: \x00\n", 1, 4, "U+0000"),
    "separator of a word processor": ("\ufeffa: x\u2028b: y\n", 1, 5, "U+2028"),
    "second byte-order mark": ("\ufeffa: \ufeffb\n", 1, 4, "U+FEFF"),
    "half a character": ("a: \ud800\n", 1, 4, "U+D800"),
}


@pytest.mark.parametrize("case", BROKEN)
def test_what_does_not_parse(case: str) -> None:
    text, line, column, words = BROKEN[case]
    found = refused(text)
    assert words in found[2]
    assert found[:2] == (line, column)


JARGON = ("token", "scan", "expected", "block mapping", "flow", "stream", "context", "node", "scalar", "parse", "Error")


@pytest.mark.parametrize("case", BROKEN)
def test_no_word_of_a_library(case: str) -> None:
    words = refused(BROKEN[case][0])[2]
    assert not [word for word in JARGON if word in words]


def test_long_lines_are_cut_in_messages() -> None:
    line, column, words = refused("a: 1\n" + "x" * 5000 + "\nb: 1\n")
    assert (line, column) == (2, 1)
    assert len(words) < 200
    assert "…" in words


# --- what parses as something else -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "e:\n  - {at:07:00, do: jam}\n",
            (
                "wrong-value",
                "e/0/at:07:00",
                2,
                6,
                "in braces a colon needs a space after it: {at: 07:00} | Write `at: 07:00`",
            ),
        ),
        ("a: {at:07:00}\n", ("wrong-value", "a/at:07:00", 1, 5, "in braces a colon needs a space after it")),
        ("a: {at:07:00 do: jam}\n", ("wrong-value", "a/at:07:00 do", 1, 5, "in braces a colon needs a space after it")),
        (
            "a: {why: takes, stay short}\n",
            (
                "wrong-value",
                "a/stay short",
                1,
                17,
                "`stay short` stands here as a key of its own, without a value | If it belongs to `why: takes`",
            ),
        ),
        (
            "a: {why: takes, stay short, and quiet, do: x}\n",
            ("wrong-value", "a/stay short", 1, 17, "in braces a comma ends the value"),
        ),
        ("a: {of: [x], all}\n", ("wrong-value", "a/all", 1, 14, "`all` has no value; in braces every key has one")),
        ("a: {b}\n", ("wrong-value", "a/b", 1, 5, "a list in brackets: [b, ...]")),
        ("a:\n  <<: {b: c}\n", ("unknown-key", "a/<<", 2, 3, "`<<` merges nothing here | Use `like: DEVICE`")),
        ("a: .nan\n", ("wrong-value", "a", 1, 4, "`.nan` is YAML's word for something that is no number")),
        ("a: [1, -.INF]\n", ("wrong-value", "a/1", 1, 8, "`-.INF` is YAML's word")),
        ("a: !!str 012\n", ("wrong-value", "a", 1, 4, "`!!str` is a tag, and none are taken here")),
        ("a: &x !mine [b]\n", ("wrong-value", "a", 1, 7, "`!mine` is a tag")),
        ("a: !<tag:yaml.org,2002:str> b\n", ("wrong-value", "a", 1, 4, "`!<tag:yaml.org,2002:str>` is a tag")),
        ("name: !important\n", ("wrong-value", "name", 1, 7, "put a text that begins with ! in quotes")),
        (
            "a:\n- why: box # 3 is spare\n",
            (
                "wrong-value",
                "a/0/why",
                2,
                12,
                "`# 3 is spare` is read as a comment, not as part of the text before it | Put the whole text in quotes",
            ),
        ),
        ("name: bag #2\n", ("wrong-value", "name", 1, 11, "`#2` is read as a comment")),
    ],
)
def test_what_parses_as_something_else(text: str, expected: tuple[str, str, int, int, str]) -> None:
    (found,) = problems(text)
    assert expected[-1] in found[-1]
    assert found[:-1] == expected[:-1]


def test_what_was_told_gives_no_second_finding() -> None:
    parsed = parse("a: {at:07:00, why: x, y, z, do: jam, <<: q, n: .nan}\nb: [.inf, 1]\n", "f")
    assert len(parsed.problems) == 5
    node = find(parsed.root, ("a",)) if parsed.root else None
    assert isinstance(node, MappingNode)
    assert list(node.entries) == ["why", "do"]


def test_a_tagged_value_is_kept() -> None:
    parsed = parse("a: !!str 012\nb: !x {c: d}\n", "f")
    assert len(parsed.problems) == 2
    assert isinstance(parsed.root, MappingNode)
    assert list(parsed.root.entries) == ["a", "b"]


def test_a_lost_part_of_a_sentence_is_a_warning() -> None:
    (found,) = parse("why: box # 3\n", "f").problems
    assert found.level is Level.WARNING


@pytest.mark.parametrize(
    "text",
    [
        "rate: 23.976 NDF  # the rate\n",
        "rate: 24 # 3 of them\n",
        "why: short  # 3 of them\n",
        "why: short # because\n",
        'why: "short" # 3 of them\n',
        "why: # 3 of them\n  short\n",
        "name: bag#2\n",
        "a: {b: , c: d}\n",
        "a: {b: null}\n",
        "a: {http://x: y}\n",
        'a: {"b:c": d}\n',
        'a: {"b": c, d: "x, y"}\n',
        "a: [at:07:00, b, c]\n",
        "a: ['.nan', \".inf\"]\n",
        ".nan: a\n",
        '"<<": a\n',
        "a: &x b\nc: *x\n",
        "a: 12:30, then 13:00\n",
        "a:\tb\n",
        "{a: 1,\n\tb: 2}\n",
        "text: |\n  a\ttab\n",
    ],
)
def test_nothing_is_said_of_what_is_as_it_should_be(text: str) -> None:
    assert problems(text) == []


# --- duplicate keys --------------------------------------------------------------------------------------------


def test_of_two_equal_keys_the_first_is_read() -> None:
    parsed = parse("d:\n  cam: {rate: 24}\n  bag: 1\n  'cam': {rate: 25}\n", "f")
    (found,) = parsed.problems
    assert (found.rule, str(found.at)) == ("duplicate-key", "d/cam")
    assert told(found)[:2] == (4, 3)
    assert found.sentence == "`cam` stands twice; the first is read (line 2), this one is not"
    assert [(type(each), each.place.span.line, each.place.span.column) for each in found.also] == [(Mention, 2, 3)]
    first = find(parsed.root, ("d", "cam", "rate")) if parsed.root else None
    assert first is not None
    assert first.span.line == 2


def test_three_equal_keys_are_two_findings() -> None:
    assert [each[2] for each in problems("a: 1\na: 2\na: 3\n")] == [2, 3]


def test_equal_keys_in_different_mappings_are_fine() -> None:
    assert problems("- {a: 1}\n- {a: 2}\n") == []
