"""What a file's or a layer's name says of the sheet: a material or a grade, and a thickness, in its own words.

A number alone is a grade only beside a material or a thickness, or else it is a part's number.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

_GRADES = (
    r"S(?:185|235|275|315|355|380|420|450|460|500|550|600|650|690|700|890|960)"  # EN 10025, EN 10149
    r"(?:J[R0-9]\w{0,3}|MC|N|M)?",
    r"ST ?(?:37|44|52)(?:-\d)?",
    r"D[CDX]\d{2}D?(?:\+Z\d*)?",  # EN 10130, EN 10346
    r"HARDOX ?\d{3}",
    r"(?:1|3)[.]\d{4}",  # EN 10027-2: material numbers
    r"(?:AISI|SS|SUS|VA|INOX)[ -]?(?:201|301|303|304|310|316|321|409|430)[LH]?",
    r"(?:304|316)L",
    r"V[24]A",
    r"(?:EN[ -]?)?AW[ -]?\d{4}\w?",  # EN 573
    r"AL ?MG ?\d(?:[.,]\d)?(?:MN|SI)?\d*",
    r"CW\d{3}[A-Z]",  # EN 1412
)
_WORDS = (
    r"(?:mild|spring|galvani[sz]ed|stainless|carbon)? ?steel", r"stainless", r"inox", r"edelstahl", r"stahl(?:blech)?",
    r"galvani[sz]ed", r"alu(?:mini?um)?", r"brass", r"messing", r"copper", r"kupfer", r"bronze", r"titan(?:ium)?",
    r"MDF", r"HDF", r"plywood", r"sperrholz", r"birch", r"acryl(?:ic)?", r"PMMA", r"plexi(?:glas)?", r"polycarbonate",
    r"POM", r"PETG?", r"PTFE", r"HDPE", r"(?:gasket|manila|vegetable|craft|kraft)? ?paper", r"card(?:board)?",
    r"cork(?: ?rubber)?", r"kork", r"(?:nitrile|silicone|EPDM|NBR|FKM)? ?rubber", r"gummi", r"NBR", r"EPDM", r"FKM",
    r"silicone", r"felt", r"aramid", r"graphite", r"leather",
)  # fmt: skip
_NUMBERS = r"[1-8]\d{3}(?:[ -]?[HT]\d{1,3})?|30[1-4]|316|430"
_START, _END = r"(?<![A-Za-z0-9])", r"(?![A-Za-z0-9])"
_MATERIAL = re.compile(f"{_START}(?:{'|'.join((*_GRADES, *_WORDS))}){_END}", re.IGNORECASE)
_GRADE_NUMBER = re.compile(f"{_START}(?:{_NUMBERS}){_END}")
_THICK = re.compile(
    r"(?<![A-Za-z0-9.,])(?:(?:t|th|thk|thickness) ?=? ?\d{1,2}(?:[.,]\d+)?(?: ?mm)?"
    rf"|\d{{1,2}}(?:[.,]\d+)? ?(?:mm|ga)){_END}",
    re.IGNORECASE,
)
_NUMBER = re.compile(
    r"(?<![A-Za-z0-9.,])(?:(?:t|th|thk|thickness) ?=? ?)?(\d{1,2}(?:[.,]\d+)?)(?: ?mm)"
    rf"{_END}|(?<![A-Za-z0-9.,])(?:t|th|thk|thickness) ?=? ?(\d{{1,2}}(?:[.,]\d+)?){_END}",
    re.IGNORECASE,
)
_OF_HOLES = re.compile(r"hole|dia|drill|bore|bohr|loch|radius|offset|kerf|slot|lead|gap|pitch", re.IGNORECASE)


def as_named(names: Iterable[str]) -> str | None:
    """What the names say, each said once and parted by semicolons; None if they say nothing of a sheet."""
    found = [said for said in map(_said, names) if said]
    return "; ".join(dict.fromkeys(found)) or None


def _said(name: str) -> str:
    plain = re.sub(r"_+", " ", name)
    thick = _THICK.search(plain)
    materials = [one[0].strip() for one in _MATERIAL.finditer(plain)]
    if thick and not materials and _OF_HOLES.search(plain):
        return ""
    if thick or materials:
        rest = _THICK.sub(" ", _MATERIAL.sub(" ", plain))
        materials += [one[0] for one in _GRADE_NUMBER.finditer(rest)][:1]
    return " ".join(dict.fromkeys([*materials, *([thick[0].strip()] if thick else [])]))


def thickness_named(said: str) -> float | None:
    """The one thickness that it says [mm]; None for none, for several, and for a gauge."""
    found = {float((one[1] or one[2]).replace(",", ".")) for one in _NUMBER.finditer(said)}
    return found.pop() if len(found) == 1 else None
