"""Forms of the register: points, positions and parts."""

from django import forms
from django.db.models import IntegerField
from django.utils import timezone

from assets.plain_text import PlainText

from .departments import name_of
from .figure_fields import FigureField, WholeField
from .kinds import PartKind
from .models import Location, Points, Position
from .models.fields import entered, unit_of_field


class DayInput(forms.DateInput):
    input_type = "date"

    def __init__(self, **kwargs):
        super().__init__(format="%Y-%m-%d", **kwargs)


YES_NO_UNKNOWN = [("", "unknown"), ("true", "yes"), ("false", "no")]


class KnownField(forms.TypedChoiceField):
    """Yes, no or unknown."""

    def __init__(self, **kwargs):
        kwargs.setdefault("required", False)
        super().__init__(
            choices=YES_NO_UNKNOWN,
            coerce={"true": True, "false": False}.get,
            empty_value=None,
            **kwargs,
        )

    def prepare_value(self, value):
        return {True: "true", False: "false", None: ""}.get(value, value)


def register_field(db_field, **kwargs):
    """How a model's field becomes a form field throughout the register."""
    if db_field.get_internal_type() == "BooleanField" and db_field.null:
        return KnownField(label=db_field.verbose_name.capitalize(), help_text=db_field.help_text)
    if db_field.get_internal_type() == "FloatField":
        return db_field.formfield(form_class=FigureField, unit=unit_of_field(db_field), **kwargs)
    if isinstance(db_field, IntegerField):
        return db_field.formfield(form_class=WholeField, unit=unit_of_field(db_field), **kwargs)
    if db_field.get_internal_type() == "TextField":
        return db_field.formfield(widget=forms.Textarea(attrs={"rows": 3}), **kwargs)
    return db_field.formfield(**kwargs)


class RegisterForm(forms.ModelForm):
    """A form that notices when somebody else changed the record since it was opened."""

    seen = forms.IntegerField(required=False, widget=forms.HiddenInput())

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.latest = self.instance.history.first() if self.instance.pk else None
        if self.latest:
            self.initial["seen"] = self.latest.history_id

    def clean(self):
        cleaned = super().clean()
        seen = self.cleaned_data.get("seen")
        if self.latest and seen and seen != self.latest.history_id:
            # Sent again as it stands, it is saved: the person has been told.
            self.data = {**self.data.dict(), self.add_prefix("seen"): self.latest.history_id}
            who = self.latest.history_user
            raise forms.ValidationError(
                f"{name_of(who) if who else 'Someone else'} changed this since you opened it. What "
                "you typed is kept: see the changes on its page, then save again."
            )
        return cleaned


class LocationForm(RegisterForm):
    class Meta:
        model = Location
        fields = entered(Location)
        help_texts = {"mileage": "Miles and decimals, or miles and chains: 12.425 or 12m 34ch."}
        formfield_callback = register_field

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        if self.instance.pk and self.instance.points.exists():
            self.fields["code"].disabled = True
            self.fields["code"].help_text = (
                "It is on the labels of the points here and in the addresses of their pages, so it "
                "stays."
            )


class PointsForm(RegisterForm):
    class Meta:
        model = Points
        fields = entered(Points)
        formfield_callback = register_field


class PositionForm(RegisterForm):
    def _get_validation_exclusions(self):
        # The points are not asked, but a number is used once on them.
        return super()._get_validation_exclusions() - {"points"}

    class Meta:
        model = Position
        fields = [name for name in entered(Position) if name != "points"]
        formfield_callback = register_field


def part_form(kind: PartKind) -> type[RegisterForm]:
    """The form of a kind of part: every field that people enter, in the order of its model."""
    return forms.modelform_factory(
        kind.model, RegisterForm, kind.fields, formfield_callback=register_field
    )


class DayForm(forms.Form):
    """When and by whom; a day that has not come is refused by the service."""

    on = forms.DateField(label="Day", widget=DayInput(), initial=timezone.localdate)
    by = PlainText(label="By", max_length=80)
