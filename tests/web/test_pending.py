import threading

import pytest

from leafgill.web.pending import MOST, UPLOAD_OLDEST_S, Pending

NOW_S = 1_700_000_000.0


@pytest.fixture
def mine(tmp_path):
    return Pending(tmp_path, 7, NOW_S)


def test_what_is_put_is_found_by_its_token_and_kind_alone(mine, tmp_path):
    token = mine.put("diary", {"name": "d.csv"}, {"data": b"x,y"})
    held = mine.get(token, "diary")
    assert held.about["name"] == "d.csv"
    assert held.read("data") == b"x,y"
    assert mine.get(token, "probe") is None
    assert Pending(tmp_path, 8, NOW_S).get(token, "diary") is None


@pytest.mark.parametrize(
    "token", ["", "..", "../../etc/passwd", "a" * 21, "a" * 23, "a/" + "b" * 20]
)
def test_a_token_is_never_a_path(mine, token):
    assert mine.get(token, "diary") is None


def test_content_is_replaced_and_other_files_stay(mine):
    token = mine.put("probe", {"name": "p"}, {"data": b"raw"})
    mine.change(mine.get(token, "probe"), {"rows": 3}, {"streams": b"packed"})
    held = mine.get(token, "probe")
    assert (held.about["name"], held.about["rows"]) == ("p", 3)
    assert (held.read("data"), held.read("streams")) == (b"raw", b"packed")


def test_only_one_of_two_that_finish_at_once_gets_it(mine):
    token = mine.put("draft", {})
    got, ready = [], threading.Barrier(2)

    def finish():
        ready.wait()
        with mine.claimed(token, "draft") as held:
            got.append(held is not None)

    pair = [threading.Thread(target=finish) for _ in range(2)]
    for thread in pair:
        thread.start()
    for thread in pair:
        thread.join()
    assert sorted(got) == [False, True]
    assert mine.get(token, "draft") is None


def test_while_one_finishes_it_nobody_else_has_it(mine):
    token = mine.put("draft", {"n": 1})
    with mine.claimed(token, "draft") as held:
        assert held.about["n"] == 1
        assert mine.get(token, "draft") is None
        with mine.claimed(token, "draft") as again:
            assert again is None


def test_what_could_not_be_finished_is_there_again(mine):
    token = mine.put("draft", {"n": 1})
    with pytest.raises(ZeroDivisionError), mine.claimed(token, "draft"):
        raise ZeroDivisionError
    assert mine.get(token, "draft").about["n"] == 1


def test_old_things_and_too_many_are_cleaned_up(mine, tmp_path):
    old = mine.put("diary", {})
    draft = mine.put("draft", {})
    later = Pending(tmp_path, 7, NOW_S + UPLOAD_OLDEST_S + 1.0)
    later.clean()
    assert later.get(old, "diary") is None
    assert later.get(draft, "draft") is not None
    many = Pending(tmp_path, 7, NOW_S + UPLOAD_OLDEST_S + 2.0)
    tokens = [many.put("diary", {"nth": nth}) for nth in range(MOST + 3)]
    assert sum(many.get(token, "diary") is not None for token in tokens) <= MOST
    assert many.get(tokens[-1], "diary") is not None


def test_a_thing_can_be_forgotten_and_the_newest_is_listed_first(mine, tmp_path):
    first = mine.put("draft", {})
    second = Pending(tmp_path, 7, NOW_S + 5.0).put("draft", {})
    assert [held.token for held in mine.listed("draft")] == [second, first]
    mine.drop(second, "draft")
    assert [held.token for held in mine.listed("draft")] == [first]
