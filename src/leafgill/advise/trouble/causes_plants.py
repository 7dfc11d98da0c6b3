"""Causes of trouble with plants, and of algae."""

from __future__ import annotations

from leafgill.advise.trouble.cause import AGAINST, FAIR, IS_IT, STRONG, WEAK, Cause, link

MARSCHNER = (
    "where a lack shows first follows from whether plants can move the element: Marschner, Mineral "
    "Nutrition of Higher Plants (cited from memory, not checked); the factors are ours"
)

PLANTS = (
    Cause(
        "co2_little", "Too little CO2 for the light",
        "plants stand still for want of carbon, light and food are left to algae.",
        "CO2 at noon on three days, by pH and KH; or two weeks with a third less light: does it "
        "get better?",
        "raise the gas by the next step within the animals' limit, or take light back",
        (link("co2_low_lit", STRONG), link("light_strong", FAIR), link("set_low", FAIR)),
    ),
    Cause(
        "co2_unsteady", "CO2 that changes from day to day",
        "plants fit themselves to one level; each change costs them, algae it does not.",
        "CO2 at the same hour on five days",
        "leave the valve alone, count the bubbles daily, clean the diffuser, watch the cylinder",
        (link("co2_unsteady", STRONG), link("valve_down", FAIR), link("valve_up", FAIR),
         link("gauge_low", WEAK)),
    ),
    Cause(
        "co2_late", "CO2 that comes after the light",
        "the first hours of light are spent without carbon.",
        "pH at lights-on and two hours later",
        "gas on earlier, by as much as the rig page says",
        (link("co2_late", STRONG),),
    ),
    Cause(
        "light_much", "Too much light, or too long",
        "more light than carbon and food can follow.",
        "two weeks with two hours less, or a lamp hung higher: does new growth stay clean?",
        "six to eight hours, dimmed; more only when CO2 and food follow",
        (link("light_long", STRONG), link("light_strong", STRONG)),
    ),
    Cause(
        "light_little", "Too little light at the plants",
        "lower leaves are given up, stems grow long between leaves.",
        "measure at the plants; trim what shades them: do new leaves stay?",
        "trim, hang the lamp lower, plants that ask for less",
        (link("light_strong", AGAINST), link("light_long", AGAINST)),
    ),
    Cause(
        "nitrate_lack", "Nitrate runs short",
        "plants move nitrogen from old leaves to new ones: old leaves yellow evenly.",
        "a test of nitrate; give 5 mg/L: do old leaves stop yellowing within two weeks?",
        "give nitrate with the next doses; the balance page has the amounts",
        (link("nitrate_low", IS_IT), link("nitrate_high", AGAINST)), MARSCHNER,
    ),
    Cause(
        "phosphate_lack", "Phosphate runs short",
        "growth stands still, old leaves darken; hard green spots on slow leaves.",
        "a test of phosphate; give 0.5 mg/L: do new leaves stay clean?",
        "give phosphate with the next doses",
        (link("phosphate_low", IS_IT), link("phosphate_high", AGAINST)), MARSCHNER,
    ),
    Cause(
        "potassium_lack", "Potassium runs short",
        "pinholes and dead rims on older leaves.",
        "a test of potassium; give 10 mg/L: no new holes within two weeks?",
        "give potassium with the next doses",
        (link("potassium_low", IS_IT),), MARSCHNER,
    ),
    Cause(
        "magnesium_lack", "Magnesium runs short",
        "old leaves pale between green veins.",
        "GH, and a test of magnesium; give 5 mg/L: do the veins' fields green?",
        "give magnesium sulphate with the next water change",
        (link("magnesium_low", IS_IT),), MARSCHNER,
    ),
    Cause(
        "calcium_lack", "Calcium runs short",
        "plants cannot move it: new leaves are small, hooked, twisted, tips die.",
        "GH; below 3 dGH give calcium: are the next leaves straight?",
        "raise GH by calcium with the next water change",
        (link("calcium_low", IS_IT), link("kh_low", WEAK)), MARSCHNER,
    ),
    Cause(
        "iron_lack", "Iron or another trace runs short",
        "plants cannot move it: new leaves are pale, veins green first.",
        "a test of iron the morning after a dose; give it daily: is the next leaf green?",
        "small doses of chelated iron and traces, often",
        (link("iron_low", IS_IT), link("phosphate_high", WEAK)), MARSCHNER,
    ),
    Cause(
        "move", "Plants that were just set in or moved",
        "leaves grown in air or in other water are given up for new ones.",
        "is it the old leaves alone, and are there new ones?",
        "cut what rots, wait three weeks, change nothing else",
        (link("new_plants", IS_IT), link("young", FAIR)),
    ),
    Cause(
        "jump", "A jump in water or light",
        "some plants drop their leaves when hardness, warmth or light change at once.",
        "what was changed in the week before?",
        "small water changes, alike each time; light by ten per cent a week",
        (link("light_moved", FAIR), link("changed_lately", WEAK), link("kh_drifts", FAIR)),
    ),
    Cause(
        "warmth", "Water too warm",
        "breath rises faster than growth.",
        "warmth at noon and at dawn",
        "lamp higher, lid open, a fan over the surface: it also takes water and CO2",
        (link("warm", STRONG),),
    ),
    Cause(
        "youth", "A young tank",
        "filter and soil have not settled; ammonia from soil, silicate from sand and tap.",
        "is it under two months old, and getting less?",
        "water changes twice a week, fast growing plants, time",
        (link("young", IS_IT), link("ammonia_toxic", FAIR)),
    ),
    Cause(
        "silicate", "Silicate in the water",
        "diatoms build their shells of it.",
        "a test of silicate in tank and tap",
        "wipe them off; they go when it is used up. Pure water in the mix where the tap brings it",
        (link("silicate", IS_IT), link("young", FAIR)),
    ),
    Cause(
        "dirt", "Much that rots: old filter, rare water changes, much food",
        "organic matter and ammonia in small amounts feed algae before they show in tests.",
        "lift a plant: is there mulm? When was the filter cleaned?",
        "take mulm out, clean the filter by halves, a third of the water each week",
        (link("changes_rare", STRONG), link("filter_old", STRONG), link("nitrate_high", WEAK)),
    ),
    Cause(
        "flow", "Water that hardly moves there",
        "CO2 and food do not reach the leaves, and what is given off stays.",
        "hold a thread or some food there: does it move?",
        "turn the outlet, clean the filter, thin the plants",
        (link("flow_weak", STRONG), link("filter_old", FAIR)),
    ),
    Cause(
        "flow_strong", "A place of strong flow or rich food",
        "edges of leaves at the outlet, slow leaves, wood.",
        "is it worst in the flow?",
        "turn the outlet, cut the worst leaves, a steadier CO2",
        (link("flow_weak", AGAINST),),
    ),
    Cause(
        "nitrogen_short", "Nitrate short against phosphate",
        "blue-greens fix nitrogen from the air where others go without.",
        "tests of nitrate and phosphate",
        "raise nitrate to 10 mg/L, take the slime out by hand, more flow, three dark days",
        (link("nitrate_short", STRONG), link("nitrate_low", FAIR)),
        "Smith 1983, Science 221, 669, of lakes (cited from memory, not checked); factors are ours",
    ),
    Cause(
        "ammonia_green", "A burst of ammonia",
        "floating algae bloom after a disturbed soil, a dead animal, a cleaned filter.",
        "a test of ammonia; was soil or filter disturbed?",
        "a dark week with air, water changes before and after; a fine filter or ultraviolet lamp",
        (link("ammonia_toxic", STRONG), link("young", FAIR), link("light_long", FAIR)),
    ),
    Cause(
        "growth_good", "Plants that grow well in light",
        "they give off oxygen faster than the full water takes it up.",
        "bubbles come from the leaves in streams, most in the afternoon, not after a water change",
        "nothing: note it, it is the sign to hold on to",
        (link("o2_full", IS_IT), link("co2_low_lit", AGAINST)),
        "oxygen over saturation: Benson & Krause 1984 and the belief's own balance",
    ),
    Cause(
        "tap_gas", "Gas from cold tap water",
        "new water was full of air under pressure and sheds it as it warms.",
        "did it begin right after a water change, also on glass and stones?",
        "nothing; let water stand or splash in",
        (link("changed_lately", IS_IT), link("o2_full", AGAINST)),
    ),
    Cause(
        "mist", "Mist of the diffuser caught on leaves",
        "fine bubbles of gas settle where the flow carries them.",
        "do they come with the gas and go with it, also on glass?",
        "nothing, or turn the outlet",
        (link("o2_full", AGAINST),),
    ),
    Cause(
        "surface_fast", "A surface that lets oxygen out at once",
        "the water never fills, so no bubbles show; plants may grow well all the same.",
        "an oxygen test in the afternoon: near what air gives?",
        "nothing, where plants grow",
        (link("surface_strong", STRONG), link("o2_full", AGAINST)),
    ),
)  # fmt: skip
