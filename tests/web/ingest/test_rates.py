from leafgill.web.ingest.rates import Rates


class Steady:
    now = 100.0

    def __call__(self):
        return self.now


def test_a_burst_is_let_through_and_then_so_many_a_second():
    steady = Steady()
    rates = Rates(3, 2.0, steady=steady)
    assert [rates.wait_s("a") for _ in range(4)] == [0, 0, 0, 0.5]
    assert rates.wait_s("b") == 0
    steady.now += 0.5
    assert [rates.wait_s("a") for _ in range(2)] == [0, 0.5]
    steady.now += 1000
    assert [rates.wait_s("a") for _ in range(4)] == [0, 0, 0, 0.5]


def test_it_does_not_grow_without_end():
    rates = Rates(2, 1.0, most=10, steady=Steady())
    for n in range(1000):
        rates.wait_s(str(n))
    assert len(rates._left) == 10
