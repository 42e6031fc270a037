"""Cardiac output [L/min] of 12 people by two methods, 60 pairs: radionuclide ventriculography, impedance cardiography.

Bowling LS, Sageman WS, O'Connor SM, Cole R, Amundson DE. Crit Care Med 1993;21:1523-1527; printed as Table 4 of Bland
JM, Altman DG. Stat Methods Med Res 1999;8:135-160, DOI 10.1177/096228029900800204, and the example of Bland JM, Altman
DG. J Biopharm Stat 2007;17:571-582, DOI 10.1080/10543400701329422. Brought over from a public repository that copies
the table (the papers were not seen); with these pairs the figures of both papers come out.
"""

import numpy as np

_PAIRS = """
1 7.83 6.57   1 7.42 5.62   1 7.89 6.90   1 7.12 6.57   1 7.88 6.35   2 6.16 4.06   2 7.26 4.29   2 6.71 4.26
2 6.54 4.09   3 4.75 4.71   3 5.24 5.50   3 4.86 5.08   3 4.78 5.02   3 6.05 6.01   3 5.42 5.67   4 4.21 4.14
4 3.61 4.20   4 3.72 4.61   4 3.87 4.68   4 3.92 5.04   5 3.13 3.03   5 2.98 2.86   5 2.85 2.77   5 3.17 2.46
5 3.09 2.32   5 3.12 2.43   6 5.92 5.90   6 6.42 5.81   6 5.92 5.70   6 6.27 5.76   7 7.13 5.09   7 6.62 4.63
7 6.58 4.61   7 6.93 5.09   8 4.54 4.72   8 4.81 4.61   8 5.11 4.36   8 5.29 4.20   8 5.39 4.36   8 5.57 4.20
9 4.48 3.17   9 4.92 3.12   9 3.97 2.96   10 4.22 4.35  10 4.65 4.62  10 4.74 3.16  10 4.44 3.53  10 4.50 3.53
11 6.78 7.20  11 6.07 6.09  11 6.52 7.00  11 6.42 7.10  11 6.41 7.40  11 5.76 6.80  12 5.06 4.50  12 4.72 4.20
12 4.90 3.80  12 4.80 3.80  12 4.90 4.20  12 5.10 4.50
"""
_TABLE = np.array(_PAIRS.split(), dtype=float).reshape(-1, 3)
SUBJECT, RV, IC = _TABLE[:, 0].astype(int), _TABLE[:, 1], _TABLE[:, 2]
