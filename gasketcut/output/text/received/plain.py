"""Every fault and every place to look at in the words of somebody who draws and does not cut.

No drawing program is named: each of them can explode, join, trim, move to a layer and save as DXF, under its own words.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Question:
    """What only the customer can decide: what it is (of several), what is asked, how it is put right in the drawing."""

    what: str
    ask: str
    how: str


REPAIRS = {
    "bom": ("an invisible mark before the first line of the file", "left out"),
    "line-ends": ("line ends of another kind", "written as every program reads them"),
    "binary": ("a file in binary form", "written as text, which every machine reads"),
    "comma-decimal": ("decimal commas in numbers", "written as points"),
    "encoding": ("names with accents or signs of another script", "written in plain letters"),
    "version": ("things that the file's own version does not know", "the file is written in a version that knows them"),
    "header": ("a missing or misplaced beginning of the file", "put where it belongs"),
    "far": ("a drawing far away from the origin", "moved to the origin"),
    "layer-name": ("layer names with signs that programs refuse", "written with plain ones"),
    "undeclared-layer": ("layers that are used but not listed", "listed"),
    "gap-rounding": ("ends that miss each other by rounding", "joined"),
    "gap": ("small gaps between line ends", "closed"),
    "unflagged": ("closed lines that are not marked as closed", "marked as closed"),
    "duplicate": ("lines that are there twice", "one of two taken out, so that nothing is cut twice"),
    "overlap": ("lines that lie partly on each other", "made one line"),
    "zero-length": ("lines without any length", "taken out"),
    "sliver": ("stray bits shorter than any cut", "taken out"),
    "repeated-point": ("points that are there twice", "one of two taken out"),
    "bad-radius": ("circles without a radius", "taken out"),
    "circle-as-lines": ("circles drawn as many short lines", "made true circles"),
    "curve-as-lines": ("curves drawn as many short lines", "made arcs along the same way"),
    "spline": ("free curves (splines)", "made arcs and lines along the same way"),
    "ellipse": ("ellipses", "made arcs and lines along the same way"),
    "block": ("blocks (grouped parts of the drawing)", "taken apart into lines"),
    "mirrored": ("things drawn from below", "turned to be seen from above, at the same place"),
    "off-plane": ("lines above or below the drawing plane", "laid flat"),
    "wide": ("lines with a width", "cut along their middle"),
    "paper-space": ("things on a layout page beside the drawing", "left out"),
}
"""Kind: what it is, and what becomes of it; the shape stays as it was drawn."""

QUESTIONS = {
    "text": Question(
        "letters or numbers in the drawing",
        "Are they only notes, or do you want them on the part?",
        "Notes: delete them, or move them to a layer of their own. To have them on the part: turn them into outlines "
        "(explode the text) and say whether they are marked or cut through.",
    ),
    "dimensions": Question(
        "dimensions and leaders",
        "May they be left out?",
        "Delete them, or switch them off and save the outline alone.",
    ),
    "hatch": Question(
        "filled areas",
        "Is a filled area only shading, or is something meant to be cut there?",
        "Delete the filling; where something is to be cut, draw its outline.",
    ),
    "point": Question(
        "single points",
        "Do they mark holes that are to be drilled, or nothing?",
        "Delete them; where there is to be a hole, draw its circle.",
    ),
    "hidden": Question(
        "things on layers that are switched off, frozen or not printed",
        "Are they part of what is to be cut?",
        "Delete what is not meant; switch on what is.",
    ),
    "region": Question(
        "regions, solids or surfaces, which have no lines to cut along",
        "Is one of them the part itself?",
        "Explode regions into lines and arcs; of a solid save one flat view, seen straight on, as lines.",
    ),
    "stray": Question(
        "things that have no line to cut along (pictures, tables and the like)",
        "May they be left out?",
        "Delete them and save the outline alone.",
    ),
    "no-unit": Question(
        "no unit in the file",
        "Which unit are the numbers in?",
        "Set the unit of the drawing before you save, or simply tell us.",
    ),
    "unit-conflict": Question(
        "two statements about the unit that contradict each other",
        "Which unit are the numbers in?",
        "Set unit and measurement system of the drawing to the same, or simply tell us.",
    ),
    "unit-doubt": Question(
        "a unit that makes an unlikely size",
        "Which unit are the numbers in?",
        "Set the unit of the drawing before you save, or simply tell us.",
    ),
    "open": Question(
        "open ends: lines that do not close",
        "Where is the edge meant to run?",
        "Close each contour: draw the missing line, or trim and extend the ends until they meet, then join the lines.",
    ),
    "branch": Question(
        "places where more than two lines meet",
        "Which two of the lines are the edge?",
        "Delete or trim the others, so that two lines meet in each corner.",
    ),
    "crossing": Question(
        "lines that cross",
        "Which side is the part?",
        "Trim both lines at the crossing, or unite the shapes, so that no line crosses another. Construction lines and "
        "centre lines: delete them.",
    ),
    "self-crossing": Question(
        "lines that cross themselves",
        "How is the outline meant there?",
        "Look for a loop or for points in the wrong order, and draw that piece anew.",
    ),
    "touching": Question(
        "contours that touch in a point",
        "Are they meant to be joined, or to stay apart?",
        "Unite the shapes, or move them apart.",
    ),
    "levels": Question(
        "lines at several heights",
        "Are they one part, or several things on top of each other?",
        "Save one flat view: move all that is the part to height 0 and delete the rest.",
    ),
    "tilted": Question(
        "things drawn in a tilted plane",
        "Which view is to be cut?",
        "Save one flat view, seen straight from above.",
    ),
    "bad-number": Question(
        "places where the file holds something that is no number",
        "What is meant to be there?",
        "Delete the thing and draw it anew, or save the drawing again.",
    ),
    "damaged": Question(
        "damage in the file",
        "Can you send it again?",
        "Save the drawing again as DXF and send it packed (zip), so that nothing changes on the way.",
    ),
    "truncated": Question(
        "a file that ends too early",
        "Can you send it again?",
        "Save the drawing again as DXF and send it packed (zip), so that nothing is lost on the way.",
    ),
    "crowded": Question(
        "more lines on top of each other than can be told apart",
        "Which of them are the part?",
        "Save only the outline of the part in a new file; take copies that lie on each other out.",
    ),
    "unsafe": Question(
        "a place that cannot be put right without making another fault",
        "Can you draw it anew there?",
        "Look at the numbered place: the outline is so narrow there that its sides meet.",
    ),
    "empty": Question(
        "nothing that could be cut",
        "Is this the right file?",
        "Save the outline of the part as lines and arcs: explode regions, solids and blocks before you save.",
    ),
    "not-dxf": Question(
        "a file that is no DXF",
        "Can you send the drawing as DXF?",
        "Save or export it as DXF (any version from R12 on) in millimetres.",
    ),
}
"""Kind: what only a person can decide."""

GROUPS = {
    "dimensions": Question(
        "what looks like dimensions",
        "May they be left out?",
        "Delete them, or switch them off and save the outline alone.",
    ),
    "centre-lines": Question(
        "what looks like centre lines",
        "May they be left out?",
        "Delete them, or move them to a layer of their own and switch it off.",
    ),
    "bend-lines": Question(
        "what looks like lines to bend along",
        "Are they to be left out, or marked on the sheet?",
        "Move them to a layer of their own, named for what they are.",
    ),
    "title-block": Question(
        "what looks like a title block",
        "May it be left out?",
        "Save the part alone, without frame and title block.",
    ),
    "frame": Question(
        "what looks like the frame of a sheet of paper",
        "May it be left out, or is it the edge of the part?",
        "Save the part alone, without frame and title block.",
    ),
}
"""Kind: what belongs together and is hardly the part."""

LOOKS = {
    "near-double": Question(
        "two outlines hardly apart, of which both would be cut",
        "Which of them is meant?",
        "Delete the other, or the offset curve that it was made from.",
    ),
    "odd-size": Question(
        "an odd size for the unit of the file",
        "How large is the part meant to be?",
        "Measure one length in the drawing and set the unit of the drawing to fit.",
    ),
    "far-off": Question(
        "something far away from the rest",
        "Does it belong to the part?",
        "Show all of the drawing on the screen (zoom to its extents) and delete what does not belong.",
    ),
    "not-cut": Question(
        "a layer whose name says that it is not cut",
        "Is it right that it is not cut?",
        "Move what is to be cut to another layer.",
    ),
    "self-touch": Question(
        "an outline that touches itself in a point, where nothing holds",
        "Is the part meant to hang together there?",
        "Move the two corners apart, or make two outlines of it.",
    ),
    "frame": GROUPS["frame"],
    "views": Question(
        "several views of one part",
        "Which view is to be cut?",
        "Save that view alone.",
    ),
    "small-hole": Question(
        "holes or slots that are smaller than can be cut",
        "May they be larger, drilled afterwards, or left out?",
        "Draw them larger, or delete them and mark their middles.",
    ),
    "thin-web": Question(
        "strips of sheet that are thinner than can be cut",
        "May there be more room, or is one of the lines not meant to be cut?",
        "Move the lines apart, or unite the shapes.",
    ),
    "circle-as-lines": Question(
        "circles drawn as a few straight lines, which stay as they are",
        "Is a true circle meant?",
        "Draw it as a circle; if the corners are meant, say so.",
    ),
    "narrow-slit": Question(
        "strips of scrap so narrow that two cuts run together",
        "Is one of the two lines not meant to be cut?",
        "Move the lines apart, or leave one of them.",
    ),
    "mark": Question(
        "marks that lie on none of the parts",
        "Do they belong to a part?",
        "Draw them on the part, or delete them.",
    ),
    "thread": Question(
        "two circles about one middle, such as of a thread or a countersink",
        "Which of the two is to be cut?",
        "Leave one circle: that of the hole as it is cut.",
    ),
}
"""Kind: nothing is wrong with the file, but it is seldom meant so."""

UNIT = ("no-unit", "unit-conflict", "unit-doubt")
"""They all ask one thing."""
