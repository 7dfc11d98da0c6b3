"""Inputs nobody means: mended from good ones by chance, and by what is known to break things."""

from __future__ import annotations

import json
import random
from typing import Any

ODD_NUMBERS = (
    "nan", "NaN", "inf", "-inf", "Infinity", "1e309", "-1e309", "1e-400", "0", "-0", "1e9", "1e300",
    "9" * 30, "9" * 400, "0x1f", "1_000", "6,8", "6.8.1", "+-6", "", " ", "٦٫٨", "６.８", "1e", ".",
    "6.8 pH", "true", "null", "-273.16", "-300", "14.5", "65535", "6.8\x00", "1/0", "=6.8",
)  # fmt: skip
ODD_TIMES = (
    "", "now", "0", "-1", "1e18", "1741432200", "1741432200000", "9" * 40, "nan", "inf",
    "2025-03-08T12:10", "2025-02-30T12:10", "2027-02-29T00:00", "2028-02-29T00:00",
    "2025-10-26T02:30", "2025-03-30T02:30", "0000-00-00T00:00", "9999-12-31T23:59:59",
    "2025-03-08T24:00", "2025-03-08T25:61", "08.03.2025 12:10", "2025-03-08T12:10+99:99",
    "2025-03-08T12:10:60Z", "T", "2025-03-08", "12:10", "1999-12-31T00:00", "2200-01-01T00:00",
)  # fmt: skip
_ODD_BYTES = (b"\x00", b"\xff", b"\xfe\xff", b"\r", b"\n", b'"', b"'", b",", b";", b"{", b"[", b"]",
              b"}", b"\\u0000", b"\xe2\x80\xae", b"\xef\xbb\xbf", b"$(id)", b"%s%n", b"<script>",
              b"../", b"A" * 300)  # fmt: skip


def mangled(rng: random.Random, data: bytes) -> bytes:
    """Return bytes with some cut out, doubled, turned or put in."""
    out = bytearray(data)
    for _ in range(rng.randint(0, 4)):
        at = rng.randint(0, len(out))
        to = min(len(out), at + rng.randint(1, 12))
        way = rng.randrange(5)
        if way == 0:
            del out[at:to]
        elif way == 1:
            out[at:at] = out[at:to] * rng.randint(1, 4)
        elif way == 2 and out:
            out[rng.randrange(len(out))] = rng.randrange(256)
        elif way == 3:
            out[at:at] = rng.choice(_ODD_BYTES)
        else:
            out[at:at] = bytes(rng.randrange(256) for _ in range(rng.randint(1, 8)))
    return bytes(out)


def _number(rng: random.Random) -> Any:
    if rng.random() < 0.5:
        return round(rng.gauss(7.0, 2.0), 2)
    if rng.random() < 0.6:
        return rng.choice(ODD_NUMBERS)
    return rng.choice([6.8, 7, -5, 1e308, 14.2, 10**30, True, None, [], {}, float("nan"), "6.8"])


def _moment(rng: random.Random) -> Any:
    if rng.random() < 0.5:
        return 1_741_400_000 + rng.randrange(100_000)
    if rng.random() < 0.6:
        return rng.choice(ODD_TIMES)
    return rng.choice([1_741_432_200, 1_741_432_200.5, -1, 10**20, 1e300, None, True, [], "x"])


def json_body(rng: random.Random) -> bytes:
    """Return JSON like a reading, or like many, or like nothing."""

    def one() -> Any:
        shape = rng.randrange(5)
        if shape == 0:
            return {"value": _number(rng), "time": _moment(rng)}
        if shape == 1:
            return {"value": _number(rng), "unit": rng.choice(["", "°F", "psi", 5, None, "x" * 99])}
        if shape == 2:
            return [_moment(rng), _number(rng)]
        if shape == 3:
            return {"v": _number(rng), "t": _moment(rng)}
        return _number(rng)

    content: Any = one()
    if rng.random() < 0.4:
        content = [one() for _ in range(rng.randint(0, 6))]
    if rng.random() < 0.1:
        content = {"readings": content}
    text = json.dumps(content, ensure_ascii=rng.random() < 0.5)
    if rng.random() < 0.05:
        text = rng.choice(["[", '{"value":', "-", "[["]) * rng.randint(1, 3000)
    data = text.encode("utf-8", "surrogatepass")
    return mangled(rng, data) if rng.random() < 0.5 else data


def csv_file(rng: random.Random) -> bytes:
    """Return a table like a probe file or a diary; half of them with one odd cell at most."""
    if rng.random() < 0.5:
        rows = [f"2025-03-08T12:{n:02d},{rng.gauss(6.8, 0.05):.2f},24.{n}" for n in range(9)]
        at, odd = rng.randrange(9), str(rng.choice(ODD_NUMBERS + ODD_TIMES))
        cells = rows[at].split(",")
        cells[rng.randrange(3)] = odd
        rows[at] = ",".join(cells)
        return ("time,ph,temperature\n" + "\n".join(rows) + "\n").encode()
    titles = [rng.choice(["time", "date", "when", "Zeit", "", "time "])]
    titles += rng.choices(["ph", "temperature (°F)", "o2", "value", "kind", "note", "x", ""], k=2)
    separator = rng.choice([",", ",", ",", ";", "\t", "|"])
    rows = [separator.join(titles)]
    for _ in range(rng.randint(0, 8)):
        cells = [
            str(rng.choice(ODD_TIMES)),
            str(rng.choice(ODD_NUMBERS)),
            rng.choice(["6.8", "ph"]),
        ]
        if rng.random() < 0.5:
            cells = [f"2025-03-08T12:{rng.randint(0, 59):02d}", f"{rng.gauss(6.8, 3):.2f}", "7"]
        rows.append(separator.join(cells[: rng.randint(1, 3)]))
    data = (
        rng.choice(["\n", "\r\n", "\r"]).join(rows).encode(rng.choice(["utf-8", "utf-16", "utf-8"]))
    )
    return mangled(rng, data) if rng.random() < 0.5 else data


_TOML = """[tank]
name = "Den"
volume_l = 60
timezone = "Europe/Berlin"
[water]
kh_dkh = 4
[day]
lights_on = "10:00"
lights_off = "18:00"
[rig]
source = "cylinder"
cylinder_kg = 2
"""


def toml_file(rng: random.Random) -> bytes:
    """Return a text like a tank file."""
    lines = _TOML.split("\n")
    for _ in range(rng.randint(0, 3)):
        at = rng.randrange(len(lines))
        key = lines[at].partition("=")[0]
        if key.strip() and "[" not in key:
            odd = rng.choice(ODD_NUMBERS + ODD_TIMES)
            lines[at] = f"{key}= {odd if rng.random() < 0.5 else json.dumps(odd)}"
        elif rng.random() < 0.3:
            lines[at] = rng.choice(["[tank]", "[x]", "[[tank]]", "a.b.c = 1", "tank = 5"])
    data = "\n".join(lines).encode()
    return mangled(rng, data) if rng.random() < 0.6 else data
