"""The record of every finding that the program can make: those of the rules and those of a file's own problems."""

from __future__ import annotations

from collections.abc import Mapping

from synclint.documents import records as of_files
from synclint.findings import Record
from synclint.rules.catalogue import RULES

RECORDS: Mapping[str, Record] = {record.name: record for record in (*(rule.record for rule in RULES), *of_files.ALL)}
"""By name."""
