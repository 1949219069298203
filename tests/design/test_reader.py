import shutil

import pytest

from hullcut.design import reader
from hullcut.design.reader import read_order
from hullcut.design.values import Boat
from hullcut.errors import DesignError

SMALL = 'name = "{name}"\n[hull]\nlength = 42\nbeam = 13\ndepth = 5\n'


@pytest.fixture
def folder(tmp_path, samples):
    shutil.copytree(samples, tmp_path / "designs")
    return tmp_path / "designs"


def faults(path):
    with pytest.raises(DesignError) as caught:
        read_order(path)
    return caught.value.faults


def order_of(folder, text):
    path = folder / "order.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_lone_design_is_an_order_of_one_boat(samples):
    order = read_order(samples / "bramblefin.toml")
    assert order.name == "bramblefin"
    assert order.units == "in"
    assert order.boats == (Boat("bramblefin-1", "bramblefin", "", 1),)
    (design,) = order.designs
    hull = design.hull
    assert (hull.length, hull.beam, hull.depth) == (1066.8, 330.2, 127.0)
    assert hull.flat_to == 596.9
    assert design.woods.side.thickness == 7.9375
    assert dict(design.lines)["hull.beam"] == next(
        number
        for number, line in enumerate((samples / "bramblefin.toml").read_text().split("\n"), 1)
        if line.startswith("beam = ")
    )
    assert {stock.kind for stock in order.shop.stock} == {"sheet", "board"}
    sides = next(stock for stock in order.shop.stock if stock.material == "yellow-poplar")
    assert (sides.id, sides.thickness, sides.planed_to) == (
        "board-3/4-yellow-poplar-96x5-1/2",
        19.05,
        7.9375,
    )
    assert sides.source == "bramblefin.toml"


def test_marshpenny_is_flared_and_tapers(samples):
    (design,) = read_order(samples / "marshpenny.toml").designs
    hull = design.hull
    assert hull.flare == 10.0
    assert hull.beam_at_bow < hull.beam_at_transom < hull.beam
    assert design.fittings[0].name == "pennant and staff"
    assert "\n" not in design.about


def test_ten_lines_are_a_boat(samples):
    text = (samples / "ten_lines.toml").read_text()
    assert text.count("\n") == 10
    assert read_order(samples / "ten_lines.toml").designs[0].name == "sedgewattle"


def test_an_order_mixes_designs_and_its_shop_replaces_theirs(samples):
    order = read_order(samples / "lakeside_class.toml")
    assert order.name == "lakeside-class"
    assert [design.name for design in order.designs] == ["bramblefin", "marshpenny"]
    assert [(boat.id, boat.builder, boat.number) for boat in order.boats] == [
        ("bramblefin-1", "Odalys", 1),
        ("bramblefin-2", "Teomund", 2),
        ("marshpenny-3", "Wrenna", 3),
    ]
    assert [(stock.kind, stock.available, stock.price) for stock in order.shop.stock] == [
        ("leftover", 1, 0.0),
        ("leftover", 2, 0.0),
    ]


def test_a_design_named_twice_is_read_once(folder, monkeypatch):
    read = []
    real = reader.read_source
    monkeypatch.setattr(reader, "read_source", lambda path: read.append(path.name) or real(path))
    path = order_of(
        folder,
        'name = "two"\n[[boats]]\ndesign = "marshpenny.toml"\n[[boats]]\ndesign = "./marshpenny.toml"\ncount = 2\n',
    )
    order = read_order(path)
    assert read == ["order.toml", "marshpenny.toml"]
    assert len(order.designs) == 1
    assert [boat.id for boat in order.boats] == ["marshpenny-1", "marshpenny-2", "marshpenny-3"]


def test_without_a_shop_of_its_own_an_order_takes_the_designs(folder):
    path = order_of(folder, 'name = "one"\n[[boats]]\ndesign = "bramblefin.toml"\n')
    assert read_order(path).shop == read_order(folder / "bramblefin.toml").shop


def test_differing_shops_want_one_in_the_order(folder):
    text = (folder / "marshpenny.toml").read_text() + "\n[shop]\nsaw_kerf = 0.1\n"
    (folder / "marshpenny.toml").write_text(text)
    boats = '[[boats]]\ndesign = "bramblefin.toml"\n[[boats]]\ndesign = "marshpenny.toml"\n'
    (fault,) = faults(order_of(folder, f'name = "two"\n{boats}'))
    assert fault.key == "shop"
    assert "write [shop] in the order" in fault.remedy


