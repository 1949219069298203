"""The picture of the foam shows every block and tells its size; lists and step tell the same litres."""

import re

from hullcut.balance.foam_blocks import foam_blocks, foam_litres
from hullcut.drawing.scene import Text
from hullcut.lengths import bare
from hullcut.packet.fittings_list import fitting_groups
from hullcut.packet.foam_picture import block_rows, foam_in_place, pair_lines
from hullcut.packet.organiser.rows import foam_rows
from hullcut.packet.studio import Studio


def test_every_block_is_numbered_in_both_views_and_told_in_the_table(sample_plan):
    for plan in sample_plan.boat_plans:
        blocks = foam_blocks(plan.hull, plan.arrangement)
        scene = foam_in_place(Studio(plan), 78.0, 104.0)
        assert scene.width <= 78.0 + 1e-6
        assert scene.height <= 104.0 + 1e-6
        words = [item.text for item in scene.items if isinstance(item, Text)]
        columns = dict(block_rows(plan))
        assert all(len(cells) == len(blocks) for cells in columns.values())
        for number, block in enumerate(blocks, 1):
            # Once from the side, once from above for each copy.
            assert words.count(str(number)) >= 1 + block.count
            cells = {head: column[number - 1] for head, column in columns.items()}
            assert all(cell in words for cell in cells.values())
            assert cells["no."] == (f"{number}" if block.count == 1 else f"{number}, two")
            assert cells["from stern"] == bare(block.start, plan.design.units)
        assert len(pair_lines(plan)) == sum(block.count > 1 for block in blocks)
        assert set(pair_lines(plan)) <= set(words)
        assert any(f"In all {foam_litres(blocks):.1f} litres" in word for word in words)


def test_what_is_bought_is_what_is_fitted_and_some_waste(sample_plan):
    for plan in sample_plan.boat_plans:
        fitted = foam_litres(foam_blocks(plan.hull, plan.arrangement))
        told = str(fitting_groups(plan))
        bought, blocks = re.search(r"(\d+) litres of closed-cell foam.*?: ([\d.]+) for the blocks", told).groups()
        assert float(blocks) == float(f"{fitted:.1f}")
        assert 1.1 * fitted <= float(bought) <= 1.2 * fitted + 1.0
        rows = dict(foam_rows(plan))
        assert f"{fitted:.1f} litres in all" in rows["Blocks"]
