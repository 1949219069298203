"""A boat whose sides are wider than the boards on offer and may be glued up, planned once."""

from functools import cache

from tests.conftest import SAMPLES

KEY = "glue_up = true"


def narrow_text(permit=True, cutting="through"):
    """The sample boat with boards 3 1/2 in wide for its sides, which are 5 1/4 in with the clearance."""
    text = (SAMPLES / "bramblefin.toml").read_text()
    for old, new in (
        ("glue_up = false", KEY if permit else "glue_up = false"),
        (
            'planed_to = "5/16 in"\nlength = 96\nwidth = "5 1/2 in"',
            'planed_to = "5/16 in"\nlength = 96\nwidth = "3 1/2 in"',
        ),
        ('cutting = "through"', f'cutting = "{cutting}"'),
    ):
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


@cache
def glued_plan(folder):
    """The plan of that boat; its file is written to a folder that lasts for the session."""
    from hullcut.pipeline import plan_file

    path = folder / "narrow.toml"
    path.write_text(narrow_text())
    return plan_file(path)
