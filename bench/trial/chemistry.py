"""Carbonate chemistry as PHREEQC has it, read from a table of its runs.

The table holds, over temperature, carbonate alkalinity, general hardness and pH, the dissolved
CO2 and the bound carbon (all dissolved carbon that is not CO2), both by PHREEQC with phreeqc.dat
(Parkhurst & Appelo 2013, USGS). Built once (a few seconds) and kept as an .npz of under 200 kB in
the folder for temporary files; `python -m bench.trial.chemistry` builds it anew.

Molality is read as mmol/L. Waters are NaHCO3 with hardness Ca : Mg = 3 : 1, its anions chloride
and sulfate in equal charge.
"""

import os
import tempfile
import zlib
from functools import cache
from pathlib import Path

import numba
import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

CO2_G_MOL = 44.0095
DKH_MEQ_L = 0.35665
DGH_MMOL_L = 0.17832

TEMPERATURES_C = np.linspace(16.0, 32.0, 5)
LOG_ALKALINITIES = np.linspace(np.log(0.08), np.log(8.0), 13)  # of meq/L
HARDNESSES_DGH = np.array([0.0, 1.0, 3.0, 6.0, 10.0, 16.0])
PHS = np.linspace(4.8, 9.4, 47)
CARBON = ("CO2", "HCO3-", "CO3-2", "NaHCO3", "NaCO3-", "CaHCO3+", "CaCO3", "MgHCO3+", "MgCO3")


def salts(alkalinity_meq_l: float, gh_dgh: float) -> dict[str, float]:
    """The water's salts [mmol/kg] as PHREEQC takes them, without those that are absent."""
    hardness = gh_dgh * DGH_MMOL_L
    present = {
        "Alkalinity": alkalinity_meq_l,
        "Na": alkalinity_meq_l,
        "Ca": 0.75 * hardness,
        "Mg": 0.25 * hardness,
        "Cl": hardness,
        "S(6)": 0.5 * hardness,
    }
    return {name: amount for name, amount in present.items() if amount > 0.0}


def build() -> dict[str, FloatArray]:
    """Run PHREEQC over the whole grid: "log_co2" (ln mg/L) and "bound" (mmol/meq), 4-D each."""
    # slow to load, and wanted only when the table is missing
    import phreeqpython  # type: ignore[import-untyped]

    engine = phreeqpython.PhreeqPython(database="phreeqc.dat")
    shape = (TEMPERATURES_C.size, LOG_ALKALINITIES.size, HARDNESSES_DGH.size, PHS.size)
    log_co2, bound = np.empty(shape), np.empty(shape)
    for t, a, g, p in np.ndindex(shape):
        alkalinity = float(np.exp(LOG_ALKALINITIES[a]))
        co2, other = _solved(
            engine, float(PHS[p]), alkalinity, float(TEMPERATURES_C[t]), float(HARDNESSES_DGH[g])
        )
        log_co2[t, a, g, p] = np.log(co2 * CO2_G_MOL)
        bound[t, a, g, p] = other / alkalinity
    return {"log_co2": log_co2, "bound": bound}


def _solved(
    engine: object, ph: float, alkalinity_meq_l: float, temperature_c: float, gh_dgh: float
) -> tuple[float, float]:
    """(CO2, all other dissolved carbon) [mmol/L] of one water."""
    recipe = {"units": "mmol/kgw", "temp": temperature_c, "pH": ph}
    solution = engine.add_solution(recipe | salts(alkalinity_meq_l, gh_dgh))  # type: ignore[attr-defined]
    species = solution.species
    amounts = [1e3 * species.get(name, 0.0) for name in CARBON]
    solution.forget()
    return amounts[0], sum(amounts[1:])


def table_path() -> Path:
    """Where the table is kept between runs."""
    nodes = np.concatenate([TEMPERATURES_C, LOG_ALKALINITIES, HARDNESSES_DGH, PHS])
    mark = f"{zlib.crc32(nodes.tobytes()):08x}"  # another grid, another file
    return Path(tempfile.gettempdir()) / f"planted-trial-carbonate-{mark}.npz"


def save(path: Path) -> None:
    """Build the table and write it to `path`, whole or not at all."""
    half = path.with_name(f"{path.stem}-{os.getpid()}.npz")
    table = build()
    np.savez_compressed(
        half,
        log_co2=table["log_co2"].astype(np.float32),
        bound=table["bound"].astype(np.float32),
    )
    half.replace(path)


@cache
def grids() -> tuple[FloatArray, FloatArray]:
    """(log CO2, bound) over [temperature, alkalinity, hardness, pH]; built when not yet there."""
    path = table_path()
    if not path.exists():
        save(path)
    with np.load(path) as stored:
        return stored["log_co2"].astype(np.float64), stored["bound"].astype(np.float64)


def water(gh_dgh: float) -> FloatArray:
    """The table of one hardness, [2 (log CO2, bound), temperature, alkalinity, pH].

    Raises ValueError where the hardness is outside the table.
    """
    if not HARDNESSES_DGH[0] <= gh_dgh <= HARDNESSES_DGH[-1]:
        raise ValueError(f"hardness {gh_dgh} dGH is outside the table (0-16)")
    upper = int(np.clip(np.searchsorted(HARDNESSES_DGH, gh_dgh), 1, HARDNESSES_DGH.size - 1))
    below, above = HARDNESSES_DGH[upper - 1], HARDNESSES_DGH[upper]
    part = (gh_dgh - below) / (above - below)
    return np.stack([(1.0 - part) * g[:, :, upper - 1] + part * g[:, :, upper] for g in grids()])


