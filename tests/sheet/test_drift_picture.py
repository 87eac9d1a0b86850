"""The picture of drift: exact corners, told without eyes, and safe in every reader of XML."""

import xml.etree.ElementTree as ET
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest

from synclint.drift.values import Curve, Drift, Hour, Mark, Point, Vertex
from synclint.sheet.drift_lines import MOST_LINES, clock_of
from synclint.sheet.drift_picture import HEAD, LANE, LEFT, PLOT, RIGHT, WIDTH, draw
from tests.report import drifts, made

SVG = "{http://www.w3.org/2000/svg}"
HOUR = drifts.HOUR


def drawn(drift: Drift) -> ET.Element:
    return ET.fromstring(draw(drift))  # noqa: S314 - our own text


def texts(root: ET.Element) -> list[str]:
    return [element.text or "" for element in root.iter(f"{SVG}text")]


def lines(root: ET.Element) -> list[ET.Element]:
    """The lines of the devices: all in the one clipped group."""
    return [path for group in root.iter(f"{SVG}g") for path in group.iter(f"{SVG}path")]


def test_a_screen_reader_is_told_what_it_shows() -> None:
    root = drawn(drifts.LEAVES)
    assert root.get("role") == "img"
    told = [root.find(f"{SVG}title"), root.find(f"{SVG}desc")]
    assert [each is not None and each.get("id") for each in told] == (root.get("aria-labelledby") or "").split()
    title, desc = (each.text or "" for each in told if each is not None)
    assert title == "Drift of A day: the worst offset of each device against bag"
    for says in (
        "The tolerance is 1 frame (40 ms).",
        "2026-06-14, clock time of Europe/Lisbon.",
        "box_a and cam_a: at most 39.0 ms, at 19:00.",
        "box_a and cam_a from 06:00 to 07:00: no bound: set by hand.",
        "slate from 14:00 to 19:00: no bound: restarted without a jam.",
        "Jam 07:00, 2 devices.",
        "Break from 12:00 to 13:00.",
        "Measured: box_a -13 ms ± 2 ms at 11:00.",
    ):
        assert says in desc


def test_the_corners_of_a_line_are_where_its_values_are() -> None:
    (line, *_) = lines(drawn(drifts.LEAVES))
    # The scale ends at 1.3 tolerances of 40 ms: 52 ms, of which 26 ms are the half and 39 ms three quarters.
    floor = HEAD + 2 * LANE + PLOT
    hour = (WIDTH - LEFT - RIGHT) / 13
    corners = [(1, 0.0), (6, 0.5), (6, 0.0), (13, 0.75)]
    want = [(LEFT + hours * hour, floor - share * PLOT) for hours, share in corners]
    told = [tuple(map(float, point[1:].split())) for point in (line.get("d") or "").replace(" L", "|L").split("|")]
    assert told == [pytest.approx(point, abs=0.006) for point in want]


def test_lines_are_told_apart_without_colour() -> None:
    root = drawn(drifts.LEAVES)
    assert len({line.get("stroke-dasharray") for line in lines(root)}) == 2
    assert {"box_a, cam_a", "slate"} <= set(texts(root))


def test_what_has_no_bound_is_labelled_and_hatched_unlike_a_break() -> None:
    root = drawn(drifts.LEAVES)
    fills = [each.get("fill") for each in root.iter(f"{SVG}rect")]
    assert fills.count("url(#drift-unknown)") == 2
    assert fills.count("url(#drift-break)") == 1
    assert any(text.startswith("no bound: slate, restarted") for text in texts(root))
    assert "break" in texts(root)


def test_the_tolerance_the_jams_and_the_takes_are_named() -> None:
    told = texts(drawn(drifts.LEAVES))
    assert {"tolerance 1 frame (40 ms)", "jams", "07:00, 2 devices", "12:00, box_a", "takes", "scene 3"} <= set(told)


def test_a_measured_point_is_a_circle_with_its_reading() -> None:
    root = drawn(drifts.LEAVES)
    circle = next(root.iter(f"{SVG}circle"))
    # 13 of 52 ms above the floor, 5 hours of 13 from the left; the sign is lost in a worst case.
    assert float(circle.get("cy") or 0) == pytest.approx(HEAD + 2 * LANE + PLOT * 0.75, abs=0.01)
    assert float(circle.get("cx") or 0) == pytest.approx(LEFT + 400 * 5 / 13, abs=0.01)
    title = circle.find(f"{SVG}title")
    assert title is not None
    assert title.text == "box_a -13 ms ± 2 ms at 11:00"
    assert not list(drawn(replace(drifts.LEAVES, panels=(replace(drifts.PANEL, points=()),))).iter(f"{SVG}circle"))


