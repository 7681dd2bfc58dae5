"""Recording a set of points as it was found: one form, unknowns left unknown."""

from datetime import date

from django import forms
from django.core.exceptions import ValidationError
from django.db import transaction

from assets import fitting
from assets.engineering.words import Role
from assets.forms import DayForm, register_field
from assets.models import Fitting, Machine, Points, Position, Stretcher
from assets.plain_text import PlainText

ROD_FIELDS = [
    "generation",
    "adjustability",
    "form",
    "insulation_side",
    "left_shoe",
    "right_shoe",
    "kicker",
    "drive_lug",
    "left_fixings",
    "right_fixings",
    "condition",
]
MOST_RODS = 7


class FoundForm(DayForm):
    """When it was looked at, by whom, and the machine."""

    machine_tag = PlainText(label="Machine tag", max_length=20, required=False)
    machine_kind = forms.ChoiceField(
        label="Machine kind", choices=Machine._meta.get_field("kind").choices, initial="unknown"
    )
    machine_at = forms.TypedChoiceField(
        label="Its drive rod is pinned at",
        choices=[(n, f"position {n}") for n in range(MOST_RODS)],
        coerce=int,
        initial=1,
    )


class FoundRodForm(forms.ModelForm):
    """One place with the rod found there; a blank tag means that there is no rod."""

    order = forms.IntegerField(widget=forms.HiddenInput())
    role = forms.ChoiceField(label="Role", choices=[("", "no such place"), *Role.choices()])
    distance_mm = register_field(Position._meta.get_field("distance_mm"))
    kicker_required = register_field(Position._meta.get_field("kicker_required"))
    tag = PlainText(label="Tag of the stretcher", max_length=20, required=False)

    class Meta:
        model = Stretcher
        fields = ["tag", *ROD_FIELDS]
        formfield_callback = register_field

    field_order = ["order", "role", "distance_mm", "kicker_required", "tag", *ROD_FIELDS]

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["role"].required = False

    def _get_validation_exclusions(self):
        # A tag already in the register is the rod with that tag: it is looked up when saving.
        return super()._get_validation_exclusions() | {"tag"}

    def clean_tag(self) -> str:
        return " ".join(self.cleaned_data["tag"].split())

    def clean(self):
        super().clean()
        if self.cleaned_data.get("tag") and not self.cleaned_data.get("role"):
            self.add_error("role", "Say what the stretcher does here, since one was found.")
        return self.cleaned_data

    def validate_unique(self) -> None:
        """Tags may repeat one in the register: then that rod is meant."""


class FoundRods(forms.BaseFormSet):
    def clean(self) -> None:
        tags = [form.cleaned_data.get("tag") for form in self.forms if form.is_valid()]
        twice = {tag for tag in tags if tag and tags.count(tag) > 1}
        if twice:
            raise ValidationError(
                f"A stretcher is in one place at a time: {', '.join(sorted(twice))} is entered "
                "twice."
            )


def rods_formset(points: Points, data=None):
    """A form for each place these points have, and for places they may have, from the toe."""
    known = {p.order: p for p in points.positions.all()}
    present = Fitting.objects.current().filter(position__points=points, stretcher__isnull=False)
    tags = dict(present.values_list("position__order", "stretcher__tag"))
    initial = []
    for order in range(MOST_RODS):
        position = known.get(order)
        initial.append(
            {
                "order": order,
                "role": position.role if position else "",
                "distance_mm": position.distance_mm if position else None,
                "kicker_required": position.kicker_required if position else None,
                "tag": tags.get(order, ""),
            }
        )
    maker = forms.formset_factory(
        FoundRodForm, formset=FoundRods, extra=0, min_num=0, max_num=MOST_RODS
    )
    return maker(data, initial=initial, prefix="rods")


@transaction.atomic
def record(points: Points, found: FoundForm, rods) -> list[str]:
    """Saves places, rods and machine as found; one sentence for each thing recorded.

    Errors are put beside the form they belong to and nothing is saved: ValidationError is raised.
    A rod with a tag that the register knows is that rod; only facts newly seen are added to it.
    """
    on, by = found.cleaned_data["on"], found.cleaned_data["by"]
    done, failed = [], False
    for form in rods.forms:
        if not form.cleaned_data.get("role"):
            continue
        try:
            with transaction.atomic():
                position = _position(points, form.cleaned_data)
                if form.cleaned_data["tag"]:
                    done.append(_rod(position, form, on, by))
        except ValidationError as problem:
            _say(form, problem)
            failed = True
    if found.cleaned_data["machine_tag"]:
        try:
            with transaction.atomic():
                done.append(_machine(points, found, on, by))
        except (ValidationError, Position.DoesNotExist) as problem:
            messages = getattr(problem, "messages", [str(problem)])
            found.add_error("machine_tag", messages)
            failed = True
    if failed:
        raise ValidationError("Not saved yet: correct the marked boxes.")
    return done


def _position(points: Points, given: dict) -> Position:
    position = points.positions.filter(order=given["order"]).first() or Position(
        points=points, order=given["order"]
    )
    position.role = given["role"]
    if given["role"] == Role.DRIVE:
        position.driven = True  # what is known of the other places stays
    for field in ("distance_mm", "kicker_required"):
        if given[field] is not None:
            setattr(position, field, given[field])
    position.full_clean()
    position.save()
    return position


def _rod(position: Position, form: FoundRodForm, on: date, by: str) -> str:
    given = form.cleaned_data
    rod = Stretcher.objects.filter(tag__iexact=given["tag"]).first() or Stretcher(tag=given["tag"])
    for field in ROD_FIELDS:
        if given[field] not in (None, "", "unknown"):
            setattr(rod, field, given[field])
    rod.full_clean()
    rod.save()
    present = rod.current_fitting()
    if present and present.position_id == position.pk:
        return f"{rod} confirmed as {position.name}"
    fitting.fit(rod, position, on=on, by=by, found=True)
    return f"{rod} recorded as {position.name}"


def _machine(points: Points, found: FoundForm, on: date, by: str) -> str:
    given = found.cleaned_data
    position = Position.objects.at(points, given["machine_at"])
    machine = Machine.objects.filter(tag__iexact=given["machine_tag"]).first() or Machine(
        tag=given["machine_tag"]
    )
    if given["machine_kind"] != "unknown":
        machine.kind = given["machine_kind"]
    machine.full_clean()
    machine.save()
    present = machine.current_fitting()
    if not (present and present.position_id == position.pk):
        fitting.fit(machine, position, on=on, by=by, found=True)
    return f"{machine} recorded as the machine"


def _say(form, problem: ValidationError) -> None:
    """Puts each message beside its box where the form has one, else above the form."""
    if not hasattr(problem, "error_dict"):
        form.add_error(None, problem.messages)
        return
    for field, messages in problem.message_dict.items():
        form.add_error(field if field in form.fields else None, messages)
