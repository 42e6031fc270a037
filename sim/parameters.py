"""Constants of the model: one set, which serves every reading. `sim.PARAMETERS_VERSION` names it.

Each constant has its source, or says that it was chosen and what it was chosen on. A change here
changes every result: raise the version with it.
"""

from __future__ import annotations

from scipy import constants

MMHG_PA = constants.mmHg

# Density of blood [kg/m3]: textbook value. At 1050.6 (Trudnowski RJ, Rico RC, Clin Chem 1974;20:615-616)
# the column weighs 0.773 instead of 0.780 mmHg per cm.
BLOOD_DENSITY_KG_M3 = 1060.0
# Weight of a column of blood [mmHg/cm].
HYDROSTATIC_MMHG_PER_CM = BLOOD_DENSITY_KG_M3 * constants.g * 0.01 / MMHG_PA

# Share of half the bladder's width over which the pressure on the skin falls to nothing at each rounded
# edge. Chosen on the published envelope figures (tests/published).
FLANK_SHARE = 0.10
# Half the length of artery whose volume is counted, over the bladder's width: beyond it the cuff is not felt.
ARTERY_HALF_LENGTH = 0.8
# How the tension of the cloth beyond the bladder falls off by friction on the skin [1/rad]. Chosen with the
# studies of cuff size and of turned cuffs in view (tests/published).
FRICTION_PER_RAD = 0.12

# Stiffness (Young's modulus) of the arm's soft tissue at rest [Pa], of fat and muscle together: between 26 ± 19 kPa
# of fat and 62 ± 10 kPa of muscle under light pressure in 21 men (Isogai K, Okamoto S, Asaba T, et al. J Phys Ther Sci
# 2022;34:777-783, DOI 10.1589/jpts.34.777, of the seat; abstract seen), their geometric mean. Limbs at rest, pressed by
# a small round head: 10 to 89 kPa (Zheng Y, Mak AFT, Lue B. J Rehabil Res Dev 1999;36:71-85; figures from memory).
TISSUE_PA = 40_000.0

# Air in the cuff: pressure of the surroundings [mmHg], and volume in a 13.5 x 26 cm bladder [mL]; other sizes
# in proportion to their area. The volume is an assumption.
SURROUNDING_MMHG = 760.0
AIR_ML = 200.0
AIR_BLADDER_CM2 = 13.5 * 26.0

# Volume of artery for one unit of the area law over one cm [mL/(mmHg cm)]: set so that the reference arm (120/80,
# 29 cm, bladder 13.5 x 26 cm) has a largest oscillation of 3.0 mmHg, as published for deflation: 3.0 ± 0.8,
# Liu C, Zheng D, Griffiths C, Murray A 2014 (n = 10). A test works it out again.
ARTERY_ML_PER_MMHG_CM = 0.003548

# A sleeve softens the coupling: cloth that gives takes up part of the pulse. Assumed: thickness at which half
# of the oscillation is left [mm].
SLEEVE_HALVING_MM = 15.0
