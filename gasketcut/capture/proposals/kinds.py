"""What can be proposed, in the order in which it is done."""

KINDS = (
    "moved-hole",
    "mirror",
    "turn",
    "equal-radii",
    "round-radius",
    "square",
    "equal-holes",
    "round-value",
    "iso273",
)
