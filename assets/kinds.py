"""The kinds of part, each declared once, and what follows for all of them alike.

A form, a sheet's columns and the page of a part have the fields of the kind's model in its order;
the facts that the rules judge by are filled from them by name (assets.register_facts).
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from .engineering.facts import LostMotionFacts, MachineFacts, PartFacts, StretcherFacts
from .models import LostMotionFitting, Machine, Stretcher
from .models.fields import entered
from .models.parts import Part


@dataclass(frozen=True, eq=False)
class PartKind:
    """A kind of part: what it is called where, and what is not as its model's fields say.

    ``narrowed_by`` has the fields that a list is narrowed by, besides those of every part.
    ``ticked`` has the facts that several boxes of the model make together, with what the names of
    those boxes begin with. ``columns`` has what a column of the sheet says otherwise, ``moved``
    which former columns are entered elsewhere.
    """

    field: str  # of a PartLink, in the facts of a place and in addresses of places
    model: type[Part]
    facts: type[PartFacts]
    sheet: str
    about: str  # one sentence in the workbook
    narrowed_by: tuple[str, ...]
    ticked: Mapping[str, str] = field(default_factory=dict)
    columns: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    moved: Mapping[str, str] = field(default_factory=dict)

    @property
    def address(self) -> str:
        """What it is called in addresses of parts."""
        return str(self.model._meta.model_name)

    @property
    def name(self) -> str:
        return str(self.model._meta.verbose_name)

    @property
    def plural(self) -> str:
        return str(self.model._meta.verbose_name_plural)

    @cached_property
    def fields(self) -> list[str]:
        """What people enter: the tag, what this kind has, and then what every part has."""
        tag, *common = entered(Part)
        return [tag, *(name for name in entered(self.model) if name not in (tag, *common)), *common]

    @cached_property
    def sections(self) -> list[tuple[str, list[str]]]:
        """Headings with the fields that people enter under each, all in order: see Part."""
        found: list[tuple[str, list[str]]] = []
        for name in self.fields:
            if name in self.model.sections:
                found.append((self.model.sections[name], []))
            found[-1][1].append(name)
        return found


KINDS = (
    PartKind(
        "stretcher",
        Stretcher,
        StretcherFacts,
        "Stretchers",
        "A bar tying the two switch rails together. Left and right are as it lies when fitted.",
        narrowed_by=("generation", "insulation_side", "left_shoe", "right_shoe"),
        ticked={"made_for": "for_"},
        columns={
            "generation": {
                "former": (
                    ("black (original fixed rods)", "black"),
                    ("black (original, fixed)", "black"),
                    ("yellow (adjustable)", "yellow"),
                    ("red (the other adjustable pattern)", "red"),
                    ("red (adjustable, another pattern)", "red"),
                )
            },
            "left_fixings": {"formerly": ("Fixings",)},
        },
    ),
    PartKind(
        "machine",
        Machine,
        MachineFacts,
        "Machines",
        "What moves the switch.",
        narrowed_by=("kind",),
        moved={"Lever ratio": "It is of the place now, with its cranks: enter it in Places."},
    ),
    PartKind(
        "lost_motion_fitting",
        LostMotionFitting,
        LostMotionFacts,
        "Lost-motion fittings",
        "An external fitting on the drive lug that lets the drive move before the switch does.",
        narrowed_by=("kind",),
        ticked={"suits_lugs": "suits_"},
    ),
)
BY_FIELD = {kind.field: kind for kind in KINDS}
BY_ADDRESS = {kind.address: kind for kind in KINDS}
BY_MODEL: dict[type, PartKind] = {kind.model: kind for kind in KINDS}


def kind_of(part: Part) -> PartKind:
    """The kind of a part; KeyError for what is none."""
    return BY_MODEL[type(part)]
