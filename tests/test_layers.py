"""The arrows between the parts of the house, and who alone may import which library."""

import ast
import re
import sys
from collections.abc import Iterator
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "synclint"

# Who may import whom. A part may import itself, and everyone the version in `synclint/__init__.py`.
ARROWS: dict[str, set[str]] = {
    "__init__": set(),
    "findings": set(),
    "trade": set(),
    "documents": {"findings"},
    "rig": {"trade", "documents", "findings"},
    "day": {"trade", "rig", "findings"},
    "rules": {"trade", "rig", "day", "findings"},
    "overview": {"trade", "rig", "day", "findings"},
    "merging": {"findings"},
    "drift": {"trade", "rig", "day", "overview", "findings"},
    "result": {"findings", "overview", "drift"},
    "records": {"findings", "documents", "rules"},
    "policy": {"documents", "rig", "result", "merging", "findings"},
    "checker": {"documents", "rig", "rules", "overview", "drift", "records", "policy", "result", "merging", "findings"},
    "report": {"overview", "drift", "result", "merging", "findings"},
    "sheet": {"trade", "rig", "day", "overview", "drift", "result", "merging", "findings"},
    "fixer": {"documents", "checker", "result", "findings"},
    "interview": {"documents", "checker", "result", "findings"},
}
ARROWS["cli"] = set(ARROWS)
ARROWS["__main__"] = {"cli"}

# The standard library is enough for these.
BARE = {"findings", "trade", "__init__"}

# Which part alone may import a library, and whether one module of it must hold all such imports.
KEEPERS: dict[str, tuple[str, bool]] = {
    "yaml": ("documents", False),
    "jsonschema": ("documents", True),
    "networkx": ("rig", False),
    "rich": ("report", False),
    "jinja2": ("sheet", True),
    "markupsafe": ("sheet", True),
}


def modules(package: Path) -> Iterator[Path]:
    """All modules of the package, but not the programs among a rule's examples, should there be any."""
    return (path for path in sorted(package.rglob("*.py")) if "examples" not in path.parts)


def part_of(package: Path, module: Path) -> str:
    """The part of the house in which a module lives: a folder or a module at the package's top."""
    return module.relative_to(package).parts[0].removesuffix(".py")


def imported(package: Path, module: Path) -> Iterator[tuple[int, str]]:
    """Every import of a module as (line, full dotted name), those inside functions and under TYPE_CHECKING too."""
    home = [package.name, *module.relative_to(package).parent.parts]
    for node in ast.walk(ast.parse(module.read_text(encoding="utf-8"), str(module))):
        match node:
            case ast.Import(names=names):
                yield from ((node.lineno, name.name) for name in names)
            case ast.ImportFrom(module=source, names=names, level=level):
                base = home[: len(home) - level + 1] if level else []
                stem = ".".join([*base, *([source] if source else [])])
                yield from ((node.lineno, f"{stem}.{name.name}") for name in names)
            case ast.Call(
                func=ast.Name(id="__import__" | "import_module") | ast.Attribute(attr="import_module"),
                args=[ast.Constant(value=str(name)), *_],
            ):
                yield node.lineno, name


def wrong_arrows(package: Path) -> list[str]:
    """Imports between parts that the table does not allow, as `file:line → what is imported`."""
    wrong = []
    for module in modules(package):
        part = part_of(package, module)
        name = f"{package.name}/{module.relative_to(package).as_posix()}"
        if part not in ARROWS:
            wrong.append(f"{name} → stands in no part of the table")
            continue
        for line, target in imported(package, module):
            root, *rest = target.split(".")
            if root != package.name or not rest or rest[0] == "__version__" or rest[0] == part:
                continue
            if rest[0] not in ARROWS[part]:
                wrong.append(f"{name}:{line} → {target}")
    return wrong


def wrong_libraries(package: Path) -> list[str]:
    """Imports of a library by a part that does not keep it, or by a second module of a part that keeps it in one."""
    wrong = []
    holders: dict[str, set[str]] = {}
    for module in modules(package):
        part = part_of(package, module)
        name = f"{package.name}/{module.relative_to(package).as_posix()}"
        for line, target in imported(package, module):
            library = target.split(".")[0]
            if library not in KEEPERS:
                continue
            keeper, _ = KEEPERS[library]
            if part != keeper:
                wrong.append(f"{name}:{line} → {target} (only synclint/{keeper} may)")
            else:
                holders.setdefault(library, set()).add(name)
    for library, names in sorted(holders.items()):
        if KEEPERS[library][1] and len(names) > 1:
            wrong.append(f"{', '.join(sorted(names))} → {library} (one module may)")
    return wrong


def foreign_in_bare(package: Path) -> list[str]:
    """Imports from outside the standard library by a part that is to do without."""
    return [
        f"{module.relative_to(package).as_posix()}:{line} → {target}"
        for module in modules(package)
        if part_of(package, module) in BARE
        for line, target in imported(package, module)
        if target.split(".")[0] not in {*sys.stdlib_module_names, package.name}
    ]


