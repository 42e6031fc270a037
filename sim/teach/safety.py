"""The advice that every screen and every printed page shares: when to get help, and which arm not to use.

This is the one place for its words; a test holds the lessons and the other texts to SIGNS. `**` marks what is set in
bold.
"""

from __future__ import annotations

from sim.say import mark

# AHA/ACC guideline, Hypertension 2025;82:e212-e316, DOI 10.1161/HYP.0000000000000249: severe above 180/120 (quoted by
# others); at or above is the cautious reading of above, and what the association tells the public. Signs: American
# Heart Association, "When To Call 911 About High Blood Pressure" (seen); a severe headache and fainting: common
# practice. Pregnancy: Cifkova R, et al. Eur Heart J Cardiovasc Pharmacother 2020;6:384-393, DOI 10.1093/ehjcvp/pvz082
# (seen), and American College of Obstetricians and Gynecologists, Committee Opinion 767 (abstract seen).
SIGNS = (
    "chest or back pain, breathlessness, weakness or numbness, trouble speaking or seeing, a severe headache "
    "or fainting"
)
EMERGENCY_TITLE = mark("A real reading of 180/120 or more")
EMERGENCY_SYMPTOMS = mark(
    "Is there chest or back pain, breathlessness, weakness or numbness, trouble speaking or seeing, a severe headache "
    "or fainting? **Then call the emergency services at once**, whatever the display says. "
    "Follow your local advice."
)
EMERGENCY_NONE = mark(
    "None of these? Sit quietly, repeat it after some minutes of rest, and contact your clinician soon. "
    "**In pregnancy and the weeks after it, 160/110 is already urgent.** Call your maternity care at once."
)
EMERGENCY_SOURCE = mark(
    "AHA/ACC 2025, DOI 10.1161/HYP.0000000000000249 ('above' read as 'at or above', to be careful); severe headache, "
    "fainting: common practice; pregnancy: DOI 10.1093/ehjcvp/pvz082. Your local emergency advice comes first."
)

# Either number: where a display or a simulated truth reaches one of these, the advice stands beside it.
SEVERE_SBP_MMHG, SEVERE_DBP_MMHG = 180, 120
# A mean in the office that every scheme of categories.toml calls hypertension.
HIGH_SBP_MMHG, HIGH_DBP_MMHG = 140, 90

# Both arms once, then the higher: Muntner P, et al. Hypertension 2019;73:e35-e66, DOI 10.1161/HYP.0000000000000087;
# Stergiou GS, et al. J Hypertens 2021;39:1293-1302, DOI 10.1097/HJH.0000000000002843.
WHICH_ARM = mark("Measure both arms once and keep to the one that reads higher.")
ARMS_TITLE = mark("Arms not to use")
ARMS = mark(
    "Do not use these arms, unless the clinician says so. An arm with a fistula for dialysis. An arm with lymphoedema, "
    "or where lymph nodes were removed. An arm with an intravenous line (a drip), with an injury or after a recent "
    "operation."
)

NO_DEVICE = mark(
    "This page comes from a teaching simulation. It is no medical device and says nothing about your own blood "
    "pressure."
)
