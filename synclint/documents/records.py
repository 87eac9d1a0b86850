"""The records of what can be wrong with a file itself, so that such findings have a page like any rule's."""

from __future__ import annotations

from synclint.findings import Confirmed, Hurts, Level, Mended, Record, Source

_FORMAT = (Source("The schema of the document (schemas/)", Confirmed.OWN),)
_YAML = (Source("YAML 1.2.2, core schema", Confirmed.MEMORY),)


def _record(name: str, summary: str, why: str, sources: tuple[Source, ...] = _FORMAT) -> Record:
    return Record(name, summary, Level.ERROR, Hurts.DAY, Mended.RENTAL, why, sources)


UNREADABLE_FILE = _record(
    "unreadable-file",
    "The file cannot be read as YAML text at all",
    "A file that is missing, of another encoding, broken, or too large or deep to be a setup cannot be judged.",
    _YAML,
)
DUPLICATE_KEY = _record(
    "duplicate-key",
    "The same key stands twice in one mapping",
    "YAML readers keep one of the two in silence, and not all the same one; the setting you read may not be in force.",
    _YAML,
)
UNKNOWN_KEY = _record(
    "unknown-key",
    "A key that this kind of document does not have",
    "A misspelt key is a setting that nobody reads.",
)
MISSING_KEY = _record(
    "missing-key", "A key that this place cannot do without", "Without it the entry says nothing that can be judged."
)
WRONG_VALUE = _record(
    "wrong-value",
    "A value that this key does not take",
    "A word outside the list, or a value of another form, is one that nobody can act on.",
)
WRONG_UNIT = _record(
    "wrong-unit",
    "A quantity without its unit, or with one that does not fit",
    "45 may be minutes or seconds; a bare number is how a rig comes to be planned a factor of sixty out.",
)
UNKNOWN_NAME = _record(
    "unknown-name",
    "A device, port, type or other name that is declared nowhere",
    "A lead to a name that does not exist is a lead that is not on the drawing; the rig cannot be followed past it.",
)
CLASHING_NAMES = _record(
    "clashing-names",
    "One name is given to two things",
    "Which of the two is meant cannot be told, on the sheet or on the shelf.",
)
CIRCULAR_INHERITANCE = _record(
    "circular-inheritance",
    "Devices or types take over each other's settings in a circle",
    "A circle of `like` or `based_on` never comes to the one that states the settings.",
)
NEEDLESS_ACCEPTANCE = Record(
    "needless-acceptance",
    "An accepted finding that does not occur",
    Level.NOTE,
    Hurts.HABIT,
    Mended.RENTAL,
    "An acceptance that answers nothing hides the finding on the day it comes back for another reason.",
    _FORMAT,
)
EXPIRED_ACCEPTANCE = Record(
    "expired-acceptance",
    "An acceptance past its date",
    Level.WARNING,
    Hurts.TIME,
    Mended.RENTAL,
    "It was accepted until a day that is over; the finding counts again, and somebody should decide anew.",
    _FORMAT,
)
MEASUREMENT_TOO_OLD = Record(
    "measurement-too-old",
    "A piece of a kit that was last measured more than 12 months ago",
    Level.NOTE,
    Hurts.HABIT,
    Mended.RENTAL,
    "Oscillators age, so a measured rate error holds for a while only, and a plan on an old one promises too much.",
    (Source(Confirmed.PRACTICE.value, Confirmed.PRACTICE),),
)

ALL = (
    UNREADABLE_FILE,
    DUPLICATE_KEY,
    UNKNOWN_KEY,
    MISSING_KEY,
    WRONG_VALUE,
    WRONG_UNIT,
    UNKNOWN_NAME,
    CLASHING_NAMES,
    CIRCULAR_INHERITANCE,
    NEEDLESS_ACCEPTANCE,
    EXPIRED_ACCEPTANCE,
    MEASUREMENT_TOO_OLD,
)
