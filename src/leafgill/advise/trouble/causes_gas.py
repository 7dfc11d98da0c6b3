"""Causes of CO2 that does not rise, and of pH that swings."""

from __future__ import annotations

from leafgill.advise.trouble.cause import AGAINST, FAIR, IS_IT, STRONG, WEAK, Cause, link

GAS = (
    Cause(
        "set_low", "The valve gives less than surface and plants take",
        "the level is where gas in and gas out meet; more is lost the higher it stands.",
        "count the bubbles; pH two hours before lights-off on two days: the same?",
        "follow the next step: it raises as far as the animals allow",
        (link("set_low", IS_IT),), "balance of dissolved carbon; the factors are ours",
    ),
    Cause(
        "valve", "The needle valve has closed itself",
        "valves creep with warmth and with the pressure before them.",
        "count now, against what was set",
        "set it again by counting, look at the working pressure",
        (link("valve_down", IS_IT),),
    ),
    Cause(
        "clogged", "The diffuser is clogged",
        "larger bubbles, of which less dissolves.",
        "look at its bubbles from the side; clean it, and read pH the day after",
        "clean it: the care page says how often",
        (link("diffuser_clogged", IS_IT), link("set_low", WEAK)),
    ),
    Cause(
        "leak", "A leak between regulator and diffuser",
        "gas is counted, or not even that, and does not arrive.",
        "soapy water on every joint; weigh the cylinder over two days against the bubbles counted",
        "renew the hose's end or the washer, test again",
        (link("set_low", WEAK),),
    ),
    Cause(
        "empty", "The cylinder runs out",
        "once the liquid is gone the pressure falls, and with it the bubbles.",
        "the gauge on the cylinder's side, cold; weigh it",
        "have it filled; shut the valve first: a full one may give far more",
        (link("gauge_low", IS_IT), link("valve_down", FAIR)),
    ),
    Cause(
        "surface", "A surface that lets the gas out",
        "a rippled surface or air in the light drives off what was brought in.",
        "pH at gas-off and an hour later with the light on: does it rise by over 0.2?",
        "outlet lower while the gas runs, air in the dark alone",
        (link("surface_strong", STRONG),),
    ),
    Cause(
        "wrong_ph", "An electrode or test that shows wrong",
        "CO2 is there, and pH does not say so.",
        "a degassed sample with the same instrument; buffers",
        "calibrate; go by the drop checker and the animals meanwhile",
        (link("electrode_off", STRONG), link("readings_clash", FAIR)),
    ),
    Cause(
        "kh_other", "KH that is not what it is taken for",
        "with more KH the same pH is more CO2; other buffers count as KH.",
        "a KH test on twice the water, and a degassed sample",
        "write the new KH down",
        (link("kh_drifts", FAIR), link("readings_clash", FAIR)),
    ),
    Cause(
        "day_night", "Gas by day and none by night: pH follows CO2",
        "CO2 that rises threefold lowers pH by a half, whatever KH is. That is no harm by itself.",
        "does pH follow gas and light, the same each day?",
        "nothing; it is CO2 and not its swing that animals feel",
        (link("swing_is_gas", IS_IT),),
        "carbonate equilibrium (Plummer & Busenberg 1982): at one KH, pH falls by log10 of the "
        "CO2's ratio; the factors are ours",
    ),
    Cause(
        "kh_little", "Little carbonate hardness",
        "acids from life and soil move pH when nothing buffers it; CO2's own swing is the same.",
        "KH on twice the water",
        "raise KH to 2 or 3 dKH in small steps, where it is acids that move it",
        (link("kh_low", STRONG), link("swing_is_gas", AGAINST)),
    ),
    Cause(
        "valve_wanders", "A valve that wanders",
        "gas differs from day to day.",
        "count at the same hour on five days",
        "a better valve, a steadier working pressure, the room's warmth",
        (link("co2_unsteady", STRONG), link("valve_up", FAIR), link("valve_down", FAIR)),
    ),
    Cause(
        "electrode_wanders", "An electrode that wanders",
        "its junction ages, its cable picks up the lamp or the pump.",
        "lay it in pH 7 buffer for an hour: does it stand still? Switch the lamp",
        "clean it, store it wet in its own liquid, renew it after two years",
        (link("electrode_off", STRONG), link("readings_clash", FAIR)),
    ),
)  # fmt: skip
