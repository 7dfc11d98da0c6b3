"""What an invented tank is: everything the keeper cannot see, drawn from one seed."""

from dataclasses import dataclass

import numpy as np

from .actions import Window
from .chemistry import CO2_G_MOL, DKH_MEQ_L
from .diary import MINUTES_DAY
from .nature import anion_share

R_BAR_L_MOL_K = 0.0831446
MOST_BUBBLES = 11.0  # a second
CYLINDERS_KG = ((1.0, 68.0), (2.0, 140.0), (5.0, np.inf))  # and the gross litres they go up to


@dataclass(frozen=True)
class Ways:
    """How one keeper of ordinary habits differs from another."""

    aim_drop_ph: float  # the drop below the first degassed sample that is believed right
    writes_water_change: bool


@dataclass(frozen=True)
class World:
    """One tank, its rig, its plants and its room. Carbon as CO2 in mg/L; times in hours."""

    seed: int
    # the tank
    length_cm: float
    width_cm: float
    height_cm: float
    volume_l: float
    guessed_volume_l: float
    set_temperature_c: float
    temperature_offset_c: float
    temperature_swing_c: float
    light_on_h: float
    light_length_h: float
    co2_limit_mg_l: float
    target_co2_mg_l: float
    # the water
    kit_alkalinity_meq_l: float
    organic_meq_l: float  # organic acid, with and without its proton
    organic_pka: float
    alkalinity_drift_day: float
    alkalinity_wander_day: float
    tap_alkalinity_ratio: float
    tap_co2_mg_l: float
    tap_o2_share: float
    gh_dgh: float
    # air and surface
    exchange_20_h: float
    exchange_wander: float
    exchange_wander_days: float
    night_air: bool
    night_air_h: float
    room_base_ppm: float
    room_swing_ppm: float
    room_peak_h: float
    room_cooler_c: float
    sheltered_share: float
    sheltered_surface: float  # surface exchange per litre there, to that of the open water
    mixing_h: float
    # gas
    cylinder_kg: float
    cylinder_g: float  # all on the scale
    content_g: float  # the CO2 in it
    bubble_mg: float
    dissolved_share: float
    dissolved_fall: float
    clogging_day: float
    gain_wander_day: float
    valve_trend_day: float
    valve_wander_day: float
    setting_error: float
    line_lag_min: float
    line_fill_min: float
    leak_g_day: float
    # life
    uptake_mg_l_h: float
    uptake_half_mg_l: float
    growth_day: float
    afternoon_loss: float
    respiration_mg_l_h: float
    photosynthetic_quotient: float
    sheltered_plants: float
    # the keeper's ways
    ways: Ways

    @property
    def light(self) -> Window:
        """The lamp's hours."""
        on = round(60 * self.light_on_h)
        return Window(on, (on + round(60 * self.light_length_h)) % MINUTES_DAY)


