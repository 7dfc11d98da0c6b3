"""What not to do while animals are in distress; common practice, no source."""

from __future__ import annotations

NOT_TO_DO = (
    "Do not feed.",
    "Do not add anything that is to raise pH or hardness: the animals are harmed by a second jump.",
    "Do not add anything that is to lower pH when it rises: it rises because the CO2 leaves.",
    "Do not stop the filter. Leave the light on where it is on: plants in light give oxygen.",
    "Do not change all of the water at once, nor for water of another warmth.",
    "Do not pour water straight from the tap where it is chlorinated: bind the chlorine first.",
    "Do not net the animals about: chasing costs the oxygen they lack.",
    "Do not wait for a reading, and do not look for the cause, before the gas is shut.",
    "Do not open the gas again today because the animals look better; write down that they are "
    "normal first, and follow the step then.",
)
