from leafgill.web.kept import Kept


def test_what_was_made_is_not_made_again():
    kept, made = Kept(2), []

    def make(name):
        made.append(name)
        return name.encode()

    assert kept.get("a", lambda: make("a")) == b"a"
    assert kept.get("a", lambda: make("other")) == b"a"
    assert made == ["a"]


def test_the_one_not_asked_for_the_longest_goes():
    kept, made = Kept(2), []
    for name in ("a", "b", "a", "c", "a", "b"):
        kept.get(name, lambda name=name: made.append(name) or name.encode())
    assert made == ["a", "b", "c", "b"]


def test_what_cannot_be_made_is_tried_again():
    kept = Kept(2)
    tries = iter([ValueError("no"), b"yes"])

    def make():
        found = next(tries)
        if isinstance(found, Exception):
            raise found
        return found

    try:
        kept.get("a", make)
    except ValueError:
        assert kept.get("a", make) == b"yes"
    else:
        raise AssertionError("it was to fail")
