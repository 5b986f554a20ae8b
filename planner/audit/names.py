"""What a job's gangs, closures, lanes, plant, products and structures are called when people read of them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from planner.audit.wording import day_words, list_words
from planner.model import Job


@dataclass(frozen=True)
class Names:
    """The names by id; an id that the job does not know stands for itself."""

    gangs: dict[str, str]
    closures: dict[str, str]
    lanes: dict[str, str]
    plant: dict[str, str]
    products: dict[str, str]
    structures: dict[str, str]

    def gang(self, id: str) -> str:
        """Return a gang such as "Repair gang B"; one whose name does not say that it is a gang is called one."""
        name = self.gangs.get(id, id)
        return name if "gang" in name.lower() else f"gang {name}"

    def closure(self, id: str) -> str:
        """Return a closure with the day on which it starts, as several may have one name."""
        return f"closure {self.closures.get(id, id)}"

    def lanes_of(self, ids: Iterable[str]) -> str:
        """Return lanes in a list."""
        return list_words([self.lanes.get(id, id) for id in ids])

    def structure(self, id: str) -> str:
        """Return a structure."""
        return self.structures.get(id, id)

    def plant_of(self, id: str) -> str:
        """Return plant such as “Jack set”."""
        return f"“{self.plant.get(id, id)}”"

    def product(self, id: str | None) -> str:
        """Return a product; a gap without one has just "the layer"."""
        return "the layer" if id is None else self.products.get(id, id)


def names_of(job: Job) -> Names:
    """Return the names of a job."""
    return Names(
        gangs={gang.id: gang.name for gang in job.gangs},
        closures={one.id: f"“{one.name}” of {day_words(one.start.date())}" for one in job.closures},
        lanes={lane.id: lane.name for lane in job.lanes},
        plant={plant.id: plant.name for plant in job.plant},
        products={product.id: product.name for product in job.products},
        structures={structure.id: structure.name for structure in job.structures},
    )
