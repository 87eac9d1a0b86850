"""Why a text does not parse, in the words of the person who wrote it.

A YAML parser says where it lost the thread, which is seldom where the mistake is, and in its own terms. Here its
report is read together with the text around it, and the usual mistakes of writing are told apart. Nothing here knows
the parsing library: a report is its words and offsets.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Final

from synclint.documents.failure import Cause, Failure
from synclint.documents.records import UNREADABLE_FILE
from synclint.findings import Finding, Fix, Place, shortened

_LONGEST_KEY: Final = 60
_CLOSING: Final = {"{": "}", "[": "]"}


def explained(failure: Failure) -> Finding:
    """The finding for a text that does not parse, at the mistake where it can be told."""
    cause = next(_causes(failure))
    span = failure.lines.span(cause.start, max(cause.start, cause.end))
    fix = Fix(cause.fix) if cause.fix else None
    return UNREADABLE_FILE.finding(at=Place((), span), says=cause.says, fix=fix)


def _causes(failure: Failure) -> Iterator[Cause]:
    """What may be behind a failure, the most certain first; the last is general and always there."""
    for words, explain in _EXPLANATIONS:
        if words.search(failure.said):
            found = explain(failure)
            if found:
                yield found
    word = shortened(failure.rest)
    says = f"from here on the file is not YAML: `{word}`" if word else "the file ends in the middle of something"
    yield Cause(failure.at, failure.at + 1, says, "Look at this line and at the one before it")


# --- indentation and single characters -------------------------------------------------------------------------


def _tab(failure: Failure) -> Cause | None:
    """A tab before the first word of a line, or where a word should begin."""
    start = failure.at - (failure.lines.place(failure.at)[1] - 1)
    indent = failure.line[: len(failure.line) - len(failure.line.lstrip(" \t"))]
    column = indent.find("\t")
    if failure.opened is not None or (column < 0 and failure.char != "\t"):
        return None
    where = start + column if column >= 0 else failure.at
    return Cause(where, where + 1, "YAML does not take tabs for indentation; use spaces", "Replace the tab by spaces")


def _too_deep(failure: Failure) -> Cause | None:
    return Cause(failure.at, failure.at + 1, "the file is nested far deeper than any setup, and was not read further")


def _reserved(failure: Failure) -> Cause | None:
    """A value that begins with a character that YAML keeps for itself."""
    start = failure.at if failure.since is None else failure.since
    char = failure.lines.text[start : start + 1]
    if not char.strip():
        return None
    value = failure.line[failure.lines.place(start)[1] - 1 :]
    return Cause(start, start + 1, f"a value cannot begin with `{char}` unless it is in quotes", _quote(value))


def _dash(failure: Failure) -> Cause | None:
    """`pad: - 10 dB`: a dash and a space make an item of a list."""
    if failure.char != "-":
        return None
    says = "a dash with a space after it begins an item of a list, and none can stand here"
    fix = "Write a sign without a space after it, and put a sentence in quotes"
    return Cause(failure.at, failure.at + 1, says, fix)


def _escape(failure: Failure) -> Cause | None:
    start = failure.lines.text.rfind("\\", 0, failure.at + 1)
    says = "in double quotes a backslash begins a code, and this is none"
    return Cause(start, start + 2, says, "Use single quotes, or write the backslash twice")


def _directive(failure: Failure) -> Cause | None:
    start = failure.at if failure.since is None else failure.since
    return Cause(start, start + 1, "a line that begins with `%` is an order to the YAML reader, and none is taken here")


def _indentation(failure: Failure) -> Cause | None:
    """A line that stands neither beside nor below what is above it."""
    if not failure.rest.strip() or failure.line[: len(failure.line) - len(failure.rest)].strip():
        return None
    since = failure.at if failure.since is None else failure.since
    line = failure.lines.place(since)[0]
    item = failure.rest.startswith("- ")
    if "'-' indicator" in failure.said or item:
        says = f"this is {'an item of a list' if item else 'a key'}, and does not go with what began on line {line}"
    else:
        says = f"this line is indented like none of the lines above that it could belong to (since line {line})"
    return Cause(failure.at, failure.at + len(failure.rest), says, "Give it the indentation of the lines it belongs to")


def _second_root(failure: Failure) -> Cause | None:
    says = "everything the file says had already ended before this line"
    return Cause(failure.at, failure.at + len(failure.rest), says, "Give every key of the file the same indentation")


# --- quotes ----------------------------------------------------------------------------------------------------


def _open_quote(failure: Failure) -> Cause | None:
    """A quote that is opened and never closed."""
    if failure.since is None or failure.lines.text[failure.since : failure.since + 1] not in {"'", '"'}:
        return None
    return _unclosed_quote(failure, failure.since)


def _unclosed_quote(failure: Failure, start: int) -> Cause:
    line = failure.lines.place(start)[0]
    return Cause(start, start + 1, f"the quote opened on line {line} is not closed", "Close it at the end of the text")


def _after_quote(failure: Failure) -> Cause | None:
    """Something follows on a closing quote: the quotes end too early, or an earlier one was never closed."""
    last = failure.last
    if last is None or not last.quoted or not failure.char or failure.char in "}]:":
        return None
    text = failure.lines.text
    if text[last.end : failure.at].strip(" \t") or text[last.start] not in {"'", '"'}:
        return None
    if len(text[last.start : last.end].splitlines()) > 1:
        return _unclosed_quote(failure, last.start)
    quote = text[last.start]
    says = f"the text goes on after the closing {quote} of {shortened(text[last.start : last.end])}"
    other = "double quotes" if quote == "'" else "single quotes"
    return Cause(failure.at, failure.at + len(failure.rest), says, f"Put all of it in {other}")


def _after_bracket(failure: Failure) -> Cause | None:
    """`name: [A] camera`: text after a closing bracket on the same line."""
    before = failure.line[: len(failure.line) - len(failure.rest)].rstrip()
    if not failure.rest or before[-1:] not in {"]", "}"}:
        return None
    says = f"the text goes on after the closing `{before[-1]}`"
    fix = "Put a text that begins with a bracket or brace in quotes"
    return Cause(failure.at, failure.at + len(failure.rest), says, fix)


# --- colons ----------------------------------------------------------------------------------------------------

_NO_SPACE: Final = re.compile(r"([A-Za-z_]\w*):([^\s:/][^\s,}\]]*)")
_VALUE: Final = re.compile(r"\s*(?:- +)*(?P<key>[^\s:#{\[][^:#]*): +(?P<value>\S.*)")


def _no_space(failure: Failure) -> Cause | None:
    """`rate:25`: a colon without a space after it, on the line where the parser stopped or the one before."""
    number = failure.lines.place(failure.at)[0]
    for each in (number, number - 1):
        line = failure.lines.line(each) if each else ""
        bare = line.lstrip(" -")
        found = _NO_SPACE.match(bare)
        if found:
            start = failure.lines.offset(each, 1) + len(line) - len(bare)
            fix = f"Write `{found[1]}: {found[2]}`"
            return Cause(start, start + len(found[0]), "a colon needs a space after it to make a key", fix)
    return None


def _sentence_with_colon(failure: Failure) -> Cause | None:
    """`note: this: that` in a block."""
    number, column = failure.lines.place(failure.at)
    found = _VALUE.match(failure.lines.line(number))
    if failure.opened is not None or failure.char != ":" or not found or found.start("value") >= column - 1:
        return None
    value = re.split(r"\s#", found["value"], maxsplit=1)[0].rstrip()
    start = failure.lines.offset(number, found.start("value") + 1)
    opening = {closing: each for each, closing in _CLOSING.items()}.get(value[-1:])
    if opening and opening not in value:
        says = f"the `{value[-1]}` at the end of this value closes nothing"
        return Cause(start, start + len(value), says, f"Begin the value with `{opening}`, or put it in quotes")
    return _colon(start, found["key"], value)


def _sentence_in_braces(failure: Failure) -> Cause | None:
    """`{note: this: that}`, or `{at: 07:00 do: jam}` where a comma is missing."""
    last, text = failure.last, failure.lines.text
    if failure.opened is None or failure.char != ":" or last is None or last.quoted:
        return None
    before, value = text[: last.start].rstrip(), text[last.start : last.end]
    if not before.endswith(":") or text[last.end : failure.at].strip() or len(value.splitlines()) > 1:
        return None
    cause = _colon(last.start, re.split(r"[\s{,\[]", before[-_LONGEST_KEY:-1])[-1], _until_close(text[last.start :]))
    _, space, word = value.rpartition(" ")
    return replace(cause, fix=f"{cause.fix}, or a comma before `{shortened(word)}:`") if space and cause.fix else cause


def _colon(start: int, key: str, value: str) -> Cause:
    says = "a sentence with a colon in it needs quotes"
    fix = f'Write `{shortened(key.rstrip())}: "{shortened(value)}"`' if '"' not in value else "Put it in single quotes"
    return Cause(start, start + len(value), says, fix)


def _until_close(text: str) -> str:
    """The text of its first line up to what ends a value in braces."""
    return re.split(r"[,}\]\r\n]|\s#", text, maxsplit=1)[0].rstrip()


def _deeper(failure: Failure) -> Cause | None:
    """A key indented below a line that already has its value."""
    if failure.opened is not None:
        return None
    start = failure.at - failure.lines.place(failure.at)[1] + 1
    says = "this line is indented as if it continued the line above it, which already has its value"
    return Cause(start + _indent(failure.line), failure.at + 1, says, "Give it the indentation of the key above")


def _lone_word(failure: Failure) -> Cause | None:
    """A line with a word and no colon where a key should stand; the colon may be in a comment."""
    if failure.since is None:
        return None
    number, column = failure.lines.place(failure.since)
    word = failure.lines.line(number)[column - 1 :]
    if word[:1] in _CLOSING:
        return _unclosed_bracket(failure, failure.since)
    comment = re.search(r"\s(?=#)", word)
    alone = word[: comment.start()] if comment else word
    says = f"`{shortened(alone)}` stands alone: a key is followed by a colon and a space"
    fix = "Everything after ` #` is a comment; leave the # out, or put the key in quotes" if comment else ""
    return Cause(failure.since, failure.since + len(word), says, fix)


def _bare_colon(failure: Failure) -> Cause | None:
    says = "in braces a colon needs a space and a value after it: {at: 07:00}"
    return Cause(failure.at, failure.at + 1, says)


# --- braces and brackets ---------------------------------------------------------------------------------------

_COMMENT: Final = re.compile(
    r"""
    "(?:[^"\\]|\\.)*+" | (?<!\w)'(?:[^']|'')*+'      # what is quoted is passed over
    | \s(?P<comment>\#.*)
""",
    re.VERBOSE,
)
_LONG: Final = 2000
"""A longer line is not searched for comments; with many quotes it would take too long."""


def _swallowed(failure: Failure) -> Cause | None:
    """`{why: box # 3 is spare}`: a comment begins before the closing brace and takes it along."""
    if failure.opened is None:
        return None
    closing = _CLOSING.get(failure.lines.text[failure.opened], "")
    first, last = failure.lines.place(failure.opened)[0], failure.lines.place(failure.at)[0]
    for number in range(first, last + 1):
        found = _comment(failure.lines.line(number))
        if found and closing in found["comment"]:
            start = failure.lines.offset(number, found.start("comment") + 1)
            thing = "brace" if closing == "}" else "bracket"
            says = f"everything after ` #` is a comment, the closing {thing} included"
            return Cause(start, start + len(found["comment"]), says, "Put the sentence in quotes")
    return None


def _comment(line: str) -> re.Match[str] | None:
    """The comment on a line."""
    found = _COMMENT.finditer(line) if len(line) <= _LONG else ()
    return next((each for each in found if each["comment"]), None)


def _unclosed(failure: Failure) -> Cause | None:
    """A brace or bracket that is still open where the file ends, another kind is closed, or a new key begins."""
    if failure.opened is None:
        return None
    text, (line, _) = failure.lines.text, failure.lines.place(failure.opened)
    opening = text[failure.opened]
    if failure.char in {"}", "]"} and failure.char != _CLOSING.get(opening):
        says = f"this `{failure.char}` cannot close the `{opening}` opened on line {line}"
        return Cause(failure.at, failure.at + 1, says, f"Close it with `{_CLOSING.get(opening)}` first")
    beyond = failure.lines.place(failure.at)[0] > line and _indent(failure.line) <= _indent(failure.lines.line(line))
    if text[failure.at :].strip() and not beyond:
        return None
    return _unclosed_bracket(failure, failure.opened)


def _unclosed_bracket(failure: Failure, start: int) -> Cause:
    opening = failure.lines.text[start]
    says = f"the `{opening}` opened on line {failure.lines.place(start)[0]} is not closed"
    return Cause(start, start + 1, says, f"Close it with `{_CLOSING.get(opening)}`")


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip(" "))


def _no_value(failure: Failure) -> Cause | None:
    if failure.char not in {",", "}", "]"}:
        return None
    says = f"nothing stands before this `{failure.char}`"
    return Cause(failure.at, failure.at + 1, says, "Put a text that begins with it in quotes, or take it out")


def _no_comma(failure: Failure) -> Cause | None:
    """Two things follow on one another in braces; where the second begins a line, the first is at fault."""
    if failure.opened is None:
        return None
    last = failure.last
    written = failure.lines.text[last.start : last.end].splitlines() if last and not last.quoted else []
    fix = "Inside braces and brackets, put a comma between any two things"
    if last and len(written) > 1:
        end = last.start + len(written[0])
        return Cause(end - 1, end, "a comma is missing at the end of this line", fix)
    return Cause(failure.at, failure.at + 1, "a comma is missing before this", fix)


def _no_key(failure: Failure) -> Cause | None:
    if failure.char != ":":
        return None
    return Cause(failure.at, failure.at + 1, "a key is missing before this colon")


def _quote(value: str) -> str:
    """The advice to quote a value."""
    kept = _until_close(value)
    return f'Write "{shortened(kept)}"' if kept and '"' not in kept else "Put it in quotes"


_FLOW: Final = r"',' or|node content|mapping values|unexpected ':'"
_BLOCK: Final = r"block end|expected key|'-' indicator|document start"
_EXPLANATIONS: Final[tuple[tuple[re.Pattern[str], Callable[[Failure], Cause | None]], ...]] = tuple(
    (re.compile(words), explain)
    for words, explain in (
        ("nesting depth", _too_deep),
        ("end of stream|document indicator|expected ':'", _open_quote),
        (f"tab character|cannot start any token|{_BLOCK}|expected ':'|not allowed", _tab),
        (_FLOW, _swallowed),
        (f"{_FLOW}|{_BLOCK}", _after_quote),
        ("mapping values", _sentence_with_colon),
        (_FLOW, _sentence_in_braces),
        (f"{_FLOW}|expected ':'|not allowed", _unclosed),
        ("unexpected ':'", _bare_colon),
        ("node content", _no_value),
        ("',' or", _no_comma),
        (f"mapping values|expected ':'|{_BLOCK}", _no_space),
        ("mapping values", _deeper),
        ("expected ':'", _lone_word),
        ("directive|incompatible", _directive),
        (r"alphabetic or numeric|cannot start any token|\btag\b|block scalar", _reserved),
        ("sequence entries|node content", _dash),
        ("escape", _escape),
        (_BLOCK, _after_bracket),
        (f"{_BLOCK}|node content", _no_key),
        ("document start", _second_root),
        (_BLOCK, _indentation),
    )
)
