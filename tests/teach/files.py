"""A small lesson without faults, for tests to spoil."""

GOOD = """+++
title = "Height"
question = "Does it matter?"
minutes = 5
audience = "students"
summary = "It does."
picture = "arm-height"

[scenario.subject]
sbp = 130
dbp = 80

[scenario.instrument]
bladder = "13.5x26"

[[lever]]
field = "technique.cuff_below_heart_cm"
label = "Below the heart"
low = -10
high = 30
step = 2
correct = 0
tempting = 12
help = "0 is level."

[lever.shows]
sbp = { way = "higher", about = 9 }
dbp = { way = "higher", about = 9 }
more = "alike"

[[lever]]
field = "instrument.bladder"
label = "Bladder"
options = [{ value = "10.5x21", label = "small" }, { value = "13.5x26", label = "regular" }]
correct = "13.5x26"
tempting = "10.5x21"
help = "Its size."

[lever.shows]
sbp = { way = "higher" }

[predict]
question = "What happens?"

[predict.shows]
at = { "technique.cuff_below_heart_cm" = 12 }
sbp = { way = "higher" }
dbp = { way = "higher" }

[[predict.choice]]
text = "Nothing"
right = false
reply = "It does."

[[predict.choice]]
text = "It rises"
right = true

[[check]]
question = "Which?"

[[check.choice]]
text = "This"
right = true
reason = "So it is."

[[check.choice]]
text = "That"
right = false
reason = "It is not."

[case]
question = "And here?"

[case.shows]
sbp = { way = "lower", about = -8 }

[case.subject]
sbp = 150
dbp = 90

[case.technique]
cuff_below_heart_cm = -10

[case.instrument]
bladder = "13.5x26"

[[case.choice]]
text = "Too low"
right = true
reason = "The arm is raised."

[[case.choice]]
text = "Too high"
right = false
reason = "It is raised, not lowered."

[[evidence]]
label = "A trial"
sbp = { value = 4.0, low = 3.0, high = 5.0 }
dbp = { value = 4.0, sd = 5.0 }
n = 100
population = "people"
source = "Invented A, et al. Journal 2000"
doi = "10.1000/182"
sure = "seen"

[evidence.technique]
cuff_below_heart_cm = 5

[takeaway]
text = "Rest the arm."
steps = ["Rest it."]
+++

## Why it happens

Weight.

## What to do

Rest it.

## What is not known

Much.
"""

# The same of somebody on no line between categories: chance moves no mean of theirs across one.
OFF_THE_LINES = GOOD.replace("sbp = 130\ndbp = 80", "sbp = 134\ndbp = 85")
