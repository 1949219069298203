"""Rod, bearings, which way the boat pulls, and the estimates at speed."""

import numpy as np
import pytest
from trial_boats import NAMES, built, changed, sample

from hullcut.balance.drive_line import drive_line, handling, longest_span
from hullcut.balance.running import APPENDAGES, EFFICIENCY, METHOD_BAND, SLIP, planing_boat, run_boat
from hullcut.balance.savitsky import planing_runs
from hullcut.pipeline import weigh
from hullcut.stock.water import water


def test_a_clockwise_propeller_walks_the_stern_to_starboard():
    # x forward, y to port, z up: what turns clockwise to one who looks forward turns about +x. The bottom blade works
    # in the densest water; it pushes the water the way it goes, and the stern the other way.
    for rotation, turn in (("clockwise", 1.0), ("counter-clockwise", -1.0)):
        bottom_blade = np.cross([turn, 0.0, 0.0], [0.0, 0.0, -1.0])
        pushed = "starboard" if bottom_blade[1] > 0.0 else "port"
        hands = handling(rotation)
        assert hands.stern_walks == pushed
        # With the stern to starboard the bow swings to port: that is the readier turn, and the rudder's side.
        other = {"starboard": "port", "port": "starboard"}[pushed]
        assert hands.better_turn == other
        assert hands.rudder_side == other
        # The engine pushes the hull round against the propeller.
        assert hands.leans == other


@pytest.mark.parametrize("name", NAMES)
def test_proposed_bearings_are_no_farther_apart_than_the_turns_allow(name):
    boat = built(name)
    line = drive_line(boat.design, boat.arrangement)
    assert line.span <= line.longest
    assert line.critical >= 1.4 * boat.design.engine.rpm
    assert line.bearings == line.proposed == len(line.places)
    steps = np.diff(line.places) / np.cos(np.radians(boat.arrangement.shaft.angle))
    assert steps == pytest.approx(line.span)
    assert line.places[0] > boat.arrangement.shaft.hub_x
    assert line.places[-1] < boat.arrangement.shaft.output_x
    # One bearing fewer would be too few.
    assert line.span * (line.bearings - 1) / max(line.bearings - 2, 0.5) > longest_span(
        boat.design.drive.shaft_diameter, boat.design.engine.rpm
    )


def test_the_engine_an_inch_forward_flattens_the_shaft():
    boat = built("bramblefin")
    line, angle = boat.balance.drive, boat.arrangement.shaft.angle
    assert line.inch_forward < angle < line.inch_aft
    shaft = boat.arrangement.shaft
    rise, run = shaft.output_z - shaft.hub_z, shaft.output_x - shaft.hub_x
    assert line.inch_forward == pytest.approx(np.degrees(np.arctan2(rise, run + 25.4)))


def test_the_engine_an_inch_forward_moves_the_balance_point_as_told():
    design = sample("bramblefin")
    at, forward = (weigh(changed(design, engine={"plate_at": 300.0 + off})).balance for off in (0.0, 25.4))
    assert forward.cg[0] - at.cg[0] == pytest.approx(at.inch_moves, rel=0.03)


@pytest.mark.parametrize("name", NAMES)
def test_drag_power_and_speed_hang_together(name):
    boat = built(name)
    running, design = boat.balance.running, boat.design
    lake = water(design.water.kind, design.water.temperature)
    bare = planing_runs(
        planing_boat(boat.hull, boat.arrangement, boat.balance.mass, boat.balance.cg, lake),
        np.array([run.speed for run in running.runs]),
    )
    for run, drag in zip(running.runs, bare.drag, strict=True):
        if run.drag is None:
            assert run.flags
            continue
        assert run.drag.likely == pytest.approx(drag * (1.0 + APPENDAGES[1]))
        assert run.drag.low == pytest.approx(drag * (1.0 + APPENDAGES[0]) * (1.0 - METHOD_BAND))
        assert run.drag.low < run.drag.likely < run.drag.high
        assert run.power.likely == pytest.approx(run.drag.likely * run.speed)
        flagged = " ".join(run.flags)
        assert ("trim outside" in flagged) == (not 2.0 <= run.trim <= 15.0)
        assert ("6.5 m/s" in flagged) == (run.speed > 6.5)
        assert ("sweep of the bow" in flagged) == (run.wetted > design.hull.flat_to)
    # The speed reached is where the power needed is the share of the engine's that comes through.
    speeds = [run.speed for run in running.runs if run.power is not None]
    needed = [run.power.likely for run in running.runs if run.power is not None]
    assert np.interp(running.reached.likely, speeds, needed) == pytest.approx(EFFICIENCY[1] * design.engine.power)
    assert running.reached.low < running.reached.likely < running.reached.high
    at = running.reached.likely
    for pitch, slip in ((running.pitch.low, SLIP[0]), (running.pitch.high, SLIP[1])):
        assert pitch * design.engine.rpm / 60_000.0 * (1.0 - slip) == pytest.approx(at)


def test_more_power_is_faster_and_more_weight_slower():
    boat = built("bramblefin")
    lake, cg, mass = water("fresh", 15.0), boat.balance.cg, boat.balance.mass
    plain = run_boat(boat.hull, boat.arrangement, mass, cg, lake).reached.likely
    heavy = run_boat(boat.hull, boat.arrangement, mass * 1.2, cg, lake).reached.likely
    assert heavy < plain
    assert sample("bramblefin").engine.power == 750.0
    strong = changed(sample("bramblefin"), engine={"power": 900.0})
    assert boat.balance.running.reached.likely == pytest.approx(plain)
    from hullcut.hull.form import shape

    assert run_boat(shape(strong), boat.arrangement, mass, cg, lake).reached.likely > plain
