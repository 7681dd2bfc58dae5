"""Forms of the defects' pages. Which one belongs to which move is said in defects.views.acting."""

from operator import attrgetter

from django import forms
from django.utils import timezone

from assets.days import minute
from assets.departments import Department
from assets.models import Points, Position
from assets.plain_text import PlainText
from defects.closing import evidence
from defects.models import Defect, Route
from defects.moves.moves import EDITABLE
from defects.routing.routing import code_of
from defects.routing.words import finding_in_words
from defects.words import OldPart, ReturnReason, State, TemporaryMeasure, Urgency
from inspections.models import Examination, Reading
from inspections.verdicts.stored import finding_of
from inspections.words import SubjectKind

EVIDENCE_SHOWN = 12
LINES = {"rows": 3}


def text(label: str, required: bool = True, **options) -> PlainText:
    """Something written in a few lines; what is needed is asked for by the move itself too."""
    widget = forms.Textarea(attrs=LINES)
    return PlainText(label=label, required=required, widget=widget, **options)


class MinuteInput(forms.DateTimeInput):
    """A day and a time to the minute, as the browser's own picker gives them."""

    input_type = "datetime-local"

    def __init__(self):
        super().__init__(format="%Y-%m-%dT%H:%M")


class DayInput(forms.DateInput):
    input_type = "date"

    def __init__(self):
        super().__init__(format="%Y-%m-%d")


class MoveForm(forms.Form):
    """What every move carries: how the defect stood on the page the person acted from."""

    version = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, *args, defect: Defect, user, **kwargs):
        self.defect, self.user = defect, user
        initial = {"version": defect.version, **kwargs.pop("initial", {})}
        super().__init__(*args, initial=initial, **kwargs)


class AcceptForm(MoveForm):
    note = text("Note", required=False)


class HandOverForm(MoveForm):
    reason = text("Why it is theirs")


class ReturnForm(MoveForm):
    kind = forms.ChoiceField(label="Because it is", choices=ReturnReason.choices())
    reason = text("What they need to know")

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        after_work = self.defect.state == State.WORK_DONE
        self.fields["kind"].choices = [
            (reason.value, reason.label)
            for reason in ReturnReason
            if (reason == ReturnReason.NOT_MENDED) == after_work
        ]


class WorkDoneForm(MoveForm):
    note = text("What was done")
    done_at = forms.DateTimeField(
        label="When",
        widget=MinuteInput(),
        help_text="Only what is measured from then on can close the defect.",
    )
    cause = PlainText(label="What caused it", max_length=300, required=False)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["done_at"].initial = timezone.localtime
        _ask_for_cause(self)


def _ask_for_cause(form: MoveForm) -> None:
    """A loose or broken fixing asks for its cause; other defects do not."""
    if not form.defect.needs_cause:
        del form.fields["cause"]
        return
    form.fields["cause"].initial = form.defect.cause
    form.fields["cause"].help_text = "Retightening is not a repair: a loose fixing has a cause."


class CloseForm(MoveForm):
    """Closing on a reading or an examination; ``chosen`` gives it as keywords for the move."""

    evidence = forms.ChoiceField(label="On the evidence of", widget=forms.RadioSelect)
    old_part = forms.ChoiceField(
        label="What becomes of the old one", required=False, widget=forms.RadioSelect
    )
    cause = PlainText(label="What caused it", max_length=300, required=False)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.offered = offered_evidence(self.defect)
        self.fields["evidence"].choices = [(key, words) for key, words, _ in self.offered]
        self._ask_for_old_part()
        _ask_for_cause(self)

    def _ask_for_old_part(self) -> None:
        """Asked where a stretcher fitted in the place of the defect's is offered as the proof."""
        old = self.defect.stretcher
        if not any(evidence.is_replacement(self.defect, proof) for _, _, proof in self.offered):
            del self.fields["old_part"]
            return
        self.fields["old_part"].label = f"What becomes of {old}, which was replaced"
        self.fields["old_part"].choices = OldPart.choices()
        self.fields["old_part"].help_text = "Set aside: kept apart, and not to be fitted."

    def chosen(self) -> dict:
        found = {key: proof for key, _, proof in self.offered}[self.cleaned_data["evidence"]]
        kind = "reading" if self.cleaned_data["evidence"].startswith("r") else "examination"
        return {kind: found, "old_part": self.cleaned_data.get("old_part", "")}


