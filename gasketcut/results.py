"""What a job can give, by the names under which `status` and the description of a key speak of it."""

from __future__ import annotations

SQUISH, TIMING, PRESSURE = "squish answer", "port timing and compression", "cranking pressure"
WHEEL, STENCIL, GASKET = "degree wheel", "port stencil", "base gasket to cut"
RING, KEY, OUTLET = "ring gap", "ignition key", "muffler outlet"
OUTPUTS = (SQUISH, TIMING, PRESSURE, WHEEL, STENCIL, GASKET, RING, KEY, OUTLET)
