"""The ways of hanging gears between the first driver and the screw.

A layout is told by one thing: how many idlers stand in each of its stages. Shafts count
from the first driver's (0) over the studs to the screw's (last); every shaft meshes with
the next, so the meshes, the planes and the shafts all follow. Files, search, placement,
drawing and documents go by this table, and by it alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from gearchest.optimizer.domain.gear import Place

SCREW_SHAFT = -1
"""The screw's shaft in `Layout.places`."""


@dataclass(frozen=True)
class Seat:
    """One gear's seat: its shaft, its plane (= stage, from 0), and its part in the train."""

    shaft: int
    plane: int
    place: Place


@dataclass(frozen=True)
class Layout:
    """A layout of gears; `idlers[k]` is the number of idlers in stage k."""

    name: str
    idlers: tuple[int, ...]

    @cached_property
    def stages(self) -> int:
        """Driver-driven pairs."""
        return len(self.idlers)

    @cached_property
    def studs(self) -> int:
        """Studs used."""
        return self.stages - 1 + sum(self.idlers)

    @cached_property
    def meshes(self) -> int:
        """Meshes from the first driver to the screw: each turns the hand over."""
        return self.stages + sum(self.idlers)

    def shaft_names(self, *, gearbox: bool = False) -> tuple[str, ...]:
        """The shafts from the first driver's to the screw's, or a gearbox's input, as every
        sheet and every drawing calls them."""
        studs = ("stud",) if self.studs == 1 else tuple(f"stud {n + 1}" for n in range(self.studs))
        return ("driver", *studs, "gearbox" if gearbox else "screw")

    @cached_property
    def parts(self) -> tuple[str, ...]:
        """What each gear is on its shaft, in mesh order: `inner` and `outer` of the two on a
        stud, the inner one nearer the headstock; `idler`; nothing of one that is alone."""
        found = []
        for stage in self.seats:
            for seat in stage:
                lower = seat.plane > 0 and seat.shaft in self.occupied[seat.plane - 1]
                upper = seat.plane < self.stages - 1 and seat.shaft in self.occupied[seat.plane + 1]
                idler = "idler" if seat.place is Place.IDLER else ""
                found.append("outer" if lower else "inner" if upper else idler)
        return tuple(found)

    @cached_property
    def seats(self) -> tuple[tuple[Seat, ...], ...]:
        """For each stage its seats in mesh order: driver, idlers, driven."""
        stages: list[tuple[Seat, ...]] = []
        shaft = 0
        for plane, idlers in enumerate(self.idlers):
            first, last = shaft, shaft + idlers + 1
            driver = Seat(first, plane, Place.DRIVER if plane == 0 else Place.STUD)
            between = [Seat(first + 1 + i, plane, Place.IDLER) for i in range(idlers)]
            end = Place.SCREW if plane == self.stages - 1 else Place.STUD
            stages.append((driver, *between, Seat(last, plane, end)))
            shaft = last
        return tuple(stages)

    @cached_property
    def places(self) -> tuple[tuple[int, int], ...]:
        """For each gear in mesh order (shaft, plane), the screw's shaft told as SCREW_SHAFT, so
        that the same place has the same name however many studs there are."""
        last = self.studs + 1
        return tuple(
            (SCREW_SHAFT if seat.shaft == last else seat.shaft, seat.plane)
            for stage in self.seats
            for seat in stage
        )

    @cached_property
    def occupied(self) -> tuple[frozenset[int], ...]:
        """For each plane the shafts that carry a gear in it."""
        return tuple(frozenset(seat.shaft for seat in stage) for stage in self.seats)

    @cached_property
    def tip_pairs(self) -> tuple[tuple[Seat, Seat], ...]:
        """Gears that share a plane and do not mesh: their tip circles keep apart."""
        return tuple(
            (a, b) for stage in self.seats for i, a in enumerate(stage) for b in stage[i + 2 :]
        )

    @cached_property
    def hub_pairs(self) -> tuple[tuple[Seat, int], ...]:
        """(gear, shaft): shafts whose hub a gear must pass.

        A hub reaches into the planes next to the shaft's own gears and no further.
        """
        pairs: list[tuple[Seat, int]] = []
        for plane, stage in enumerate(self.seats):
            near = {
                shaft
                for other in (plane - 1, plane + 1)
                if 0 <= other < self.stages
                for shaft in self.occupied[other]
            }
            for shaft in sorted(near - self.occupied[plane]):
                pairs.extend((seat, shaft) for seat in stage)
        return tuple(pairs)


LAYOUTS: tuple[Layout, ...] = (
    Layout("direct", (0,)),
    Layout("simple, one idler", (1,)),
    Layout("compound", (0, 0)),
    Layout("simple, two idlers", (2,)),
    Layout("compound, idler in the first stage", (1, 0)),
    Layout("compound, idler in the second stage", (0, 1)),
    Layout("double compound", (0, 0, 0)),
)
"""Every layout there is; for one more, one line here is enough."""


def layouts_over(studs: int) -> tuple[Layout, ...]:
    """The layouts that take no more studs, in the order of the table."""
    return tuple(layout for layout in LAYOUTS if layout.studs <= studs)


def most_studs() -> int:
    """The most studs any layout takes."""
    return max(layout.studs for layout in LAYOUTS)


def most_gears(studs: int) -> int:
    """The most gears a train over so many studs can hold."""
    return max(sum(map(len, layout.seats)) for layout in layouts_over(studs))
