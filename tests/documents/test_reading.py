"""Files and standard input; documents and what makes them one."""

import io
import os
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from synclint.documents.reading import (
    KINDS,
    MAX_BYTES,
    CannotReadError,
    identity,
    load_document,
    load_text,
    read_stdin,
    read_text,
)
from synclint.findings import STDIN, AddKey, Finding, RenameKey, SetValue, Span


def refused(path: str | Path) -> Finding:
    with pytest.raises(CannotReadError) as caught:
        read_text(path)
    finding = caught.value.finding
    assert finding.rule == "unreadable-file"
    assert finding.at.span.file == str(path)
    assert str(caught.value) == finding.sentence
    return finding


def whole(path: str | Path) -> Span:
    """The span of a file of which there is no text."""
    return Span(str(path), 0, 0, 0, 0)


# --- files -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("content", "text"),
    [(b"", ""), ("é😀\n".encode(), "é😀\n"), (b"\xef\xbb\xbfa: 1\r\n", "a: 1\r\n"), (b"a\rb", "a\rb")],
)
def test_text_as_it_is_written(tmp_path: Path, content: bytes, text: str) -> None:
    path = tmp_path / "a.setup.yaml"
    path.write_bytes(content)
    assert read_text(path) == read_text(str(path)) == text


def test_missing(tmp_path: Path) -> None:
    found = refused(tmp_path / "a.setup.yaml")
    assert (found.sentence, found.fix, found.at.span) == ("there is no such file", None, whole(found.at.span.file))


def test_missing_but_one_of_nearly_the_name_is_there(tmp_path: Path) -> None:
    (tmp_path / "harbour.setup.yaml").touch()
    assert refused(tmp_path / "habour.setup.yaml").fix_sentence == f"Did you mean `{tmp_path / 'harbour.setup.yaml'}`?"


def test_missing_folder(tmp_path: Path) -> None:
    assert refused(tmp_path / "no" / "a.yaml").sentence == "there is no such file"


def test_folder(tmp_path: Path) -> None:
    assert "folder" in refused(tmp_path).sentence


def test_file_taken_for_a_folder(tmp_path: Path) -> None:
    (tmp_path / "a").touch()
    assert refused(tmp_path / "a" / "b").sentence == "not a directory"


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("", "this is not the name of a file"),
        ("a\x00b", "this is not the name of a file"),
        ("x" * 5000, "file name too long"),
    ],
)
def test_no_name_of_a_file(name: str, says: str) -> None:
    assert refused(name).sentence == says


