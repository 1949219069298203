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
