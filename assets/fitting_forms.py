"""Forms for fitting a part, taking it out and moving it."""

from django import forms
from django.db.models import Prefetch

from assets.plain_text import PlainText

from .engineering.words import Condition, Profile, ShoeColour
from .figure_fields import FigureField
from .fitting import PutAway
from .forms import DayForm
from .kinds import PartKind, kind_of
from .models import Fitting, Position
from .models.parts import Part
from .work import Shoe, Work

ENDS = ("left", "right")
SHOES = [("", "not changed"), *((p.value, p.label) for p in Profile if p is not Profile.UNKNOWN)]


class PutAwayFields(forms.Form):
    """Where the part that comes out is put, and how it is."""

    kept_at = PlainText(
        label="Where it is put", max_length=80, required=False, help_text="Shed, rack, shelf."
    )
    condition = forms.ChoiceField(label="Its condition", required=False)
    set_aside = forms.BooleanField(
        label="Set aside: not to be fitted until released", required=False
    )

    def about(self, part: Part) -> None:
        """Says of which part this is asked."""
        stays = f"as recorded: {part.get_condition_display()}"
        self.fields["condition"].choices = [("", stays), *Condition.choices()]
        if part.quarantined:
            del self.fields["set_aside"]

    def put_away(self) -> PutAway:
        given = self.cleaned_data
        condition = given.get("condition")
        return PutAway(
            given.get("kept_at", ""),
            Condition(condition) if condition else None,
            given.get("set_aside", False),
        )


class TakeOutForm(PutAwayFields, DayForm):
    reason = PlainText(label="Why it was taken out", max_length=200)
    field_order = ["reason", "on", "by", "kept_at", "condition", "set_aside"]

    def __init__(self, *args, part: Part, **kwargs):
        super().__init__(*args, **kwargs)
        self.about(part)


class WorkFields(forms.Form):
    """The work it took; what is left blank was not done."""

    turned = forms.BooleanField(label="Turned end for end", required=False)
    left_shoe = forms.ChoiceField(label="New left shoe, for rail", required=False)
    left_foot = FigureField(label="Foot of its rail (mm)", unit="mm", required=False)
    left_colour = forms.ChoiceField(label="Its colour", required=False)
    left_shims = FigureField(label="Shims at left shoe (mm)", unit="mm", required=False)
    right_shoe = forms.ChoiceField(label="New right shoe, for rail", required=False)
    right_foot = FigureField(label="Foot of its rail (mm)", unit="mm", required=False)
    right_colour = forms.ChoiceField(label="Its colour", required=False)
    right_shims = FigureField(label="Shims at right shoe (mm)", unit="mm", required=False)
    notches_cut = FigureField(label="Lock notches cut, apart by (mm)", unit="mm", required=False)
    lost_motion = FigureField(label="Lost motion set to (mm)", unit="mm", required=False)

    OF_KIND = {
        "stretcher": (
            "turned",
            *(f"{end}_{what}" for end in ENDS for what in ("shoe", "foot", "colour", "shims")),
            "notches_cut",
        ),
        "lost_motion_fitting": ("lost_motion",),
        "machine": (),
    }

    def of_kind(self, kind: PartKind) -> None:
        """Leaves what can be done to a part of this kind."""
        for name in set(WorkFields.base_fields) - set(self.OF_KIND[kind.field]):
            del self.fields[name]
        for end in ENDS:
            if f"{end}_shoe" in self.fields:
                self.fields[f"{end}_shoe"].choices = SHOES
                self.fields[f"{end}_colour"].choices = ShoeColour.choices()
                self.fields[f"{end}_colour"].initial = ShoeColour.UNKNOWN.value

    def clean(self):
        cleaned = super().clean()
        for end in ENDS:
            if cleaned.get(f"{end}_foot") is not None and not cleaned.get(f"{end}_shoe"):
                self.add_error(f"{end}_shoe", "Say for which rail the new shoe is.")
        return cleaned

    def work(self) -> Work:
        given = self.cleaned_data
        return Work(
            turned=given.get("turned", False),
            left_shoe=self._shoe("left"),
            right_shoe=self._shoe("right"),
            left_shims_mm=given.get("left_shims"),
            right_shims_mm=given.get("right_shims"),
            notches_cut_mm=given.get("notches_cut"),
            lost_motion_mm=given.get("lost_motion"),
        )

    def _shoe(self, end: str) -> Shoe | None:
        given = self.cleaned_data
        if not given.get(f"{end}_shoe"):
            return None
        colour = given.get(f"{end}_colour") or ShoeColour.UNKNOWN
        return Shoe(Profile(given[f"{end}_shoe"]), ShoeColour(colour), given.get(f"{end}_foot"))

    @property
    def often_done(self) -> list:
        """The boxes that are shown at once."""
        return [self[name] for name in ("turned", "lost_motion") if name in self.fields]

    @property
    def seldom_done(self) -> list:
        """The boxes below a line that opens."""
        often = [box.name for box in self.often_done]
        return [self[name] for name in WorkFields.base_fields if name in self.fields
                and name not in often]  # fmt: skip

    @property
    def seldom_filled(self) -> bool:
        return any(box.errors or (self.is_bound and box.data) for box in self.seldom_done
                   if not box.name.endswith("_colour"))  # fmt: skip


