import pytest

from leafgill.web.ingest import tokens, topics
from leafgill.web.ingest.ways import mark
from leafgill.web.models import Keeper, TokenRow, TopicRow
from leafgill.web.store.away import put_away
from leafgill.web.store.readings import add_readings
from leafgill.web.store.tanks import change_spec, spec_of

pytestmark = pytest.mark.django_db


def test_every_change_of_the_ways_in_is_another_mark(sensor, row, now):
    keeper, seen = Keeper.objects.get(), [mark()]

    def changed(what):
        found = mark()
        assert found != seen[-1], what
        seen.append(found)

    tokens.make(sensor, "", keeper, now)
    changed("a token made")
    tokens.revoke(sensor, TokenRow.objects.get().pk, now)
    changed("taken back")
    for topic in ("a", "b"):
        topics.add(sensor, topics.Route(topic, None, ""))
        changed("a topic added")
    TopicRow.objects.filter(topic="b").delete()
    topics.add(sensor, topics.Route("c", None, ""))
    changed("one for another")
    TopicRow.objects.filter(topic="c").delete()
    changed("a topic taken away")
    change_spec(row, spec_of(row), keeper)
    changed("another description")
    put_away(row, now)
    changed("put away")


def test_readings_are_no_change_of_the_ways_in(sensor):
    before = mark()
    add_readings(sensor, 1_741_400_000, 6.8)
    assert mark() == before
