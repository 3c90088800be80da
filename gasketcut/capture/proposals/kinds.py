"""What can be proposed, in the order in which it is done."""

KINDS = (
    "moved-hole",
    "missing-piece",
    "mirror",
    "turn",
    "equal-radii",
    "round-radius",
    "square",
    "equal-holes",
    "round-value",
    "iso273",
    "role",
)

OF_HOLES = ("moved-hole", "equal-holes", "round-value", "iso273")
"""Those whose `holes` are holes; of the others they are curves of the outline, or nothing."""
