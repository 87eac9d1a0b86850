"""`explain`, `rules` and `schema`."""

import json
from pathlib import Path

import pytest

from synclint.cli import pages
from synclint.cli.main import main
from synclint.documents.records import UNKNOWN_KEY
from synclint.findings import Confirmed, Record, Source
from synclint.records import RECORDS
from tests.report import made

RECORD = Record(
    **{name: getattr(made.PARTED, name) for name in ("name", "summary", "level", "hurts", "mended", "why")},
    sources=(made.ARITHMETIC, Source("Common habit", Confirmed.PRACTICE)),
    answers=("24 in one menu and 23.976 in another",),
)

TEXT = """\
labels-part
  Summary of labels-part

  level       error
  hurts       stops the day
  mended      at the rental house
  why         Labels that run at two rates part by a whole frame within a minute, and no
              jam brings them together.
  catches     24 in one menu and 23.976 in another
  rests on    24 against 24000/1001 (exact arithmetic)
              Common habit (common practice, no source)

A setup that breaks it:

    synclint: setup/1
    title: broken

The same, sound:

    synclint: setup/1
    title: sound
"""

MARKDOWN = """\
### labels-part

Summary of labels-part.

*error; stops the day; mended at the rental house*

Labels that run at two rates part by a whole frame within a minute, and no jam brings them together.

Catches:

- 24 in one menu and 23.976 in another

Rests on:

- 24 against 24000/1001 (exact arithmetic)
- Common habit (common practice, no source)

A setup that breaks it:

```yaml
synclint: setup/1
title: broken
```

The same, sound:

```yaml
synclint: setup/1
title: sound
```
"""


@pytest.fixture
def _examples(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / "labels-part"
    folder.mkdir()
    for name in ("broken", "sound"):
        (folder / f"{name}.setup.yaml").write_text(f"synclint: setup/1\ntitle: {name}\n", encoding="utf-8")
    monkeypatch.setattr(pages, "EXAMPLES", tmp_path)


@pytest.mark.usefixtures("_examples")
def test_a_page_as_text_and_as_markdown() -> None:
    assert pages.text_page(RECORD) == TEXT
    assert pages.markdown_page(RECORD) == MARKDOWN


def test_a_problem_of_a_file_has_a_page_without_examples() -> None:
    assert pages.examples(UNKNOWN_KEY) == []
    assert UNKNOWN_KEY.why in pages.text_page(UNKNOWN_KEY).replace("\n              ", " ")


@pytest.mark.parametrize("name", sorted(RECORDS))
def test_every_record_can_be_explained(capsys: pytest.CaptureFixture[str], name: str) -> None:
    assert main(["explain", name]) == 0
    out = capsys.readouterr().out
    assert out.startswith(f"{name}\n  {RECORDS[name].summary}\n")
    assert out.endswith("\n")


def test_an_unknown_rule_gets_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", "unknown-keys"]) == 2
    assert capsys.readouterr().err == "synclint: there is no rule 'unknown-keys'; did you mean unknown-key?\n"


def test_the_list_has_every_record_once(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["rules"]) == 0
    lines = capsys.readouterr().out.splitlines()
    names = [line.split()[0] for line in lines if line.startswith("  ")]
    assert sorted(names) == sorted(RECORDS)
    assert "THE FILE ITSELF" in lines


def test_the_pages_have_every_record_once(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["rules", "--format", "markdown"]) == 0
    out = capsys.readouterr().out
    headings = [line.removeprefix("### ") for line in out.splitlines() if line.startswith("### ")]
    assert sorted(headings) == sorted(RECORDS)
    assert "\n\n\n" not in out
    assert out.endswith("\n")


@pytest.mark.parametrize("kind", ["setup", "kit", "log", "report"])
def test_a_schema_is_printed_as_it_is(capsys: pytest.CaptureFixture[str], kind: str) -> None:
    assert main(["schema", kind]) == 0
    out = capsys.readouterr().out
    file = Path(__file__).parents[2] / "schemas" / f"{kind}-1.schema.json"
    assert out == file.read_text(encoding="utf-8")
    assert json.loads(out)["$schema"] == "https://json-schema.org/draft/2020-12/schema"
