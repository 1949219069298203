"""Parts that an order wants besides its boats, as parts like any other."""

from __future__ import annotations

from typing import TYPE_CHECKING

import shapely

from hullcut.hull.flat_panel import FlatPanel
from hullcut.parts.values import Edge, Part
from hullcut.stock.woods import wood

if TYPE_CHECKING:
    from hullcut.design.values import Extra

__all__ = ["extra_part"]


def extra_part(extra: Extra) -> Part:
    """An extra part of an order as a flat part of no design; its quantity is that of the whole order."""
    count = len(extra.outline)
    area = float(shapely.Polygon(extra.outline).area)
    thickness = extra.wood.thickness
    return Part(
        id=extra.name,
        name=extra.name.replace("-", " "),
        family="extra",
        design="",
        hand=None,
        quantity=extra.count,
        material=extra.wood.material,
        thickness=thickness,
        grain=extra.wood.grain,
        flip=extra.flip,
        outline=extra.outline,
        holes=(),
        edges=tuple(Edge(f"side {n + 1}", n, (n + 1) % count, 0.0, None) for n in range(count)),
        rulings=(),
        marks=(),
        area=area,
        finished_length=max(x for x, _ in extra.outline),
        finished_width=max(y for _, y in extra.outline),
        mass=area * thickness * 1e-6 * wood(extra.wood.material).density,
        true_outline=extra.outline,
        panel=FlatPanel(thickness, (0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
        places=((0.0, 0.0, 0.0),) * extra.count,
        step="",
    )
