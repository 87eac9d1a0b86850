"""Screens that change from one picture to the next while a camera exposes: rows that see two pictures."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import floor, log2

from synclint.findings import (
    WHO,
    Amount,
    CheckLine,
    Confirmed,
    Cost,
    Fact,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Place,
    Record,
    SetValue,
    Source,
    Standing,
    Unjudged,
)
from synclint.rig.model import Device
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.references_used import phase_edit
from synclint.rules.wall_sync import refreshes, shot_rate
from synclint.rules.walls import Wall, walls
from synclint.rules.wording import PRACTICE
from synclint.trade.exposure import Shutter, Window, parse_shutter, seam_travel
from synclint.trade.phase import parse_phase, say_phase
from synclint.trade.quantities import say_number
from synclint.trade.rates import Rate


@dataclass(frozen=True, slots=True)
class _Shot:
    """A camera before a screen, with all that decides which rows see two pictures."""

    wall: Wall
    camera: Device
    rate: Rate
    shutter: Shutter
    readout: Fraction
    changes: Fraction
    change: Fact[Rate]
    """How often the screen goes on to another picture; one that it shows anew is no change."""

    @property
    def period(self) -> Fraction:
        """How long a picture of the screen stands, in seconds, as far as it matters to a frame of the camera."""
        fps = self.change.value.fps if self.change.value is not None else self.rate.fps
        return 1 / max(fps, self.rate.fps)

    def window(self, opens: Fraction, shutter: Shutter | None = None) -> Window:
        """When the camera looks where its first row opens so long after the reference."""
        return Window(opens, (shutter or self.shutter).seconds(self.rate), self.readout)


@rule(
    Record(
        name="wall-changes-while-the-camera-looks",
        summary="A screen goes from one picture to the next while a camera that films it exposes",
        level=Level.ERROR,
        hurts=Hurts.DAY,
        mended=Mended.TEST_DAY,
        why="A frame is exposed row by row. Rows that are open while the screen changes see a part of two pictures: a "
        "band that stands still in the frame, at another height on each model of camera. The phase moves the exposure "
        "to where the screen stands still; where exposure and readout outlast a picture of the screen none does. A "
        "picture that the screen only shows again is no change: what counts is the rate of what feeds it.",
        sources=(Source("rows open at the change over all rows: exact arithmetic", Confirmed.ARITHMETIC), PRACTICE),
        answers=("shutter phase or angle across the wall's update",),
    )
)
def wall_changes_while_the_camera_looks(case: Case) -> Iterator[Yielded]:
    """Lay a camera's exposure, row by row, beside the moments at which a screen changes."""
    for wall in walls(case):
        for camera in wall.cameras:
            shot = _shot(case, wall, camera)
            if isinstance(shot, Unjudged):
                yield shot
            elif shot is not None:
                yield from _judged(shot)


def _shot(case: Case, wall: Wall, camera: Device) -> _Shot | Unjudged | None:
    """What decides, or the fact that lacks; None where the two are not locked, or of rates that do not go together."""
    rate, refresh = shot_rate(camera), wall.screen.screen_refresh
    one, other = case.clock.root_of(camera.key), case.clock.root_of(wall.screen.key)
    if rate is None or rate.value is None or refresh.value is None or one != other or not one.generates:
        return None
    if seam_travel(refresh.value, rate.value) is not None or camera.picture is None:
        return None
    needed: tuple[tuple[Fact[Shutter] | Fact[Fraction], str], ...] = (
        (camera.picture.shutter, f"the shutter of {camera.called} (records: picture: shutter)"),
        (
            camera.picture.readout,
            f"how long {camera.called} takes to read a picture out (able: records: picture: readout)",
        ),
        (wall.screen.screen.changes_at, f"when {wall.screen.called} changes after its reference (screen: changes_at)"),
    )
    for fact, lacks in needed:
        if fact.value is None:
            return Unjudged(wall_changes_while_the_camera_looks.record, fact.place, lacks, (camera.called,))
    return _Shot(
        wall,
        camera,
        rate.value,
        camera.picture.shutter.value or Shutter(angle=Fraction(180)),
        abs(camera.picture.readout.value or Fraction(0)),
        wall.screen.screen.changes_at.value or Fraction(0),
        _change(case, wall, rate.value),
    )


def _change(case: Case, wall: Wall, camera: Rate) -> Fact[Rate]:
    """How often a screen goes on to another picture: as often as what feeds it, else taken to be at each refresh."""
    refresh = wall.screen.screen_refresh
    fed = [fact for fact, shown_by, _ in refreshes(case, wall) if shown_by != wall.screen.called and fact.value]
    fastest = max(fed, key=lambda fact: fact.value.fps if fact.value else 0, default=None)
    if refresh.value is None or refresh.value.fps <= camera.fps:
        return refresh
    if fastest is None or fastest.value is None:
        return Fact(refresh.value, refresh.place, Standing.ASSUMED, refresh.text, _EACH_ANEW)
    # What does not go into the refresh evenly comes irregularly, which is told as that.
    return fastest if (refresh.value.fps / fastest.value.fps).denominator == 1 else refresh