def test_link_that_goes_in_a_circle(tmp_path: Path) -> None:
    (tmp_path / "a").symlink_to(tmp_path / "b")
    (tmp_path / "b").symlink_to(tmp_path / "a")
    assert "too many levels" in refused(tmp_path / "a").sentence


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="the system has no named pipes")
def test_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    found = refused(tmp_path / "pipe")
    assert "pipe or a device" in found.sentence
    assert "`-`" in found.fix_sentence


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="the system has no device files")
def test_device() -> None:
    assert "pipe or a device" in refused("/dev/zero").sentence


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may read everything")
def test_not_permitted(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.touch(mode=0)
    assert "not permitted" in refused(path).sentence


def test_not_permitted_as_the_system_says_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    with monkeypatch.context() as patch:
        patch.setattr(os, "stat", refuse)
        with pytest.raises(CannotReadError) as caught:
            read_text(tmp_path / "a")
    assert caught.value.finding.sentence == "reading this is not permitted"


def test_too_large_is_seen_before_reading(tmp_path: Path) -> None:
    path = tmp_path / "a"
    with path.open("wb") as file:
        file.truncate(10**11)
    assert refused(path).sentence == "the file is larger than 4 MB; no setup is so large"


def test_as_large_as_allowed(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"#" * MAX_BYTES)
    assert len(read_text(path)) == MAX_BYTES


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-be", "utf-16-le", "utf-32", "utf-32-be"])
def test_other_unicode(tmp_path: Path, encoding: str) -> None:
    path = tmp_path / "a"
    text = "a: b\n" if encoding in {"utf-16", "utf-32"} else "\ufeffa: b\n"
    path.write_bytes(text.encode(encoding))
    found = refused(path)
    assert found.sentence == f"the file is saved as {encoding[:6].upper()}"
    assert found.fix_sentence == "Save it as UTF-8"
    assert found.at.span == whole(path)


def test_binary(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR")
    assert refused(path).sentence == "this is not a text file"


def test_latin_1_is_refused_where_it_shows(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.write_bytes("a: 1\r\nname: café x\n".encode("latin-1"))
    found = refused(path)
    assert found.at.span == Span(str(path), 2, 10, 2, 11)
    assert "not saved as UTF-8" in found.sentence
    assert "Latin-1" in found.sentence
    assert "E9" in found.sentence
    assert found.fix_sentence == "Save it as UTF-8"


def test_latin_1_after_a_byte_order_mark(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"\xef\xbb\xbfab\xe9")
    assert refused(path).at.span == Span(str(path), 1, 3, 1, 4)


@given(st.binary(max_size=40))
def test_any_bytes_are_text_or_refused(tmp_path_factory: pytest.TempPathFactory, content: bytes) -> None:
    path = tmp_path_factory.getbasetemp() / "any"
    path.write_bytes(content)
    try:
        text = read_text(path)
    except CannotReadError:
        return
    assert text.encode() == content.removeprefix(b"\xef\xbb\xbf")


def test_one_file_by_whatever_links(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path, soft, hard = tmp_path / "a", tmp_path / "soft", tmp_path / "hard"
    path.touch()
    soft.symlink_to(path)
    hard.hardlink_to(path)
    monkeypatch.chdir(tmp_path)
    assert len({identity(each) for each in (path, soft, hard, "a", ".//a", str(path))}) == 1
    assert len({identity(each) for each in (path, "b", tmp_path / "b", "./b", "x\0")}) == 3


# --- standard input --------------------------------------------------------------------------------------------


def give(monkeypatch: pytest.MonkeyPatch, content: bytes) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(content), encoding="ascii"))


def test_standard_input_is_utf_8_whatever_the_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    give(monkeypatch, "\ufeffa: é\r\n".encode())
    assert read_stdin() == "a: é\r\n"


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"\x00", "not a text file"),
        (b"\xff\xfea\x00", "UTF-16"),
        (b"#" * (MAX_BYTES + 1), "larger"),
        (b"\xe9", "UTF-8"),
    ],
)
def test_standard_input_is_held_to_the_same(monkeypatch: pytest.MonkeyPatch, content: bytes, words: str) -> None:
    give(monkeypatch, content)
    with pytest.raises(CannotReadError, match=words) as caught:
        read_stdin()
    assert caught.value.finding.at.span.file == STDIN


