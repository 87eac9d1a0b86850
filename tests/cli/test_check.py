"""`synclint check`: what is checked, what is written where, and with what status it ends."""

import io
import json
import os
import subprocess
import sys
from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from synclint import checker
from synclint.checker import Choice
from synclint.cli import files
from synclint.cli.main import main
from synclint.result import Report
from synclint.rules.catalogue import RULES
from tests.report import made


class Checker:
    """Stands in for the checker: gives the reports it was told to, by file name, and remembers what it was asked."""

    def __init__(self) -> None:
        self.reports: dict[str, Report] = {}
        self.asked: list[str] = []
        self.choice = Choice()

    def __call__(self, paths: Iterable[str], choice: Choice) -> Iterator[Report]:
        self.choice = choice
        for path in paths:
            self.asked.append(path)
            yield replace(self.reports.get(path, Report(path, "setup")), file=path)


@pytest.fixture
def fake(monkeypatch: pytest.MonkeyPatch) -> Checker:
    stand_in = Checker()
    stand_in.reports = {
        "bad": made.SMALL,
        "doubtful": Report("", "setup", findings=(made.DRIFT,)),
        "untidy": Report("", "setup", findings=(made.LEAD,)),
        "gone": made.UNREADABLE,
        "crashed": Report("", "setup", crashes=made.hostile().crashes),
    }
    monkeypatch.setattr(checker, "check_all", stand_in)
    return stand_in


# --- statuses --------------------------------------------------------------------------------------------------


@pytest.mark.usefixtures("fake")
@pytest.mark.parametrize(
    ("arguments", "status"),
    [
        (["sound"], 0),
        (["untidy"], 0),
        (["doubtful"], 1),
        (["bad"], 1),
        (["gone"], 2),
        (["crashed"], 2),
        (["gone", "--fail-at", "never"], 2),
        (["crashed", "--fail-at", "never"], 2),
        (["bad", "--fail-at", "never"], 0),
        (["doubtful", "--fail-at", "error"], 0),
        (["bad", "--fail-at", "error"], 1),
        (["untidy", "--fail-at", "note"], 1),
        (["bad", "--show", "error", "--fail-at", "note"], 1),
        (["untidy", "--show", "error", "--fail-at", "note"], 1),
        (["sound", "untidy", "doubtful"], 1),
        (["doubtful", "gone", "sound"], 2),
    ],
)
def test_the_exit_status(arguments: list[str], status: int) -> None:
    assert main(["check", *arguments]) == status


def test_all_files_are_checked_whatever_comes_of_the_first(fake: Checker) -> None:
    main(["check", "gone", "bad", "sound"])
    assert fake.asked == ["gone", "bad", "sound"]


# --- what is checked -------------------------------------------------------------------------------------------


def test_folders_are_read_by_the_suffixes_in_them(
    fake: Checker, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for name in (
        "b.setup.yaml",
        "a.kit.yaml",
        "notes.yaml",
        ".hidden.setup.yaml",
        "in/c.setup.yml",
        ".git/d.setup.yaml",
    ):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).touch()
    assert main(["check", str(tmp_path), str(tmp_path / "b.setup.yaml"), "-"]) == 0
    assert fake.asked == [*(str(tmp_path / name) for name in ("a.kit.yaml", "b.setup.yaml", "in/c.setup.yml")), "-"]
    out = capsys.readouterr().out
    assert "1 file in the folders left out" in out
    assert "standard input" in out


