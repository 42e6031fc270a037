"""The advice that every screen and every printed page shares: when to get help, and which arm not to use.

`**` marks what is set in bold.
"""

from __future__ import annotations

EMERGENCY_TITLE = "A real reading of 180/120 or more"
EMERGENCY_SYMPTOMS = (
    "**With chest pain, breathlessness, weakness or numbness, trouble speaking or seeing, a severe headache or "
    "fainting: call the emergency services at once**, by your local advice and whatever the display says."
)
EMERGENCY_NONE = (
    "Without any of these: sit quietly, repeat it after some minutes of rest, and contact your clinician soon."
)
EMERGENCY_SOURCE = (
    "From memory, after the American guideline; fainting: common practice. Where your local emergency advice differs, "
    "follow that."
)

# Either number: where a display or a simulated truth reaches one of these, the advice stands beside it.
SEVERE_SBP_MMHG, SEVERE_DBP_MMHG = 180, 120

WHICH_ARM = "Measure both arms once and keep to the one that reads higher."
ARMS_TITLE = "Arms not to use"
ARMS = (
    "Not the arm with a dialysis fistula, with lymphoedema or lymph nodes removed, with an intravenous line, with "
    "an injury or after a recent operation, unless the clinician says so."
)
