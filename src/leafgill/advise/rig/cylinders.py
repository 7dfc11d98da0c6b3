"""How long each cylinder lasts, what it weighs, whether it fits, and what it could do to a room."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from leafgill.advise.drawn import exactly, figure, given, range_of
from leafgill.advise.figure import Figure, Input
from leafgill.advise.gas_safety import USUAL_ROOM_M3
from leafgill.advise.rig.fit import CLOSE, UNKNOWN, YES, Fit, fit_of
from leafgill.advise.rig.sizes import SAME, SIZES, Size, like, smaller_first
from leafgill.advise.rig.use import Use
from leafgill.science.air import ROOM_TEMPERATURE_C, room_co2_ppm_after_release
from leafgill.science.cited import Mark, Range, Source
from leafgill.science.cylinder import last_liquid_kg
from leafgill.tank.spec import Rig, Tank

DAYS_A_MONTH = 365.25 / 12.0
# Who chooses a cylinder wants it to last at least so long (a choice of ours).
WANTED_MONTHS = 6.0


@dataclass(frozen=True)
class Choice:
    """One cylinder: `months` until it is empty, `steady` until its last liquid is gone.

    After that its gauge falls. `full_kg` with cylinder and valve, `room_ppm` in the room's air if
    all of it escapes.
    """

    size: Size
    months: Figure
    steady: Figure
    full_kg: Figure
    room_ppm: Figure
    fit: Fit

    @property
    def figures(self) -> tuple[Figure, ...]:
        """All of them."""
        return (self.months, self.steady, self.full_kg, self.room_ppm,
                self.fit.height, self.fit.length)  # fmt: skip


def choices_of(tank: Tank, use: Use) -> tuple[Choice, ...]:
    """Return every usual size with what it means here, the keeper's own among them."""
    return tuple(_choice(size, tank, use) for size in sizes_for(tank.rig))


def sizes_for(rig: Rig) -> tuple[Size, ...]:
    """Return the usual sizes, smallest first; the keeper's own stands in for the one like it."""
    if rig.source != "cylinder" or rig.cylinder_kg is None:
        return smaller_first(SIZES)
    own = _own(rig, rig.cylinder_kg)
    others = [
        size for size in SIZES
        if not 1.0 / SAME <= size.charge_kg / own.charge_kg <= SAME
    ]  # fmt: skip
    return smaller_first((*others, own))


def _own(rig: Rig, charge_kg: float) -> Size:
    near = like(charge_kg)
    same = 1.0 / SAME <= near.charge_kg / charge_kg <= SAME
    # another size is taken as a larger or smaller copy of the one nearest to it
    grown = 1.0 if same else (charge_kg / near.charge_kg) ** (1.0 / 3.0)
    measured = Source("", Mark.CHOICE)
    source = near.source if same else Source(f"scaled from {near.name}", measured.mark)

    def measure(told: float | None, usual: Range, factor: float) -> Range:
        return exactly(told) if told is not None else Range(*(factor * part for part in usual))

    fill = near.fill_kg_l if rig.cylinder_water_l is None else charge_kg / rig.cylinder_water_l
    return replace(
        near,
        key="own",
        name=f"your {charge_kg:.3g} kg",
        charge_kg=charge_kg,
        fill_kg_l=fill,
        diameter_cm=measure(rig.cylinder_diameter_cm, near.diameter_cm, grown),
        height_cm=measure(rig.cylinder_height_cm, near.height_cm, grown),
        tare_kg=measure(rig.cylinder_tare_kg, near.tare_kg, charge_kg / near.charge_kg),
        source=source,
        own=True,
    )


def _choice(size: Size, tank: Tank, use: Use) -> Choice:
    grams = np.maximum(use.gas_g, 1e-6)
    last_kg = min(float(last_liquid_kg(size.water_l, ROOM_TEMPERATURE_C)), size.charge_kg)
    charge = Input("charge", size.charge_kg, "kg", "tank file" if size.own else "as it is sold")
    daily = given("gas a day", range_of(use.gas_g), "g/day", "computed above")
    room = tank.room.volume_m3
    stands = USUAL_ROOM_M3 if room is None else room
    tare_origin = "tank file" if size.own and tank.rig.cylinder_tare_kg else str(size.source)
    key = f"cylinder_{size.key}"
    return Choice(
        size,
        figure(f"{key}_months", f"Months {size.name} lasts", size.charge_kg * 1e3 / grams
               / DAYS_A_MONTH, "months", "charge / gas a day / 30.4 days, without a leak",
               (charge, daily), "balance of mass"),
        figure(f"{key}_steady_months", f"Months until the gauge of {size.name} begins to fall",
               (size.charge_kg - last_kg) * 1e3 / grams / DAYS_A_MONTH, "months",
               "(charge - mass at which the last liquid is gone) / gas a day / 30.4 days",
               (charge, daily, Input("last liquid gone at", last_kg, "kg",
                                     f"Span & Wagner 1996 at {ROOM_TEMPERATURE_C:g} °C, "
                                     f"{size.water_l:.3g} L")), "Span & Wagner 1996"),
        figure(f"{key}_full_kg", f"Weight of {size.name}, full",
               Range(*(size.charge_kg + tare for tare in size.tare_kg)), "kg",
               "charge + empty cylinder with its valve",
               (charge, given("empty", size.tare_kg, "kg", tare_origin)), tare_origin),
        figure(f"{key}_room_ppm", f"CO2 of the room's air if {size.name} empties into it",
               float(room_co2_ppm_after_release(size.charge_kg, stands, ROOM_TEMPERATURE_C)),
               "ppm", "outdoor air + gas volume / room volume, closed and well mixed",
               (charge, Input("room", stands, "m³", "assumed" if room is None else "tank file")),
               "balance of volumes; gas volume by Span & Wagner 1996"),
        fit_of(size, tank.cabinet),
    )  # fmt: skip


def advised(choices: tuple[Choice, ...]) -> Choice:
    """Return the keeper's own cylinder, or the smallest that fits and lasts half a year.

    Where none lasts that long the largest that fits; where none fits the smallest.
    """
    for choice in choices:
        if choice.size.own:
            return choice
    fitting = [c for c in choices if c.fit.verdict in (YES, CLOSE, UNKNOWN)] or [choices[0]]
    lasting = [c for c in fitting if c.months.value >= WANTED_MONTHS]
    return lasting[0] if lasting else fitting[-1]