def test_a_folder_without_anything_to_check_is_told(
    fake: Checker, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", str(tmp_path)]) == 2
    assert fake.asked == []
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err.startswith(f"synclint: there is no setup and no kit in {str(tmp_path)!r}")


def test_a_folder_that_may_not_be_read_is_told_and_the_rest_is_checked(
    fake: Checker, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "shut").mkdir()
    (tmp_path / "a.setup.yaml").touch()
    scan = os.scandir

    def refuse(path: str) -> object:
        if path.endswith("shut"):
            raise PermissionError(13, "Permission denied", path)
        return scan(path)

    monkeypatch.setattr(os, "scandir", refuse)
    assert main(["check", str(tmp_path)]) == 2
    assert fake.asked == [str(tmp_path / "a.setup.yaml")]
    assert capsys.readouterr().err == f"synclint: cannot look into {str(tmp_path / 'shut')!r}: Permission denied\n"


def test_which_rules_run_and_on_which_day(fake: Checker) -> None:
    rules = [rule.name for rule in RULES[:3]]
    main(["check", "x", "--only", f"{rules[0]}, {rules[1]}", "--only", rules[2], "--except", rules[1]])
    assert fake.choice == Choice(only=frozenset(rules), without=frozenset({rules[1]}))
    main(["check", "x", "--today", "2026-06-14"])
    assert fake.choice == Choice(today=date(2026, 6, 14))


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (
            ["--only", "two-timecode-master"],
            "there is no rule 'two-timecode-master'; did you mean two-timecode-masters?",
        ),
        (["--except", "timecode-lop"], "there is no rule 'timecode-lop'; did you mean timecode-loop?"),
        (["--only", "qqq"], "there is no rule 'qqq'; `synclint rules` lists them"),
        (["--only", ""], "--only names no rule; `synclint rules` lists them"),
        (["--only", ","], "--only names no rule"),
        (["--except", " , "], "--except names no rule"),
        (
            ["--only", "unknown-key"],
            "unknown-key is a problem of a file; those are always told, and --only takes",
        ),
        (["--except", "timecode-loop,unknown-key"], "unknown-key is a problem of a file"),
        (["--only", "timecode-loop", "--except", "timecode-loop"], "leave no rule to run"),
        (["--report", "jsno"], "there is no report format 'jsno'; did you mean json?"),
        (["--report", "json="], "names no file"),
        (["--report", "json", "--report", "terminal"], "two reports cannot both go to standard output"),
        (["--report", "json=a", "--report", "terminal=./a"], "two reports cannot both go to 'a'"),
    ],
)
def test_what_cannot_be_done_is_told(
    fake: Checker, capsys: pytest.CaptureFixture[str], arguments: list[str], says: str
) -> None:
    assert main(["check", "x", *arguments]) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err.startswith("synclint: ")
    assert says in printed.err
    assert fake.asked == []


# --- what is written -------------------------------------------------------------------------------------------


