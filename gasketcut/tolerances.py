"""Every tolerance of the project, in mm, each with its reason; and what is stated of every figure that was measured."""

from __future__ import annotations

CHORD = 0.001
"""Between a true arc and our chords: a tenth of the last digit that a caliper shows."""

ARC_FIT = 0.0025
"""From a vertex or chord midpoint to the arc that replaces it: two crossing chords (2 x CHORD) plus rounding."""

STRAIGHT = 1e-5
"""Vertices this close to a straight line are rounding of a boolean operation, not shape."""

GRID = 1e-6
"""Coordinates in files are rounded to this, so that bytes do not hang on the platform's mathematics library."""

READ_BACK = 0.003
"""A file read back may differ from the polygon by this much: ARC_FIT plus the reader's own chords."""

SAME_PLACE = 1e-4
"""Two points nearer than this are one point; far below anything that can be cut."""

LARGEST = 2000.0
"""No gasket of this trade is longer than two metres: a bigger number is a slip of the unit."""

LARGEST_RADIUS = 4 * LARGEST
"""A flatter arc than this is a line with noise on it."""

LEAST_SWEEP_DEG = 2.0
"""An arc that turns less is a kink or noise; written as lines it deviates by far less than ARC_FIT."""

TWO_SIDED_95 = 1.959964
"""Standard deviations to either side that hold 95 % of a normal distribution. Source: any table of it."""
