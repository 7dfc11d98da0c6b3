from leafgill.science import generators
from leafgill.tank.fields import FIELDS


def test_the_sources_are_those_of_the_tank_file():
    assert set(generators.SOURCES) == set(FIELDS["rig"]["source"].choices)


def test_only_yeast_runs_through_the_night():
    assert [n for n, kind in generators.SOURCES.items() if not kind.shuts_at_night] == ["yeast"]
    courses = (
        generators.yeast_course(100.0, 1.0),
        generators.acid_course(100.0, 140.0, g_per_day=2.0, headspace_l=1.0, water_l=0.5),
        generators.cartridge_course(45.0, g_per_day=1.0),
    )
    for course in courses:
        assert course.shuts_at_night is generators.SOURCES[course.source].shuts_at_night


def test_home_made_vessels_need_a_relief():
    relief = {name for name, kind in generators.SOURCES.items() if kind.needs_relief}
    assert relief == {"acid-bicarbonate", "yeast"}
