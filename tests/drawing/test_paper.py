import pytest

from hullcut.drawing.paper import PAPERS, Correction, paper_named, printing_of


@pytest.mark.parametrize("name", PAPERS)
def test_named_papers_stand_upright(name):
    paper = paper_named(f" {name.upper()} ")
    assert paper.name == name
    assert paper.width < paper.height
    assert not paper.roll


@pytest.mark.parametrize(
    ("text", "width", "height"),
    [
        ("11x17 in", 279.4, 431.8),
        ("17 x 11 in", 279.4, 431.8),
        ("300x600 mm", 300.0, 600.0),
        ("8 1/2 in x 13 in", 215.9, 330.2),
        ("30 cm × 1 m", 300.0, 1000.0),
    ],
)
def test_sizes_are_read_with_their_units_and_stand_upright(text, width, height):
    paper = paper_named(text)
    assert (paper.width, paper.height) == pytest.approx((width, height))
    assert not paper.roll


@pytest.mark.parametrize(("text", "width"), [("roll 24 in", 609.6), ("Roll 36in", 914.4), ("roll 610 mm", 610.0)])
def test_rolls_have_a_width_and_a_long_page(text, width):
    paper = paper_named(text)
    assert paper.roll
    assert paper.width == pytest.approx(width)
    assert paper.height > 4000.0


@pytest.mark.parametrize("text", ["", "foolscap", "11x17", "roll", "roll 24", "roll 5 mm", "1x2 in", "11x17x3 in"])
def test_what_is_no_paper_is_refused_with_what_to_write(text):
    with pytest.raises(ValueError, match=r"write letter|will do"):
        paper_named(text)


def test_correction_turns_with_the_page():
    correction = Correction(99.2, 100.4)
    assert correction.factors(False) == pytest.approx((100 / 99.2, 100 / 100.4))
    assert correction.factors(True) == pytest.approx((100 / 100.4, 100 / 99.2))
    assert Correction().plain
    assert not correction.plain


@pytest.mark.parametrize("measured", [(94.9, 100.0), (100.0, 105.1), (float("nan"), 100.0)])
def test_a_bar_too_far_off_is_no_printers_error(measured):
    with pytest.raises(ValueError, match="measured"):
        Correction(*measured)


def test_the_packet_goes_on_the_nearest_usual_paper():
    assert printing_of("tabloid", "mm").packet_paper == "letter"
    assert printing_of("a3", "in").packet_paper == "a4"
    assert printing_of("roll 24 in", "in").packet_paper == "letter"
    assert printing_of(None, "mm").paper.name == "a4"
    assert printing_of(None, "in", kerf="1/8 in").kerf == pytest.approx(3.175)


@pytest.mark.parametrize("kerf", ["-1", "11", "wide"])
def test_a_kerf_that_no_machine_cuts_is_refused(kerf):
    with pytest.raises(ValueError, match="kerf"):
        printing_of(None, "in", kerf=kerf)
