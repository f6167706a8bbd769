"""Exact conversion constants for relations that a source prints in inch, pound-force and horsepower.

The international inch and pound and the standard acceleration of free fall are exact by definition
(NIST SP 811, appendix B); the mechanical horsepower is 550 ft lbf/s.
"""

from __future__ import annotations

MM_PER_INCH = 25.4
MM_PER_FOOT = 304.8
FREE_FALL_M_S2 = 9.80665
KG_PER_POUND = 0.45359237
N_PER_LBF = 4.4482216152605
KW_PER_HP = 0.74569987158227022
M_S_PER_FT_MIN = 0.00508
