"""Edits change what they are about and nothing else: no other value, no comment, no byte."""

import contextlib
import re
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from synclint.documents.edits import CannotEditError, ClashingEditsError, apply_edits
from synclint.documents.lines import Lines
from synclint.documents.reading import load_text
from synclint.findings import AddItem, AddKey, Edit, Place, Remove, RenameKey, SetValue, Span
from tests.documents.edited import FILE, done, edits, place, said, settings, texts


def edited(text: str, *asked: Edit) -> str:
    return apply_edits(text, FILE, asked)


def refused(text: str, *asked: Edit) -> str:
    with pytest.raises(CannotEditError) as caught:
        edited(text, *asked)
    return str(caught.value)


# --- setting a value -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("before", "path", "value", "after"),
    [
        ("rate: 24 # as agreed\nzone: x\n", ("rate",), "23.976 NDF", "rate: 23.976 NDF # as agreed\nzone: x\n"),
        ("a: {rate:  24,  b: 'q'}", ("a", "rate"), "25", "a: {rate:  25,  b: 'q'}"),
        ("a: [x, [y, z]]\n", ("a", 1, 0), "own clock", "a: [x, [own clock, z]]\n"),
        ('a: "25"\n', ("a",), "25", "a: 25\n"),
        ("a:\nb: 1\n", ("a",), "7", "a: 7\nb: 1\n"),
        ("a:    # not said\nb: 1\n", ("a",), "7", "a: 7    # not said\nb: 1\n"),
        ("{a: , b: 1}", ("a",), "7", "{a: 7, b: 1}"),
        ("-\n- b", (0,), "a", "- a\n- b"),
        ("of:\n- a\n- b\nat: 1", ("of",), "[c]", "of: [c]\nat: 1"),
        ("of:\r\n  - a\r\n  - b\r\nat: 1\r\n", ("of",), "[c]", "of: [c]\r\nat: 1\r\n"),
        ("of:  # who\n- a\nat: 1\n", ("of",), "[c]", "of:  # who\n  [c]\nat: 1\n"),
        ("of:  # who\n  a: 1\nat: 1\n", ("of",), "[c]", "of:  # who\n  [c]\nat: 1\n"),
        ("of:\n  a: 1\n  # so\nat: 1\n", ("of",), "x", "of: x\n  # so\nat: 1\n"),
        ("t: |\n  one\n  two\n\nat: 1\n", ("t",), "x", "t: x\n\nat: 1\n"),
        ("a: 'über' # ü\n", ("a",), "25", "a: 25 # ü\n"),
    ],
)
def test_a_value_is_set_where_it_stands(before: str, path: tuple[str | int, ...], value: str, after: str) -> None:
    assert edited(before, SetValue(place(before, *path), value)) == after


def test_a_byte_order_mark_stays() -> None:
    text = "rate: 24\n"
    assert edited(f"\ufeff{text}", SetValue(place(text, "rate"), "25")) == "\ufeffrate: 25\n"


def test_a_value_that_several_devices_share_changes_once() -> None:
    text = "cam_1..cam_8: {rate: 24}\nbox: {like: cam_1}\n"
    edit = SetValue(place(text, "cam_1..cam_8", "rate"), "25")
    assert edited(text, edit, edit) == "cam_1..cam_8: {rate: 25}\nbox: {like: cam_1}\n"


def test_what_stands_behind_an_alias_changes_for_all_who_refer_to_it() -> None:
    text = "a: &one {rate: 24}\nb: *one\n"
    assert edited(text, SetValue(place(text, "b", "rate"), "25")) == "a: &one {rate: 25}\nb: *one\n"


def test_an_alias_is_replaced_by_a_value_of_its_own() -> None:
    text = "a: &one 24\nb: *one\n"
    assert edited(text, SetValue(place(text, "b"), "25")) == "a: &one 24\nb: 25\n"


def test_a_value_that_an_alias_repeats_is_not_set() -> None:
    text = "a: &one 24\nb: *one\n"
    assert "edit it by hand" in refused(text, SetValue(place(text, "a"), "25"))


