"""What a piece of a page about points or a part is made of."""

from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True)
class Mark:
    """A short word about a set of points, for lists: "2 open defects"."""

    words: str
    kind: str = ""  # a verdict's class in the stylesheet, for its colour and sign


@dataclass(frozen=True)
class Panel:
    """A piece of a page: a heading, a template fragment and what it needs.

    ``marks`` say the same in short at the top of the page, as in a list.
    """

    heading: str
    template: str
    context: dict[str, Any] = field(default_factory=dict)
    anchor: str = ""
    marks: list[Mark] = field(default_factory=list)