def test_no_standard_input(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", None)
    with pytest.raises(CannotReadError, match="no standard input"):
        read_stdin()


# --- documents -------------------------------------------------------------------------------------------------


def only(text: str, file: str = "f.yaml") -> Finding:
    """The one problem of a text that is no document."""
    loaded = load_text(text, file)
    assert loaded.document is None
    (found,) = loaded.problems
    return found


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind(tmp_path: Path, kind: str) -> None:
    path = tmp_path / "a"
    path.write_text(f"synclint: {kind}\na: 1\n", encoding="utf-8")
    loaded = load_document(path)
    assert loaded.document is not None
    assert (loaded.document.kind, loaded.document.file, loaded.problems) == (kind, str(path), ())
    assert list(loaded.document.root.entries) == ["synclint", "a"]
    assert loaded.text == f"synclint: {kind}\na: 1\n"


def test_from_standard_input(monkeypatch: pytest.MonkeyPatch) -> None:
    give(monkeypatch, b"synclint: kit/1\n")
    loaded = load_document("-")
    assert loaded.document is not None
    assert loaded.document.file == loaded.document.root.span.file == STDIN


def test_problems_of_writing_come_with_the_document() -> None:
    loaded = load_text("synclint: setup/1\na: 1\na: 2\n", "f")
    assert loaded.document is not None
    assert [each.rule for each in loaded.problems] == ["duplicate-key"]


def test_no_file_is_no_document(tmp_path: Path) -> None:
    with pytest.raises(CannotReadError):
        load_document(tmp_path / "a")


def test_no_yaml_is_no_document() -> None:
    found = only("synclint:setup/1\ntitle: x\n")
    assert found.rule == "unreadable-file"
    assert "a colon needs a space" in found.sentence


@pytest.mark.parametrize("text", ["", "\n", "# nothing\n", "---\n"])
def test_empty(text: str) -> None:
    found = only(text)
    assert (found.rule, found.sentence) == ("unreadable-file", "the file is empty")
    assert found.at.span == Span("f.yaml", 1, 1, 1, 1)
    assert found.fix_sentence == "Begin it with `synclint: setup/1` or `synclint: kit/1`"  # what is checked by itself


@pytest.mark.parametrize(
    ("text", "words", "fix"),
    [
        ("- a\n", "the file is a list", "Begin it with"),
        ("hello", "the file is one text", "Begin it with"),
        ("synclint:setup/1\n", "the file is one text", "Put a space after the colon: `synclint: setup/1`"),
    ],
)
def test_no_keys(text: str, words: str, fix: str) -> None:
    found = only(text)
    assert found.rule == "wrong-value"
    assert words in found.sentence
    assert fix in found.fix_sentence


def test_no_opening_lists_the_kinds_that_are_checked() -> None:
    found = only("\ntitle: x\n")
    assert (found.rule, found.at.path, found.at.span) == ("missing-key", (), Span("f.yaml", 2, 1, 2, 1))
    assert found.fix_sentence == "Begin it with `synclint: setup/1` or `synclint: kit/1`"


def test_no_opening_but_a_name_that_tells() -> None:
    found = only("types: {}\n", "kits/small.kit.yaml")
    assert "`synclint: kit/1`" in found.fix_sentence
    assert found.fix is not None
    (edit,) = found.fix.edits
    assert isinstance(edit, AddKey)
    assert (edit.place.path, edit.key, edit.value) == ((), "synclint", "kit/1")


def test_misspelt_opening() -> None:
    found = only("title: x\nsynclnt: setup/1\n")
    assert (found.at.span.line, found.at.span.column) == (2, 1)
    assert found.fix is not None
    (edit,) = found.fix.edits
    assert isinstance(edit, RenameKey)
    assert (edit.place.path, edit.name) == (("synclnt",), "synclint")


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        *(("setp/1", "setup/1"), ("setup", "setup/1"), ("kits/1", "kit/1"), ("Setup/1", "setup/1")),
        *(("house/0", "house/1"), ("log/one", "log/1"), ("setup/ 1", "setup/1"), ("setup/01", "setup/1")),
    ],
)
def test_wrong_kind(written: str, meant: str) -> None:
    found = only(f"a: b\nsynclint: {written}\n")
    assert (found.rule, str(found.at), found.at.span.line, found.at.span.column) == ("wrong-value", "synclint", 2, 11)
    assert found.fix_sentence == f"Write `{meant}`"
    assert found.fix is not None
    assert found.fix.edits == (SetValue(found.at, meant),)


@pytest.mark.parametrize("written", ["1", "true", "rig/1", "", "[setup/1]", "{a: b}"])
def test_no_kind_at_all(written: str) -> None:
    found = only(f"synclint: {written}\n")
    assert found.rule == "wrong-value"
    assert found.fix_sentence == "Write setup/1 or kit/1"


def test_newer_than_this_program() -> None:
    found = only("synclint: setup/2\n")
    assert found.sentence == "setup/2: this file is newer than this program, which reads setup/1"