def test_faults_of_an_order_and_of_its_designs_at_once(folder):
    (folder / "bad.toml").write_text(SMALL.format(name="bad").replace("13", "-13"))
    path = order_of(
        folder,
        'name = "a/b"\nunits = "in"\n[[boats]]\ndesign = "bad.toml"\n[[boats]]\ndesgn = "marshpenny.toml"\n',
    )
    assert [(fault.line, fault.key) for fault in faults(path)] == [(1, "name"), (6, "boats[2].desgn")]
    path = order_of(
        folder,
        'name = "two"\n[[boats]]\ndesign = "bad.toml"\n[[boats]]\ndesign = "bad.toml"\n'
        '[[boats]]\ndesign = "marshpeny.toml"\nbuilder = "Odalys"\nbuilders = ["Wrenna"]\n',
    )
    found = faults(path)
    assert [(fault.file, fault.line, fault.key) for fault in found] == [
        (str(path), 7, "boats[3].design"),
        (str(path), 9, "boats[3].builders"),
        (str(folder / "bad.toml"), 4, "hull.beam"),
    ]
    assert found[0].remedy == "did you mean marshpenny.toml?"


@pytest.mark.parametrize(
    ("boats", "line", "key", "problem"),
    [
        ('[[boats]]\ndesign = "bramblefin.toml"\nbuilders = ["A", "B"]\ncount = 3\n', 5, "boats[1].count", "is 3"),
        ('[[boats]]\ndesign = "bramblefin.toml"\nbuilders = []\n', 4, "boats[1].builders", "is empty"),
        ('[[boats]]\ndesign = "bramblefin.toml"\nbuilders = "A"\n', 4, "boats[1].builders", "not a list"),
        ('[[boats]]\ndesign = "bramblefin.toml"\ncount = 0\n', 4, "boats[1].count", "is 0"),
        ('[[boats]]\ndesign = "lakeside_class.toml"\n', 3, "boats[1].design", "is itself an order"),
        ('[[boats]]\ndesign = "order.toml"\n', 3, "boats[1].design", "is itself an order"),
        ('[[boats]]\ndesign = "."\n', 3, "boats[1].design", "is a folder"),
        ('[[boats]]\ndesign = ""\n', 3, "boats[1].design", "not a file"),
        ("boats = []\n", 2, "boats", "is empty"),
        ("boats = 3\n", 2, "boats", "not a list of tables"),
        ('[[boat]]\ndesign = "bramblefin.toml"\n', 2, "boat", "not a key"),
        ('[[boats]]\ndesign = "bramblefin.toml"\ncount = 150\n' * 2, 2, "boats", "are 300 boats"),
        ('[[boats]]\ndesign = "bramblefin.toml"\n[[boats]]\ndesign = "twin.toml"\n', 5, "boats[2].design", "another"),
        ('[[boats]]\ndesign = "bramblefin.toml"\n[shop]\nsaw_kerf = 3\n', 5, "shop.saw_kerf", "more than any saw"),
    ],
)
def test_wrong_orders(folder, boats, line, key, problem):
    (folder / "twin.toml").write_text(SMALL.format(name="Bramblefin"))
    (fault,) = faults(order_of(folder, f'name = "two"\n{boats}'))
    assert (fault.line, fault.key) == (line, key)
    assert problem in fault.problem


@pytest.mark.parametrize(
    ("table", "key", "problem"),
    [
        ("planed_to = 1", "shop.stock[1].planed_to", "more than its thickness"),
        ('grain = "width"', "shop.stock[1].grain", "across a board"),
    ],
)
def test_wrong_stock(tmp_path, table, key, problem):
    path = tmp_path / "boat.toml"
    path.write_text(
        SMALL.format(name="boat")
        + '[[shop.stock]]\nkind = "board"\nmaterial = "white-oak"\nthickness = 0.75\nlength = 48\nwidth = 3\n'
        + table
    )
    (fault,) = faults(path)
    assert (fault.line, fault.key) == (12, key)
    assert problem in fault.problem


def test_the_folder_changes_nothing_but_the_file_names(samples, monkeypatch):
    monkeypatch.chdir(samples)
    here = read_order("lakeside_class.toml")
    monkeypatch.chdir(samples.parent)
    there = read_order("sample_designs/lakeside_class.toml")
    assert here.shop == there.shop
    assert here.boats == there.boats
    assert [design.hull for design in here.designs] == [design.hull for design in there.designs]
    assert here.designs[0].file == "bramblefin.toml"
    assert there.designs[0].file == "sample_designs/bramblefin.toml"


def test_a_design_of_150_lines_is_read_within_30_ms(samples, benchmark):
    path = samples / "bramblefin.toml"
    assert path.read_text().count("\n") >= 150
    assert benchmark(read_order, path).name == "bramblefin"
    if benchmark.enabled:
        assert benchmark.stats.stats.median < 0.030
