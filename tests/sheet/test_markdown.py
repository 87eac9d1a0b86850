"""The sheet as Markdown, read back by a parser: what came from a file is text and nothing else."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from markdown_it.token import Token

from synclint.sheet.markdown import markdown, text
from synclint.sheet.tables import one_line
from tests.sheet import sheets

PARSER = MarkdownIt("commonmark").enable(["table", "strikethrough"])
SIGNS = "\\`*_{}[]()#+-.!|<>~&$@:=\"'%^/;? aé1\n\u202e"


def tokens(source: str) -> list[Token]:
    """All that a parser makes of Markdown, what stands inside lines too."""
    return [inner for token in PARSER.parse(source) for inner in (token, *(token.children or ()))]


def said(source: str) -> str:
    """The text that a reader sees, what is code as code."""
    return " ".join(token.content for token in tokens(source) if token.type in {"text", "code_inline"})


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> str:
    return markdown(sheets.sheet_from(sheets.HOSTILE, tmp_path_factory.mktemp("hostile")))


def test_hostile_names_print_as_text(hostile: str) -> None:
    kinds = {token.type for token in tokens(hostile)}
    assert not kinds & {"html_block", "html_inline", "link_open", "image", "code_inline", "fence", "code_block"}
    read = "".join(token.content for token in tokens(hostile) if token.type in {"text", "text_special"})
    for words in (*sheets.HOSTILE_NAMES, sheets.HOSTILE_TITLE, sheets.HOSTILE_WORDS, "<img src=x onerror=alert(2)>"):
        assert words in read


def test_hostile_names_leave_tables_whole(hostile: str) -> None:
    columns: list[int] = []
    for token in PARSER.parse(hostile):
        if token.type == "tr_open":
            columns.append(0)
        elif token.type in {"th_open", "td_open"}:
            columns[-1] += 1
        elif token.type == "table_close":
            assert len(set(columns)) == 1
            columns.clear()
    assert sum(token.type == "table_open" for token in PARSER.parse(hostile)) == 3


@given(st.text(alphabet=SIGNS, max_size=40))
def test_a_text_reads_as_itself_wherever_it_stands(words: str) -> None:
    plain = one_line(words)
    for source in (text(words), f"- {text(words)}", f"## {text(words)}", f"a\n{text(words)}", f"**{text(words)}**x"):
        found = PARSER.parse(source)
        kinds = {token.type for token in found if token.nesting >= 0}
        assert kinds <= {"paragraph_open", "inline", "heading_open", "bullet_list_open", "list_item_open"}
    inner = [inner for token in PARSER.parse(text(words)) for inner in token.children or ()]
    assert {token.type for token in inner} <= {"text", "text_special"}
    assert "".join(token.content for token in inner) == plain


@given(st.text(alphabet=SIGNS, max_size=40))
def test_a_text_stays_in_its_cell(words: str) -> None:
    found = PARSER.parse(f"| a | b |\n| --- | --- |\n| {text(words)} | end |")
    cells = [token for token in found if token.type == "inline"]
    assert len(cells) == 4
    assert cells[3].content == "end"


@pytest.mark.parametrize(
    ("words", "written"),
    [
        ("Sound bag tc_out to box_a jack, 0.6 m", "Sound bag tc_out to box_a jack, 0.6 m"),
        ("23.976 NDF at 12:42:07", "23.976 NDF at 12:42:07"),
        ("3.5 mm TRS to BNC", "3.5 mm TRS to BNC"),
        ("3. the third", r"3\. the third"),
        ("- dash", r"\- dash"),
        ("2026-06-14, 06:30 to 19:00", "2026-06-14, 06:30 to 19:00"),
        ("http://x.example", r"http\://x.example"),
        ("a :smile: b", r"a \:smile: b"),
    ],
)
def test_what_is_harmless_stays_as_it_is(words: str, written: str) -> None:
    assert text(words) == written


def test_it_has_the_parts_of_the_sheet_in_their_order() -> None:
    heads = [line[3:] for line in markdown(sheets.sample("tideline")).splitlines() if line.startswith("## ")]
    assert heads == [
        "Devices",
        "The rig",
        "Cables to pull",
        "Jam and compare, in order",
        "Times",
        "Drift over the day",
        "If … then",
        "For post",
        "To look at",
        "Accepted",
        "Open findings",
        "Assumed",
    ]


def test_a_draft_says_so_first() -> None:
    first = markdown(sheets.sample("broken/tideline_whole_day_muddled")).splitlines()[0]
    assert first == "> **Draft: 4 errors are open. Do not shoot by this sheet.**"


def test_no_line_is_blank_twice_and_none_ends_in_a_blank(tmp_path: Path) -> None:
    for sheet in (sheets.sample("tideline"), sheets.sample("tideline_wireless"), sheets.sheet_from(BARE, tmp_path)):
        told = markdown(sheet)
        assert "\n\n\n" not in told
        assert not [line for line in told.splitlines() if line != line.rstrip()]


BARE = "synclint: setup/1\nproject:\n  rate: 25\ndevices:\n  bag:\n    able: {class: field recorder}\n"


def test_a_setup_with_next_to_nothing_has_a_sheet(tmp_path: Path) -> None:
    told = markdown(sheets.sheet_from(BARE, tmp_path))
    assert told.startswith("# made.setup.yaml\n\nSync sheet, **revision –**")
    assert "No jam is planned." in told
    assert "## Times" not in told
