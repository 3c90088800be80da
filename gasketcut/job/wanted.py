"""`[wanted]` of a job file: what the engine is to become, and what the builder can do for it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Annotated, get_args

from gasketcut.checked import Checked, Duration, FromTdc, Limits, Problem
from gasketcut.described import WAYS, Form, key
from gasketcut.toml.faults import meant

Between = tuple[float, float]
"""Least and most; a figure alone is both."""

DEEDS = ("gasket", "ports", "base cut", "band cut", "head cut", "spacer", "bowl")
"""What `may` can name; single ports by their own names too, in place of all."""

PsiOfGauge = Annotated[float, Limits(0, 1000, dimension="number", unit="psi")]

RatioWanted = Annotated[float, Limits(1, 100, dimension="number", unit="")]


def _form(hint: object) -> Form:
    limits = next(one for one in get_args(hint) if isinstance(one, Limits))
    return Form("angle or range" if limits.dimension == "angle" else "number or range", limits)


DURATION, BLOWDOWN, RATIO, GAUGE = _form(Duration), _form(FromTdc), _form(RatioWanted), _form(PsiOfGauge)

_EITHER = "yours to choose: a figure, or [least, most]"
_DEGREES = f"{_EITHER}; a bare number is degrees here"


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted(Checked):
    """What is wanted besides the squish, which `[squish]` says, and what may be done; `way` is the one chosen."""

    exhaust: Between | None = key(
        None, what="degrees for which the exhaust is to stand open", how=_DEGREES, example='"160 deg"', form=DURATION,
        helps=(WAYS,), agrees=("transfer", "blowdown"),
    )  # fmt: skip
    transfer: Between | None = key(
        None, what="degrees for which the transfer that opens first is to stand open", how=_DEGREES,
        example='["116 deg", "118 deg"]', form=DURATION, helps=(WAYS,), agrees=("exhaust", "blowdown"),
    )  # fmt: skip
    intake: Between | None = key(
        None, what="degrees for which a piston-ported intake is to stand open", how=_DEGREES, example='"152 deg"',
        form=DURATION, helps=(WAYS,),
    )  # fmt: skip
    blowdown: Between | None = key(
        None, what="degrees wanted from exhaust opening to transfer opening", how=_DEGREES, example='"22 deg"',
        form=BLOWDOWN, helps=(WAYS,), agrees=("exhaust", "transfer"),
    )  # fmt: skip
    trapped: Between | None = key(
        None, what="compression ratio wanted from where the exhaust closes", how=_EITHER, example="7.5", form=RATIO,
        helps=(WAYS,), agrees=("full", "cranking_psi"),
    )  # fmt: skip
    full: Between | None = key(
        None, what="compression ratio wanted over the full stroke", how=_EITHER, example="[10.5, 11.5]", form=RATIO,
        helps=(WAYS,), agrees=("trapped",),
    )  # fmt: skip
    cranking_psi: Between | None = key(
        None, what="cranking pressure wanted on a tight gauge, by the exponent 1.3 at the job's altitude", how=_EITHER,
        example="180", form=GAUGE, helps=(WAYS,), agrees=("trapped",),
    )  # fmt: skip
    may: tuple[str, ...] = key(
        what=f"what you can do: {', '.join(DEEDS)}, or single ports by name in place of all",
        example='["gasket", "ports", "band cut"]', form=Form("texts"), needed=(WAYS,), agrees=("engine.ports",),
    )  # fmt: skip
    way: str | None = key(
        None, what="the way that you chose, by its name in gasketcut ways, for the build sheet",
        example='"gasket + exhaust"', helps=(WAYS,),
    )  # fmt: skip
    line: int = field(default=0, compare=False)

    @property
    def figures(self) -> dict[str, Between]:
        """What is wanted, by key."""
        said = {name: getattr(self, name) for name in _FORMS}
        return {name: between for name, between in said.items() if between is not None}

    def problems(self) -> Iterator[Problem]:
        yield from Checked.problems(self)
        for name, (low, high) in self.figures.items():
            limits = _FORMS[name].limits
            faults = [limits.fault(one) for one in (low, high)] if limits else []
            if found := next((one for one in faults if one), None):
                yield name, found
            elif low > high:
                yield name, f"is upside down; write least, then most: {name} = [{high:g}, {low:g}]"
        if not self.may:
            yield "may", f"nothing may be done; write what you can do, of {', '.join(DEEDS)}"

    def no_such_way(self, known: Sequence[str]) -> str:
        """What is wrong with `way` where these are the ways that there are."""
        return f"{self.way!r} is no way here; {meant(self.way or '', known)}"

    def unknown(self, ports: Sequence[str]) -> Iterator[Problem]:
        """Words of `may` that are neither a deed nor one of these ports."""
        for number, word in enumerate(self.may):
            if word not in (*DEEDS, *ports):
                yield ("wanted", "may", number), f"{word!r} is not known; {meant(word, (*DEEDS, *ports))}"
            elif word in self.may[:number]:
                yield ("wanted", "may", number), f"{word!r} is said already"


_FORMS = {
    "exhaust": DURATION,
    "transfer": DURATION,
    "intake": DURATION,
    "blowdown": BLOWDOWN,
    "trapped": RATIO,
    "full": RATIO,
    "cranking_psi": GAUGE,
}
