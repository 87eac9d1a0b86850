"""Starting the program is quick because it loads nothing heavy."""

import subprocess
import sys

import pytest

import synclint

HEAVY = {"jinja2", "jsonschema", "networkx", "numpy", "rich"}

RUN = """
from synclint.cli.main import main
try:
    status = main({arguments!r})
except SystemExit as stop:
    status = stop.code
assert status in (0, None), status
"""


def watched(code: str) -> str:
    """The code, and after it a line on standard error of what it loaded of the heavy ones."""
    return f"import sys\n{code}\nprint(*sorted({HEAVY!r} & set(sys.modules)), file=sys.stderr)\n"


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, *arguments], capture_output=True, encoding="utf-8", check=False)


@pytest.mark.parametrize(
    "code",
    [
        pytest.param("import synclint.cli.main, synclint.cli.program", id="import"),
        pytest.param(RUN.format(arguments=["--version"]), id="--version"),
        pytest.param(RUN.format(arguments=["--help"]), id="--help"),
    ],
)
def test_starting_loads_nothing_heavy(code: str) -> None:
    done = run("-c", watched(code))
    assert (done.returncode, done.stderr.split()) == (0, []), done.stderr


def test_the_watch_sees_what_is_loaded() -> None:
    assert run("-c", watched("import rich")).stderr.split() == ["rich"]


def test_the_module_runs_as_a_program() -> None:
    done = run("-m", "synclint", "--version")
    assert done.returncode == 0, done.stderr
    assert synclint.__version__ in done.stdout


def test_the_package_itself_imports_nothing() -> None:
    done = run("-X", "importtime", "-c", "import synclint")
    loaded = [line.rpartition("|")[2].strip() for line in done.stderr.splitlines()]
    assert loaded[-1] == "synclint"
    assert not [name for name in loaded if name.startswith("synclint.")]
