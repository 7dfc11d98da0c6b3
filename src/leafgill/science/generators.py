"""Sources of gas besides the refillable cylinder, each followed through one filling."""

from typing import NamedTuple

from leafgill.science.acid_generator import acid_course as acid_course
from leafgill.science.acid_generator import closed_vessel_bar as closed_vessel_bar
from leafgill.science.cartridge import CARTRIDGE_SIZES_G as CARTRIDGE_SIZES_G
from leafgill.science.cartridge import cartridge_course as cartridge_course
from leafgill.science.cartridge import cartridge_surge as cartridge_surge
from leafgill.science.gas_course import GasCourse as GasCourse
from leafgill.science.stoichiometry import REACTIONS as REACTIONS
from leafgill.science.stoichiometry import co2_g as co2_g
from leafgill.science.stoichiometry import co2_g_per_g as co2_g_per_g
from leafgill.science.stoichiometry import needed_g_per_g as needed_g_per_g
from leafgill.science.yeast import yeast_course as yeast_course
from leafgill.science.yeast import yeast_grams as yeast_grams


class SourceKind(NamedTuple):
    """How a source of gas is kept in hand.

    `shuts_at_night`: a valve can stop the gas and nothing is lost. `steady`: the rate stays as it
    is set until near the end. `needs_relief`: a blocked outlet makes its vessel burst, so it needs
    a way for gas to escape.
    """

    shuts_at_night: bool
    steady: bool
    needs_relief: bool


# By the source words of a tank file.
SOURCES: dict[str, SourceKind] = {
    "cylinder": SourceKind(shuts_at_night=True, steady=True, needs_relief=False),
    "cartridge": SourceKind(shuts_at_night=True, steady=True, needs_relief=False),
    "acid-bicarbonate": SourceKind(shuts_at_night=True, steady=True, needs_relief=True),
    "yeast": SourceKind(shuts_at_night=False, steady=False, needs_relief=True),
}