def invent(seed: int) -> World:
    """The tank of a seed."""
    rng = np.random.default_rng([seed, 1])
    gross_l = 5.0 * round(float(np.exp(rng.normal(np.log(150.0), 0.6))) / 5.0)
    gross_l = float(np.clip(gross_l, 45.0, 400.0))
    length = 5.0 * round(15.6 * gross_l ** (1 / 3) * float(rng.lognormal(0.0, 0.07)) / 5.0)
    width = max(float(round(length * float(rng.normal(0.49, 0.03)))), 30.0)
    height = round(1000.0 * gross_l / (length * width), 1)
    volume = gross_l * float(rng.uniform(0.78, 0.93))
    apparent_l = gross_l * float(rng.lognormal(0.0, 0.2))
    kit = DKH_MEQ_L * float(np.clip(rng.lognormal(np.log(2.8), 0.6), 0.7, 9.0))
    organic_share = float(rng.uniform(0.02, 0.28)) if rng.random() < 0.55 else 0.0
    pka = float(rng.uniform(5.3, 6.3))
    exchange = float(np.log(2.0) / np.clip(rng.lognormal(0.0, 0.5), 0.65, 6.0))
    uptake = float(rng.lognormal(np.log(2.0), 0.6))
    limit = float(rng.choice([25.0, 30.0, 35.0, 40.0], p=[0.2, 0.4, 0.25, 0.15]))
    target = round(limit * float(rng.uniform(0.76, 0.85)), 1)
    wanted_mg_h = volume * (exchange * target + uptake)
    bubble, dissolved = rig(rng, wanted_mg_h)
    light_h = float(np.clip(round(2.0 * rng.normal(8.1, 1.1)) / 2.0, 6.0, 10.0))
    fortnight_g = 14.0 * (light_h + 1.0) * wanted_mg_h / dissolved / 1000.0
    cylinder, content_g = gas(rng, apparent_l, fortnight_g)
    return World(
        seed=seed,
        length_cm=length,
        width_cm=width,
        height_cm=height,
        volume_l=volume,
        guessed_volume_l=round(volume * float(np.clip(rng.normal(1.0, 0.05), 0.9, 1.1)), 1),
        set_temperature_c=round(float(rng.uniform(22.0, 26.5)), 1),
        temperature_offset_c=float(rng.normal(0.0, 0.2)),
        temperature_swing_c=float(rng.uniform(0.1, 0.35)),
        light_on_h=0.5 * float(rng.integers(18, 27)),
        light_length_h=light_h,
        co2_limit_mg_l=limit,
        target_co2_mg_l=target,
        kit_alkalinity_meq_l=kit,
        organic_meq_l=organic_share * kit / (anion_share(7.0, pka) - anion_share(4.5, pka)),
        organic_pka=pka,
        alkalinity_drift_day=float(rng.normal(0.0, 0.004)),
        alkalinity_wander_day=0.002,
        tap_alkalinity_ratio=float(rng.normal(1.0, 0.03)),
        tap_co2_mg_l=float(rng.lognormal(np.log(4.0), 0.5)),
        tap_o2_share=float(rng.uniform(0.85, 1.0)),
        gh_dgh=float(rng.uniform(3.0, 12.0)),
        exchange_20_h=exchange,
        exchange_wander=float(rng.uniform(0.04, 0.12)),
        exchange_wander_days=float(rng.uniform(1.0, 4.0)),
        night_air=bool(rng.random() < 0.25),
        night_air_h=float(rng.lognormal(np.log(0.8), 0.6)),
        room_base_ppm=float(np.clip(rng.lognormal(np.log(600.0), 0.35), 420.0, 1500.0)),
        room_swing_ppm=float(rng.uniform(30.0, 450.0)),
        room_peak_h=float(rng.choice([4.0, 21.0])) + float(rng.normal(0.0, 1.0)),
        room_cooler_c=float(rng.normal(-2.5, 1.0)),
        sheltered_share=float(rng.uniform(0.15, 0.4)),
        sheltered_surface=float(rng.uniform(0.2, 1.0)),
        mixing_h=float(np.clip(rng.lognormal(np.log(6.0), 0.9), 1.2, 60.0)),
        cylinder_kg=cylinder,
        cylinder_g=content_g + 1000.0 * cylinder * float(rng.normal(2.05, 0.06)),
        content_g=content_g,
        bubble_mg=bubble,
        dissolved_share=dissolved,
        dissolved_fall=float(rng.uniform(0.02, 0.15)),
        clogging_day=float(rng.uniform(0.0, 0.02)),
        gain_wander_day=float(rng.uniform(0.01, 0.03)),
        valve_trend_day=-float(rng.uniform(0.02, 0.05)) if rng.random() < 0.25 else 0.0,
        valve_wander_day=float(rng.uniform(0.01, 0.035)),
        setting_error=float(rng.uniform(0.04, 0.08)),
        line_lag_min=float(rng.uniform(1.0, 14.0)),
        line_fill_min=float(rng.uniform(0.5, 3.0)),
        leak_g_day=float(rng.exponential(0.4)),
        uptake_mg_l_h=uptake,
        uptake_half_mg_l=float(rng.uniform(1.5, 6.0)),
        growth_day=float(rng.uniform(0.0, 0.035)),
        afternoon_loss=float(rng.uniform(0.1, 0.4)),
        respiration_mg_l_h=float(rng.lognormal(np.log(0.22), 0.6)),
        photosynthetic_quotient=float(rng.uniform(1.0, 1.25)),
        sheltered_plants=float(rng.uniform(0.5, 1.5)),
        ways=Ways(float(rng.normal(1.36, 0.15)), bool(rng.random() < 0.9)),
    )


def rig(rng: np.random.Generator, wanted_mg_h: float) -> tuple[float, float]:
    """(CO2 in a counted bubble [mg], share that dissolves) of a rig its keeper could live with.

    Whoever needs more than 11 bubbles a second for the target fits another tip or diffuser.
    """
    while True:
        bubble, dissolved = bubble_mass_mg(rng), float(rng.beta(5.0, 5.0))
        if wanted_mg_h / (3600.0 * bubble * dissolved) < MOST_BUBBLES:
            return bubble, dissolved


def gas(rng: np.random.Generator, apparent_l: float, fortnight_g: float) -> tuple[float, float]:
    """(Cylinder [kg], CO2 in it [g]): of the size usual for the tank, seldom out in a fortnight."""
    enough_g = 1.4 * fortnight_g
    fitting = [kg for kg, litres in CYLINDERS_KG if apparent_l <= litres and 1e3 * kg > enough_g]
    kg = fitting[0] if fitting else CYLINDERS_KG[-1][0]
    return kg, float(rng.uniform(max(400.0 * kg, min(enough_g, 1e3 * kg)), 1000.0 * kg))


def bubble_mass_mg(rng: np.random.Generator) -> float:
    """CO2 in one counted bubble: tip and liquid set its size, the pressure there its moles."""
    bubble_ml = float(rng.lognormal(np.log(0.042), 0.4))
    pressure_bar = float(rng.uniform(1.05, 3.2))
    return pressure_bar * 1e-3 * bubble_ml / (R_BAR_L_MOL_K * 295.0) * CO2_G_MOL * 1e3


def tank_toml(world: World, kh_dkh: float) -> str:
    """The tank file as its keeper would write it, with the first reading of the KH kit."""

    def clock(hours: float) -> str:
        return f"{int(hours):02d}:{round(60 * (hours % 1)):02d}"

    return f"""[tank]
name = "Tank {world.seed:04d}"
length_cm = {world.length_cm:.0f}
width_cm = {world.width_cm:.0f}
height_cm = {world.height_cm}
volume_l = {world.guessed_volume_l}   # the keeper's guess of the water in it, within about 8 %
temperature_c = {world.set_temperature_c}
timezone = "UTC"

[water]
kh_dkh = {kh_dkh}

[day]
lights_on = "{clock(world.light_on_h)}"
lights_off = "{clock(world.light_on_h + world.light_length_h)}"

[livestock]
co2_limit_mg_l = {world.co2_limit_mg_l}

[target]
co2_mg_l = {world.target_co2_mg_l}

[rig]
source = "cylinder"
cylinder_kg = {world.cylinder_kg}
night_air = {str(world.night_air).lower()}
"""
