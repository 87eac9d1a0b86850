"""The schemas and the examples of the rules go where the program looks for them.

That the wheel itself builds and runs is checked by `.ci/run`, because building one needs the network and half a minute.
"""

import json
import os
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest

import synclint
from synclint.documents.where import schema_folder

ROOT = Path(__file__).parents[1]
PRINT_FOLDER = "from synclint.documents.where import schema_folder; print(schema_folder())"


@pytest.fixture(scope="module")
def project() -> dict[str, Any]:
    return tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def wheel(project: dict[str, Any]) -> dict[str, Any]:
    targets: dict[str, dict[str, Any]] = project["tool"]["hatch"]["build"]["targets"]
    return targets["wheel"]


def folder_seen_by(path: Path, cwd: Path) -> Path:
    """Where a fresh interpreter, started elsewhere, finds the schemas when the package lies under `path`."""
    done = subprocess.run(
        [sys.executable, "-c", PRINT_FOLDER],
        cwd=cwd,
        env={**os.environ, "PYTHONPATH": str(path)},
        capture_output=True,
        encoding="utf-8",
        check=True,
    )
    return Path(done.stdout.strip()).resolve()


def test_the_tests_run_on_this_clone() -> None:
    assert Path(synclint.__file__).parent == ROOT / "synclint"


def test_the_schemas_are_found_from_the_installed_package() -> None:
    schemas = sorted(Path(schema_folder()).glob("*.json"))
    assert schemas
    for schema in schemas:
        assert json.loads(schema.read_text(encoding="utf-8"))["$schema"].endswith("2020-12/schema"), schema.name


def test_the_schemas_are_found_from_a_clone(tmp_path: Path) -> None:
    assert folder_seen_by(ROOT, cwd=tmp_path) == ROOT / "schemas"


def test_the_schemas_are_found_from_the_layout_of_a_wheel(tmp_path: Path, wheel: dict[str, Any]) -> None:
    site = tmp_path / "site"
    for package in wheel["packages"]:
        shutil.copytree(ROOT / package, site / package, ignore=shutil.ignore_patterns("__pycache__"))
    for source, target in wheel["force-include"].items():
        shutil.copytree(ROOT / source, site / target)
    found = folder_seen_by(site, cwd=tmp_path)
    assert found == (site / "synclint" / "schemas").resolve()
    assert {path.name for path in found.iterdir()} == {path.name for path in (ROOT / "schemas").iterdir()}


def test_the_wheel_takes_the_folders_that_exist(wheel: dict[str, Any]) -> None:
    assert wheel["force-include"] == {"schemas": "synclint/schemas"}
    assert (ROOT / "schemas").is_dir()
    assert not (ROOT / "synclint" / "schemas").exists(), "a second copy would hide the first"


def test_the_wheel_leaves_nothing_of_the_package_out(wheel: dict[str, Any]) -> None:
    assert wheel["packages"] == ["synclint"]
    assert not {"exclude", "only-include", "include"} & wheel.keys()
    assert (ROOT / "synclint" / "py.typed").is_file()
    assert list((ROOT / "synclint" / "rules" / "examples").rglob("*.yaml"))


def test_the_source_package_takes_the_top_level(project: dict[str, Any]) -> None:
    included = project["tool"]["hatch"]["build"]["targets"]["sdist"]["include"]
    missing = [name for name in included if not (ROOT / name.removeprefix("/")).exists()]
    assert not missing
    assert {"/README.md", "/LICENSE", "/schemas", "/synclint", "/tests", "/sample_setups"} <= set(included)


def test_the_build_reads_the_version_from_the_package(project: dict[str, Any]) -> None:
    assert project["tool"]["hatch"]["version"]["path"] == "synclint/__init__.py"
    assert "version" in project["project"]["dynamic"]
    assert f'__version__ = "{synclint.__version__}"' in (ROOT / "synclint" / "__init__.py").read_text(encoding="utf-8")
