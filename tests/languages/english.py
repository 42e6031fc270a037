"""What gives English away in a text that should be in another language."""

import re

# Words that every English sentence of some length has, and no Spanish one.
ENGLISH_WORDS = re.compile(
    r"\b(the|and|with|your|are|was|reading|readings|cuff|pressure|which|not|it)\b", re.IGNORECASE
)
