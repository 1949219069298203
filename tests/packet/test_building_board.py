"""The building board: its lines, the sides' distances on it, the blocks that hold them."""

import re
from dataclasses import replace

import numpy as np
import pytest

from hullcut.drawing.paths import bounds, bounds_of
from hullcut.drawing.scene import Text
from hullcut.packet.building_board import board_lines, board_picture
from hullcut.packet.jigs import jig_sizes
from hullcut.packet.picture_words import is_new
from hullcut.packet.places import beam_rows, frame_diagonal
from hullcut.packet.special_pictures import _OWN_ARROW, _arrow_groups, diagonals, step_picture
from hullcut.packet.step import Kit
from hullcut.packet.steps import building_steps
from tests.packet.trial_bows import BOWS, bow_studio


@pytest.fixture(params=BOWS)
def studio(request):
    return bow_studio(request.param)


def test_the_sides_stand_on_the_board_as_far_apart_as_their_upper_edges_are(studio):
    plan = studio.plan
    side = next(part for part in plan.parts if part.family == "side" and part.hand == "port")
    outline = np.array(side.true_outline)
    # Points all along the border of the side's outer face, wherever its corners are.
    steps = np.linspace(0.0, 1.0, 200)[:, None]
    border = np.vstack([a + steps * (b - a) for a, b in zip(outline, np.roll(outline, -1, axis=0), strict=True)])
    space = side.panel.to_space(border, side.thickness / 2.0)
    lines = board_lines(plan)
    assert [each.letter for each in lines] == ["A", "B", "C", "D"]
    for each in lines:
        near = space[np.abs(space[:, 0] - each.x) < 4.0]
        top = near[near[:, 2] > near[:, 2].max() - 3.0]
        assert np.abs(top[:, 1] - each.half).min() < 1.0, each
    assert {each.x for each in lines[1:]} == {
        plan.design.decks.fore_from,
        *(x for name, x in beam_rows(plan) if name != "middle"),
    }


def test_the_boards_picture_tells_each_line_and_keeps_to_its_room(studio):
    kit = Kit(studio.plan)
    scene = board_picture(studio, 78.0, 104.0)
    assert scene.x1 - scene.x0 <= 78.01
    assert scene.y1 - scene.y0 <= 104.0
    words = [item.text for item in scene.items if isinstance(item, Text)]
    for each in board_lines(studio.plan):
        place = words.index(f"{each.letter}  {each.name}")
        assert words[place + 2] == kit.size(each.half)
        assert each.letter in words
    blocks = [item for item in scene.items if getattr(item, "ref", "") == "stop block"]
    assert len(blocks) == 2 * len(board_lines(studio.plan))
    # Two screws hold each block on the board.
    heads = [bounds(item) for item in scene.items if getattr(item, "ref", "") == "screw"]
    for block in blocks:
        x0, y0, x1, y1 = bounds(block)
        assert sum(x0 < box[0] and box[2] < x1 and y0 < box[1] and box[3] < y1 for box in heads) == 2
    assert len(heads) == 2 * len(blocks)


def test_glue_cannot_stick_to_the_board_and_blocks_hold_the_sides_until_the_hull_leaves_it(studio):
    steps = building_steps(studio.plan)
    words = {step.title: " ".join(step.sentences) for step in steps}
    tools = {step.title: step.tools for step in steps}
    stood = "Stand sides and transom on the board, keel up"
    assert {"baking paper", "stop blocks"} <= set(tools[stood])
    assert "glue does not stick" in words[stood]
    last = board_lines(studio.plan)[-1].letter
    assert f"lines B to {last}" in words["Let in the bulkhead and the beams, dry"]
    glued = words["Glue the frame and check it again"]
    assert re.search(r"Take off all stop blocks.*back where they stood last", glued)
    assert words["Turn the boat over and fit the knees"].startswith("Unscrew the stop blocks.")