_EACH_ANEW = "a screen goes on to another picture at each refresh, unless what feeds it says its rate"


def _judged(shot: _Shot) -> Iterator[Yielded]:
    """Judge an exposure, or where nobody says when it begins whether there is any time for it."""
    record = wall_changes_while_the_camera_looks.record
    phase = shot.camera.clock.phase
    free = shot.window(Fraction(0)).free_from(shot.changes, shot.period)
    if phase.value is None and free is not None:
        lacks = f"the phase that {shot.camera.called} is set to (clock: phase)"
        yield Unjudged(record, shot.camera.clock.place, lacks, (shot.camera.called,))
        first, last = (say_phase(_as_phase(shot, opens)) for opens in free)
        yield CheckLine(
            record,
            Mended.TEST_DAY,
            f"Set the phase of {WHO} between {last} and {first}, film a moving line over all of "
            f"{shot.wall.screen.called}, and write the phase down (clock: phase)",
            (shot.camera.called,),
            shot.camera.clock.place,
        )
        return
    shared = shot.window(-(phase.value or Fraction(0))).shared_rows(shot.changes, shot.period)
    if shared:
        yield _band(shot, shared)


def _as_phase(shot: _Shot, opens: Fraction) -> Fraction:
    """The phase, of those that come to the same the one nearest to none, at which the first row opens at a moment."""
    frame = shot.rate.frame
    late = opens - floor(opens / frame + Fraction(1, 2)) * frame
    return -late


def _band(shot: _Shot, shared: Fraction) -> Finding:
    """The finding on a camera that sees the screen change."""
    camera, screen = shot.camera, shot.wall.screen
    window = shot.window(Fraction(0))
    at_most = f"{say_number(shared * 100, 2)} %"
    return wall_changes_while_the_camera_looks.record.finding(
        at=camera.clock.phase.place if camera.clock.phase.written else _shutter_place(camera),
        says=f"{screen.called} changes its picture while rows of {WHO} are open ({say_phase(window.exposure)} each, "
        f"the last {say_phase(window.readout)} after the first; a picture lasts {say_phase(shot.period)})",
        who=(camera.called,),
        costs=Cost(
            f"{at_most} of the rows see two pictures of {screen.called}: a band that stands still in every frame",
            (Amount("rows with two pictures", float(shared * 100), "%"),),
            float(shared),
        ),
        fix=_move(shot),
        also=(
            Mention(screen.screen.changes_at.place, f"when {screen.called} changes"),
            Mention(_shutter_place(camera), "the shutter"),
        ),
        decided_by=(screen.screen.changes_at, shot.change, *((camera.picture.shutter,) if camera.picture else ())),
    )


def _shutter_place(camera: Device) -> Place:
    return camera.picture.shutter.place if camera.picture is not None else camera.place


def _move(shot: _Shot) -> Fix:
    """Another phase, after a shorter shutter where there is no room for this one."""
    camera, shutter, edits = shot.camera, shot.shutter, []
    says = ""
    room = shot.period - shot.readout
    if shot.window(Fraction(0)).free_from(shot.changes, shot.period) is None:
        if room <= 0:
            return Fix(
                f"Take a camera that reads out in less than {say_phase(shot.period)}, or show fewer pictures a second "
                f"on {shot.wall.screen.called}"
            )
        text = shutter.as_angle(room * _MARGIN, shot.rate)
        shutter = parse_shutter(text)
        stops = log2(float(shot.shutter.seconds(shot.rate) / shutter.seconds(shot.rate)))
        costs = f"{stops:.1f} stops of light" if f"{stops:.1f}" != "1.0" else "a stop of light"
        anew = "If what feeds it shows each picture several times, write its format (links: format). Else close"
        close = anew if shot.change.assumed else "Close"
        says = f"{close} the shutter of {WHO} to {text}, which costs {costs}, and set its phase to"
        edits.append(SetValue(_shutter_place(camera), text))
    free = shot.window(Fraction(0), shutter).free_from(shot.changes, shot.period) or (shot.changes, shot.changes)
    exact = _as_phase(shot, (free[0] + free[1]) / 2)
    # Three digits are what a menu shows; more only where there is so little room that they would miss it.
    room_to_round = abs(parse_phase(say_phase(exact)) - exact) <= (free[1] - free[0]) / 2
    wanted = say_phase(exact) if room_to_round else say_phase(exact, 8)
    return Fix(
        f"{says or f'Set the phase of {WHO} to'} {wanted}, film a moving line over the whole screen, and write it "
        "down in the baseline of the camera",
        (*edits, phase_edit(camera, wanted)),
    )


_MARGIN = Fraction(9, 10)
"""How much of the room that there is a shortened exposure is to take (a design choice, no source)."""


RULES: tuple[Rule, ...] = (wall_changes_while_the_camera_looks,)
