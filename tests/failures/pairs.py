"""The failures of the trade as pairs: a setup that has one, and a near miss that looks alike and is right.

A folder a failure. The first lines of its `broken.setup.yaml` are comments, `# key: value`, that say what it is about:

    # failure: <the failure in trade words, one line>
    # group: <the group of rules that it belongs to>
    # found by: <rule>                      or, for a line of the checklist:   # checklist: <rule>
    # source: <standard with its clause and how far it was confirmed | common practice, no source>
    # number: <name of the amount> = <value> <unit>
    # worked: <the arithmetic by hand; goes on in further lines of the same key>
    # deed: <what is done on set, where no edit of the file mends it>

A line at which something is found ends in `  # expect: error some-rule`, several joined by `; `. All errors and
warnings are announced; a note is where the failure is found by one. A log beside is named like its setup.
"""

from __future__ import annotations

import difflib
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from pathlib import Path

FOLDER = Path(__file__).parent

GROUPS = (
    "days",
    "masters",
    "jamming",
    "rates",
    "speed",
    "drift",
    "reference",
    "signal",
    "recording",
    "calendar",
    "user bits",
    "radio",
    "power",
    "network",
    "kit",
    "log",
)
"""The groups of failures, in the order in which they are told."""

KEYS = ("failure", "group", "found by", "checklist", "source", "number", "worked", "deed")
MOST_LINES = 3
"""By how many lines a near miss may differ."""

_HEADER = re.compile(r"# ([a-z ]+): (\S.*)")
_NUMBER = re.compile(r"(?P<name>.+) = (?P<value>[-+]?[0-9]+(?:\.[0-9]+)?) (?P<unit>\S.*)")
_EXPECTED = re.compile(r"\S  # expect: ((?:error|warning|note) [a-z0-9-]+(?:; (?:error|warning|note) [a-z0-9-]+)*)$")

Announced = tuple[str, int, str, str]
"""The name of a file, a line, a level and a rule."""


@dataclass(frozen=True, slots=True)
class Number:
    """A number that the finding must carry, to the digits in which it is written."""

    name: str
    value: Fraction
    unit: str
    step: Fraction
    """One of its last digit."""

    def is_told_by(self, value: float) -> bool:
        """Whether a value is this number, rounded to its digits."""
        return abs(Fraction(value) - self.value) <= self.step / 2 + Fraction(1, 10**9)


@dataclass(frozen=True)
class Pair:
    """A failure with its two setups."""

    folder: Path

    @property
    def name(self) -> str:
        """The failure as its folder is called."""
        return self.folder.name

    @property
    def broken(self) -> Path:
        """The setup that has the failure."""
        return self.folder / "broken.setup.yaml"

    @property
    def near_miss(self) -> Path:
        """The setup that looks alike and is right."""
        return self.folder / "near_miss.setup.yaml"

    @cached_property
    def header(self) -> tuple[tuple[str, str], ...]:
        """Keys and values of the comments at the head of the broken one."""
        return tuple(_header(self.broken.read_text(encoding="utf-8").splitlines()))

    def said(self, key: str) -> tuple[str, ...]:
        """All values of a key of the head."""
        return tuple(value for each, value in self.header if each == key)

    def _one(self, key: str) -> str:
        return next(iter(self.said(key)), "")

    @property
    def failure(self) -> str:
        """The failure in words of the trade."""
        return self._one("failure")

    @property
    def group(self) -> str:
        """The group that the failure belongs to."""
        return self._one("group")

    @property
    def source(self) -> str:
        """What its judgement rests on."""
        return self._one("source")

    @property
    def rule(self) -> str:
        """The rule that finds it, or whose line of the checklist looks for it."""
        return self._one("found by") or self._one("checklist")

    @property
    def is_checklist(self) -> bool:
        """Whether it is only a thing to look at on the day."""
        return bool(self.said("checklist"))

    @property
    def numbers(self) -> tuple[Number, ...]:
        """The numbers that its finding must carry."""
        return tuple(filter(None, map(_number, self.said("number"))))

    @property
    def announced(self) -> Counter[Announced]:
        """All that is to be found in the broken one and the kits beside it."""
        return Counter(announced for path in sorted(self.folder.glob("broken.*.yaml")) for announced in _expected(path))

    @property
    def apart(self) -> int:
        """By how many lines the near miss differs, comments aside; all files that have a twin count."""
        suffixes = {path.name.partition(".")[2] for path in self.folder.glob("*.yaml") if path.name.startswith(_TWINS)}
        return sum(
            _lines_apart(*(_bare_lines(self.folder / f"{twin}{suffix}") for twin in _TWINS)) for suffix in suffixes
        )

    def faults(self) -> Iterator[str]:
        """What is wrong with how the pair is written."""
        for path in (self.broken, self.near_miss):
            if not path.is_file():
                yield f"{path.name} is missing"
                return
        for key, _ in self.header:
            if key not in KEYS:
                yield f"the head has no key `{key}`"
        for key in ("failure", "group", "source"):
            if len(self.said(key)) != 1:
                yield f"`# {key}:` stands {len(self.said(key))} times"
        if len(self.said("found by")) + len(self.said("checklist")) != 1:
            yield "either `# found by:` or `# checklist:` stands once"
        if self.group and self.group not in GROUPS:
            yield f"there is no group {self.group}"
        yield from self._faults_of_numbers()
        for path in self.folder.glob("*.yaml"):
            yield from _faults_of_comments(path)

    def _faults_of_numbers(self) -> Iterator[str]:
        for text in self.said("number"):
            if _number(text) is None:
                yield f"`# number: {text}` is not of the form `name = 1.5 unit`"
        if self.is_checklist:
            if self.said("number"):
                yield "a line of the checklist carries no number"
            return
        if not self.said("number"):
            yield "`# number:` is missing"
        if not self.said("worked"):
            yield "`# worked:` is missing"
        if not any(rule == self.rule for _, _, _, rule in self.announced):
            yield f"no line expects {self.rule}"