def offered_evidence(defect: Defect) -> list[tuple[str, str, object]]:
    """What may prove the repair, newest first: form key, words, and the thing itself."""
    if defect.state != State.WORK_DONE:
        return []
    links = ("inspection__points__location", "position")
    newest = ("-inspection__at", "-pk")
    readings = evidence.proving(defect, Reading).select_related("limit", "stretcher", *links)
    looks = evidence.proving(defect, Examination).select_related("stretcher", *links)
    return [
        *((f"r{r.pk}", _dated(r), r) for r in readings.order_by(*newest)[:EVIDENCE_SHOWN]),
        *((f"e{e.pk}", _dated(e), e) for e in looks.order_by(*newest)[:EVIDENCE_SHOWN]),
    ]


def _dated(entry) -> str:
    at = entry.inspection.at
    past = getattr(entry, "instrument_past_check", False)
    marked = ", with an instrument whose check was overdue" if past else ""
    return f"{finding_in_words(finding_of(entry))} ({minute(at)}, {entry.inspection.by}{marked})"


class AgreeForm(MoveForm):
    reason = text("Why it may close without a reading", help_text="This stays visible.")
    cause = PlainText(label="What caused it", max_length=300, required=False)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        _ask_for_cause(self)


class InErrorForm(MoveForm):
    reason = text("What was wrong with raising it")


class CommentForm(MoveForm):
    note = text("Remark")


class MeasureForm(MoveForm):
    measure = forms.ChoiceField(
        label="Measure",
        choices=[(m.value, m.label) for m in TemporaryMeasure if m != TemporaryMeasure.NONE],
    )
    note = text("How, from when, by whose order")


class LiftForm(MoveForm):
    note = text("Why it is no longer needed")


class LinkForm(MoveForm):
    cause = forms.IntegerField(label="Number of the defect that caused it", min_value=1)

    def clean_cause(self) -> Defect:
        number = self.cleaned_data["cause"]
        found = Defect.objects.filter(number=number).select_related("caused_by").first()
        if found is None:
            raise forms.ValidationError(f"There is no defect {number}.")
        return found


class EditForm(MoveForm):
    title = PlainText(label="What is wrong", max_length=160)
    description = text("Details", required=False)
    remedy = PlainText(label="Remedy", max_length=300, required=False)
    urgency = forms.ChoiceField(label="Urgency", choices=Urgency.choices())
    due_on = forms.DateField(label="Due", required=False, widget=DayInput())
    cause = PlainText(label="What caused it", max_length=300, required=False)

    def __init__(self, *args, defect: Defect, **kwargs):
        initial = {name: getattr(defect, name) for name in EDITABLE}
        super().__init__(*args, defect=defect, initial=initial, **kwargs)
        for name in EDITABLE:
            # The page carries what stood there, so that only what was changed is sent on.
            self.fields[name].show_hidden_initial = True

    def details(self) -> dict:
        """The details that the person changed."""
        return {name: self.cleaned_data[name] for name in EDITABLE if name in self.changed_data}

    def anew(self, defect: Defect) -> "EditForm":
        """What the person changed, on top of the defect as it is now."""
        data = self.data.copy()
        fresh = EditForm(defect=defect, user=self.user)
        for name in ("version", *EDITABLE):
            now = fresh[name].value()
            now = "" if now is None else fresh.fields[name].widget.format_value(now)
            now = now[0] if isinstance(now, list) else now
            if name not in self.changed_data:
                data[name] = now
            data[f"initial-{name}"] = now
        data["version"] = defect.version
        return EditForm(data, defect=defect, user=self.user)


def _findings_by_subject() -> list[tuple[str, list[tuple[str, str]]]]:
    """What the routing table knows, under what is measured, looked at and found on record."""
    subjects = {kind.value: (kind.label, []) for kind in SubjectKind}
    for route in Route.objects.exclude(subject_kind="").order_by("title", "pk"):
        subjects[route.subject_kind][1].append((code_of(route.found), route.title))
    return [(label, findings) for label, findings in subjects.values() if findings]


