from pathlib import Path

import pytest


@pytest.fixture(scope="session")
def samples():
    """The folder of the sample designs."""
    return Path(__file__).resolve().parents[2] / "sample_designs"
