"""Numbers of nature and of units that more than one law needs."""

KELVIN = 273.15
STANDARD_HPA = 1013.25
GAS_CONSTANT_J_MOL_K = 8.314462618  # SI, exact since 2019 (CODATA 2018)
# From standard atomic weights [g/mol].
CO2_G_MOL = 44.0095
N2_G_MOL = 28.0134
# 1 dKH and 1 dGH are both 10 mg/L of CaO (56.0774 g/mol).
DKH_MEQ_L = 0.35665
DGH_MMOL_L = 0.17832
