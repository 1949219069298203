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
    held = [bond for bond in joined if bond.screws]
    lengths: dict[tuple[str, str], set[float]] = {}
    for bond in held:
        lengths.setdefault((_kind(bond.host.name), _kind(bond.guest.name)), set()).add(bond.screw_length)
    rows: dict[tuple[str, float], dict[tuple[str, str], int]] = {}
    many: dict[tuple[str, str], set[str]] = {}
    for bond in held:
        host, guest = _kind(bond.host.name), _kind(bond.guest.name)
        # Where two lengths go into parts of one kind, the parts' places tell them apart.
        place = _place(bond.guest.name) if len(lengths[host, guest]) > 1 else ""
        many.setdefault((host, ""), set()).add(bond.host.id)
        many.setdefault((guest, place), set()).add(bond.guest.id)
        guests = rows.setdefault((host, bond.screw_length), {})
        guests[guest, place] = guests.get((guest, place), 0) + bond.screws

    def named(kind: str, place: str = "") -> str:
        return f"{place} {kind}{'s' if len(many[kind, place]) > 1 else ''}".strip()

    told = []
    for (host, length), guests in sorted(rows.items(), key=lambda row: row[0][1]):
        into = [f"{named(*each)} ({count})" if len(guests) > 1 else named(*each) for each, count in guests.items()]
        size = both(length, plan.design.units)
        told.append(f"{sum(guests.values())} of {size} through {named(host)} into {' and '.join(into)}")
    return "; ".join(told)


def _kind(name: str) -> str:
    """A part's name without its place: "chine cleat"."""
    return name.split(",", maxsplit=1)[0].lower()


def _place(name: str) -> str:
    """Where along the boat a part is, by its name: "fore", "after"; empty where it does not tell."""
    return next((word for word in name.lower().split(", ")[1:] if word not in ("port", "starboard")), "")


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
