import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hullcut.lengths import (
    MM_PER_FOOT,
    MM_PER_INCH,
    LengthError,
    bare,
    both,
    feet_inches,
    inches,
    millimetres,
    parse_length,
)


@pytest.mark.parametrize(
    ("written", "mm"),
    [
        ("13 1/2 in", 342.9),
        ("13-1/2", 342.9),
        ("13½", 342.9),
        ("13 ½ in", 342.9),
        ("13¹⁄₂ in", 342.9),
        ("5/16", 7.9375),
        ("⁵⁄₁₆ in", 7.9375),
        ("1 ft 6 in", 457.2),
        ("1'6\"", 457.2),
        ("1 ft 6", 457.2),
        ("1′ 6 1/2″", 469.9),
        ("330 mm", 330.0),
        ("33cm", 330.0),
        ("1 m 20 cm", 1200.0),
        ("0.33 m", 330.0),
        (42, 1066.8),
        (13.1, 332.74),
        ("42 in", 1066.8),
        ("42 IN.", 1066.8),
        ("-2 1/4 in", -57.15),
        ("  .5 in ", 12.7),
        (0, 0.0),
    ],
)
def test_lengths_as_people_write_them(written, mm):
    assert parse_length(written, "in") == mm


def test_bare_figures_are_in_the_default_unit():
    assert parse_length("330", "mm") == 330.0
    assert parse_length(330, "mm") == 330.0
    assert parse_length("330", "in") == 8382.0


@pytest.mark.parametrize(
    ("written", "problem", "remedy"),
    [
        ("13 1/0 in", "divides by zero", "fraction"),
        ("4 furlongs", '"furlongs" in "4 furlongs" is not a unit', "in, ft, mm, cm or m"),
        ("nan", "not a length", "write it like"),
        (math.nan, "is nan", "write it like"),
        (math.inf, "is inf", "write it like"),
        ("inf", "not a length", "write it like"),
        ("", "is empty", "write it like"),
        ("   ", "is empty", "write it like"),
        (1e300, "longer than 100 m", "a digit too many"),
        (10**400, "longer than 100 m", "a digit too many"),
        ("1e300 mm", "longer than 100 m", "a digit too many"),
        ("1e999999999 mm", "longer than 100 m", "a digit too many"),
        ("13,5 in", "has a comma", "13.5"),
        ("1 ft 20 mm", "mixes units", "write it like"),
        ("6 in 1 ft", "mixes units", "write it like"),
        ("5 mm 3 mm", "mixes units", "write it like"),
        ("13.1/2", "not a length", "write it like"),
        ("--5", "not a length", "write it like"),
        ("9" * 5000 + "/3", "too many digits", "write it like"),
        ("thirteen", "not a length", "write it like"),
        (True, "true or false", "write it like"),
        (None, "neither", "write it like"),
        ([1], "neither", "write it like"),
    ],
)
def test_what_is_wrong_and_what_to_write(written, problem, remedy):
    with pytest.raises(LengthError) as caught:
        parse_length(written, "in")
    assert problem in caught.value.problem
    assert remedy in caught.value.remedy
    assert "\n" not in str(caught.value)


@given(st.text(max_size=30))
def test_any_text_is_a_finite_length_or_a_length_error(text):
    try:
        message = str(parse_length(text, "in"))
    except LengthError as error:
        message = str(error)
    assert message
    assert "\n" not in message


@given(st.integers(-40_000, 40_000), st.sampled_from([16, 32, 64]), st.booleans())
def test_fractions_survive_the_way_out_and_back(count, denominator, typographic):
    mm = count * MM_PER_INCH / denominator
    for write in (inches, feet_inches):
        text = write(mm, denominator, typographic=typographic)
        assert parse_length(text, "mm") == pytest.approx(mm, abs=1e-9)


@given(st.floats(-10_000, 10_000), st.sampled_from([16, 32]))
def test_inches_are_the_nearest_fraction(mm, denominator):
    assert abs(parse_length(inches(mm, denominator), "mm") - mm) <= MM_PER_INCH / denominator / 2 + 1e-9


@given(st.floats(-10_000, 10_000), st.integers(0, 3))
def test_millimetres_survive_the_way_out_and_back(mm, decimals):
    assert abs(parse_length(millimetres(mm, decimals), "in") - mm) <= 0.5 * 10**-decimals + 1e-9


@given(st.floats(0.001, 90_000))
def test_repr_of_a_float_is_read_as_itself(mm):
    assert parse_length(f"{mm!r} mm", "in") == mm
    assert parse_length(mm, "mm") == mm


def test_an_inch_is_25_4_mm_and_a_foot_twelve_of_them():
    # 1 in = 25.4 mm exactly: international yard and pound agreement of 1959 (from memory).
    assert parse_length("1 in", "mm") == MM_PER_INCH == 25.4
    assert parse_length("1 ft", "mm") == MM_PER_FOOT == 304.8
    assert parse_length("12 in", "mm") == parse_length("1 ft", "mm")


@pytest.mark.parametrize(
    ("mm", "text"),
    [
        (342.9, "13 1/2 in"),
        (0.0, "0 in"),
        (0.7, "0 in"),
        (0.8, "1/16 in"),
        (-0.7, "0 in"),
        (-57.15, "-2 1/4 in"),
        (25.39, "1 in"),
        (304.8, "12 in"),
    ],
)
def test_inches(mm, text):
    assert inches(mm) == text


def test_typographic_fractions_use_raised_and_lowered_figures():
    assert inches(7.9375, 16, typographic=True) == "⁵⁄₁₆ in"
    assert inches(342.9, 16, typographic=True) == "13¹⁄₂ in"


def test_a_fraction_of_no_parts_is_a_slip_in_the_program():
    with pytest.raises(ValueError, match="denominator"):
        inches(1.0, 0)


@pytest.mark.parametrize(
    ("mm", "text"),
    [
        (457.2, "1 ft 6 in"),
        (304.8, "1 ft"),
        (304.7, "1 ft"),
        (292.1, "11 1/2 in"),
        (-342.9, "-1 ft 1 1/2 in"),
    ],
)
def test_feet_and_inches(mm, text):
    assert feet_inches(mm) == text


def test_millimetres_and_both():
    assert millimetres(342.9) == "343 mm"
    assert millimetres(-0.2) == "0 mm"
    assert millimetres(7.9375, 1) == "7.9 mm"
    assert both(342.9, "in") == "13 1/2 in (343 mm)"
    assert both(343.0, "mm") == "343 mm (13 1/2 in)"
    assert both(7.9375, "in", 32, decimals=1, typographic=True) == "⁵⁄₁₆ in (7.9 mm)"


def test_figures_under_a_head_that_names_the_units_are_those_of_both_without_the_names():
    for mm in (3.2, 89.0, 610.0):
        for units in ("in", "mm"):
            told = bare(mm, units)
            assert "in" not in told
            assert "mm" not in told
            first, second = (told.split(" (")[0], told.split(" (")[1].rstrip(")"))
            assert {first, second} == {inches(mm).removesuffix(" in"), millimetres(mm).removesuffix(" mm")}
            assert first == (inches(mm).removesuffix(" in") if units == "in" else millimetres(mm).removesuffix(" mm"))
