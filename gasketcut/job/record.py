"""`[record]` of a job file, as frozen values."""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.checked import Checked, TorqueNm
from gasketcut.described import Form, Usual, key


@dataclass(frozen=True, slots=True)
class Fastening(Checked):
    """What is bolted, with what, how tight."""

    what: str = key(what="where it goes", example='"cylinder nuts"')
    size: str = key("", what="its thread", how="calipers over the thread, thread gauge", example='"M5"')
    torque_nm: TorqueNm | None = key(
        None, what="its torque", how="torque wrench, the maker's figure", example="6.0", usual=Usual(0.5, 150)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordSpec(Checked):
    """What the build sheet is to say besides."""

    date: str | None = key(None, what="the day of the work", example='"2026-03-09"', form=Form("date"))
    tools: tuple[str, ...] = key((), what="what was measured with", example='["caliper 0.02 mm", "burette 10 cc"]')
    fasteners: tuple[Fastening, ...] = key(
        (), name="fastener", what="what is bolted, how tight: [[record.fastener]], once for each",
        example='[{ what = "cylinder nuts", size = "M5", torque_nm = 6.0 }]',
    )  # fmt: skip
    notes: tuple[str, ...] = key((), what="remarks for the sheet", example='["run in for two tanks"]')