def test_several_days_have_a_panel_each() -> None:
    one = float((drawn(drifts.LEAVES).get("viewBox") or "").split()[3])
    two = drawn(replace(drifts.LEAVES, panels=(drifts.PANEL, replace(drifts.PANEL, title="2026-06-15"))))
    assert float((two.get("viewBox") or "").split()[3]) == pytest.approx(2 * one)
    assert {"2026-06-14, Europe/Lisbon", "2026-06-15, Europe/Lisbon"} <= set(texts(two))
    names = [each.get("id") for each in two.iter() if each.get("id")]
    assert len(names) == len(set(names))


def test_a_line_far_beyond_the_tolerance_does_not_flatten_it() -> None:
    far = Curve(("cam_z",), (Vertex(6 * HOUR, Fraction(0)), Vertex(19 * HOUR, Fraction(3))), ())
    root = drawn(replace(drifts.LEAVES, panels=(replace(drifts.PANEL, curves=(far,)),)))
    # Four tolerances: 160 ms; the label tells the rest.
    assert "160" in texts(root)
    assert "3 s at 19:00" in texts(root)


def test_of_many_lines_the_lower_ones_share_a_label() -> None:
    many = tuple(
        Curve((f"box_{n}",), (Vertex(6 * HOUR, Fraction(0)), Vertex(19 * HOUR, drifts.ms(str(n + 1)))), ())
        for n in range(20)
    )
    root = drawn(replace(drifts.LEAVES, panels=(replace(drifts.PANEL, curves=many),)))
    assert len(lines(root)) == 20
    told = texts(root)
    assert [name for name in told if name.startswith("box_")] == [
        *[f"box_{n}" for n in (19, 18, 17, 16, 15, 14)],
        "box_a",  # the measured point
    ]
    assert f"{20 - (MOST_LINES - 1)} more" in told


def test_labels_do_not_lie_on_each_other() -> None:
    many = tuple(
        Curve((f"box_{n}",), (Vertex(6 * HOUR, Fraction(0)), Vertex(19 * HOUR, drifts.ms(f"30.{n}"))), ())
        for n in range(6)
    )
    root = drawn(replace(drifts.LEAVES, panels=(replace(drifts.PANEL, curves=many, points=()),)))
    places = sorted(
        float(each.get("y") or 0) for each in root.iter(f"{SVG}text") if (each.text or "").startswith("box_")
    )
    assert min(b - a for a, b in pairwise(places)) >= 26


def test_hostile_names_stay_text() -> None:
    curve = Curve((made.HOSTILE,), (Vertex(6 * HOUR, Fraction(0)), Vertex(19 * HOUR, Fraction(1))), ())
    mark = Mark(7 * HOUR, 7 * HOUR, "jam 07:00, </text><script>x</script>")
    point = Point(8 * HOUR, ("<b>",), Fraction(0), Fraction(0), made.HOSTILE)
    panel = replace(drifts.PANEL, title="<&\"'>", zone=made.HOSTILE, curves=(curve,), jams=(mark,), points=(point,))
    root = drawn(replace(drifts.LEAVES, title=made.HOSTILE, masters=("<m>&",), panels=(panel,)))
    assert not list(root.iter(f"{SVG}script"))
    assert "<&\"'>, " in "".join(texts(root))


def test_nothing_to_draw_is_a_picture_too() -> None:
    assert texts(drawn(drifts.EMPTY)) == ["No day is told of, so there is nothing to draw."]


def test_a_day_on_which_nothing_drifts_is_drawn() -> None:
    flat = Curve(("box_a",), (Vertex(6 * HOUR, Fraction(0)), Vertex(19 * HOUR, Fraction(0))), ())
    panel = replace(drifts.PANEL, curves=(flat,), points=())
    for tolerance in (None, Fraction(0), drifts.FRAME):
        drawn(replace(drifts.LEAVES, tolerance=tolerance, panels=(panel,)))


def test_the_same_values_give_the_same_bytes() -> None:
    assert draw(drifts.LEAVES) == draw(drifts.LEAVES)


def test_it_asks_for_nothing_from_elsewhere() -> None:
    text = draw(drifts.LEAVES)
    assert "href" not in text
    assert text.count("http") == 1


@pytest.mark.parametrize(("seconds", "says"), [(5400, "23:30"), (9015, "00:30:15"), (-600, "21:50")])
def test_an_instant_is_told_by_the_hour_before_it(seconds: int, says: str) -> None:
    """Three full hours: 22:00, 23:00 and midnight."""
    hours = tuple(Hour(index * HOUR, hour) for index, hour in enumerate((22, 23, 0)))
    panel = replace(drifts.LEAVES.panels[0], hours=hours)
    assert clock_of(panel, Fraction(seconds)) == says
    assert clock_of(replace(panel, hours=()), Fraction(seconds)) == "an unknown hour"