_T0, _DT, _NT = float(TEMPERATURES_C[0]), float(np.diff(TEMPERATURES_C)[0]), TEMPERATURES_C.size
_A0, _DA, _NA = (
    float(LOG_ALKALINITIES[0]),
    float(np.diff(LOG_ALKALINITIES)[0]),
    LOG_ALKALINITIES.size,
)
_P0, _DP, _NP = float(PHS[0]), float(np.diff(PHS)[0]), PHS.size


@numba.njit(cache=True)
def profile(
    water: FloatArray, temperature_c: float, alkalinity_meq_l: float, out: FloatArray
) -> None:
    """Fill out[2, pH nodes] with log CO2 and bound carbon at one temperature and alkalinity."""
    t = min(max((temperature_c - _T0) / _DT, 0.0), _NT - 1.0)
    a = min(max((np.log(alkalinity_meq_l) - _A0) / _DA, 0.0), _NA - 1.0)
    i, j = min(int(t), _NT - 2), min(int(a), _NA - 2)
    t, a = t - i, a - j
    for which in range(2):
        for p in range(_NP):
            out[which, p] = (1.0 - t) * (
                (1.0 - a) * water[which, i, j, p] + a * water[which, i, j + 1, p]
            ) + t * ((1.0 - a) * water[which, i + 1, j, p] + a * water[which, i + 1, j + 1, p])


@numba.njit(cache=True)
def _cubic(row: FloatArray, x: float) -> float:
    """Catmull-Rom through a row at a fractional node number, straight beyond the inner nodes."""
    i = min(max(int(x), 1), row.size - 3)
    u = x - i
    b, c = row[i], row[i + 1]
    low, high = 0.5 * (c - row[i - 1]), 0.5 * (row[i + 2] - b)
    return float(
        b + u * (low + u * (3.0 * (c - b) - 2.0 * low - high + u * (2.0 * (b - c) + low + high)))
    )


@numba.njit(cache=True)
def co2_of_ph(profile: FloatArray, ph: float) -> float:
    """CO2 [mg/L] of a profile at a pH."""
    return float(np.exp(_cubic(profile[0], (ph - _P0) / _DP)))


@numba.njit(cache=True)
def dic_of_ph(profile: FloatArray, alkalinity_meq_l: float, ph: float) -> float:
    """All dissolved carbon [mmol/L] of a profile at a pH."""
    x = (ph - _P0) / _DP
    return float(np.exp(_cubic(profile[0], x))) / CO2_G_MOL + alkalinity_meq_l * _cubic(
        profile[1], x
    )


@numba.njit(cache=True)
def ph_of_dic(
    profile: FloatArray, alkalinity_meq_l: float, dic_mmol_l: float, guess: float
) -> float:
    """PH of a profile at its dissolved carbon: secant steps held inside a shrinking bracket."""
    low, high = _P0, _P0 + _DP * (_NP - 1)
    ph = min(max(guess, low + 0.01), high - 0.01)
    for _ in range(60):
        miss = dic_of_ph(profile, alkalinity_meq_l, ph) - dic_mmol_l
        if miss > 0.0:
            low = ph
        else:
            high = ph
        if abs(miss) < 1e-9:
            break
        slope = (dic_of_ph(profile, alkalinity_meq_l, ph + 1e-4) - miss - dic_mmol_l) / 1e-4
        step = ph - miss / slope if slope < 0.0 else low - 1.0
        ph = step if low < step < high else 0.5 * (low + high)
    return ph


@numba.njit(cache=True)
def ph_of_co2(profile: FloatArray, co2_mg_l: float) -> float:
    """PH of a profile at its dissolved CO2 [mg/L]: CO2 falls as pH rises, so halve and halve."""
    wanted = np.log(co2_mg_l)
    low, high = 0.0, _NP - 1.0
    for _ in range(50):
        middle = 0.5 * (low + high)
        if _cubic(profile[0], middle) > wanted:
            low = middle
        else:
            high = middle
    return _P0 + _DP * 0.5 * (low + high)


class Chemistry:
    """One water of fixed hardness: pH, CO2 and dissolved carbon from each other."""

    def __init__(self, gh_dgh: float) -> None:
        self.table = water(gh_dgh)

    def _profile(self, alkalinity_meq_l: float, temperature_c: float) -> FloatArray:
        out = np.empty((2, PHS.size))
        profile(self.table, temperature_c, alkalinity_meq_l, out)
        return out

    def ph(self, co2_mg_l: float, alkalinity_meq_l: float, temperature_c: float) -> float:
        """PH of a water from its CO2."""
        return float(ph_of_co2(self._profile(alkalinity_meq_l, temperature_c), co2_mg_l))

    def co2_mg_l(self, ph: float, alkalinity_meq_l: float, temperature_c: float) -> float:
        """Dissolved CO2 of a water from its pH."""
        return float(co2_of_ph(self._profile(alkalinity_meq_l, temperature_c), ph))

    def dic_mmol_l(self, ph: float, alkalinity_meq_l: float, temperature_c: float) -> float:
        """All dissolved carbon of a water from its pH."""
        return float(
            dic_of_ph(self._profile(alkalinity_meq_l, temperature_c), alkalinity_meq_l, ph)
        )


if __name__ == "__main__":
    save(table_path())
    print(f"{table_path()}: {table_path().stat().st_size / 1e3:.0f} kB")
