import re

import pytest

from hullcut.packet.document import frames_of, styles
from hullcut.packet.organiser.masters import MANY, master_section
from hullcut.packet.organiser.plain_section import section_flowables
from hullcut.packet.organiser.sessions import EVENING, session_section, sessions
from hullcut.packet.organiser.substitutions import changed_mass, substitution_section
from hullcut.packet.pace import minutes_for
from hullcut.packet.steps import building_steps
from hullcut.stock.glues import glue
from hullcut.stock.woods import wood
from tests.conftest import DESIGNS, planned
from tests.packet.trial_bows import BOWS, bow_plan


@pytest.mark.parametrize("bow", BOWS)
def test_every_step_has_its_evening_in_order_and_none_is_too_long(bow):
    plan = bow_plan(bow)
    found = sessions(plan)
    steps = building_steps(plan)
    listed = [number for session in found for number, _ in session.steps]
    assert listed == sorted(listed)
    assert set(listed) == set(range(1, len(steps) + 1))
    assert sum(session.minutes for session in found) == sum(minutes_for(step) for step in steps)
    assert all(0 < session.minutes <= EVENING for session in found)
    assert [session.number for session in found] == list(range(1, len(found) + 1))
    sealing = next(n for n, step in enumerate(steps, 1) if step.title == "Seal the inside")
    last = next(session for session in found if any(n == sealing for n, _ in session.steps))
    assert last.steps[-1][0] == sealing
    assert "dry" not in last.dries
    assert all(session.dries for session in found)
    coats = [session for session in found if session.dries.startswith("coat")]
    # One coat an evening: two inside, four outside.
    assert [session.dries.split(":")[0] for session in coats] == [
        *(f"coat {n} of 2" for n in (1, 2)),
        *(f"coat {n} of 4" for n in (1, 2, 3, 4)),
    ]


def test_a_shorter_evening_needs_more_of_them():
    plan = bow_plan("sled")
    assert len(sessions(plan, 60)) > len(sessions(plan))


def test_clamps_and_jigs_are_counted_for_all_boats():
    plan = bow_plan("sled")
    one, eight = session_section(plan, 1), session_section(plan, 8)
    pairs = [(int(a[3]), int(b[3])) for a, b in zip(one.rows, eight.rows, strict=True) if a[3]]
    assert pairs
    assert all(b == 8 * a for a, b in pairs)
    assert any("8 × flat board" in row[4] for row in eight.rows)


def test_substitutions_say_what_they_weigh():
    plan = planned("bramblefin").boat_plans[0]
    okoume = sum(p.mass * p.quantity for p in plan.parts if p.material == "okoume-plywood" and p.family != "stand")
    heavier = changed_mass(plan, "okoume-plywood", "birch-plywood")
    assert heavier == pytest.approx(okoume * (670.0 / 450.0 - 1.0))
    section = substitution_section(plan)
    row = next(row for row in section.rows if "okoume" in row[0] and "birch" in row[1])
    assert f"{heavier:+.0f} g" in row[2]
    assert not any(wood("white-oak").name in row[1] and "plywood" in row[0] for row in section.rows)


def test_masters_are_for_shapes_cut_often():
    few, many = master_section(planned("bramblefin")), master_section(planned("harbour_eight"))
    assert all(int(row[2]) >= MANY for row in (*few.rows, *many.rows))
    assert len(many.rows) > len(few.rows)
    side = next(row for row in many.rows if row[0] == "bramblefin" and row[1] == "Side")
    assert side[2] == "10"


def test_sections_are_set_on_the_page():
    frames, look = frames_of("letter"), styles()
    plan = bow_plan("sled")
    for section in (
        session_section(plan, 3),
        substitution_section(plan),
        master_section(planned("harbour_eight")),
    ):
        story = section_flowables(section, frames, look)
        assert len(story) == len(section.remarks) + bool(section.rows) + bool(section.source) + 1
        assert all(len(row) == len(section.heads) == len(section.shares) for row in section.rows)


def test_what_stays_under_straps_until_it_is_hard_ends_its_evening():
    """A bottom and a deck without screws along their edges; where they have screws, the evening goes on."""
    for name, strapped in (("tansyfoot", True), ("bramblefin", False)):
        evenings = sessions(planned(name).boat_plans[0])
        for title in ("Bend on the bottom", "Glue down the fore deck"):
            (evening,) = [each for each in evenings if any(step == title for _, step in each.steps)]
            assert (evening.steps[-1][1] == title and "24 hours under straps" in evening.dries) is strapped


@pytest.mark.parametrize("name", DESIGNS)
def test_a_jig_is_counted_once_an_evening(name):
    """Each jig stands alone, with how many of it there are; never twice in one evening."""
    plan = planned(name).boat_plans[0]
    whole = set()
    for row in session_section(plan, 3).rows:
        jigs = [each.split(" × ") for each in row[4].split(", ") if each]
        names = [jig for _, jig in jigs]
        assert len(set(names)) == len(names), row
        for count, jig in jigs:
            assert int(count) % 3 == 0
            assert not re.match(r"(two|three) |.* and (block|disc)", jig), jig
        whole |= {(int(count), jig) for count, jig in jigs}
    assert {(6, "straight stick"), (3, "dummy rod"), (3, "wedge"), (3, "disc"), (3, "block")} <= whole


@pytest.mark.parametrize("name", DESIGNS)
def test_adults_hands_are_told_where_steps_ask_for_them_or_for_their_glue(name):
    plan = planned(name).boat_plans[0]
    steps = building_steps(plan)
    seen = set()
    for evening in sessions(plan):
        today = [steps[number - 1] for number, _ in evening.steps]
        glues = [glue(step.own_glue or plan.design.glue).hands for step in today if step.glue]
        if any(step.adult for step in today):
            assert evening.adult == "yes"
        else:
            assert evening.adult == ("glue" if "adults" in glues else "")
        seen.add(evening.adult)
    column = [row[5] for row in session_section(plan, 1).rows]
    assert set(column) == seen
    assert any("where it says glue" in remark for remark in session_section(plan, 1).remarks)


@pytest.mark.parametrize("name", DESIGNS)
def test_substitutions_name_the_bow_and_the_cover_as_the_boat_has_them(name):
    plan = planned(name).boat_plans[0]
    told = " ".join(" ".join(row) for row in substitution_section(plan).rows).lower()
    names = {part.name.lower() for part in plan.parts}
    for word in ("nose block", "stem block", "hatch,", "after deck"):
        assert (word in told) == any(each == word.strip(",") for each in names), word
    assert "`" not in told
