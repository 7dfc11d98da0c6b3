import logging

from leafgill.web import charts, warming


def test_it_uses_what_the_first_pages_need(monkeypatch, caplog):
    drawn = []
    kind, draw = charts.FORMS["svg"]
    monkeypatch.setitem(charts.FORMS, "svg", (kind, lambda spec: drawn.append(draw(spec)) or b""))
    with caplog.at_level(logging.ERROR):
        warming.warm_pages()
    assert drawn[0].startswith(b"<svg")
    assert not caplog.records


def test_what_breaks_is_logged_and_stops_nothing(monkeypatch, caplog):
    def broken(spec):
        raise RuntimeError("no fonts")

    monkeypatch.setitem(charts.FORMS, "svg", ("image/svg+xml", broken))
    with caplog.at_level(logging.ERROR):
        warming.warm_pages()
    assert "no fonts" in caplog.text
