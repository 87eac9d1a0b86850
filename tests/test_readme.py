"""The README's commands are the ones that CI runs, and its example is one that the program reads."""

import re
from io import StringIO
from pathlib import Path

import pytest

from synclint.checker import check_file
from synclint.cli.main import main
from synclint.cli.program import COMMANDS
from synclint.cli.schema import KINDS
from synclint.findings import Level
from synclint.report.terminal import write

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
CI = (ROOT / ".ci" / "run").read_text(encoding="utf-8")


def command(name: str) -> str:
    """The one line that the README shows between the markers of that name."""
    found = re.findall(
        rf"^<!-- {name} command -->\n```sh\n([^\n]+)\n```\n<!-- end of {name} command -->$", README, re.MULTILINE
    )
    assert len(found) == 1, f"README.md must show one {name} command between its markers"
    return str(found[0])


@pytest.mark.parametrize("name", ["run", "test"])
def test_a_command_starts_from_a_fresh_clone(name: str) -> None:
    steps = command(name).split(" && ")
    assert steps[0] == "python3 -m venv .venv"
    assert all(step.startswith(".venv/bin/") for step in steps[1:])


def test_the_first_command_checks_a_sample_that_exists() -> None:
    *_, check = command("run").split(" && ")
    program, verb, sample = check.split()
    assert (program, verb) == (".venv/bin/synclint", "check")
    assert (ROOT / sample).is_file()


def test_the_second_command_runs_the_tests() -> None:
    assert command("test").endswith("-m pytest -q")


def test_ci_takes_both_commands_from_the_readme() -> None:
    for name in ("run", "test"):
        assert f"command=$(readme_command {name})" in CI
    assert "pytest" not in re.sub(r"^\s*#.*$", "", CI, flags=re.MULTILINE), "CI must not hold a test command of its own"


class Screen(StringIO):
    """A terminal that keeps what is written to it."""

    def isatty(self) -> bool:
        """Say that somebody is looking."""
        return True


def test_the_readme_shows_what_the_program_prints_for_its_example(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (example,) = re.findall(r"^```yaml\n(synclint: setup/1\n.*?)^```$", README, re.MULTILINE | re.DOTALL)
    (shown,) = re.findall(
        r"^<!-- sample output -->\n```text\n(.*?)^```\n<!-- end of sample output -->$", README, re.MULTILINE | re.DOTALL
    )
    (tmp_path / "first.setup.yaml").write_text(example, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "96")
    screen = Screen()
    write([check_file("first.setup.yaml")], screen, show=Level.NOTE, color="never", skipped=0)
    printed = "".join(f"{line.rstrip()}\n" for line in screen.getvalue().splitlines())
    assert shown.strip() == printed.strip()


def test_the_readme_names_every_command_and_what_it_takes(capsys: pytest.CaptureFixture[str]) -> None:
    for name in COMMANDS:
        assert f"`synclint {name}" in README
    for kind in KINDS:
        assert f"`{kind}`" in README
    assert "`--format markdown`" in README
    main(["check", "--help"])
    for option in set(re.findall(r"--[a-z-]+", capsys.readouterr().out.partition("options:")[2])) - {"--help"}:
        assert f"`{option}" in README, option


@pytest.mark.parametrize(
    ("file", "text", "status"),
    [
        ("gone.setup.yaml", None, 2),
        ("broken.setup.yaml", "a: [1\n", 2),
        ("bare.setup.yaml", "title: x\n", 1),
        ("kitless.setup.yaml", "synclint: setup/1\ntitle: x\nkits: [gone.kit.yaml]\ndevices: {}\n", 1),
    ],
)
def test_the_statuses_are_as_the_readme_has_them(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], file: str, text: str | None, status: int
) -> None:
    if text is not None:
        (tmp_path / file).write_text(text, encoding="utf-8")
    assert main(["check", str(tmp_path / file)]) == status
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize("name", ["DEVELOPERS.md", "LICENSE", "CHANGELOG.md"])
def test_the_readme_points_to_pages_that_exist(name: str) -> None:
    assert f"({name})" in README
    assert (ROOT / name).is_file()