class RaiseForm(forms.Form):
    """A defect raised by hand, at points already chosen."""

    found = forms.ChoiceField(
        label="What was found",
        required=False,
        help_text="This decides who repairs it and what proves the repair. No reading proves "
        "something else: only the responsible engineer can close that, with a written reason.",
    )
    position = forms.ModelChoiceField(
        queryset=Position.objects.none(),
        label="Where",
        required=False,
        empty_label="the whole points, or not at a stretcher",
    )
    title = PlainText(
        label="What is wrong",
        max_length=160,
        required=False,
        help_text="Leave blank to use the words of the routing table.",
    )
    description = text("Details", required=False)
    urgency = forms.ChoiceField(
        label="Urgency", required=False, choices=[("", "as usual"), *Urgency.choices()]
    )
    mends = forms.ChoiceField(
        label="Who repairs it",
        required=False,
        choices=[("", "as usual"), *Department.choices()],
        help_text="As usual: according to the routing table. It has no row for something else, "
        "which stays with the department that raises it: say here if the other one repairs it.",
    )

    def __init__(self, *args, points: Points, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["found"].choices = [("", "something else"), *_findings_by_subject()]
        places = Position.objects.filter(points=points).select_related("points__location")
        self.fields["position"].queryset = places.order_by("order", "pk")
        self.fields["position"].label_from_instance = attrgetter("name")

    def clean(self) -> dict:
        values = super().clean()
        if not values.get("title") and not values.get("found"):
            self.add_error("title", "Say what is wrong, or choose what was found.")
        return values


class ChoosePointsForm(forms.Form):
    """Which points a defect is at, by their key."""

    points = PlainText(label="Points", help_text="Location code and number, like SKB 12.")

    def clean_points(self) -> Points:
        try:
            return Points.objects.select_related("location").by_key(self.cleaned_data["points"])
        except Points.DoesNotExist as problem:
            raise forms.ValidationError(str(problem)) from problem


class ProposalForm(forms.Form):
    """What a person decides of one finding."""

    RAISE, ADD, DISMISS, LATER = "raise", "add", "dismiss", "later"

    decision = forms.ChoiceField(label="Decision", widget=forms.RadioSelect)
    title = PlainText(label="What is wrong", max_length=160, required=False)
    remedy = PlainText(label="Remedy", max_length=300, required=False)
    urgency = forms.ChoiceField(label="Urgency", choices=Urgency.choices(), required=False)
    mends = forms.ChoiceField(label="Who repairs it", choices=Department.choices(), required=False)
    checks = forms.ChoiceField(label="Who checks it", choices=Department.choices(), required=False)
    reason = PlainText(
        label="Why no defect is raised",
        max_length=300,
        required=False,
        help_text="Only for a finding that is not raised.",
    )

    def __init__(self, *args, proposal, **kwargs):
        self.proposal = proposal
        route = proposal.routing
        initial = {
            "decision": self.ADD if proposal.open_defect else self.RAISE,
            "title": proposal.title,
            "remedy": route.remedy,
            "urgency": proposal.urgency,
            "mends": route.mends,
            "checks": route.checks,
        }
        super().__init__(*args, initial=initial, prefix=proposal.key, **kwargs)
        raised = "raise this defect" if not proposal.open_defect else "raise another defect"
        choices = [
            (self.RAISE, raised),
            (self.DISMISS, "do not raise it"),
            (self.LATER, "decide later"),
        ]
        if proposal.open_defect:
            number = proposal.open_defect.number
            again = "measured" if proposal.finding.is_measured else "seen"
            choices.insert(0, (self.ADD, f"add to defect {number}: {again} again, still out"))
        self.fields["decision"].choices = choices

    def clean(self) -> dict:
        values = super().clean()
        if values.get("decision") == self.DISMISS and not values.get("reason"):
            self.add_error("reason", "Say why no defect is raised.")
        if values.get("decision") == self.RAISE and not values.get("title"):
            self.add_error("title", "Say what is wrong.")
        return values

    def details(self) -> dict:
        """What the person left or changed of the proposal, for raising it."""
        names = ("title", "remedy", "urgency", "mends", "checks")
        return {name: self.cleaned_data[name] for name in names}


class PeriodForm(forms.Form):
    """From one day to another, both counted."""

    since = forms.DateField(label="From", widget=DayInput())
    until = forms.DateField(label="To", widget=DayInput())

    def clean(self) -> dict:
        values = super().clean()
        if values.get("since") and values.get("until") and values["since"] > values["until"]:
            self.add_error("until", "The last day cannot be before the first.")
        return values


class RouteForm(forms.ModelForm):
    class Meta:
        model = Route
        fields = (
            "title",
            "mends",
            "works_with",
            "checks",
            "remedy",
            "urgency",
            "needs_cause",
            "source",
        )
