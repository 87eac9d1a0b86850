"""The sync sheet as one HTML file that asks for nothing from elsewhere and shows everything with scripts off, too.

Jinja2 escapes all that came from a file. Only the pictures, which escape for themselves, and our own style and script
go in as they are.
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Mapping
from dataclasses import asdict
from hashlib import sha256
from importlib.resources import files

from jinja2 import Environment, FunctionLoader, StrictUndefined
from markupsafe import Markup

from synclint.sheet.cables import CARE
from synclint.sheet.for_post import NONE_STATED
from synclint.sheet.rounds import READ_BY
from synclint.sheet.tables import device_table, one_line, post_table
from synclint.sheet.values import Sheet

UNPLANNED = 4
"""How many lines there are for jams and comparisons that nobody has planned."""


def html(sheet: Sheet) -> str:
    """The page of a sheet."""
    script = _own("sheet.js")
    return _environment().get_template("sheet.html.j2").render(
        sheet=sheet,
        devices=device_table(sheet),
        post=post_table(sheet),
        pictures={name: Markup(text) for name, text in asdict(sheet.pictures).items()},  # noqa: S704 - see above
        care=CARE,
        read_by=READ_BY,
        none_stated=NONE_STATED,
        unplanned=UNPLANNED,
        facts=_facts(sheet),
        style=_own("sheet.css") + _foot(sheet),
        script=script,
        script_hash=b64encode(sha256(script.encode()).digest()).decode(),
    )  # fmt: skip


# --- what is our own -------------------------------------------------------------------------------------------


def _facts(sheet: Sheet) -> Mapping[str, object]:
    """What the script of the page has to know."""
    return {
        "setup": sheet.setup_file,
        "revision": sheet.revision,
        "digest": sheet.digest,
        "tolerance": sheet.tolerance_ms,
        "tolerance_said": next((number.value for number in sheet.numbers if number.label == "Tolerance"), ""),
        "frame": sheet.frame_ms,
        "days": [asdict(day) for day in sheet.log_days],
    }


def _text(name: str) -> str:
    return (files("synclint.sheet") / "page" / name).read_text(encoding="utf-8")


def _own(name: str) -> Markup:
    """Our own style or script, as it stands."""
    return Markup(_text(name))  # noqa: S704 - nothing of the user's is in it


def _foot(sheet: Sheet) -> Markup:
    """What stands at the foot of each printed page: loose leaves must tell of which revision they are."""
    draft = "DRAFT, " if sheet.draft else ""
    says = _in_style(f"{draft}{one_line(sheet.title)[:60]}, revision {one_line(sheet.revision)[:12]}, {sheet.digest}")
    pages = 'content: "page " counter(page) " of " counter(pages)'
    return Markup("@page { @bottom-left { content: %s } @bottom-right { %s } }\n") % (Markup(says), Markup(pages))  # noqa: S704 - spelt out


def _in_style(text: str) -> str:
    """A text as a string of a style sheet, each letter by its number."""
    return '"{}"'.format("".join(f"\\{ord(each):x} " for each in text))


def _shown(value: object) -> object:
    """What Jinja2 is about to print: text is cleaned before it is escaped."""
    return one_line(value) if isinstance(value, str) and not isinstance(value, Markup) else value


def _environment() -> Environment:
    return Environment(
        loader=FunctionLoader(_text),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_shown,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
