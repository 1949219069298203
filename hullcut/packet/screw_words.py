"""The screws of one step in words: how many, how long, through what, into what, from which side, how far apart."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hullcut.lengths import both

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.boat_plan import BoatPlan
    from hullcut.packet.joining import Bond

__all__ = ["screws_told", "tried_dry"]


def screws_told(plan: BoatPlan, joined: Sequence[Bond]) -> str:
    """The screws of some joints, those through one kind of part and of one length together; empty for none."""
    rows: dict[tuple[str, float], dict[str, int]] = {}
    many: dict[str, set[str]] = {}
    for bond in joined:
        if bond.screws:
            host, guest = _kind(bond.host.name), _kind(bond.guest.name)
            many.setdefault(host, set()).add(bond.host.id)
            many.setdefault(guest, set()).add(bond.guest.id)
            guests = rows.setdefault((host, bond.screw_length), {})
            guests[guest] = guests.get(guest, 0) + bond.screws

    def named(kind: str) -> str:
        return f"{kind}s" if len(many[kind]) > 1 else kind

    told = []
    for (host, length), guests in sorted(rows.items(), key=lambda row: row[0][1]):
        into = [f"{named(each)} ({count})" if len(guests) > 1 else named(each) for each, count in guests.items()]
        size = both(length, plan.design.units)
        told.append(f"{sum(guests.values())} of {size} through {named(host)} into {' and '.join(into)}")
    return "; ".join(told)


def _kind(name: str) -> str:
    """A part's name without its place: "chine cleat"."""
    return name.split(",", maxsplit=1)[0].lower()


def tried_dry(joined: Sequence[Bond], pairs: Sequence[tuple[str, str]]) -> list[Bond]:
    """Those of some screwed joints whose host and guest begin as one of the pairs of slugs."""

    def slug(part_id: str, design: str) -> str:
        return part_id.removeprefix(f"{design}-")

    return [
        bond
        for bond in joined
        if bond.screws
        and any(
            slug(bond.host.id, bond.host.design).startswith(host)
            and slug(bond.guest.id, bond.guest.design).startswith(guest)
            for host, guest in pairs
        )
    ]