@pytest.mark.usefixtures("fake")
def test_several_reports_each_go_where_they_belong(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "out.json"
    assert main(["check", "bad", "--report", "terminal", "--report", f"json={target}"]) == 1
    assert "Do not shoot like this" in capsys.readouterr().out
    assert json.loads(target.read_bytes())["files"][0]["counts"]["error"] == 1
    assert os.listdir(tmp_path) == ["out.json"]  # noqa: PTH208 - a draft left behind would show here


@pytest.mark.usefixtures("fake")
def test_a_dash_is_standard_output(capsys: pytest.CaptureFixture[str]) -> None:
    main(["check", "bad", "--report", "json=-"])
    assert json.loads(capsys.readouterr().out)["synclint"] == "report/1"


@pytest.mark.usefixtures("fake")
def test_a_report_in_a_file_has_no_colour_and_no_breaks(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FORCE_COLOR", "1")
    main(["check", "bad", "--report", f"terminal={tmp_path / 'out.txt'}"])
    text = (tmp_path / "out.txt").read_text(encoding="utf-8")
    assert "\x1b" not in text
    assert "cam_b and cam_d may drift past the tolerance of 1 frame within the longest take of 45 min.\n" in text


@pytest.mark.usefixtures("fake")
def test_a_file_is_replaced_whole_and_keeps_its_permissions(tmp_path: Path) -> None:
    target, link = tmp_path / "out.json", tmp_path / "link.json"
    target.write_text("old")
    target.chmod(0o640)
    link.symlink_to(target)
    before = target.stat()
    main(["check", "bad", "--report", f"json={link}"])
    assert link.is_symlink()
    assert target.read_text().startswith("{")
    assert target.stat().st_mode == before.st_mode
    assert target.stat().st_ino != before.st_ino


@pytest.mark.usefixtures("fake")
def test_a_new_file_gets_the_usual_permissions(tmp_path: Path) -> None:
    mask = os.umask(0o027)
    try:
        main(["check", "bad", "--report", f"json={tmp_path / 'out.json'}"])
    finally:
        os.umask(mask)
    assert (tmp_path / "out.json").stat().st_mode & 0o777 == 0o640


@pytest.mark.usefixtures("fake")
def test_a_file_stays_as_it_was_where_replacing_fails(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def refuse(*_: object) -> None:
        raise OSError(28, "No space left on device")

    target = tmp_path / "out.json"
    target.write_text("old")
    monkeypatch.setattr(os, "fsync", refuse)
    assert main(["check", "sound", "--report", f"json={target}"]) == 2
    assert capsys.readouterr().err == f"synclint: cannot write {str(target)!r}: No space left on device\n"
    assert target.read_text() == "old"
    assert list(tmp_path.iterdir()) == [target]


@pytest.mark.usefixtures("fake")
def test_a_folder_that_does_not_exist_is_told_and_the_other_report_is_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", "bad", "--report", f"json={tmp_path / 'no' / 'out.json'}", "--report", "terminal"]) == 2
    printed = capsys.readouterr()
    assert "No such file or directory" in printed.err
    assert "Do not shoot like this" in printed.out


@pytest.mark.usefixtures("fake")
@pytest.mark.skipif(not Path("/dev/null").exists(), reason="no such device")
def test_a_device_is_written_to_and_not_replaced() -> None:
    main(["check", "bad", "--report", "json=/dev/null"])
    assert not Path("/dev/null").is_file()


@pytest.fixture
def rig(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A setup and its kit, which has no name that tells, in the current folder."""
    monkeypatch.chdir(tmp_path)
    Path("shelf.yaml").write_text("synclint: kit/1\ntitle: K\n", encoding="utf-8")
    text = "synclint: setup/1\ntitle: T\nproject: {rate: 25}\nkits: [shelf.yaml]\ndevices: {}\n"
    Path("good.setup.yaml").write_text(text, encoding="utf-8")
    Path("link.json").symlink_to("good.setup.yaml")
    Path("kit.json").symlink_to("shelf.yaml")
    return tmp_path


@pytest.mark.parametrize("target", ["good.setup.yaml", "./good.setup.yaml", "link.json", "shelf.yaml", "kit.json"])
def test_a_report_never_overwrites_what_was_read(rig: Path, capsys: pytest.CaptureFixture[str], target: str) -> None:
    before = {path: path.read_bytes() for path in rig.iterdir()}
    asked = ["--report", "json=out.json", "--report", f"json={target}"]
    assert main(["check", "good.setup.yaml", *asked]) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err == f"synclint: --report json={target} would overwrite what you wrote; name another file\n"
    assert {path: path.read_bytes() for path in rig.iterdir()} == before


@pytest.mark.usefixtures("fake")
def test_a_report_never_overwrites_another_document(rig: Path) -> None:
    text = (rig / "good.setup.yaml").read_bytes()
    assert main(["check", "bad", "--report", f"json={rig / 'good.setup.yaml'}"]) == 2
    assert (rig / "good.setup.yaml").read_bytes() == text


@pytest.mark.skipif(not Path("/dev/stdout").exists(), reason="no such device")
@pytest.mark.parametrize("target", ["/dev/stdout", ">(cat)"])
def test_a_report_goes_into_a_pipe(rig: Path, target: str) -> None:
    program = f"{sys.executable} -m synclint check good.setup.yaml --report json={target} | cat"
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    done = subprocess.run(["bash", "-c", program], cwd=rig, env=environment, capture_output=True, check=False)
    assert done.stderr == b""
    assert json.loads(done.stdout)["files"][0]["file"] == "good.setup.yaml"


@pytest.mark.skipif(not Path("/dev/stdout").exists(), reason="no such device")
def test_standard_output_by_its_path_is_added_to(rig: Path) -> None:
    program = f"{sys.executable} -m synclint check good.setup.yaml --report json=/dev/stdout >> out.txt"
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    (rig / "out.txt").write_text("before\n", encoding="utf-8")
    done = subprocess.run(["bash", "-c", program], cwd=rig, env=environment, capture_output=True, check=False)
    assert (done.returncode, done.stderr) == (0, b"")
    assert (rig / "out.txt").read_text(encoding="utf-8").startswith("before\n{")


@pytest.mark.usefixtures("fake")
def test_a_pipe_that_breaks_elsewhere_is_told(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(*_: object) -> None:
        raise BrokenPipeError(32, "Broken pipe")

    monkeypatch.setattr(files, "replace_whole", broken)
    assert main(["check", "sound", "--report", "json=pipe", "--report", "terminal"]) == 2
    printed = capsys.readouterr()
    assert printed.err == "synclint: cannot write 'pipe': Broken pipe\n"
    assert "You can shoot like this" in printed.out  # standard output was not given up


@pytest.mark.usefixtures("fake")
def test_a_fault_is_traced_where_a_person_looks(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "crashed"]) == 2
    printed = capsys.readouterr()
    assert printed.err.splitlines() == [
        "synclint: a fault of synclint, in the rule labels-part:",
        "synclint:   /home/somebody/secret.py",
    ]
    assert "secret" not in printed.out
    assert main(["check", "crashed", "--report", "json"]) == 2
    assert capsys.readouterr().err == ""


# --- terminals and pipes ---------------------------------------------------------------------------------------


class Broken(io.StringIO):
    """A pipe whose reader has gone."""

    def write(self, _: str, /) -> int:
        raise BrokenPipeError


@pytest.mark.usefixtures("fake")
@pytest.mark.parametrize("form", ["terminal", "json"])
def test_a_closed_pipe_is_quiet_and_keeps_the_status(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], form: str
) -> None:
    monkeypatch.setattr(sys, "stdout", Broken())
    assert main(["check", "bad", "--report", form]) == 1
    assert capsys.readouterr().err == ""


@pytest.mark.usefixtures("fake")
def test_without_a_standard_output_the_status_is_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdout", None)
    assert main(["check", "bad"]) == 1


@pytest.mark.usefixtures("fake")
def test_no_color_is_respected(monkeypatch: pytest.MonkeyPatch) -> None:
    for variable, colored in (({}, True), ({"NO_COLOR": "1"}, False)):
        screen = made.Screen()
        monkeypatch.setattr(sys, "stdout", screen)
        monkeypatch.setenv("TERM", "xterm")
        monkeypatch.delenv("NO_COLOR", raising=False)
        for name, value in variable.items():
            monkeypatch.setenv(name, value)
        main(["check", "bad"])
        assert ("\x1b[" in screen.getvalue()) == colored


@pytest.mark.usefixtures("fake")
@pytest.mark.parametrize(("files", "screen", "told"), [(12, True, True), (12, False, False), (3, True, False)])
def test_progress_is_shown_on_a_terminal_when_files_are_many(
    monkeypatch: pytest.MonkeyPatch, files: int, screen: bool, told: bool
) -> None:
    stream = made.Screen() if screen else io.StringIO()
    monkeypatch.setattr(sys, "stderr", stream)
    main(["check", *(f"file{number}" for number in range(files))])
    assert ("\rsynclint: 12 of 12 files" in stream.getvalue()) == told
    assert not told or stream.getvalue().endswith("\r\x1b[K")
