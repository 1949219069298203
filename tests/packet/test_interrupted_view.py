"""A long plain run of a board is left out of its drawing, and with it nothing that is cut, marked or measured."""

import re

import pytest

from hullcut.drawing.scene import Role, Shape, Text
from hullcut.lengths import inches
from hullcut.packet.cutting import cutting_chapter
from hullcut.packet.document import frames_of, styles
from tests.conftest import planned


def flat(flowables):
    """All flowables, those in tables and in pieces that are kept together too."""
    if not isinstance(flowables, list | tuple):
        yield flowables
        flowables = getattr(flowables, "_content", None) or getattr(flowables, "_cellvalues", None) or ()
    for each in flowables:
        yield from flat(each)


def pictures_by_sheet(plan):
    story = flat(cutting_chapter(plan, frames_of("letter"), styles()))
    scenes = [each.scene for each in story if hasattr(each, "scene")]
    found = {}
    for scene in scenes:
        found.setdefault(scene.title, []).append(scene)
    return found


@pytest.mark.parametrize("name", ["tansyfoot", "marshpenny", "bramblefin"])
def test_every_cut_and_every_part_has_its_number_and_the_far_end_its_figure(name):
    plan = planned(name)
    found = pictures_by_sheet(plan)
    assert len(found) == len(plan.layout.sheets)
    shortened = 0
    for sheet, scenes in zip(plan.layout.sheets, found.values(), strict=True):
        texts = [item for scene in scenes for item in scene.items if isinstance(item, Text)]
        rings = {item.text for item in texts if item.role is Role.SAW}
        assert rings >= {str(cut.order) for cut in sheet.cuts}
        parts = {match[0] for item in texts if item.role is Role.LABEL and (match := re.match(r"\d+", item.text))}
        assert parts >= {str(number) for number in range(1, len(sheet.placements) + 1)}
        assert inches(sheet.length) in {item.text for item in texts if item.role is Role.DIMENSION}
        drawn = sum(scene.width for scene in scenes)
        last = max(blank.x + blank.length for blank in sheet.blanks)
        torn = [item for scene in scenes for item in scene.items if isinstance(item, Shape) and item.ref == "torn edge"]
        if len(scenes) == 1 and torn:
            shortened += 1
            # Only where a long plain run follows the last part.
            assert last < 0.65 * sheet.length
            assert drawn < 0.9 * sheet.length
            # A line on either side of the break.
            assert len(torn) == 2
    assert shortened >= 1