# --- adding ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("before", "path", "after"),
    [
        ("a: {b: 1}\n", ("a",), "a: {b: 1, k: 2}\n"),
        ("a: { b: 1, }\n", ("a",), "a: { b: 1, k: 2, }\n"),
        ("a: {b: }\n", ("a",), "a: {b: , k: 2}\n"),
        ("a: {}\n", ("a",), "a: {k: 2}\n"),
        ("a: { }\n", ("a",), "a: {k: 2}\n"),
        ("a: {b: 1,  # one\n  c: 2  # two\n  }\n", ("a",), "a: {b: 1,  # one\n  c: 2, k: 2  # two\n  }\n"),
        ("a:\n  b: 1  # one\n# of c\nc: 3", ("a",), "a:\n  b: 1  # one\n  k: 2\n# of c\nc: 3"),
        ("a:\r\n    b: 1\r\n", ("a",), "a:\r\n    b: 1\r\n    k: 2\r\n"),
        ("a:\n  b: 1", ("a",), "a:\n  b: 1\n  k: 2"),
        ("a:\n  b: |\n    x\n\nc: 1\n", ("a",), "a:\n  b: |\n    x\n  k: 2\n\nc: 1\n"),
        ("- at: 1\n  do: jam\n- at: 2\n", (0,), "- at: 1\n  do: jam\n  k: 2\n- at: 2\n"),
        ("a: 1\n", (), "a: 1\nk: 2\n"),
        ("a:\nb: 1\n", ("a",), "a: {k: 2}\nb: 1\n"),
        ("a: {k: , b: 1}\n", ("a",), "a: {k: 2, b: 1}\n"),
        ("a:\n  k:  # not yet\n  b: 1\n", ("a",), "a:\n  k: 2  # not yet\n  b: 1\n"),
    ],
)
def test_a_key_is_added_in_the_style_of_its_mapping(before: str, path: tuple[str | int, ...], after: str) -> None:
    assert edited(before, AddKey(place(before, *path), "k", "2")) == after


def test_what_kind_of_document_it_is_stands_first() -> None:
    text = "# Day 4\ntitle: x\n"
    assert edited(text, AddKey(place(text), "synclint", "setup/1")) == "# Day 4\nsynclint: setup/1\ntitle: x\n"


@pytest.mark.parametrize(
    ("before", "path", "key", "after"),
    [
        ("a: [1, 2]\n", ("a",), "", "a: [1, 2, {at: 3}]\n"),
        ("a: []\n", ("a",), "", "a: [{at: 3}]\n"),
        ("a:\n- 1\n- 2 # two\nb: 1", ("a",), "", "a:\n- 1\n- 2 # two\n- {at: 3}\nb: 1"),
        ("a:\n  - 1\n  - b: 2\n    c: 3", ("a",), "", "a:\n  - 1\n  - b: 2\n    c: 3\n  - {at: 3}"),
        ("a: {of: cam_a}\n", ("a",), "of", "a: {of: [cam_a, {at: 3}]}\n"),
        ("a: {of: }\n", ("a",), "of", "a: {of: [{at: 3}]}\n"),
        ("a: {b: 1}\n", ("a",), "events", "a: {b: 1, events: [{at: 3}]}\n"),
        ("- date: 1\n- date: 2\n", (0,), "events", "- date: 1\n  events:\n    - {at: 3}\n- date: 2\n"),
    ],
)
def test_an_item_is_added_at_the_end_of_a_list(before: str, path: tuple[str | int, ...], key: str, after: str) -> None:
    assert edited(before, AddItem(place(before, *path), "{at: 3}", key)) == after


def test_several_items_and_keys_stand_in_the_order_in_which_they_were_asked_for() -> None:
    text = "a:\n  b:\n    c: 1\n"
    at = place(text, "a")
    asked = (AddItem(at, "1", "l"), AddKey(at, "x", "1"), AddKey(at, "y", "2"), AddItem(at, "2", "l"))
    deep = (AddKey(place(text, "a", "b"), "z", "3"), SetValue(place(text, "a", "b", "c"), "4"))
    assert edited(text, *asked, *deep) == "a:\n  b:\n    c: 4\n    z: 3\n  x: 1\n  y: 2\n  l:\n    - 1\n    - 2\n"


# --- renaming and taking out -----------------------------------------------------------------------------------


def test_a_key_is_renamed_by_the_place_of_its_value_or_of_itself() -> None:
    text = "devices: {a: {tmiecode: 1}}\n"
    at = place(text, "devices", "a", "tmiecode")
    key = Place(at.path, Span(FILE, 1, 15, 1, 23))
    for each in (at, key):
        assert edited(text, RenameKey(each, "timecode")) == "devices: {a: {timecode: 1}}\n"


