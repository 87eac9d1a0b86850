"""The words that all reports share: places and devices as people say them, headings, order, the verdict."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from synclint.findings import STDIN, Finding, Hurts, Level, Mended, Path, Place, Source, shortened
from synclint.merging import in_order
from synclint.result import Report

HEADINGS = {
    Hurts.DAY: "Stops the day",
    Hurts.POST: "Costs post",
    Hurts.TIME: "Costs time",
    Hurts.HABIT: "Good habits",
}
"""The groups of findings, in the order of the work."""

MENDED = {
    Mended.RENTAL: "At the rental house",
    Mended.TEST_DAY: "On the test day",
    Mended.MORNING: "At the first jam",
    Mended.SET: "On set",
    Mended.POST: "In post",
}
"""Where something is mended, as a heading says it."""


# --- text from files -------------------------------------------------------------------------------------------

_JOINERS = "\u200c\u200d"  # several scripts spell ordinary words with them


def visible(text: str) -> str:
    r"""The text with everything that a terminal or an eye would not show as a character written out.

    Control characters (an escape sequence starts with one), marks that turn the direction of writing, invisible
    characters and halves of surrogate pairs come out as Python would write them: `\x1b`, `\u202e`.
    """
    if text.isascii() and text.isprintable():
        return text
    return "".join(map(_shown, text))


def _shown(character: str) -> str:
    if character.isprintable() or character in _JOINERS:
        return character
    if unicodedata.category(character) == "Zs":
        return " "
    return character.encode("unicode_escape").decode("ascii")


def clipped(text: str, limit: int) -> str:
    """The text, cut after `limit` characters with a word on how many more there are."""
    if len(text) <= limit:
        return text
    return f"{text[:limit]} [and {len(text) - limit:,} more characters]"


def short(text: str, limit: int) -> str:
    """The text for a narrow place: hidden characters made visible, and cut where it is too long."""
    return shortened(visible(text[: limit + 1]), limit)


def one_line(text: str) -> str:
    """A free text (a reason, a note) on one line: line breaks are spaces there."""
    return visible(" ".join(text.split()))


def sentence(text: str) -> str:
    """A sentence on one line, with its full stop."""
    told = one_line(text)
    return f"{told}." if told and told[-1] not in ".!?:" else told


# --- names and counts ------------------------------------------------------------------------------------------

_NUMBERED = re.compile(r"(.*?)(0|[1-9][0-9]{0,8})", re.DOTALL)


def ranges(names: Iterable[str]) -> list[str]:
    """Names with runs of three and more numbered ones as a setup writes them: `cam_1..cam_8`."""
    runs: list[list[str]] = []
    follows: tuple[str, int] | None = None
    for name in names:
        match = _NUMBERED.fullmatch(name)
        here = (match[1], int(match[2])) if match else None
        if here is not None and here == follows:
            runs[-1].append(name)
        else:
            runs.append([name])
        follows = (here[0], here[1] + 1) if here else None
    return [word for run in runs for word in (run if len(run) < 3 else [f"{run[0]}..{run[-1]}"])]


def named(names: Sequence[str], limit: int = 8) -> str:
    """Devices as a list of bounded length: ranges folded, each name clipped, and how many are left out."""
    words = [short(word, 60) for word in ranges(names)]
    if len(words) > limit:
        words = [*words[: limit - 1], f"{len(words) - limit + 1} more"]
    return ", ".join(words)


def counted(number: int, one: str, many: str = "") -> str:
    """A number with its noun in the right form: `no errors`, `1 error`, `2 errors`."""
    return f"{f'{number:,}' if number else 'no'} {one if number == 1 else many or one + 's'}"


def tally(report: Report) -> str:
    """How many errors, warnings and notes: `2 errors, 1 warning and no notes`."""
    errors, warnings, notes = (counted(report.count(level), level.value) for level in Level)
    return f"{errors}, {warnings} and {notes}"


# --- places ----------------------------------------------------------------------------------------------------

_CONTAINERS = {
    "devices": "",
    "ports": "port",
    "links": "link",
    "days": "day",
    "events": "event",
    "types": "type",
    "items": "item",
    "units": "unit",
    "radio_groups": "radio group",
    "networks": "network",
    "accepted": "acceptance",
    "kits": "kit",
    "entries": "entry",
}


def place_words(path: Path) -> tuple[str, ...]:
    """Device and key in words: `devices/cam_b/timecode/rate` is `cam_b`, `timecode`, `rate`; `links/0` is `link 1`."""
    words: list[str] = []
    container: str | None = None
    for step in path:
        name = str(step + 1) if isinstance(step, int) else short(step, 60)
        if container is not None:
            words[-1:] = [f"{container} {name}".strip()]
        elif isinstance(step, int):
            words.append(f"entry {name}")
        else:
            words.append(name)
        container = _CONTAINERS.get(step) if isinstance(step, str) and container is None else None
    return tuple(words)


def file_words(place: Place) -> str:
    """Where a place stands in its file, such as `day4.setup.yaml:41:17`; standard input is called so."""
    span = place.span
    return f"{file_name(span.file)}:{span.line}:{span.column}" if span.line else file_name(span.file)


def file_name(file: str) -> str:
    """A file as people call it."""
    return "standard input" if file == STDIN else visible(clipped(file, 300)) or "''"


def source_words(source: Source) -> str:
    """A source with how far it was confirmed."""
    confirmed = source.confirmed.value
    return source.text if confirmed in source.text else aside(source.text, confirmed)


def aside(text: str, remark: str) -> str:
    """A text with a remark in brackets, or behind a dash where one of them has brackets of its own."""
    return f"{text} – {remark}" if text.endswith(")") or "(" in remark else f"{text} ({remark})"


# --- order and verdict -----------------------------------------------------------------------------------------


def shown(findings: Iterable[Finding], show: Level) -> list[Finding]:
    """The findings that are no milder than `show`, in the order of the work."""
    return in_order(finding for finding in findings if finding.level.rank <= show.rank)


@dataclass(frozen=True, slots=True)
class Verdict:
    """Whether one can shoot like this, in a few words, and the worst finding as one sentence."""

    level: Level | None
    """The level of the worst finding, or None where there is none."""
    says: str
    worst: str


def verdict(report: Report) -> Verdict:
    """The verdict on one file."""
    worst = min(report.findings, key=_badness, default=None)
    return Verdict(worst.level if worst else None, _answer(report, worst), _worst_words(worst) if worst else "")


def _badness(finding: Finding) -> tuple[int, int]:
    return (finding.level.rank, list(Hurts).index(finding.record.hurts))


def _answer(report: Report, worst: Finding | None) -> str:
    if report.could_not_check:
        return "Could not be checked"
    if report.rules_held_back:
        return "Cannot be judged yet"
    level = worst.level if worst else None
    if report.kind != "setup":
        words = {Level.ERROR: "Not fit to plan with", Level.WARNING: "Fit to plan with, with care"}
        return words.get(level, "Fit to plan with") if level else "Fit to plan with"
    if level is Level.ERROR:
        return "Do not shoot like this"
    if level is Level.WARNING:
        return "You can shoot like this, with care"
    return "You can shoot like this" if not report.crashes else "Nothing speaks against it so far"


def _worst_words(finding: Finding) -> str:
    """What is wrong and what it costs, as one sentence."""
    says = finding.sentence.strip().rstrip(".")
    costs = finding.cost_sentence.strip().rstrip(".")
    return f"{says} – {costs}." if costs else f"{says}."
