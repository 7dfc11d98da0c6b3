import math

import numpy as np
import pytest

from leafgill.science import copper


@pytest.mark.parametrize("law", [copper.lasting_limit_ug_l, copper.short_limit_ug_l])
def test_number_array_nan_and_the_ends(law):
    assert type(law(6)) is float
    answer = law(np.array([[0.0, 1.0, 6.0], [math.nan, 22.5, 60.0]]))
    assert answer.shape == (2, 3)
    assert answer[0, 2] == pytest.approx(law(6.0), rel=1e-14)
    assert math.isnan(answer[1, 0])
    # 25 to 400 mg/L as CaCO3 is 1.4 to 22.4 dGH: the nearer end counts beyond
    assert answer[0, 0] == answer[0, 1] == pytest.approx(law(25.0 / 17.848), rel=1e-12)
    assert answer[1, 1] == answer[1, 2] == pytest.approx(law(400.0 / 17.848), rel=1e-12)
    assert law(3.0) < law(6.0) < law(12.0)


def test_the_lasting_limit_is_the_lower():
    gh = np.linspace(1.4, 22.0, 20)
    assert (copper.lasting_limit_ug_l(gh) < copper.short_limit_ug_l(gh)).all()
