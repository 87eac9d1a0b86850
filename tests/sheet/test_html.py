"""The page of a sheet as text: whole, escaped, its own, and the same for the same setup."""

from __future__ import annotations

import json
import re
from base64 import b64encode
from dataclasses import replace
from hashlib import sha256
from html.parser import HTMLParser
from itertools import pairwise

import pytest

from synclint.sheet.html import html
from tests.sheet import sheets

SAMPLES = sorted(path.stem.removesuffix(".setup") for path in sheets.SAMPLES.glob("*.setup.yaml"))
VOID = {"meta", "input", "br"}


class Reader(HTMLParser):
    """What a page is made of; it fails on a tag that closes none that is open."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.said: dict[str, list[str]] = {}
        self.feed(text)
        self.close()
        assert not self.open

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        names = [name for name, _ in attrs]
        assert len(names) == len(set(names)), f"an attribute twice in {tag}"
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.said.setdefault(self.open[-1] if self.open else "", []).append(data)

    def text(self, *tags: str) -> str:
        return " ".join(" ".join(part) for tag, part in self.said.items() if not tags or tag in tags)


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Reader:
    return Reader(html(sheets.sheet_from(sheets.HOSTILE, tmp_path_factory.mktemp("hostile"))))


@pytest.mark.parametrize("name", SAMPLES)
def test_it_is_well_formed_with_ids_of_their_own(name: str) -> None:
    read = Reader(sheets.sample_html(name))
    ids = [attributes["id"] for _, attributes in read.tags if "id" in attributes]
    assert len(ids) == len(set(ids))
    keys = [attributes["data-keep"] for _, attributes in read.tags if "data-keep" in attributes]
    assert len(keys) == len(set(keys))
    for _, attributes in read.tags:
        for name_of_ids in ("aria-labelledby", "aria-describedby"):
            assert set((attributes.get(name_of_ids) or "").split()) <= set(ids)
        assert (attributes.get("href") or "#").removeprefix("#") in {*ids, ""}


@pytest.mark.parametrize("name", SAMPLES)
def test_it_asks_for_nothing_from_elsewhere(name: str) -> None:
    text = sheets.sample_html(name)
    assert set(re.findall(r"[a-z]+://[^\s\"'<]*", text)) <= {"http://www.w3.org/2000/svg"}
    for tag, attributes in Reader(text).tags:
        assert tag not in {"link", "img", "iframe", "object", "embed", "form", "base"}
        assert "src" not in attributes
        assert (attributes.get("href") or "#").startswith("#")
    assert "@import" not in text
    assert not [match for match in re.findall(r"url\(([^)]*)\)", text) if not match.startswith("#")]


def test_the_policy_lets_in_its_own_script_alone() -> None:
    text = sheets.sample_html("tideline")
    policy = next(a["content"] for _, a in Reader(text).tags if a.get("http-equiv") == "Content-Security-Policy") or ""
    assert policy.startswith("default-src 'none';")
    script = re.findall(r"<script>(.*?)</script>", text, re.DOTALL)
    assert len(script) == 1
    assert f"script-src 'sha256-{b64encode(sha256(script[0].encode()).digest()).decode()}'" in policy


def test_the_same_setup_gives_the_same_page() -> None:
    path = sheets.SAMPLES / "tideline.setup.yaml"
    assert html(sheets.sheet_of(path)) == html(sheets.sheet_of(path))


def test_the_head_of_the_document_is_as_a_reader_needs_it() -> None:
    read = Reader(sheets.sample_html("tideline"))
    assert ("html", {"lang": "en"}) in read.tags
    assert read.text("title").startswith("Tideline, day 4, harbour interviews, sync sheet, revision B")
    landmarks = [tag for tag, _ in read.tags if tag in {"header", "nav", "main"}]
    assert landmarks == ["header", "nav", "main"]
    heads = [int(tag[1]) for tag, _ in read.tags if re.fullmatch(r"h[1-6]", tag)]
    assert heads[0] == 1
    assert heads.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(heads))
    assert all(attributes.get("scope") in {"col", "row"} for tag, attributes in read.tags if tag == "th")
    tags = [tag for tag, _ in read.tags]
    assert tags.count("caption") == tags.count("table") == 2


# --- what came from a file -------------------------------------------------------------------------------------


def test_hostile_names_print_as_text(hostile: Reader) -> None:
    said = hostile.text()
    for words in (*sheets.HOSTILE_NAMES, sheets.HOSTILE_TITLE, sheets.HOSTILE_WORDS, "<img src=x onerror=alert(2)>"):
        assert words in said
    assert sheets.HOSTILE_TITLE in hostile.text("h1")
    assert hostile.text("title").startswith(sheets.HOSTILE_TITLE)


def test_hostile_names_make_no_markup(hostile: Reader) -> None:
    tags = [tag for tag, _ in hostile.tags]
    assert tags.count("script") == 2
    assert not {"img", "i", "iframe"} & set(tags)
    assert not [name for _, attributes in hostile.tags for name in attributes if name.startswith("on")]


def test_hostile_names_come_to_the_script_as_they_are(hostile: Reader) -> None:
    facts = next(part for part in hostile.said["script"] if part.startswith("{"))
    assert json.loads(facts)["revision"] == "<img src=x onerror=alert(2)>"
    assert "<" not in facts
    names = {attributes.get("data-name") for tag, attributes in hostile.tags if tag == "li"}
    assert set(sheets.HOSTILE_NAMES[1:3]) <= names


def test_the_foot_of_a_printed_page_is_spelt_in_numbers(hostile: Reader) -> None:
    style = hostile.text("style")
    content = re.search(r'@bottom-left \{ content: "([^"]*)" \}', style)
    assert content is not None
    spelt = "".join(chr(int(code, 16)) for code in re.findall(r"\\([0-9a-f]+) ", content[1]))
    assert spelt.startswith(f"{sheets.HOSTILE_TITLE[:60]}, revision ")


def test_what_no_eye_can_see_is_written_out() -> None:
    page = html(replace(sheets.sample("tideline"), title="turn\u202eed\x07\nround"))
    assert r"turn\u202eed\x07 round" in page
    assert "\u202e" not in page


def test_a_draft_says_so_first() -> None:
    read = Reader(sheets.sample_html("broken/tideline_whole_day_muddled"))
    classes = [attributes.get("class") for tag, attributes in read.tags if tag in {"p", "h1"}]
    assert classes[0] == "draft"
    assert "Draft: 4 errors are open. Do not shoot by this sheet." in read.text("strong")
