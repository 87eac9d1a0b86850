"""The entrance: help that teaches, usage errors that show the way, statuses."""

import io
import os
import subprocess
import sys
from pathlib import Path

import pytest

from synclint.cli import check, main
from synclint.cli.program import COMMANDS
from synclint.findings import Level

ROOT = Path(__file__).parents[2]


def ran(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    status = main.main(list(arguments))
    printed = capsys.readouterr()
    return status, printed.out, printed.err


@pytest.mark.parametrize("command", [[], *([name] for name in COMMANDS)])
def test_help_teaches_by_example(capsys: pytest.CaptureFixture[str], command: list[str]) -> None:
    status, out, err = ran(capsys, *command, "--help")
    assert (status, err) == (0, "")
    examples = out.partition("examples:\n")[2]
    assert 3 <= examples.count(" ".join(["synclint", *command])) <= 8
    assert max(map(len, out.splitlines())) <= 100


def test_every_command_is_named_in_the_help(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = ran(capsys, "--help")
    for name in COMMANDS:
        assert f"\n    {name} " in out


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ([], "which command?"),
        (["chek"], "there is no command 'chek'; did you mean check?"),
        (["nonsense"], "the commands are check, drift, sheet, explain, rules, schema"),
        (["day4.setup.yaml"], "did you mean `synclint check day4.setup.yaml`?"),
        (["day 4.setup.yaml"], "did you mean `synclint check 'day 4.setup.yaml'`?"),
        (["\x1b[31m.setup.yaml"], r"did you mean `synclint check '\x1b[31m.setup.yaml'`?"),
        (["check", "x", "--\x1b[31m\u202e"], r"unrecognized arguments: --\x1b[31m\u202e"),
        (["--fail-at", "error"], "'--fail-at' comes after a command"),
        (["check"], "arguments are required: SETUP"),
        (["check", "x", "--fail-at", "worse"], "invalid choice: 'worse'"),
        (["check", "x", "--today", "14.6.2026"], "'14.6.2026' is no day; a day is written 2026-06-14"),
        (["check", "x", "--repo", "json"], "unrecognized arguments: --repo"),
        (["schema", "house"], "invalid choice: 'house'"),
        (["explain"], "arguments are required: RULE"),
    ],
)
def test_a_usage_error_shows_an_example(capsys: pytest.CaptureFixture[str], arguments: list[str], says: str) -> None:
    status, out, err = ran(capsys, *arguments)
    assert (status, out) == (2, "")
    assert err.startswith("synclint: ")
    assert says in err
    assert "for example: synclint " in err


def test_the_levels_are_those_of_findings() -> None:
    assert [level.value for level in Level] == list(check.LEVELS)


def test_an_interruption_has_its_own_status(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def interrupted(_: object) -> int:
        raise KeyboardInterrupt

    monkeypatch.setattr(COMMANDS["rules"], "run", interrupted)
    assert ran(capsys, "rules") == (130, "", "synclint: interrupted\n")


def test_an_interruption_while_the_program_loads_is_no_fault() -> None:
    program = """
import sys
class Stop:
    def find_spec(self, name, path, target=None):
        if name == sys.argv[1]:
            raise KeyboardInterrupt
sys.meta_path.insert(0, Stop())
from synclint.cli.main import main
sys.exit(main(["check", "x"]))
"""
    for module in ("synclint.cli.program", "argparse", "synclint.checker"):
        command = [sys.executable, "-c", program, module]
        done = subprocess.run(command, capture_output=True, cwd=ROOT, check=False)
        assert (done.returncode, done.stdout, done.stderr) == (130, b"", b"synclint: interrupted\n"), module


def test_a_fault_of_the_program_is_told_as_one(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def failed(_: object) -> int:
        raise ValueError("no such thing")

    monkeypatch.setattr(COMMANDS["rules"], "run", failed)
    status, out, err = ran(capsys, "rules")
    assert (status, out) == (2, "")
    assert err.startswith("synclint: this is a fault of synclint and not of your file:\n")
    assert "no such thing" in err


def test_what_an_output_cannot_say_is_spelt(monkeypatch: pytest.MonkeyPatch) -> None:
    def speak(_: object) -> int:
        sys.stdout.write("µ\n")
        return 0

    stream = io.TextIOWrapper(io.BytesIO(), encoding="ascii", newline="")
    monkeypatch.setattr(sys, "stdout", stream)
    monkeypatch.setattr(COMMANDS["rules"], "run", speak)
    assert main.main(["rules"]) == 0
    assert stream.buffer.getvalue() == b"\\xb5\n"


def test_no_output_at_all_is_no_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdout", None)
    assert main.main(["schema", "report"]) == 0


@pytest.mark.skipif(os.name == "nt", reason="pipes close otherwise there")
@pytest.mark.parametrize(
    ("arguments", "status"),
    [
        (["schema", "setup"], 0),
        (["rules", "--format", "markdown"], 0),
        (["check", "gone.setup.yaml"], 2),
        (["check", "gone.setup.yaml", "--report", "json"], 2),
    ],
)
def test_a_closed_pipe_is_quiet(arguments: list[str], status: int) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    try:
        done = subprocess.run(
            [sys.executable, "-m", "synclint", *arguments],
            stdout=writing,
            stderr=subprocess.PIPE,
            cwd=ROOT,
            check=False,
        )
    finally:
        os.close(writing)
    assert (done.returncode, done.stderr) == (status, b"")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
def test_a_full_disk_is_told() -> None:
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "synclint", "schema", "setup"],
            stdout=full,
            stderr=subprocess.PIPE,
            cwd=ROOT,
            check=False,
        )
    assert done.returncode == 2
    assert done.stderr.startswith(b"synclint: cannot go on: ")
    assert b"Traceback" not in done.stderr
