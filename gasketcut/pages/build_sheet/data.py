"""The build sheet for other programs: every number that stands on it, and its sections as they are worded."""

from __future__ import annotations

from typing import Any

from gasketcut.engine.stack.clamp import ClampLoad
from gasketcut.engine.stack.clamped import ClampedThickness
from gasketcut.engine.stack.fitted import FittedStocks
from gasketcut.evaluation.evaluation import Evaluation
from gasketcut.evaluation.to_wanted import chosen_way
from gasketcut.job.model import RecordSpec
from gasketcut.output.data.engine import clamp_data, distance_data, engine_data, measured_data, readings_data
from gasketcut.output.data.finding import finding_data
from gasketcut.output.data.number import rounded, rounded_all
from gasketcut.output.data.report import fit_data
from gasketcut.output.data.squish import squish_data
from gasketcut.output.data.topend import topend_data
from gasketcut.output.data.ways import way_data
from gasketcut.pages.build_sheet.date import dated
from gasketcut.pages.build_sheet.sections import record_sections
from gasketcut.pages.sections.section import Section
from gasketcut.parts.part_spec import PartSpec
from gasketcut.parts.stock import Stock


def record_data(evaluation: Evaluation, date: str | None) -> dict[str, Any]:
    """Every key of a dimensioned number ends in its unit; a section without data is left out.

    date : year-month-day; else the job's own, else today's
    """
    job, answer, fitted, topend = evaluation.job, evaluation.known_squish, evaluation.fitted, evaluation.topend
    parts, ways = fit_data(evaluation)["parts"], chosen_way(evaluation)
    specs = {spec.name: spec for spec in evaluation.specs}
    found = {
        "title": job.title,
        "date": dated(evaluation, date),
        "verdict": evaluation.verdict.value,
        "engine": engine_data(job.engine, topend.swept_cc) if job.engine else None,
        "readings": readings_data(job.squish) if job.squish else None,
        "distances": [distance_data(distance) for distance in job.measure.distances] if job.measure else None,
        "squish": squish_data(answer) if answer else None,
        "way": way_data(ways.chosen) if ways and ways.chosen else None,
        **topend_data(topend),
        "clamp": {**clamp_data(job.clamp), **_load(fitted.load)} if job.clamp and fitted.load else None,
        "stock": [_stock(stock, fitted) for stock in job.stock],
        "parts": [{**part, **_part(specs[part["name"]], evaluation)} for part in parts],
        "record": _record(job.record),
        "findings": [finding_data(finding) for finding in evaluation.findings],
        "sections": [_section(section) for section in record_sections(evaluation)],
    }
    return {key: value for key, value in found.items() if value not in (None, [], {})}


def _load(load: ClampLoad) -> dict[str, Any]:
    return {"bolt_n": rounded(load.force), "of_proof": rounded(load.of_proof), "stress_mpa": rounded(load.stress)}


def _stock(stock: Stock, fitted: FittedStocks) -> dict[str, Any]:
    return {
        "name": stock.name,
        "material": stock.material,
        "thickness_mm": rounded(stock.thickness),
        "used": measured_data(stock.used) if stock.used else None,
        "under_cylinder": _clamped(fitted.base[stock.name]),
        "elsewhere": _clamped(fitted.elsewhere[stock.name]),
        "sheets": stock.sheets,
        "size_mm": rounded_all(stock.size) if stock.size else None,
        "joints": list(stock.joints),
        "is_spacer": stock.is_spacer,
    }


def _clamped(thickness: ClampedThickness) -> dict[str, Any]:
    return {"fitted_mm": rounded_all(thickness.range), "from": thickness.origin.value}


def _part(part: PartSpec, evaluation: Evaluation) -> dict[str, Any]:
    thickness, made = evaluation.fitted.of_part(part, evaluation.job), evaluation.parts.get(part.name)
    return {
        "name": part.name,
        "kind": part.kind,
        "stock": part.stock,
        "fitted_mm": rounded_all(thickness.range) if thickness else None,
        "count": made.part.count if made else part.count,
        "face_up": part.face_up,
    }


def _record(record: RecordSpec) -> dict[str, Any]:
    return {
        "date": record.date,
        "tools": list(record.tools),
        "fasteners": [
            {"what": one.what, "size": one.size, "torque_nm": rounded(one.torque_nm)} for one in record.fasteners
        ],
        "notes": list(record.notes),
    }


def _section(section: Section) -> dict[str, Any]:
    return {
        "heading": section.heading,
        "lines": list(section.lines),
        "table": [list(row) for row in section.table],
        "blanks": list(section.blanks),
        "cautions": list(section.cautions),
    }
