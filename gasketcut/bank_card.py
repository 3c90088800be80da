"""The size of a bank card, which lies about everywhere. Source: ISO/IEC 7810, ID-1."""

CARD = (85.60, 53.98)
"""mm."""

CARD_CORNER = 3.18
"""Radius of its corners [mm]."""
