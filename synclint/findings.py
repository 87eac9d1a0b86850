"""The values every part speaks in: places, facts, records, findings; reading a file already makes some of them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from enum import Enum
from fractions import Fraction
from typing import Any, Final, Generic, TypeVar

T = TypeVar("T")
T_co = TypeVar("T_co", covariant=True)

# --- where -----------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """A stretch of a file: lines and columns count from 1 and columns count characters; the end is exclusive."""

    file: str
    line: int
    column: int
    end_line: int
    end_column: int


STDIN: Final = "-"
"""What standard input is called in the places of findings, as on the command line."""

Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Place:
    """A spot in a document: its path in the structure (stable) and its span in the text (for the eye)."""

    path: Path
    span: Span

    def __str__(self) -> str:
        """The path as it is written in `accepted:`, such as `devices/cam_b/timecode/rate`."""
        return "/".join(str(step) for step in self.path)

    @property
    def order(self) -> tuple[str, int, int]:
        """Sorts places as they stand in their files."""
        return (self.span.file, self.span.line, self.span.column)


# --- what is known ---------------------------------------------------------------------------------------------


class Standing(Enum):
    """How a fact came to be known."""

    STATED = "stated"
    ASSUMED = "assumed"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Fact(Generic[T_co]):
    """A value with its place and how it is known.

    `value` is None exactly when the fact is unknown: not written, or written so that it cannot be read. `text` is
    the source text of a stated value; of an unreadable one too, which is how a rule tells the two apart. `why` says
    on what an assumed value rests. An absent fact's place is that of its parent.
    """

    value: T_co | None = field(hash=False)  # tracks are a mapping, and a fact must go into sets all the same
    place: Place
    standing: Standing = Standing.STATED
    text: str = ""
    why: str = ""

    @property
    def assumed(self) -> bool:
        """Whether the value comes from the table of class defaults."""
        return self.standing is Standing.ASSUMED

    @property
    def stated(self) -> bool:
        """Whether the setup or a kit says it."""
        return self.standing is Standing.STATED

    @property
    def written(self) -> bool:
        """Whether something stands in the file, readable or not."""
        return bool(self.text)

    def else_assume(self: Fact[T], value: T, why: str) -> Fact[T]:
        """This fact, or where nothing is written the assumed `value` and on what it rests."""
        if self.value is not None or self.text:
            return self
        return Fact(value, self.place, Standing.ASSUMED, why=why)


def unknown(place: Place, text: str = "") -> Fact[T]:
    """A fact that nobody stated, or that was written as `text` and cannot be read."""
    return Fact(None, place, Standing.UNKNOWN, text)


# --- the documentation of a rule -------------------------------------------------------------------------------


class Level(Enum):
    """How bad a finding is; the words are those of SARIF 2.1.0."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"

    @property
    def rank(self) -> int:
        """Orders levels, the worst first."""
        return list(Level).index(self)


class Hurts(Enum):
    """Whom a fault hurts."""

    DAY = "day"
    POST = "post"
    TIME = "time"
    HABIT = "habit"


class Mended(Enum):
    """Where a fault is mended, in the order of the work."""

    RENTAL = "rental"
    TEST_DAY = "test day"
    MORNING = "morning"
    SET = "set"
    POST = "post"


class Confirmed(Enum):
    """How far a source was confirmed."""

    QUOTED = "read in its own words"
    TABULATED = "read in a text that quotes or tabulates it"
    LIBRARY = "read in the source of an open library"
    ARITHMETIC = "exact arithmetic"
    PRACTICE = "common practice, no source"
    MEMORY = "from memory"
    OWN = "a convention of this format"


@dataclass(frozen=True, slots=True)
class Source:
    """What a rule rests on, and how far that was confirmed."""

    text: str
    confirmed: Confirmed


@dataclass(frozen=True, slots=True)
class Record:
    """The page of a rule: what `explain` prints. Loading a file has records too, so that every finding has a page."""

    name: str
    summary: str
    level: Level
    hurts: Hurts
    mended: Mended
    why: str
    sources: tuple[Source, ...]
    answers: tuple[str, ...] = ()
    """The failures of the trade that it is for, in words."""

    def finding(
        self,
        *,
        at: Place,
        says: str,
        costs: Cost | None = None,
        fix: Fix | None = None,
        level: Level | None = None,
        who: Iterable[str] = (),
        cause: object = None,
        also: Iterable[Mention] = (),
        decided_by: Iterable[Fact[Any]] = (),
        numbers_from: Iterable[Fact[Any]] = (),
        mended: Mended | None = None,
    ) -> Finding:
        """A finding under this record; see `Finding` for what each part means."""
        return Finding(
            record=self,
            level=level or self.level,
            at=at,
            says=says,
            costs=costs,
            fix=fix,
            who=tuple(who),
            cause=cause,
            also=tuple(also),
            decided_by=tuple(decided_by),
            numbers_from=tuple(numbers_from),
            mended_elsewhere=mended,
        )


# --- sentences about one device or several ---------------------------------------------------------------------

WHO = "⟪who⟫"
"""Stands in a sentence for the devices it is about; filled in when like findings have been merged."""

_CHOICE = re.compile(r"⟪([^⟪⟫|]*)\|([^⟪⟫|]*)⟫")


def either(one: str, many: str) -> str:
    """A word that depends on whether a sentence turns out to be about one device or several: `either("is", "are")`."""
    return f"⟪{one}|{many}⟫"


