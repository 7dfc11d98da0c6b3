"""Light on its way down: what pure water, tint and particles take of it."""

from typing import NamedTuple

import numpy as np

from leafgill.science.cited import Mark, Source
from leafgill.science.compiled import FloatArray, Numeric, Same, everyday, flat, like
from leafgill.science.refuse import not_negative

WAVELENGTHS_NM = np.arange(400.0, 701.0, 10.0)
# Absorption of pure water [1/m] every 10 nm from 400 to 700.
_PURE_PER_M = np.concatenate((
    [0.00663, 0.00473, 0.00454, 0.00495, 0.00635, 0.00922, 0.00979, 0.0106, 0.0127, 0.0150],
    [0.0204, 0.0325, 0.0409, 0.0434, 0.0474, 0.0565, 0.0619, 0.0695, 0.0896, 0.1351],
    [0.2224, 0.2644, 0.2755, 0.2916, 0.3108, 0.340, 0.410, 0.439, 0.465, 0.516, 0.624],
))  # fmt: skip
PURE_SOURCE = Source(
    "Pope & Fry 1997, Appl. Opt. 36, 8710-8723, Table 3; 440 and 680 nm seen elsewhere, the rest",
    Mark.MEMORY,
)
# How steeply the absorption of dissolved brown matter falls with wavelength [1/nm].
_TINT_SLOPE = 0.0145
# Path of the light over depth, for light that came through a flat surface from all sides above.
_PATH = 1.2


class Spectrum(NamedTuple):
    """Share of the photons by wavelength (of WAVELENGTHS_NM, adding up to 1)."""

    name: str
    shares: FloatArray


def _spectrum(name: str, *peaks: tuple[float, float, float]) -> Spectrum:
    """Return a spectrum made of bell curves: (weight, middle [nm], standard deviation [nm])."""
    photons = sum(
        weight / width * np.exp(-0.5 * ((WAVELENGTHS_NM - middle) / width) ** 2)
        for weight, middle, width in peaks
    )
    shares = np.asarray(photons, dtype=np.float64)
    return Spectrum(name, shares / shares.sum())


# Shapes of our own drawing, for the order of things; a lamp's own curve is better.
SPECTRA: dict[str, Spectrum] = {
    "even": Spectrum("even", np.full(WAVELENGTHS_NM.size, 1.0 / WAVELENGTHS_NM.size)),
    "white": _spectrum("white", (0.22, 450.0, 11.0), (0.78, 570.0, 55.0)),
    "planted": _spectrum("planted", (0.2, 450.0, 11.0), (0.3, 530.0, 30.0), (0.5, 640.0, 18.0)),
}


@everyday
def pure_water_absorption_per_m(wavelength_nm: Numeric) -> Same:
    """Absorption of pure water [1/m], 400-700 nm; NaN outside.

    Pope & Fry 1997, Appl. Opt. 36, 8710-8723, Table 3, straight between its 10 nm steps. 440 and
    680 nm were seen in copies; the others are cited from memory, not checked against the paper.
    """
    return np.interp(wavelength_nm, WAVELENGTHS_NM, _PURE_PER_M, left=np.nan, right=np.nan)


@everyday
def tint_absorption_per_m(wavelength_nm: Numeric, at_440_per_m: Numeric) -> Same:
    """Absorption [1/m] of dissolved brown matter that takes `at_440_per_m` at 440 nm.

    a(440)·exp(-0.0145·(λ - 440)): the shape of Bricaud, Morel & Prieur 1981, Limnol. Oceanogr. 26,
    43-53, with a slope in their range of 0.010 to 0.020 /nm (cited from memory, not checked).
    """
    return at_440_per_m * np.exp(-_TINT_SLOPE * (wavelength_nm - 440.0))


@everyday
def left_at_depth(depth_m: Numeric, kd_per_m: Numeric) -> Same:
    """Part of the light left at a depth [1]: exp(-Kd·z), Beer and Lambert's law."""
    return np.exp(-kd_per_m * depth_m)


def kd_per_m(share_left: Numeric, depth_m: Numeric) -> Same:
    """Vertical attenuation [1/m] from the part of the light that is left at a depth [m].

    Raises ValueError for a negative share or depth. 0 depth gives NaN or inf.
    """
    not_negative("a share", "", share_left)
    not_negative("a depth", "m", depth_m)
    shape, (share, depth) = flat(share_left, depth_m)
    with np.errstate(divide="ignore", invalid="ignore"):
        return like(np.atleast_1d(-np.log(share) / depth), shape)


def par_left(
    depth_m: Numeric,
    *,
    spectrum: str = "white",
    tint_440_per_m: float = 0.0,
    grey_per_m: float = 0.0,
) -> Same:
    """Part of a lamp's photons [1] left at a depth of tinted water: each wavelength on its own.

    `tint_440_per_m`: brown matter's absorption at 440 nm (0.1 clear, 1 tea from bogwood: common
    practice, no source); `grey_per_m`: what particles take evenly. The path is 1.2 depths, as for
    wide light through a flat surface. Raises ValueError for another spectrum or a negative depth.
    """
    if spectrum not in SPECTRA:
        raise ValueError(f'a spectrum "{spectrum}"; accepted: {", ".join(SPECTRA)}')
    not_negative("a depth", "m", depth_m)
    tint = np.asarray(tint_absorption_per_m(WAVELENGTHS_NM, tint_440_per_m))
    taken = _PURE_PER_M + tint + grey_per_m
    depth = np.asarray(depth_m, dtype=np.float64)
    left = np.exp(-_PATH * depth[..., None] * taken) @ SPECTRA[spectrum].shares
    return left if left.ndim else float(left)
