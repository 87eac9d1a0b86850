"""Builds rigs from text, for tests of how they are read."""

from __future__ import annotations

from synclint.documents.nodes import Document
from synclint.documents.reading import load_text
from synclint.findings import Finding
from synclint.rig.build import Built, build

HEAD = "synclint: setup/1\ntitle: Rig of a test\nproject: {rate: 25}\n"


def document(text: str, name: str = "rig.setup.yaml") -> Document:
    """The document of a text that is right as YAML."""
    loaded = load_text(text, name)
    assert [problem.sentence for problem in loaded.problems] == []
    assert loaded.document is not None
    return loaded.document


def built(body: str, *kits: str) -> Built:
    """What comes of a setup of these lines and of kits of these."""
    documents = [
        document(f"synclint: kit/1\ntitle: Kit {number}\n{kit}", f"{number}.kit.yaml")
        for number, kit in enumerate(kits)
    ]
    return build(document(HEAD + body), documents)


def sound(body: str, *kits: str) -> Built:
    """The same, where nothing may be wrong with it."""
    made = built(body, *kits)
    assert [problem.sentence for problem in made.problems] == []
    assert made.names_resolve
    return made


def only(body: str, *kits: str) -> Finding:
    """The one thing that is wrong with a setup of these lines."""
    made = built(body, *kits)
    assert len(made.problems) == 1, [problem.sentence for problem in made.problems]
    return made.problems[0]


def marked(body: str, *kits: str) -> tuple[str, int, int, int, int]:
    """Where the mark `«…»` stands in a setup or one of its kits: file, line and column, end line and column."""
    texts = {"rig.setup.yaml": HEAD + body}
    texts |= {f"{number}.kit.yaml": f"synclint: kit/1\ntitle: Kit {number}\n{kit}" for number, kit in enumerate(kits)}
    for file, text in texts.items():
        if "«" in text:
            before, _, rest = text.partition("«")
            inside = rest.partition("»")[0]
            line, column = before.count("\n") + 1, len(before) - (before.rfind("\n") + 1) + 1
            return file, line, column, line, column + len(inside)
    raise AssertionError("nothing is marked")


def told_at_mark(body: str, *kits: str) -> Finding:
    """The one thing that is wrong, which must stand just where the mark `«…»` is."""
    plain = [text.replace("«", "").replace("»", "") for text in (body, *kits)]
    finding = only(*plain)
    span = finding.at.span
    where = (span.file, span.line, span.column, span.end_line, span.end_column)
    assert where == marked(body, *kits), finding.sentence
    return finding
