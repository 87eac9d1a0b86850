"""The sync sheet as Markdown: text that reads as it stands, for a root folder, a mail or a merge request.

Everything that came from a file is escaped, so that a name made of Markdown or HTML reads as that name. The pictures
are told in words.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from synclint.sheet.cables import CARE
from synclint.sheet.tables import Table, device_table, one_line, post_table
from synclint.sheet.values import Open, Round, Sheet

_ALWAYS = frozenset("\\`*[]<>|~&$@#")
"""What may begin a mark of Markdown anywhere in a line, or stand for something else; a backslash takes that away."""
_WORD = re.compile(r"(?<![^\W_])_|_(?![^\W_])")
"""An underscore that is not inside a word."""
_LINK = re.compile(
    r"(?<=http)(:)|(?<=https)(:)|(?<=ftp)(:)|(?<=mailto)(:)|(?<=www)(\.)|(:)(?=[A-Za-z+_][\w+-]*:)", re.IGNORECASE
)
"""What would make a link, or a sign, of a text."""
_START = re.compile(r"(?P<mark>[-+=])|\d{1,9}(?P<end>[.)])(?=\s|$)")
"""What would begin a list, or make a heading of the line before."""


def text(words: str) -> str:
    """A text from a file as Markdown that reads as that text."""
    plain = one_line(words)
    marks = {match.start() for pattern in (_WORD, _LINK) for match in pattern.finditer(plain)}
    begin = _START.match(plain)
    if begin is not None:
        marks.add(begin.start(begin.lastgroup or 0))
    return "".join(f"\\{each}" if each in _ALWAYS or index in marks else each for index, each in enumerate(plain))


def markdown(sheet: Sheet) -> str:
    """The Markdown of a sheet."""
    parts = [_head(sheet), _since(sheet), *_parts(sheet)]
    return "\n\n".join("\n".join(lines) for lines in map(list, parts) if lines) + "\n"


def _parts(sheet: Sheet) -> Iterator[Iterable[str]]:
    """The parts below the head, in the order of the sheet."""
    pictures = sheet.pictures
    yield _part("Devices", _table(device_table(sheet), "☐ "))
    yield _part("The rig", [text(pictures.rig_told)])
    yield _part("Cables to pull", _cables(sheet))
    yield _part("Jam and compare, in order", _rounds(sheet))
    yield _part("Times", _times(sheet))
    if pictures.drift_told:
        yield _part("Drift over the day", [text(pictures.drift_told)])
    yield _part("If … then", [f"- **If {text(each.when)}:** {text(each.then)}" for each in sheet.rules])
    yield _part("For post", _table(post_table(sheet)))
    yield _part("To look at", _looks(sheet))
    yield _part("Accepted", _accepted(sheet))
    yield _part("Open findings", [*_findings(sheet.open)] or ["None."])
    yield _part("Assumed", [f"- {text(line)}" for line in sheet.assumed])


def _part(heading: str, lines: Iterable[str]) -> list[str]:
    """A part under its heading; nothing where there is nothing to say."""
    told = list(lines)
    return [f"## {heading}", "", *told] if told else []


def _head(sheet: Sheet) -> Iterator[str]:
    if sheet.draft:
        yield from (f"> **{text(sheet.draft)}**", "")
    yield from (f"# {text(sheet.title)}", "")
    yield f"Sync sheet, **revision {text(sheet.revision)}**, digest {sheet.digest}"
    for day in sheet.days:
        yield from ("", text(day))
    yield from ("", "| what | value | |", "| --- | --- | --- |")
    for number in sheet.numbers:
        yield f"| {text(number.label)} | **{text(number.value)}** | {text(number.detail)} |"


def _since(sheet: Sheet) -> Iterator[str]:
    since = sheet.since
    if since is None:
        return
    yield from (f"## Changed since revision {text(since.revision)} (digest {since.digest})", "")
    yield from [f"- **{text(each.where)}**: {text(each.says)}" for each in since.changes] or [
        "Nothing in the rig and its days."
    ]
    for heading, findings in (("New findings", since.new), ("Solved", since.solved)):
        if findings:
            yield from ("", f"### {heading}", "")
            yield from (f"- **{each.level.upper()}** {text(each.says)}" for each in findings)
    yield from ("", f"{since.still} {'finding' if since.still == 1 else 'findings'} open then and now.")


def _table(table: Table, tick: str = "") -> Iterator[str]:
    if not table.rows:
        return
    heads = ["Device", *table.heads]
    yield f"| {' | '.join(heads)} |"
    yield f"|{' --- |' * len(heads)}"
    for who, cells in table.rows:
        names = ", ".join(f"{tick}**{text(each)}**" for each in who)
        yield f"| {names} | {' | '.join(text(cell) or '–' for cell in cells)} |"


def _cables(sheet: Sheet) -> Iterator[str]:
    for cable in sheet.cables:
        yield f"- [ ] **{cable.count} × {text(cable.kind)}**, and {cable.spares} spare"
        yield from (f"    - {text(ends)}" for ends in cable.between)
    if sheet.cables:
        yield from ("", CARE)


def _rounds(sheet: Sheet) -> Iterator[str]:
    blocks: list[list[str]] = []
    if not any(each.does == "jam" for each in sheet.rounds):
        blocks.append(["No jam is planned."])
    if sheet.following:
        blocks.append([f"{'; '.join(map(text, sheet.following))}: see the same digits there before the first take."])
    for each in sheet.rounds:
        blocks.append([f"### {text(f'{each.day} {each.clock}'.strip())} {each.does}"])
        blocks += [[text(each.says)]] if each.says else []
        blocks.append([*_lines(each)])
    for number, block in enumerate(blocks):
        yield from (*([""] if number else []), *block)


def _lines(given: Round) -> Iterator[str]:
    word = "from" if given.does == "jam" else "with"
    for line in given.lines:
        stays = ", the lead stays" if line.stays else ""
        told = f"{text(line.device)} {word} {text(line.against)}{stays}"
        yield f"- [ ] {told}; offset \\_\\_\\_\\_\\_\\_ read by {given.read_by}"


def _times(sheet: Sheet) -> Iterator[str]:
    for time in sheet.times:
        latest = "**LATEST** " if time.latest else ""
        yield f"- **{text(f'{time.day} {time.clock}'.strip())}** {latest}{text(time.says)}"


def _looks(sheet: Sheet) -> Iterator[str]:
    for number, look in enumerate(sheet.looks):
        yield from (*([""] if number else []), f"### {text(look.heading)}", "")
        yield from (f"- [ ] {text(line)}" for line in look.lines)


def _accepted(sheet: Sheet) -> Iterator[str]:
    for each in sheet.accepted:
        until = f", until {text(each.until)}" if each.until else ""
        who = f" ({text(each.by)}{until})" if each.by else ""
        yield f"- {text(each.says)}: **{text(each.why)}**{who}, {text(each.rule)}"


def _findings(findings: Iterable[Open]) -> Iterator[str]:
    for each in findings:
        costs = f" Costs: {text(each.costs)}." if each.costs else ""
        fix = f" To do: {text(each.fix)}." if each.fix else ""
        yield f"- **{each.level.upper()}** {text(each.says)}.{costs}{fix} ({text(each.rule)})"
