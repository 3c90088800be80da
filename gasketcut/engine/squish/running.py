"""What takes from the cold, static clearance once the engine runs: stretch, heat, play."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from gasketcut.engine.ports.crank import Crank


def peak_acceleration(crank: Crank, rpm: float) -> float:
    """Acceleration of the piston at TDC [m/s2]: (S/2) w^2 (1 + S/(2L)).

    >>> round(peak_acceleration(Crank(34.0, 58.0), 13_500))
    43935
    """
    omega = rpm * 2 * pi / 60
    return crank.throw / 1000 * omega**2 * (1 + crank.throw / crank.rod)


def rod_stretch(crank: Crank, rpm: float, mass_kg: float, section_mm2: float, modulus_gpa: float) -> float:
    """How much the rod lengthens under the piston's inertia at TDC [mm]: F L / (A E).

    >>> round(rod_stretch(Crank(34.0, 58.0), 13_500, 0.120, 60.0, 207.0), 4)
    0.0246
    """
    force = mass_kg * peak_acceleration(crank, rpm)
    return force * crank.rod / (section_mm2 * modulus_gpa * 1000)


def growth(length: float, per_kelvin: float, rise: float) -> float:
    """Thermal growth [mm]; per_kelvin in 1e-6/K.

    >>> round(growth(70.0, 21.5, 130.0), 5)
    0.19565
    """
    return length * per_kelvin * 1e-6 * rise


@dataclass(frozen=True, slots=True)
class ClearanceLoss:
    """What takes from the clearance [mm]; growth of the cylinder opens it and counts only once it is warm."""

    stretch: float
    rod: float
    piston: float
    cylinder: float
    play: float

    @property
    def warming_up(self) -> float:
        """Taken while piston and rod are hot and the cylinder is still cold: the tight case."""
        return self.stretch + self.rod + self.piston + self.play
