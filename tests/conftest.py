"""What all tests share: the sample files and their plans, each made once."""

from functools import cache
from pathlib import Path

import pytest

SAMPLES = Path(__file__).resolve().parent.parent / "sample_designs"
DESIGNS = ("bramblefin", "marshpenny", "puddlewick", "tansyfoot", "ten_lines")


@cache
def planned(name: str):
    """The plan of a sample file."""
    from hullcut.pipeline import plan_file

    return plan_file(SAMPLES / f"{name}.toml")


@cache
def made(name: str) -> dict[str, bytes]:
    """Every file of a sample as `hullcut make` would write it, on the usual paper."""
    from hullcut.drawing.paper import printing_of
    from hullcut.files import files_of

    plan = planned(name)
    return files_of("all", plan, printing_of(None, plan.order.units), lambda _: None)


@pytest.fixture
def samples() -> Path:
    """The folder of the sample designs."""
    return SAMPLES


@pytest.fixture(params=DESIGNS)
def sample_plan(request):
    """The plan of each sample design in turn."""
    return planned(request.param)


@pytest.fixture(params=(*DESIGNS, "lakeside_class"))
def any_plan(request):
    """The plan of each sample file in turn, the order of several boats included."""
    return planned(request.param)