@pytest.mark.parametrize(
    ("before", "gone", "after"),
    [
        ("a: [1, 2, 3]", [("a", 0)], "a: [2, 3]"),
        ("a: [1, 2, 3]", [("a", 2)], "a: [1, 2]"),
        ("a: [1, 2, 3]", [("a", 1), ("a", 2)], "a: [1]"),
        ("a: [1, 2, 3]", [("a", 0), ("a", 2)], "a: [2]"),
        ("a: [1, 2, 3]", [("a", 2), ("a", 0), ("a", 1)], "a: []"),
        ("a: {b: 1, c: 2}", [("a", "c")], "a: {b: 1}"),
        ("a: {b: 1}", [("a", "b")], "a: {}"),
        ("a:\n  - 1 # one\n  # of two\n  - 2\nb: 3", [("a", 0)], "a:\n  # of two\n  - 2\nb: 3"),
        ("a:\n  - 1\n  - 2\n  - 3", [("a", 1), ("a", 2)], "a:\n  - 1"),
        ("a:\r\n  b: 1\r\n  c:\r\n    d: 2\r\n", [("a", "c")], "a:\r\n  b: 1\r\n"),
        ("- x: 1\n  y: 2\n- 2", [(0, "x")], "- y: 2\n- 2"),
        ("- - 1\n  - 2\n", [(0, 0)], "- - 2\n"),
        ("accepted:\n  - rule: x\n    why: y\n", [("accepted", 0)], "accepted: []\n"),
    ],
)
def test_an_entry_is_taken_out(before: str, gone: list[tuple[str | int, ...]], after: str) -> None:
    assert edited(before, *(Remove(place(before, *path)) for path in gone)) == after


@pytest.mark.parametrize(
    ("one", "other", "joined"),
    [
        ("{r: {mark: on}}", "{s: {mark: on}}", "{r: {mark: on}, s: {mark: on}}"),
        ("{r: {mark: on}}", "{r: {level: '2, 3'}, s: [a, b]}", "{r: {mark: on, level: '2, 3'}, s: [a, b]}"),
        ("{r: {mark: on}}", "{r: {mark: on}}", "{r: {mark: on}}"),
        ("{r: {x: {a: 1}}, q: 1}", "{q: 1, r: {x: {b: 2}, y: 3}}", "{r: {x: {a: 1, b: 2}, y: 3}, q: 1}"),
    ],
)
def test_two_new_mappings_under_one_key_are_written_as_one(one: str, other: str, joined: str) -> None:
    text = "gen:\n  timecode: x\n"
    at = place(text, "gen")
    assert edited(text, AddKey(at, "ports", one), AddKey(at, "ports", other)) == f"{text}  ports: {joined}\n"


# --- what is refused -------------------------------------------------------------------------------------------


def test_two_values_for_one_place_contradict_each_other() -> None:
    text = "a: {b: 1, c: 2}\n"
    at = place(text, "a", "b")
    for asked in (
        (SetValue(at, "3"), SetValue(at, "4")),
        (SetValue(at, "3"), SetValue(place(text, "a"), "4")),
        (SetValue(at, "3"), Remove(place(text, "a"))),
        (RenameKey(at, "x"), RenameKey(at, "y")),
        (RenameKey(at, "x"), Remove(at)),
        (AddKey(place(text, "a"), "k", "1"), AddKey(place(text, "a"), "k", "2")),
        (AddKey(place(text, "a"), "k", "{x: 1}"), AddKey(place(text, "a"), "k", "{x: 2}")),
        (AddKey(place(text, "a"), "k", "{x: {y: 1}}"), AddKey(place(text, "a"), "k", "{x: 2, z: 3}")),
        (AddKey(place(text, "a"), "k", "[x]"), AddKey(place(text, "a"), "k", "[y]")),
        (RenameKey(at, "c"),),
        (AddKey(place(text, "a"), "c", "1"),),
        (Remove(at), Remove(place(text, "a", "c")), AddKey(place(text, "a"), "k", "1")),
    ):
        with pytest.raises(ClashingEditsError):
            edited(text, *asked)


