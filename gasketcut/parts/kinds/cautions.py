"""Short cautions that more than one kind of part prints."""

from __future__ import annotations

ASBESTOS = "Old gaskets may hold asbestos: do not scrape or sand them dry; wet them, bag them, ask who is qualified."
FUEL = "Fuel vapour burns: leak-test with air by hand pump, low pressure, no flame near."
MUFFLER = "Muffler: keep the spark arrester; noise and emission law of your place apply; hot gas away from people."
