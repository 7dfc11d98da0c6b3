import json
import re
from datetime import datetime

import pytest

from leafgill.advise.commission import commission
from leafgill.diary import Diary, Kind
from leafgill.estimate import believe
from leafgill.examples import EXAMPLES
from leafgill.tank.fields import FIELDS
from leafgill.tank.spec import Tank
from leafgill.web.equipment import commission_part, rig_part, supply_part
from leafgill.web.page_words import page_words


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("narrows it: leafgill rig TANK DIARY.", "narrows it."),
        ("Then `leafgill next` says how", "Then Today says how"),
        ("write them below [prices] in the tank file.", 'write them under "Prices" in the '
         "description."),
        ("the room is taken as 20 °C; give --room-temperature", "the room is taken as 20 °C"),
        ("by 1.4 bar; give --room-temperature, or note it", "by 1.4 bar; note it"),
        ("one like a 2 kg is taken (cylinder_kg)", 'one like a 2 kg is taken ("CO2 when full")'),
        ("the diffuser is not known (diffuser)",
         'the diffuser is not known ("How the gas enters the water")'),
        ("write the weight down as cylinder_mass,", 'write the weight down as "Cylinder weighed",'),
        ('[rig] source = "yeast": no', '"Where the gas comes from" = "yeast": no'),
        ("Write the material into the tank file as hose.",
         'Write the material into the description as "What the gas hose is made of".'),
        ("pH 6.8 [sic], 24 mg/L", "pH 6.8 [sic], 24 mg/L"),
    ],
)  # fmt: skip
def test_commands_and_keys_become_the_words_of_the_pages(text, said):
    assert page_words(text) == said


KEYS = [key for keys in FIELDS.values() for key in keys if "_" in key]
NAMES = [*KEYS, *(kind for kind in Kind if "_" in kind)]
TRACES = re.compile(
    rf"leafgill |--\w|TANK|tank file|\[({'|'.join(FIELDS)})\]|\b({'|'.join(NAMES)})\b"
)


@pytest.fixture(scope="module", params=EXAMPLES, ids=lambda example: example.folder.name)
def parts(request):
    example = request.param
    tank = Tank.load(example.tank)
    diary = Diary.load(example.diary, probe=example.probe, timezone=tank.timezone)
    belief = believe(tank, diary, example.now)
    return [
        rig_part(tank, belief),
        supply_part(tank, diary, example.now),
        commission_part(commission(tank)),
    ]


def words_of(part):
    if isinstance(part, dict):
        return [
            w for key, value in part.items() if key not in ("key", "kind") for w in words_of(value)
        ]
    if isinstance(part, list):
        return [word for value in part for word in words_of(value)]
    return [part] if isinstance(part, str) else []


def test_no_page_of_the_examples_speaks_of_commands_or_keys(parts):
    for part in parts:
        assert [text for text in words_of(part) if TRACES.search(text)] == []


def test_parts_are_plain_data_with_cautions_and_figures_that_open(parts):
    for part in parts:
        assert json.loads(json.dumps(part)) == part
        assert any("ventilated" in line for line in part["cautions"])
        for figure in part["figures"]:
            assert figure["formula"]
            assert figure["source"]
            assert figure["shown"]
    rig, supply, check = parts
    assert "g of CO2 a day" in rig["headline"]
    assert any(
        row["chosen"] for s in rig["sections"] if s["title"] == "Cylinders" for row in s["rows"]
    )
    assert "day" in supply["headline"]
    # what is ordered by a day of the words is so in a calendar too
    by = datetime.fromisoformat(supply["order_by"])
    assert by.tzinfo is not None
    assert any(words in supply["order"] for words in (f"by {by.day} {by:%B}", " now: "))
    assert len(check["items"]) > 5


def test_a_source_that_makes_its_own_gas_has_nothing_left_to_weigh(parts):
    tank = Tank.from_mapping({"tank": {"name": "x", "volume_l": 60.0}, "rig": {"source": "yeast"}})
    assert supply_part(tank, Diary(), EXAMPLES[0].now) is None