@pytest.mark.parametrize(
    ("text", "path", "value"),
    [
        ("a: {b: 1}", ("a", "b"), "x, y"),
        ("a: {b: 1}", ("a", "b"), "x #3"),
        ("a: {b: 1}", ("a", "b"), "x: 2"),
        ("a: {b: 1}", ("a", "b"), "1\nc: 2"),
        ("a: {b: 1}", ("a", "b"), ""),
        ("a: {b: 1}", ("a", "b"), "{x: 1"),
        ("a: {b: 1}", ("a", "b"), "*x"),
        ("a: {b: 1}", ("a", "b"), "&x 1"),
        ("a: {b: 1}", ("a", "b"), "!!str 1"),
        ("a: {b: 1}", ("a", "b"), "1 # one"),
        ("a: {b: 1}", ("a", "b"), ".nan"),
        ("a:\n  - 1 # one\n  - 2\n", ("a",), "[]"),
        ("a: | # so\n  x\n", ("a",), "[]"),
    ],
)
def test_what_cannot_stand_there_or_would_cost_a_comment_is_refused(
    text: str, path: tuple[str | int, ...], value: str
) -> None:
    assert refused(text, SetValue(place(text, *path), value))


def test_a_text_that_has_changed_since_is_refused() -> None:
    edit = SetValue(place("a: 1\nb: 2\n", "b"), "3")
    assert "has been changed" in refused("# new\na: 1\nb: 2\n", edit)
    assert "has been changed" in refused("a: 1\n", edit)
    assert "cannot be read" in refused("a: {", edit)
    assert "empty" in refused("", edit)


def test_an_edit_of_another_file_is_refused() -> None:
    with pytest.raises(CannotEditError, match=re.escape(FILE)):
        apply_edits("a: 1\n", "other.yaml", [SetValue(place("a: 1\n", "a"), "2")])


def test_the_edits_of_loading_mend_what_it_tells_of() -> None:
    text = "# Day 4\nsynlint: setup/1\ntitle: x\n"
    (problem,) = load_text(text, FILE).problems
    assert problem.fix is not None
    assert load_text(edited(text, *problem.fix.edits), FILE).problems == ()


# --- laws ------------------------------------------------------------------------------------------------------

_COMMENT = re.compile(r"# note [0-9]+")


@given(data=st.data(), text=texts())
def test_an_edit_changes_what_it_is_about_and_nothing_else(data: Any, text: str) -> None:
    edit = data.draw(edits(text))
    try:
        after = edited(text, edit)
    except CannotEditError:
        # A comment stands inside or beside it, or a text below `|` would get another end.
        assert (isinstance(edit, SetValue | Remove) and _COMMENT.search(text)) or " |" in text
        return
    assert said(after) == done(said(text), edit)
    assert after.endswith(("\n", "\r\n")) == text.endswith(("\n", "\r\n"))
    assert ("\r\n" in text) or "\r" not in after
    assert "\n" not in after.replace("\r\n", "") or "\r\n" not in text
    comments = _COMMENT.findall(text)
    left = _COMMENT.findall(after)
    if isinstance(edit, Remove):
        assert left == [comment for comment in comments if comment in left]
    else:
        assert left == comments


@given(data=st.data(), text=texts())
def test_all_but_the_value_stays_byte_for_byte(data: Any, text: str) -> None:
    edit = data.draw(settings(text))
    lines, span = Lines(text, FILE), edit.place.span
    start, end = lines.offset(span.line, span.column), lines.offset(span.end_line, span.end_column)
    try:
        after = edited(text, edit)
    except CannotEditError:
        assume(False)
    assert after.startswith(text[:start].rstrip())
    assert after.endswith(text[end:])


@given(data=st.data(), text=texts())
def test_two_edits_at_once_do_what_they_do_one_after_the_other_or_clash(data: Any, text: str) -> None:
    one, other = data.draw(settings(text)), data.draw(settings(text))
    a, b = one.place.path, other.place.path
    try:
        after = edited(text, one, other)
    except CannotEditError:
        return
    if one == other:
        assert said(after) == done(said(text), one)
    else:
        assert a[: len(b)] != b
        assert b[: len(a)] != a
        assert said(after) == done(done(said(text), one), other)


_SOUP = st.text(alphabet="ab:-{}[],#&*!|>'\" \n\r\t?%@`~<1é", max_size=40)


@given(text=_SOUP, value=_SOUP, name=_SOUP, path=st.lists(st.sampled_from(["a", "b", 0, 1]), max_size=3).map(tuple))
def test_nothing_but_a_refusal_is_raised_whatever_is_given(
    text: str, value: str, name: str, path: tuple[str | int, ...]
) -> None:
    at = Place(path, Span(FILE, 1, 1, 1, 2))
    for edit in (SetValue(at, value), AddKey(at, name, value), AddItem(at, value, name), RenameKey(at, name)):
        with contextlib.suppress(CannotEditError):
            edited(text, edit, Remove(at))
        with contextlib.suppress(CannotEditError):
            edited(text, edit)
