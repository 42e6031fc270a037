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

# Heart rate. Rate of three readings of one person in a regular rhythm: the highest lies over the lowest by 4.10 ± 3.21
# per min in 154 people, in atrial fibrillation by 12.1 ± 8.6 in 251 (Wang X-X, Shuai W, Hong K, et al. Hypertens Res
# 2016, DOI 10.1038/hr.2016.31; abstract seen). These shares of the rate, the same for all beats of a reading, make the
# model's readings do so; what moves the rate over minutes is not in it.
RATE_CV, FIBRILLATION_RATE_CV = 0.031, 0.088
# Intervals from beat to beat. All variation over five minutes of rest has a standard deviation of 50 ms (SDNN, 44
# studies, 21,438 adults: Nunan D, Sandercock GRH, Brodie DA. Pacing Clin Electrophysiol 2010;33:1407-1417; abstract
# seen, the figure quoted by others). Of it 519 ms2 are slow waves of about 0.1 Hz, and 657 ms2 go with the breath, at
# intervals of 926 ms (the same, from memory), less with age: as shares of an interval 0.025 and, from crest to mean,
# 0.035.
INTERVAL_WANDER_CV = 0.025
BREATH_INTERVAL_SHARE = 0.035
# Six deep breaths a minute swing the rate by 15 per min or more from lowest to highest in healthy nerves (Ewing DJ,
# Martyn CN, Young RJ, Clarke BF. Diabetes Care 1985;8:491-498; from memory).
DEEP_BREATH_INTERVAL_SHARE = 0.10
FIBRILLATION_INTERVAL_CV = 0.22

# Pressure from beat to beat. Systolic pressure varies with a standard deviation of 3 to 6 mmHg but from one beat to the
# next by 2.4, diastolic by 1.1 (all assumed): a slow wandering, of which so much is left at the next beat. Breathing
# was seen to swing the amplitude of the cuff's pulses by 14 % at rest and 16 % when it is deep (Chen D, et al. BioMed
# Eng OnLine 2016, DOI 10.1186/s12938-016-0169-y): taken as from crest to trough, half of it by the pulse pressure and
# half by the level, which moves each beat along the envelope. The level at deep breathing, and its pace, are assumed.
WANDER_SD_SBP_MMHG, WANDER_SD_DBP_MMHG, WANDER_LEFT = 3.0, 2.0, 0.85
BREATH_PULSE_SHARE, DEEP_BREATH_PULSE_SHARE = 0.035, 0.04
BREATH_LEVEL_MMHG, DEEP_BREATH_LEVEL_MMHG = 1.0, 3.0
DEEP_BREATHS_PER_MIN = 6.0

# Irregular intervals: the pressure runs off for as long as the interval lasts, while in atrial fibrillation the beat
# after a long one is larger; both for one usual interval more. Systolic pressure then differs from beat to beat by 4.9
# and diastolic by 7.5 mmHg (from memory; about 2 and 7 times as much as in a regular rhythm: Olbers J, et al. Blood
# Press 2018, DOI 10.1080/08037051.2018.1436400, seen), which these figures give.
RUN_OFF_DBP_MMHG, FIBRILLATION_SBP_MMHG = -24.0, 18.0

# Early beats (how many: Subject.early_beat_share, in people with frequent ones and a healthy ventricle, 117 of 174
# people). They come after 60 ± 15 % of an
# interval in 79 people and 49 ± 22 % in 30 (Park K-M, Im SI, Chun KJ, et al. Korean Circ J 2015;45:294-300, DOI
# 10.4070/kcj.2015.45.4.294; abstract seen): 57 % together. The pulse after the pause is larger by 9.8 ± 5.4 % in 13
# healthy people (J Physiol 2002, PMC2290033; abstract seen). How weak the early pulse is: assumed.
EARLY_COUPLING = 0.57
EARLY_PULSE, AFTER_EARLY_PULSE = 0.3, 1.098
