"""Labels in the columns beside the rails, waiting for their places."""

from dataclasses import dataclass

from .geometry import Rod


@dataclass
class Item:
    """A label waiting for its place in a column."""

    wanted: float  # its top
    height: float
    lines: tuple[str, ...]
    u: float  # where its leader ends
    v: float
    kind: str
    weight: float
    boxed: bool = False
    rod: Rod | None = None

    @property
    def middle(self) -> float:
        return self.wanted + self.height / 2
