"""How a torn edge to be joined is written on the command line."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from gasketcut.errors import GasketError

if TYPE_CHECKING:
    from gasketcut.capture.torn.bridge import Asked


class Bridging(click.ParamType):  # type: ignore[type-arg]  # generic in newer releases only
    """`12-14`, or `12-14:straight`."""

    name = "A-B"

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> Asked:
        from gasketcut.capture.torn.bridge import Asked, bridge_of

        if isinstance(value, Asked):
            return value
        try:
            return bridge_of(str(value))
        except GasketError as error:
            self.fail(str(error), param, ctx)