_TWINS = ("broken.", "near_miss.")


def _header(lines: Sequence[str]) -> Iterator[tuple[str, str]]:
    """The keys and values of the comments before the first line that holds something."""
    for line in lines:
        if not line.startswith("#"):
            return
        found = _HEADER.fullmatch(line)
        yield (found[1], found[2].strip()) if found else ("", line)


def _number(text: str) -> Number | None:
    found = _NUMBER.fullmatch(text)
    if found is None:
        return None
    digits = len(found["value"].partition(".")[2])
    return Number(found["name"], Fraction(found["value"]), found["unit"], Fraction(1, 10**digits))


def _expected(path: Path) -> Iterator[Announced]:
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        found = _EXPECTED.search(line)
        for announced in found[1].split("; ") if found else ():
            level, _, rule = announced.partition(" ")
            yield (path.name, number, level, rule)


def _faults_of_comments(path: Path) -> Iterator[str]:
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        if "expect:" in line and not _EXPECTED.search(line):
            yield f"{path.name}:{number} announces findings in another form"
        if "expect:" in line and not path.name.startswith("broken."):
            yield f"{path.name}:{number} announces findings, and nothing is to be found there"


_QUOTED_OR_COMMENT = re.compile(
    r"""(?:(?<=[\s:,\[{-])|^)(?:"(?:[^"\\]|\\.)*"|'(?:[^']|'')*')|(?P<comment>(?:^|\s+)\#.*$)"""
)


def _bare_lines(path: Path) -> list[str]:
    """The lines of a file without comments and empty ones."""
    lines = path.read_text(encoding="utf-8").splitlines() if path.is_file() else []
    return list(filter(None, (_without_comment(line).rstrip() for line in lines)))


def _without_comment(line: str) -> str:
    found = next((each for each in _QUOTED_OR_COMMENT.finditer(line) if each["comment"] is not None), None)
    return line[: found.start()] if found else line


def _lines_apart(mine: list[str], theirs: list[str]) -> int:
    """How many lines differ; one that is changed counts once."""
    changes = difflib.SequenceMatcher(None, mine, theirs, autojunk=False).get_opcodes()
    return sum(max(mine_end - mine_at, end - at) for tag, mine_at, mine_end, at, end in changes if tag != "equal")


def pairs() -> list[Pair]:
    """All failures, by the names of their folders."""
    return [Pair(path) for path in sorted(FOLDER.iterdir()) if path.is_dir() and path.name != "__pycache__"]
