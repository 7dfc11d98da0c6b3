import numpy as np

from leafgill.web.spark import HEIGHT, WIDTH, spark


def points(line):
    return [tuple(map(float, point.split(","))) for point in line.points.split()]


def test_a_line_spans_the_box_from_first_to_last():
    line = spark(np.array([0, 50, 100]), np.array([6.0, 7.0, 6.5]), 0.0, 100.0, 0.1)
    assert points(line) == [(0.0, HEIGHT - 3.0), (WIDTH / 2, 3.0), (WIDTH, HEIGHT / 2)]
    assert (line.low, line.high) == (6.0, 7.0)


def test_a_steady_sensor_is_a_flat_line_and_not_mountains():
    line = spark(np.arange(10), 6.5 + 0.001 * np.arange(10), 0.0, 9.0, 1.0)
    heights = [y for _, y in points(line)]
    assert max(heights) - min(heights) < 1.0


def test_a_peak_of_one_reading_survives_the_thinning():
    values = np.full(1440, 6.5)
    values[700], values[900] = 7.9, 5.1
    line = spark(60 * np.arange(1440), values, 0.0, 86_400.0, 0.1)
    assert len(points(line)) <= 160
    heights = [y for _, y in points(line)]
    assert min(heights) == 3.0
    assert max(heights) == HEIGHT - 3.0


def test_too_little_is_no_line():
    assert spark(np.array([5]), np.array([6.5]), 0.0, 10.0, 0.1) is None
    assert spark(np.array([50, 60]), np.array([6.5, 6.6]), 0.0, 10.0, 0.1) is None
