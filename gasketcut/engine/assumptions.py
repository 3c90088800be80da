"""What the engine room assumes where the job says nothing: our own choices first, then what others advise.

None of these is a law of nature. Whoever knows better for an engine writes it into the job; whoever thinks one wrong
finds it here beside the others.
"""

from __future__ import annotations

# -- readings: our choice ------------------------------------------------------------------------------------------

READING_SIGMA = 0.02
"""Standard deviation of one solder reading [mm] when the job says none: the last digit of a caliper."""

UNMARKED = 0.98
"""Solder that still measures this share of its own thickness was not squeezed: a caliper tells no less apart."""

SCATTERED, REFUSED = 0.05, 0.01
"""Readings that chance makes look as bad in fewer good sets than this are told to scatter; than that, they contradict
each other and nothing follows from them. Both are usual levels of such a test."""

TILT = 0.05
"""A difference along or across the pin worth a word [mm]: beyond what readings scatter."""

AGREE_DEG = 1.0
"""Two readings of one opening may differ by this [deg]: what a degree wheel or a caliper in a port shows."""

SAME_RATIO = 0.015
"""Two ratios that differ by less, as a share, are one figure rounded twice."""

AGREE_AREA = 0.05
"""Share by which a stated window may differ from its sides: 0.3 mm of caliper on the usual 11 mm of height, and the
width beside it."""

BELOW_BDC = 1.0
"""mm by which an exhaust window may seem to end below the piston at BDC: a degree of its opening and a caliper in the
port come to that."""

BURETTE_CC = 0.1
"""What a burette through the plug hole is good to [cc]: a drop or two, and the film that stays."""

# -- the gasket: our choice ----------------------------------------------------------------------------------------

HALF_BAND = 0.10
"""mm either side of the target when the job names no floor or ceiling."""

LEVEL = 0.95
"""Of every range of the squish and of what hangs on it: so many of the engines that the readings allow lie inside."""

LEAST_IN_BAND = 0.5
"""A choice less likely in the band than this is told, although it is safe and its likely value lies there."""

CONTACT = 0.10
"""What should be left of the gap after everything that takes from it [mm]."""

# -- ports and trials: our choice ----------------------------------------------------------------------------------

OPENED = 0.5
"""mm all round by which a port is opened to show what that does."""

SAME_EDGE = 0.02
"""mm: less than this is no change of an edge that anybody could file to."""

SENSITIVITY_STEP = 0.1
"""mm more and less under the cylinder by which is shown what each figure hangs on: about one sheet."""

BESIDE = 4
"""Choices that are shown side by side with all that they do: as many as a page is wide for."""

SAME_DEGREES = 0.05
"""deg: a duration is printed to a tenth, so less than half of one is no difference."""

LEAST_BLOWDOWN = 5.0
"""deg between exhaust and transfer: engines for work have 10 to 22 (from memory), so less is a slip or a mistake."""

EARLY_EXHAUST = 80.0
"""deg ATDC: no engine is meant to open its exhaust before it. The longest that was published of a racing engine is open
for 202 deg, which its own tuner calls too much (a forum thread)."""

FLOOR_ABOVE = 0.3
"""mm by which a window's floor may seem to stand above the crown at BDC before it is worth a word."""

CONFIDENCE = 0.95
"""Of the interval of a ratio of trials: what most people take for such a small number of them."""

NOTICED = {
    "squish_mm": 0.02, "exhaust_deg": 1.0, "transfer_deg": 1.0, "intake_deg": 1.0, "blowdown_deg": 1.0, "trapped": 0.1,
    "full": 0.1, "cranking_psi": 3.5,
}  # fmt: skip
"""What a builder notices of each figure: the solder's last digit, a degree of the wheel, a tenth of a ratio, and the
pressure that goes with that. Misses of different wants are weighed against each other by it."""

# -- what others advise --------------------------------------------------------------------------------------------

WIRE = 1.25
"""Solder has to be this much thicker than the gap to be marked (a kart class prescribes wire of 1.25 to 2 gaps:
technical regulation of a 125 cc class, 2020, article 1.1)."""

RODS = (1.6, 2.2)
"""Rod over stroke, short and long, between which small engines lie (from memory; one builder's guess is 2)."""

MOST_SHEETS = 3
"""Sheets of different stocks in one stack. More slip on each other and leak (common practice)."""

SHEET_SCATTER = 0.10
"""Share by which a sheet may be off its nominal thickness: what a maker of gasket paper allows (specification
ESB-M8G92-A, read through a stored copy)."""

MOST_OF_PROOF = 0.75
"""Share of the proof load that torque tables commonly aim at (a fastener chart's notes)."""

WIDTH_START, WIDTH_LIMIT = 0.62, 0.70
"""Chord of an exhaust window against the bore: where to start, and the hard limit (a tuner's handbook, as reproduced on
a page that quotes it)."""
