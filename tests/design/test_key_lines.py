import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hullcut.design.lines import key_lines, line_of

TRICKY = '''\
# a remark = [not, a, key]
name = "boat # not a remark"
about = """
length = 3
[fin] "" \\"""
"""
quoted."a.b" . 'c' = 'it''
'''.replace("'it''", "'it = 1'")

ODD = """
[hull]
length = 42 # beam = 3
  beam    =   13
flare.exact = 1.5
stations = [
  1, # one = 1
  [2, "3 = ]"],
  { x = 1, y = [ { z = 07:32:00 } ] },
]

[[shop.stock]]
kind = "sheet"
[[shop.stock]]
size = { length = 96, width = 48 }
[shop.stock.maker]
name = 'nobody'
[[shop.rack]]
[ engine . "odd key" ]
mass = -2_300.5e-1
"""


def paths(value, path=""):
    """Every dotted key that tomllib finds."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield (place := f"{path}.{key}" if path else key)
            yield from paths(inner, place)
    elif isinstance(value, list):
        for number, inner in enumerate(value, 1):
            yield f"{path}[{number}]"
            yield from paths(inner, f"{path}[{number}]")


def first_prefix_with(text, key):
    """The last line of the shortest run of whole lines that is good TOML and holds a key: slow, but sure."""
    lines = text.split("\n")
    for count in range(1, len(lines) + 1):
        try:
            data = tomllib.loads("\n".join(lines[:count]))
        except tomllib.TOMLDecodeError:
            continue
        if key in paths(data):
            return count
    raise AssertionError(f"{key} is nowhere")


@pytest.mark.parametrize("text", [TRICKY, ODD, TRICKY + ODD, ""])
def test_every_key_of_tomllib_has_a_line(text):
    assert set(key_lines(text)) == set(paths(tomllib.loads(text)))


def test_lines_agree_with_growing_prefixes():
    # A value of several lines ends on its last line, and is found on its first.
    text = TRICKY + ODD
    lines = key_lines(text)
    on_one_line = [key for key in lines if "stations" not in key and key != "about"]
    assert len(on_one_line) > 20
    assert {key: lines[key] for key in on_one_line} == {key: first_prefix_with(text, key) for key in on_one_line}
    assert text.split("\n")[lines["about"] - 1].startswith("about")
    assert text.split("\n")[lines["hull.stations[2][2]"] - 1].strip().startswith("[2,")
    assert text.split("\n")[lines["hull.stations[3].y[1].z"] - 1].strip().startswith("{ x")


def test_samples_agree_with_growing_prefixes(samples):
    for name in ("bramblefin", "lakeside_class"):
        text = (samples / f"{name}.toml").read_text(encoding="utf-8")
        lines = key_lines(text)
        assert set(lines) == set(paths(tomllib.loads(text)))
        chosen = [key for key in lines if "builders" not in key][::7]
        assert {key: lines[key] for key in chosen} == {key: first_prefix_with(text, key) for key in chosen}


def test_a_key_that_is_not_there_has_the_line_of_what_is_around_it():
    lines = {"hull": 3, "shop.stock": 8, "shop.stock[2]": 12}
    assert line_of("hull.beam", lines) == 3
    assert line_of("shop.stock[2].price", lines) == 12
    assert line_of("shop.stock[3].price", lines) == 8
    assert line_of("fin.depth", lines) is None
    assert line_of("", lines) is None


KEY = st.sampled_from(["a", "b", "c-d", "'e f'", '"g.h"', '"i\\"j"', "7"])
SCALAR = st.sampled_from(["1", '"x = ]"', "'#'", '"""\n[y]\n"""', "'''\n'''", "1.5e3", "true", "1979-05-27 07:32:00Z"])
VALUE = st.recursive(
    SCALAR,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3).map(lambda items: "[\n" + ", # ] }\n".join(items) + "\n]"),
        st.dictionaries(st.sampled_from(["p", "q.r", '"s t"']), inner, max_size=2).map(
            lambda table: "{ " + ", ".join(f"{key} = {item}" for key, item in table.items()) + " }"
        ),
    ),
    max_leaves=5,
)
LINE = st.one_of(
    st.tuples(st.lists(KEY, min_size=1, max_size=2), VALUE).map(lambda pair: f"{'.'.join(pair[0])} = {pair[1]}"),
    st.lists(KEY, min_size=1, max_size=3).map(lambda keys: f"[{' . '.join(keys)}] # [x]"),
    st.lists(KEY, min_size=1, max_size=2).map(lambda keys: f"[[{'.'.join(keys)}]]"),
)


@given(st.lists(LINE, max_size=8).map("\n".join))
def test_any_good_toml_has_a_line_for_every_key(text):
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return
    lines = key_lines(text)
    assert set(lines) == set(paths(data))
    assert all(1 <= line <= text.count("\n") + 1 for line in lines.values())