def test_parts_import_only_what_the_table_allows() -> None:
    wrong = wrong_arrows(PACKAGE)
    assert not wrong, "\n".join(wrong)


def test_each_library_is_imported_only_where_it_is_kept() -> None:
    wrong = wrong_libraries(PACKAGE)
    assert not wrong, "\n".join(wrong)


def test_the_arithmetic_and_the_findings_need_only_the_standard_library() -> None:
    wrong = foreign_in_bare(PACKAGE)
    assert not wrong, "\n".join(wrong)


def told_to_developers() -> dict[str, set[str]]:
    """The table of DEVELOPERS.md: for each part that lives in the package, what it may import."""
    told: dict[str, set[str]] = {}
    text = (PACKAGE.parent / "DEVELOPERS.md").read_text(encoding="utf-8")
    for places, _, imports in re.findall(r"^\| (`synclint/[^|]*) \|([^|]*)\| ([^|]*) \|$", text, re.MULTILINE):
        every: dict[str, set[str]] = {
            "nothing of ours": set(),
            "everything": set(ARROWS) - {"cli", "__init__", "__main__"},
        }
        allowed = every[imports] if imports in every else set(imports.split(", "))
        told |= {
            place.removesuffix("/").removesuffix(".py"): allowed for place in re.findall("`synclint/(.*?)`", places)
        }
    return told


def test_developers_are_told_the_same_table() -> None:
    unlisted = {"__init__", "__main__"}
    assert told_to_developers() == {
        part: arrows - {part, *unlisted} for part, arrows in ARROWS.items() if part not in unlisted
    }


def test_every_part_of_the_package_has_a_row() -> None:
    parts = {part_of(PACKAGE, module) for module in modules(PACKAGE)} - {"__init__", "__main__"}
    assert parts <= told_to_developers().keys()


def test_the_table_has_no_circle() -> None:
    table = {part: targets - {part} for part, targets in ARROWS.items() if part not in {"cli", "__main__"}}
    assert tuple(TopologicalSorter(table).static_order())


@pytest.mark.parametrize(
    ("file", "text", "arrow"),
    [
        ("trade/rates.py", "import synclint.rig.build", "synclint/trade/rates.py:1 → synclint.rig.build"),
        ("trade/rates.py", "from synclint import rig", "synclint/trade/rates.py:1 → synclint.rig"),
        ("rig/build.py", "from ..rules import every", "synclint/rig/build.py:1 → synclint.rules.every"),
        ("rig/build.py", "from .. import day", "synclint/rig/build.py:1 → synclint.day"),
        ("policy.py", "def late():\n    from .checker import Case", "synclint/policy.py:2 → synclint.checker.Case"),
        ("policy.py", "import_module('synclint.day')", "synclint/policy.py:1 → synclint.day"),
        ("misc.py", "", "synclint/misc.py → stands in no part of the table"),
    ],
)
def test_a_wrong_arrow_is_seen(tmp_path: Path, file: str, text: str, arrow: str) -> None:
    assert wrong_arrows(house(tmp_path, {file: text})) == [arrow]


@pytest.mark.parametrize(
    ("file", "text"),
    [
        ("rig/build.py", "from synclint.trade.rates import Rate"),
        ("rig/build.py", "from . import graphs\nfrom .graphs import Tree"),
        ("findings.py", "from synclint import __version__\nimport yamllint"),
        ("cli/check.py", "from synclint import checker\nfrom ..report import terminal"),
    ],
)
def test_a_right_arrow_is_let_pass(tmp_path: Path, file: str, text: str) -> None:
    package = house(tmp_path, {file: text})
    assert not wrong_arrows(package)
    assert not wrong_libraries(package)


def test_a_library_outside_its_place_is_seen(tmp_path: Path) -> None:
    package = house(
        tmp_path,
        {
            "cli/check.py": "def late():\n    import yaml\n",
            "documents/shape.py": "import jsonschema\n",
            "documents/text.py": "import yaml\nfrom jsonschema.exceptions import ValidationError\n",
        },
    )
    assert wrong_libraries(package) == [
        "synclint/cli/check.py:2 → yaml (only synclint/documents may)",
        "synclint/documents/shape.py, synclint/documents/text.py → jsonschema (one module may)",
    ]


def test_a_library_under_the_arithmetic_is_seen(tmp_path: Path) -> None:
    assert foreign_in_bare(house(tmp_path, {"trade/rates.py": "import math\nimport numpy\n"})) == [
        "trade/rates.py:2 → numpy"
    ]


def house(folder: Path, files: dict[str, str]) -> Path:
    """A package of that name that holds these files."""
    package = folder / "synclint"
    for name, text in files.items():
        path = package / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return package