def listed(names: Iterable[str], limit: int = 6) -> str:
    """Names as a sentence says them: `A`, `A and B`, `A, B and 5 more`."""
    every = list(names)
    if len(every) > limit:
        return f"{', '.join(every[: limit - 1])} and {len(every) - limit + 1} more"
    return " and ".join(filter(None, [", ".join(every[:-1]), every[-1] if every else ""]))


def shortened(text: str, limit: int = 60) -> str:
    """A text from a file as a sentence quotes it: on one line, and cut with an ellipsis where it is too long."""
    joined = " ".join(text.split())
    return joined if len(joined) <= limit else f"{joined[: limit - 1]}…"


def told(sentence: str, who: tuple[str, ...]) -> str:
    """The sentence with its devices filled in and its words agreeing in number."""
    chosen = _CHOICE.sub(lambda match: match.group(1 if len(who) <= 1 else 2), sentence)
    return chosen.replace(WHO, listed(who))


# --- fixes and findings ----------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class SetValue:
    """Replace the value at `place` by `value` (YAML source text)."""

    place: Place
    value: str


@dataclass(frozen=True, slots=True)
class AddKey:
    """Add `key: value` (YAML source text) to the mapping at `place`."""

    place: Place
    key: str
    value: str


@dataclass(frozen=True, slots=True)
class RenameKey:
    """Rename the key whose value stands at `place`."""

    place: Place
    name: str


@dataclass(frozen=True, slots=True)
class Remove:
    """Take the entry at `place` out."""

    place: Place


@dataclass(frozen=True, slots=True)
class AddItem:
    """Add an item (YAML source text) to the end of the list at `place`, or under `key` of the mapping there."""

    place: Place
    value: str
    key: str = ""


Edit = SetValue | AddKey | RenameKey | Remove | AddItem


@dataclass(frozen=True, slots=True)
class Fix:
    """What a person does about it, on set or in the file; `edits` is the same as intents, where a file can say it."""

    says: str
    edits: tuple[Edit, ...] = ()


@dataclass(frozen=True, slots=True)
class Amount:
    """One number of a cost, for machines: what it measures, how much, and its unit."""

    name: str
    value: float
    unit: str


@dataclass(frozen=True, slots=True)
class Cost:
    """What a fault costs on this rig and this day: a sentence with its numbers, and the numbers apart.

    `weight` compares costs of one rule (the larger hurts more); when like findings merge the heaviest is told, and
    numbers in `devices` add up.
    """

    says: str
    amounts: tuple[Amount, ...] = ()
    weight: float = 0.0


@dataclass(frozen=True, slots=True)
class Mention:
    """Another place that a finding is about, and what stands there."""

    place: Place
    says: str


@dataclass(frozen=True, slots=True)
class Finding:
    """A fault of this rig.

    `who` are the devices in the words of the setup; `says`, the cost and the fix may hold `WHO` and `either`. Like
    findings (same rule, level and `cause`, where a cause is given) merge. `decided_by` are the facts without which
    it would not be a finding: where one of them is assumed the level is capped at a warning. `numbers_from` are facts
    that only its numbers rest on.
    """

    record: Record
    level: Level
    at: Place
    says: str
    costs: Cost | None = None
    fix: Fix | None = None
    who: tuple[str, ...] = ()
    cause: object = None
    also: tuple[Mention, ...] = ()
    decided_by: tuple[Fact[Any], ...] = ()
    numbers_from: tuple[Fact[Any], ...] = ()
    mended_elsewhere: Mended | None = None
    """Where this one is mended, if not where its rule says: another device is hired and not set."""

    @property
    def mended(self) -> Mended:
        """Where it is mended."""
        return self.mended_elsewhere or self.record.mended

    @property
    def rule(self) -> str:
        """The name of the rule it comes from."""
        return self.record.name

    @property
    def sentence(self) -> str:
        """What is wrong, in one sentence."""
        return told(self.says, self.who)

    @property
    def cost_sentence(self) -> str:
        """What it costs here, or an empty text."""
        return told(self.costs.says, self.who) if self.costs else ""

    @property
    def fix_sentence(self) -> str:
        """What to do about it, or an empty text."""
        return told(self.fix.says, self.who) if self.fix else ""

    @property
    def assumptions(self) -> tuple[Fact[Any], ...]:
        """The assumed facts that it or its numbers rest on, each once."""
        return tuple(dict.fromkeys(fact for fact in (*self.decided_by, *self.numbers_from) if fact.assumed))

    def capped(self) -> Finding:
        """This finding, at most a warning where an assumed fact decided it."""
        if self.level is Level.ERROR and any(fact.assumed for fact in self.decided_by):
            return replace(self, level=Level.WARNING)
        return self


@dataclass(frozen=True, slots=True)
class Unjudged:
    """A rule could not judge something, for want of a fact (said in words of the setup)."""

    record: Record
    at: Place
    lacks: str
    who: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CheckLine:
    """Something to look at on the day, made from this rig; `when` and `by` give its place in the order of the work."""

    record: Record
    when: Mended
    says: str
    who: tuple[str, ...] = ()
    at: Place | None = None
    by: Fraction | None = None
    """The instant of the days by which it is due, where it has one: seconds since 1970-01-01T00:00Z."""

    @property
    def sentence(self) -> str:
        """The line with its devices filled in."""
        return told(self.says, self.who)
