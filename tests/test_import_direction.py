"""Imports point one way, whether they stand at the top, in a function or under TYPE_CHECKING."""

import ast
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parents[1] / "hullcut"

# A module may import from its own row and from rows above it.
ORDER = (
    ("errors", "check", "lengths", "shares", "two_hands", "two_rounds"),
    ("stock",),
    ("design",),
    ("hull",),
    ("arrangement",),
    ("parts",),
    ("balance",),
    ("nesting",),
    ("boat_plan",),
    ("drawing",),
    ("packet",),
    ("plan_schema", "plan", "compare"),
    ("files", "staging"),
    ("pipeline",),
    ("screen",),
    ("balance_screen",),
    ("cli",),
)
RANK = {name: rank for rank, row in enumerate(ORDER) for name in row}

# Imports against the order that are known and wanted: (module, what it imports).
ALLOWED = frozenset()


def imported(tree, module, is_package):
    """Full names of everything of hullcut that a module imports, anywhere in it."""
    found = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            base = node.module or ""
            if node.level:
                package = module.split(".") if is_package else module.split(".")[:-1]
                package = package[: len(package) - node.level + 1]
                base = ".".join([*package, base]).rstrip(".")
            found |= {f"{base}.{alias.name}" for alias in node.names} if base == "hullcut" else {base}
    return sorted(name for name in found if name.split(".")[0] == "hullcut" and name != "hullcut")


def wrong_imports(sources):
    """Imports against the order, as "module imports other", of modules given as {full name: (text, is a package)}."""
    wrong = []
    for module, (text, is_package) in sorted(sources.items()):
        area = module.split(".")[1]
        for name in imported(ast.parse(text), module, is_package):
            other = name.split(".")[1]
            if other not in RANK or (RANK[other], other) == (RANK[area], area):
                continue
            if RANK[other] > RANK[area] and (module, name) not in ALLOWED:
                wrong.append(f"{module} imports {name}")
    return wrong


def package_sources():
    found = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
        is_package = parts[-1] == "__init__"
        name = ".".join(parts[:-1] if is_package else parts)
        if name != "hullcut" and parts[-1] != "__main__":
            found[name] = (path.read_text(encoding="utf-8"), is_package)
    return found


def test_every_module_has_its_place_in_the_order():
    areas = {name.split(".")[1] for name in package_sources()}
    assert areas <= set(RANK), f"no place in the order: {sorted(areas - set(RANK))}"
    assert {"errors", "stock", "design", "hull", "parts", "balance", "nesting", "pipeline"} <= areas


def test_imports_point_one_way():
    assert wrong_imports(package_sources()) == []


def test_nothing_is_imported_that_has_no_place_in_the_order():
    for module, (text, is_package) in package_sources().items():
        for name in imported(ast.parse(text), module, is_package):
            assert name.split(".")[1] in RANK or name == "hullcut.__version__", f"{module} imports {name}"


@pytest.mark.parametrize(
    "text",
    [
        "from hullcut.parts.values import Part\n",
        "import hullcut.parts.values\n",
        "from hullcut import parts\n",
        "from ..parts import values\n",
        "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    from hullcut.parts.values import Part\n",
        "def late():\n    from hullcut.parts.values import Part\n    return Part\n",
    ],
)
def test_a_wrong_import_is_caught(text):
    assert len(wrong_imports({"hullcut.hull.made_up": (text, False)})) == 1
    assert wrong_imports({"hullcut.balance.made_up": (text, False)}) == []


def test_relative_imports_of_a_package_itself_are_understood():
    text = "from .values import Part\nfrom ..nesting import lay_out\n"
    assert wrong_imports({"hullcut.parts": (text, True)}) == ["hullcut.parts imports hullcut.nesting"]
    assert wrong_imports({"hullcut.parts.made_up": (text, False)}) == ["hullcut.parts.made_up imports hullcut.nesting"]


def test_imports_from_outside_are_nobodys_business():
    assert wrong_imports({"hullcut.errors": ("import numpy\nfrom pathlib import Path\n", False)}) == []
