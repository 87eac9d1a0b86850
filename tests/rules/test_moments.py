"""Moments and lengths in the words of findings."""

from fractions import Fraction

import pytest

from synclint.documents.reading import load_text
from synclint.rig.build import build
from synclint.rules.framework import Case
from synclint.rules.moments import in_frames


@pytest.mark.parametrize(
    ("seconds", "said"),
    [
        ("0.36", "360 ms (9 frames at 25)"),  # 0.36 x 25 = 9
        ("0.04", "40 ms (1 frame at 25)"),
        ("0.0416", "41.6 ms (1.04 frames at 25)"),  # more than the one frame that is tolerated, and it shows
        ("0.0514", "51.4 ms (1.3 frames at 25)"),  # 1.285
    ],
)
def test_a_length_in_frames(seconds: str, said: str) -> None:
    document = load_text("synclint: setup/1\nproject: {rate: 25}\ndevices: {}\n", "x.setup.yaml").document
    assert document is not None
    assert in_frames(Case(build(document, ()).setup), Fraction(seconds)) == said
