"""The size of a bank card, which lies about everywhere. Source: ISO/IEC 7810, ID-1."""

CARD = (85.60, 53.98)
"""mm."""

CARD_LIMITS = ((85.47, 85.72), (53.92, 54.03))
"""Least and most of either side of a card that was never used [mm]."""

CARD_CORNER = 3.18
"""Radius of its corners [mm]."""
