"""Causes of distress in animals."""

from __future__ import annotations

from leafgill.advise.trouble.cause import AGAINST, FAIR, IS_IT, STRONG, WEAK, Cause, link

_BREATH = "what CO2 and oxygen do to fish is in any textbook of fish medicine; the factors are ours"

ANIMALS = (
    Cause(
        "co2_much", "Too much CO2",
        "CO2 in the water keeps the blood from giving its own off; fish breathe fast, hang at the "
        "surface, lie on their side.",
        "shut the gas and move the surface: where it is CO2, they breathe easier within half an "
        "hour. pH then rises by tenths",
        "shut the gas, find out why it is high, and open it again from less, by the next step",
        (link("co2_high_lit", IS_IT), link("valve_up", FAIR), link("raised_lately", FAIR)),
        _BREATH,
    ),
    Cause(
        "co2_dawn", "Too much CO2 at the end of the night",
        "gas runs or lingers in the dark, when no plant takes it up and everything breathes.",
        "pH just before lights-on: lower than an hour after lights-off",
        "gas off an hour before the lights, and air in the dark",
        (link("co2_high_dawn", IS_IT), link("gas_at_night", STRONG), link("no_air_at_night", WEAK)),
        _BREATH,
    ),
    Cause(
        "o2_dawn", "Too little oxygen at the end of the night",
        "plants, animals and filter breathe all night; a calm surface brings too little back.",
        "an oxygen test just before lights-on; or run air for one night and look in the morning",
        "an air stone or a broken surface from lights-off to lights-on",
        (link("o2_low_dawn", IS_IT), link("no_air_at_night", FAIR), link("warm", FAIR),
         link("filter_old", WEAK)),
        _BREATH,
    ),
    Cause(
        "o2_day", "Too little oxygen by day",
        "warm water holds less, a film on the surface or a full filter takes it.",
        "an oxygen test in the afternoon",
        "move the surface, take the film off, cool the water, clean the filter by halves",
        (link("o2_low_lit", IS_IT), link("warm", FAIR), link("filter_old", FAIR)),
        _BREATH,
    ),
    Cause(
        "ammonia", "Ammonia",
        "a filter that is young, dried out or washed too clean lets it rise; at high pH it is "
        "toxic.",
        "a test of ammonia with pH beside it",
        "change a third of the water, feed nothing, let pH not rise, care for the filter",
        (link("ammonia_toxic", IS_IT), link("young", FAIR), link("new_animals", WEAK)),
        "Emerson et al. 1975 and EIFAC 1970 (cited from memory, not checked); the factors are ours",
    ),
    Cause(
        "nitrite", "Nitrite",
        "it binds the blood's haemoglobin; the animals choke in water full of oxygen.",
        "a test of nitrite",
        "change a third of the water, feed nothing; a little table salt keeps nitrite out of fish, "
        "plants and shrimp mind it",
        (link("nitrite_high", IS_IT), link("young", FAIR), link("new_animals", WEAK)),
    ),
    Cause(
        "new_water", "The new water",
        "chlorine, another warmth or another hardness; water under pressure also sheds gas.",
        "did it begin within hours of a water change? Test chlorine, compare warmth, KH and GH",
        "bind chlorine before filling, match warmth, change less at once",
        (link("changed_lately", STRONG),),
    ),
    Cause(
        "poison", "A spray, a medicine, copper or metal",
        "shrimp and snails go first.",
        "ask who sprayed or treated what; a copper test; new pipes or tools?",
        "change half of the water in two goes, fresh carbon in the filter",
        (link("treated", STRONG),),
    ),
    Cause(
        "illness", "Illness or parasites of the gills",
        "single animals, others well; rubbing, spots, slime, one gill shut.",
        "look at one closely with a lamp: one kind only, and for days?",
        "a vet or a book on fish diseases; the gas is not to blame",
        (link("co2_high_lit", AGAINST), link("o2_low_dawn", AGAINST), link("new_animals", STRONG)),
    ),
)  # fmt: skip
