"""The shape of the project: where things are, what may import what, and how long a file may grow."""

import ast
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PACKAGES = ("desktop", "db", "domain", "sample_company")
TOP_LEVEL = {
    ".ci",
    ".gitignore",
    "CHANGELOG.md",
    "DEVELOPERS.md",
    "LICENSE",
    "README.md",
    "db",
    "desktop",
    "domain",
    "pyproject.toml",
    "sample_company",
    "tests",
}
LONGEST_FILE = 400

# Each of these is offered under the LGPL, version 3. Charts, for one, is not: it is GPL only.
QT_MODULES = {
    "QtCore",
    "QtGui",
    "QtNetwork",
    "QtPdf",
    "QtPdfWidgets",
    "QtPrintSupport",
    "QtSvg",
    "QtSvgWidgets",
    "QtTest",
    "QtWidgets",
}

# Distributions whose import name is not the distribution's own name in lower case.
IMPORT_NAMES = {"pynacl": "nacl", "pillow": "PIL", "pyside6": "PySide6"}

# For the writing of dates and numbers by locale; inside the function that needs it, never on loading.
LAZY_IN_DOMAIN = {"babel", "dateutil"}

# Reaches files, processes, the network or the system: none of them belongs in the domain.
OUTSIDE_WORLD = {
    "ctypes", "glob", "io", "logging", "multiprocessing", "os", "pathlib", "random", "secrets", "shutil",
    "socket", "sqlite3", "subprocess", "tempfile", "threading", "time", "urllib",
}  # fmt: skip
CLOCK_CALLS = {"today", "now", "utcnow", "time", "monotonic"}


@cache
def modules(*packages: str) -> tuple[Path, ...]:
    return tuple(sorted(path for package in packages for path in (ROOT / package).rglob("*.py")))


@cache
def tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"), filename=str(path))


def named(path: Path, line: int = 0) -> str:
    return f"{path.relative_to(ROOT).as_posix()}:{line}" if line else path.relative_to(ROOT).as_posix()


def imports(path: Path) -> Iterator[tuple[str, int]]:
    """Every absolute import in a module, wherever it stands: (dotted name, line)."""
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Import):
            yield from ((alias.name, node.lineno) for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
            yield from ((f"{node.module}.{alias.name}", node.lineno) for alias in node.names)


def kept_top_level_names() -> set[str]:
    """The names at the top that are part of the project: what git keeps, or what lies there without git."""
    try:
        listing = subprocess.run(
            ["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=True
        ).stdout
    except (OSError, subprocess.CalledProcessError):
        listing = ""
    if listing:
        return {name.split("/")[0] for name in listing.split("\0") if name}
    left_behind = re.compile(r"\..*_cache|\.git|\.hypothesis|\.?venv|build|dist|.*\.egg-info|__pycache__")
    return {path.name for path in ROOT.iterdir() if not left_behind.fullmatch(path.name)}


def test_the_top_level_holds_the_agreed_names_only() -> None:
    assert kept_top_level_names() <= TOP_LEVEL


@pytest.mark.parametrize("package", PACKAGES)
def test_every_package_has_modules(package: str) -> None:
    assert (ROOT / package / "__init__.py").is_file()


def test_no_source_file_is_longer_than_it_may_be() -> None:
    lengths = {
        named(path): len(path.read_text(encoding="utf-8").splitlines())
        for path in modules(*PACKAGES)
        if path.parent.name != "versions"  # a migration is a record of its day, never edited again
    }
    assert {name: lines for name, lines in lengths.items() if lines > LONGEST_FILE} == {}


def test_every_module_opens_with_what_it_is_for() -> None:
    silent = [named(path) for path in modules(*PACKAGES, "tests") if tree(path).body and not _opening(path)]
    assert silent == []


def _opening(path: Path) -> str:
    return (ast.get_docstring(tree(path)) or "").partition("\n")[0].strip()


def test_the_domain_imports_the_standard_library_and_itself_only() -> None:
    foreign = [
        (path, line, name)
        for path in modules("domain")
        for name, line in imports(path)
        if name.partition(".")[0] not in sys.stdlib_module_names | {"domain"}
    ]
    on_loading = {(path, node.lineno) for path in modules("domain") for node in tree(path).body}
    forbidden = [
        f"{named(path, line)} {name}"
        for path, line, name in foreign
        if (path, line) in on_loading or name.partition(".")[0] not in LAZY_IN_DOMAIN
    ]
    assert forbidden == []


def test_the_domain_touches_no_file_no_system_and_no_clock() -> None:
    reaching_out = [
        f"{named(path, line)} imports {name}"
        for path in modules("domain")
        for name, line in imports(path)
        if name.partition(".")[0] in OUTSIDE_WORLD
    ]
    assert reaching_out + [call for path in modules("domain") for call in _outside_calls(path)] == []


def _outside_calls(path: Path) -> Iterator[str]:
    for node in ast.walk(tree(path)):
        if not isinstance(node, ast.Call):
            continue
        if isinstance(node.func, ast.Name) and node.func.id in {"open", "print", "input"}:
            yield f"{named(path, node.lineno)} calls {node.func.id}"
        if (
            isinstance(node.func, ast.Attribute)
            and node.func.attr in CLOCK_CALLS
            and isinstance(node.func.value, (ast.Name, ast.Attribute))
            and ast.unparse(node.func.value).split(".")[-1] in {"date", "datetime", "time"}
        ):
            yield f"{named(path, node.lineno)} asks the clock"


def test_only_qt_modules_under_the_lesser_licence_are_used() -> None:
    used = {
        (name.split(".")[1], named(path, line))
        for path in modules("desktop", "tests")
        for name, line in imports(path)
        if name.startswith("PySide6.") and name != "PySide6.__version__"
    }
    assert [(module, place) for module, place in sorted(used) if module not in QT_MODULES] == []


def test_everything_imported_is_a_declared_dependency() -> None:
    declared = _declared("dependencies")
    missing = [
        f"{named(path, line)} {name}"
        for path in modules(*PACKAGES)
        for name, line in imports(path)
        if name.partition(".")[0] not in declared | set(PACKAGES) | sys.stdlib_module_names | {"shiboken6"}
    ]
    assert missing == []


def _declared(group: str) -> set[str]:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    names = {re.split(r"[<>=!~\[; ]", line)[0].lower() for line in project[group]}
    return {IMPORT_NAMES.get(name, name) for name in names}


def test_every_dependency_has_a_lower_and_an_upper_bound() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    lines = [*project["dependencies"], *project["optional-dependencies"]["test"]]
    assert [line for line in lines if ">=" not in line or ",<" not in line] == []
