import json
import tomllib

import jsonschema
import pytest

from hullcut.design.models import DesignFile
from hullcut.design.schema import design_schema, order_schema

DESIGNS = ("bramblefin", "marshpenny", "puddlewick", "tansyfoot", "ten_lines")


def load(samples, name):
    return tomllib.loads((samples / f"{name}.toml").read_text(encoding="utf-8"))


def validator(schema):
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


@pytest.mark.parametrize("name", DESIGNS)
def test_the_sample_designs_are_valid(samples, name):
    validator(design_schema()).validate(load(samples, name))


def test_the_sample_order_is_valid(samples):
    validator(order_schema()).validate(load(samples, "lakeside_class"))


@pytest.mark.parametrize(
    ("table", "key", "value"),
    [
        ("hull", "baem", 13),
        ("hull", "bow", "scow"),
        ("hull", "beam", -13),
        ("hull", "flare", 80),
        ("hull", "beam", True),
        ("engine", "mass", "heavy"),
        ("windscreen", "fitted", "yes"),
        ("fasteners", "gauge", 7),
    ],
)
def test_wrong_values_are_not_valid(samples, table, key, value):
    data = load(samples, "bramblefin")
    data[table][key] = value
    assert not validator(design_schema()).is_valid(data)


def test_a_missing_size_or_a_path_for_a_name_is_not_valid(samples):
    data = load(samples, "ten_lines")
    assert not validator(design_schema()).is_valid(data | {"name": "a/b"})
    del data["hull"]["beam"]
    assert not validator(design_schema()).is_valid(data)


def test_the_schema_is_always_the_same_and_speaks_of_no_null():
    first, second = (json.dumps(design_schema()) for _ in range(2))
    assert first == second
    assert "null" not in first
    assert design_schema()["title"] == "hullcut design file"


def test_every_key_is_described():
    tables = design_schema()["$defs"]
    for table in [design_schema(), *tables.values()]:
        for key, entry in table["properties"].items():
            referred = tables.get(entry.get("$ref", "").rpartition("/")[2], {})
            assert len(entry.get("description", referred.get("description", ""))) > 4, key


def test_changing_the_schema_given_out_changes_nothing():
    design_schema()["properties"].clear()
    assert set(design_schema()["properties"]) == set(DesignFile.model_fields)