@pytest.mark.parametrize("units", ["in", "mm"])
@pytest.mark.parametrize("rise", [0.0, 10.0, 25.0, 60.0])
def test_stop_blocks_reach_above_sides_that_stand_on_blocks_and_their_screws_end_in_the_board(units, rise, monkeypatch):
    plan = bow_studio("stem").plan
    design = replace(plan.design, units=units)
    monkeypatch.setattr("hullcut.packet.jigs.frame_blocks", lambda _: (rise, 0.6 * rise, 0.0))
    sizes = jig_sizes(replace(plan, design=design))
    high = sizes.stop[2]
    assert rise + 19.0 <= high <= rise + 19.1 + 2.0 * 12.7
    assert 9.0 <= sizes.stop_screw - high <= sizes.board[2] - 3.0


def test_the_transom_is_propped_level_with_the_sides_and_a_straightedge_proves_it(studio):
    step = next(each for each in building_steps(studio.plan) if each.title.startswith("Stand sides and transom"))
    assert any("level with both sides' chine edges" in sentence for sentence in step.sentences)
    assert "straightedge across both chine edges touches the transom" in step.check
    assert "straightedge" in step.tools


def test_the_sticks_stand_in_the_picture_at_transom_and_bulkhead(studio):
    scene = diagonals(studio, 78.0, 104.0)
    sticks = [item for item in scene.items if getattr(item, "ref", "") == "stick"]
    assert len(sticks) == 2
    near, far = (bounds_of([stick]) for stick in sticks)
    across = frame_diagonal(studio.plan)
    # On paper the sticks are as far apart as transom and bulkhead, at the scale that their length tells.
    scale = (near[3] - near[1]) / (2.0 * across.aft_half + 60.0)
    assert far[0] - near[0] == pytest.approx((across.fore - across.aft) * scale, rel=0.02)
    assert [item.text for item in scene.items if isinstance(item, Text)].count("straight stick") == 2


def test_every_piece_let_in_along_the_boat_has_its_own_arrow(studio):
    step = next(step for step in building_steps(studio.plan) if step.title.startswith("Let in"))
    owners = studio.owners(*step.tried)
    rows = _arrow_groups(studio, step, owners)
    beams = {name for name, _ in beam_rows(studio.plan) if name != "middle"}
    places = [float(middle[0]) for middle, _ in rows]
    for name, x in beam_rows(studio.plan):
        if name in beams:
            assert min(abs(place - x) for place in places) < _OWN_ARROW
    for number, (middle, shift) in enumerate(rows):
        for other, same in rows[:number]:
            assert same != shift or np.linalg.norm(middle - other) > _OWN_ARROW


def test_arrows_show_the_way_of_the_plane_from_bow_to_stern(studio):
    trim = next(step for step in building_steps(studio.plan) if step.title == "Trim the bottom flush")
    assert len(trim.pulls) == 2
    for start, end in trim.pulls:
        assert start[0] > end[0]
    assert "as the arrows show" in " ".join(trim.sentences)


def test_the_stands_places_under_the_boat_are_told_and_the_bar_is_seen(studio):
    plan, kit = studio.plan, Kit(studio.plan)
    steps = {step.title: step for step in building_steps(plan)}
    check = steps["Turn the boat over and fit the knees"].check
    for slug in ("stand-cradle-after", "stand-cradle-fore"):
        part = next(part for part in plan.parts if part.id.endswith(slug))
        faces = [part.panel.to_space(np.array(part.true_outline), side * part.thickness / 2.0) for side in (1, -1)]
        assert kit.size(float(np.vstack(faces)[:, 0].min())) in check
    balance = steps["Balance the boat"]
    assert balance.view == "side"
    scene = step_picture(studio, balance, [*studio.afloat, *studio.owners(*balance.back)], 80.0, 65.0)
    assert "balance bar" in [item.text for item in scene.items if isinstance(item, Text)]
    # Something of the bar is not hidden by rails or hull.
    assert any(is_new(item) for item in scene.items)