class PartChoice(forms.ModelChoiceField):
    """Parts by tag, each with what tells it from the others."""

    def label_from_instance(self, part) -> str:
        return " · ".join([part.tag, *part.in_short()])


class PlaceChoice(forms.ModelChoiceField):
    """Places with the rod that is there now."""

    def label_from_instance(self, position) -> str:
        rods = [f.stretcher.tag for f in position.current_fittings if f.stretcher]
        return f"{position} · {rods[0] if rods else 'no stretcher'}"


class FitForm(WorkFields, PutAwayFields, DayForm):
    """Fit a part at a position; where one is fitted already, say why that one comes out."""

    part = PartChoice(queryset=None, label="Part")
    reason = PlainText(label="Why it was fitted", max_length=200, required=False)
    found = forms.BooleanField(
        label="Found fitted on that day; when it was fitted is not known", required=False
    )
    replacing = PlainText(
        label="Why the one there now is taken out", max_length=200, required=False
    )

    def __init__(self, *args, kind: PartKind, present=None, chosen=None, **kwargs):
        super().__init__(*args, **kwargs)
        self.of_kind(kind)
        self.present = present
        self.fields["part"].queryset = kind.model.objects.spare().order_by("tag", "pk")
        self.fields["part"].label = kind.name.capitalize()
        self.fields["part"].to_field_name = "tag"
        if chosen is not None:
            self.fields["part"].widget = forms.HiddenInput()
        if present is None:
            for name in ("replacing", *PutAwayFields.base_fields):
                del self.fields[name]
        else:
            self.about(present)
            self.fields["replacing"].required = True
            self.fields["replacing"].label = f"Why {present} is taken out"

    @property
    def when(self) -> list:
        """By whom and when, and why."""
        return [self[name] for name in ("on", "by", "reason", "found")]

    @property
    def coming_out(self) -> list:
        """What is asked of the part that is there now."""
        names = ("replacing", *PutAwayFields.base_fields)
        return [self[name] for name in names if name in self.fields]


class MoveForm(WorkFields, DayForm):
    """Move a fitted part to another position."""

    to = PlaceChoice(queryset=None, label="To")
    reason = PlainText(label="Why it is moved", max_length=200)
    replacing = PlainText(
        label="If a part is there now: why it is taken out", max_length=200, required=False
    )
    kept_at = PlainText(label="And where that part is put", max_length=80, required=False)

    def __init__(self, *args, fitting: Fitting, **kwargs):
        super().__init__(*args, **kwargs)
        self.of_kind(kind_of(fitting.part))
        rods = Fitting.objects.current().select_related("stretcher")
        self.fields["to"].queryset = (
            Position.objects.exclude(pk=fitting.position_id)
            .select_related("points__location")
            .prefetch_related(Prefetch("fittings", queryset=rods, to_attr="current_fittings"))
            .order_by(
                "points__location__mileage",
                "points__location__code",
                "points__number_order",
                "points__number",
                "order",
                "pk",
            )
        )

    @property
    def when(self) -> list:
        names = ("to", "on", "by", "reason", "replacing", "kept_at")
        return [self[name] for name in names]


class AgreeForm(forms.Form):
    """The responsible engineer's agreement to a part that does not suit."""

    words = PlainText(label="What is agreed, and until when", max_length=200)
