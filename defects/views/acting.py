"""The page of one defect, and the moves made on it."""

from collections.abc import Callable
from dataclasses import dataclass

from django.contrib import messages
from django.db.models import Q, QuerySet
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone

from assets.models import Photo
from defects import forms
from defects.closing import evidence
from defects.closing.corrected import Corrected, correction_of
from defects.models import Defect, Event
from defects.moves import moves
from defects.moves.transitions import Who, standing_of
from defects.routing.routing import found_by_check
from defects.routing.words import finding_in_words
from defects.words import Check, Move, State, TemporaryMeasure
from inspections.verdicts.stored import finding_of
from inspections.words import Reason


@dataclass(frozen=True)
class Action:
    """A move as a small form: ``act`` takes defect, form and the keywords of every move."""

    move: Move
    heading: str
    button: str
    form: type[forms.MoveForm]
    act: Callable[..., Defect]
    offered: Callable[[Defect, object], bool] = lambda defect, user: True


def _plain(function: Callable) -> Callable:
    """A move whose form has just the words that the function asks for."""

    def act(defect, form, **acting):
        values = {name: v for name, v in form.cleaned_data.items() if name != "version"}
        return function(defect, **values, **acting)

    return act


def _comment(defect, form, *, version, **acting):
    return moves.comment(defect, note=form.cleaned_data["note"], **acting)


def _close(defect, form, **acting):
    cause = form.cleaned_data.get("cause", "")
    return moves.close(defect, cause=cause, **form.chosen(), **acting)


def _may_lift(defect: Defect, user) -> bool:
    stands = defect.temporary_measure != TemporaryMeasure.NONE
    return stands and Who.CHECKER in standing_of(defect, user, Who.CHECKER)


ACTIONS: dict[str, Action] = {
    "accept": Action(
        Move.ACCEPT, "Accept: we will repair it", "Accept", forms.AcceptForm, _plain(moves.accept)
    ),
    "work_done": Action(
        Move.WORK_DONE, "Work done", "Record the work", forms.WorkDoneForm, _plain(moves.work_done)
    ),
    "close": Action(
        Move.CLOSE,
        "Close on evidence",
        "Close",
        forms.CloseForm,
        _close,
        offered=lambda defect, user: defect.state == State.WORK_DONE,
    ),
    "hand_over": Action(
        Move.HAND_OVER,
        "Hand over to the other department",
        "Hand over",
        forms.HandOverForm,
        _plain(moves.hand_over),
    ),
    "return": Action(
        Move.RETURN, "Return it", "Return", forms.ReturnForm, _plain(moves.give_back)
    ),
    "comment": Action(Move.COMMENT, "Remark", "Add the remark", forms.CommentForm, _comment),
    "measure": Action(
        Move.MEASURE,
        "Temporary measure",
        "Record the measure",
        forms.MeasureForm,
        _plain(moves.set_temporary_measure),
        offered=lambda defect, user: defect.is_open,
    ),
    "lift": Action(
        Move.MEASURE,
        "Lift the temporary measure",
        "Lift it",
        forms.LiftForm,
        _plain(moves.lift_temporary_measure),
        offered=_may_lift,
    ),
    "link": Action(
        Move.LINK,
        "Link the defect that caused it",
        "Link",
        forms.LinkForm,
        _plain(moves.link_cause),
    ),
    "agree": Action(
        Move.CLOSE,
        "Close without a reading",
        "Close with this reason",
        forms.AgreeForm,
        _plain(moves.close),
        offered=lambda defect, user: Who.ENGINEER in standing_of(defect, user, Who.ENGINEER),
    ),
    "in_error": Action(
        Move.IN_ERROR,
        "Raised in error",
        "Mark as raised in error",
        forms.InErrorForm,
        _plain(moves.raise_in_error),
    ),
}  # fmt: skip


def defect_or_404(number: int) -> Defect:
    return get_object_or_404(Defect.objects.with_links(), number=number)


def form_of(name: str, defect: Defect, user, data=None) -> forms.MoveForm:
    return ACTIONS[name].form(data, defect=defect, user=user, auto_id=f"id_{name}_%s")


def say_beside(form, refused: moves.Refused) -> None:
    """A refusal beside the box it belongs to, or above the form."""
    form.add_error(refused.field if refused.field in form.fields else None, refused.sentence)


def actions_of(defect: Defect, user, may: list[Move]) -> list[str]:
    """The names of the actions this user is offered, in the order of the page."""
    return [
        name
        for name, action in ACTIONS.items()
        if action.move in may and action.offered(defect, user)
    ]


def defect_page(request, number: int):
    return _page(request, defect_or_404(number))


def _page(request, defect: Defect, tried: dict | None = None, status: int = 200):
    """The defect; ``tried`` is a move that did not go through, shown first with what was typed."""
    may = moves.allowed(defect, request.user)
    events = _line_of(defect)
    corrected = correction_of(defect)
    names = actions_of(defect, request.user, may)
    nothing_left = _nothing_left_of_it(corrected, events)
    if nothing_left:
        names.sort(key=lambda name: name != "in_error")
    tried_name = tried["name"] if tried else None
    offers = [
        {"name": name, "action": ACTIONS[name], "form": form_of(name, defect, request.user)}
        for name in names
        if name != tried_name
    ]
    return render(
        request,
        "defects/defect.html",
        {
            "defect": defect,
            "corrected": corrected,
            "nothing_left": nothing_left,
            "events": events,
            "offers": offers,
            "tried": tried,
            "may_edit": Move.EDIT in may,
            "needed": evidence.what_is_needed(defect),
            "provable": bool(evidence.proofs_of(defect)),
            "not_yet": evidence.why_not_yet(defect) if defect.state == State.WORK_DONE else "",
            "measure_again": _measure_again(defect),
            "consequences": defect.consequences.order_by("number", "pk"),
            "repeats": defect.repeats.order_by("number", "pk"),
            "photos": Photo.objects.filter(defectphoto__defect=defect).shown(),
            "photos_of_visits": _photos_of_visits(defect, events),
            "today": timezone.localdate(),
            "section": "defects",
        },
        status=status,
    )


def _measure_again(defect: Defect) -> str:
    """The form of a visit, with the cursor where what was found is to be measured again."""
    location = defect.points.location.code
    form = reverse("inspections:inspect", args=[location, defect.points.number])
    if defect.found == found_by_check(Check.INSPECTION_OVERDUE):
        return form
    place = "" if defect.position is None else defect.position.order
    asked = ""
    if defect.reading is not None:
        asked = f"&for={defect.reading.quantity}/{place}/{defect.reading.lie}"
    elif defect.examination is not None:
        asked = f"&for={defect.examination.item}/{place}"
    return f"{form}?reason={Reason.AFTER_WORK}{asked}"


def _nothing_left_of_it(corrected: Corrected | None, events: list[Event]) -> bool:
    """Corrected to what is not wrong, and nobody has found it again: likely raised in error."""
    again = any(event.move == Move.MEASURED_AGAIN for event in events)
    return corrected is not None and not corrected.still_wrong and not again


def _photos_of_visits(defect: Defect, events: list[Event]) -> QuerySet[Photo]:
    """Photographs that belong to the examinations the defect was raised from, found or closed by,
    or to what was entered in place of them."""
    looks = {defect.examination_id, *(event.examination_id for event in events)} - {None}
    if not looks:
        return Photo.objects.none()
    link = "examinationphoto__examination"
    of_these = Q(**{f"{link}__in": looks}) | Q(**{f"{link}__corrects__in": looks})
    return Photo.objects.filter(of_these).shown()


def _line_of(defect: Defect) -> list[Event]:
    """The events in time, each with its reading or examination in words; one query."""
    links = ("inspection__points__location", "position")
    line = defect.events.in_time().select_related(
        "reading__limit",
        *(f"{finding}__stretcher" for finding in ("reading", "examination")),
        *(f"{finding}__{link}" for finding in ("reading", "examination") for link in links),
    )
    events = list(line)
    for event in events:
        entry = event.reading or event.examination
        event.words = finding_in_words(finding_of(entry)) if entry else ""
    return events


def move(request, number: int, move: str):
    """One move. What was typed comes back with the reason where it is refused."""
    defect = defect_or_404(number)
    action = ACTIONS.get(move)
    if action is None or request.method != "POST":
        return redirect(defect)
    form = form_of(move, defect, request.user, request.POST)
    if form.is_valid():
        acting = {"user": request.user, "at": timezone.now()}
        try:
            moved = action.act(defect, form, version=form.cleaned_data["version"], **acting)
        except moves.Changed as changed:
            return _changed_meanwhile(request, number, move, changed)
        except moves.Refused as refused:
            say_beside(form, refused)
        else:
            messages.success(request, f"Defect {moved.number}: {action.move.label}.")
            return redirect(moved)
    tried = {"name": move, "action": action, "form": form}
    return _page(request, defect, tried, status=422)


def _changed_meanwhile(request, number: int, move: str, changed: moves.Changed):
    """Shows what the others did above what this person typed, ready to be sent again."""
    defect = defect_or_404(number)
    data = request.POST.copy()
    data["version"] = defect.version
    form = form_of(move, defect, request.user, data)
    tried = {
        "name": move,
        "action": ACTIONS[move],
        "form": form,
        "changed": changed,
        "typed": _typed(request.POST),
    }
    return _page(request, defect, tried, status=409)


def _typed(data) -> list[str]:
    """The text that the person had written, whatever became of the form."""
    return [data[name] for name in ("note", "reason", "cause") if data.get(name, "").strip()]


def _edit(defect: Defect, form: forms.EditForm, user) -> None:
    version = form.cleaned_data["version"]
    moves.edit(defect, user=user, at=timezone.now(), version=version, **form.details())


def edit(request, number: int):
    """Changes the details of a defect."""
    defect = defect_or_404(number)
    form = forms.EditForm(request.POST or None, defect=defect, user=request.user)
    changed, status = None, 200
    if request.method == "POST" and form.is_valid():
        try:
            _edit(defect, form, request.user)
        except moves.Changed as problem:
            changed, status, form = problem, 409, form.anew(defect)
        except moves.Refused as refused:
            status = 422
            say_beside(form, refused)
        else:
            messages.success(request, f"Defect {number}: details changed.")
            return redirect(defect)
    context = {"defect": defect, "form": form, "changed": changed, "section": "defects"}
    return render(request, "defects/edit.html", context, status=status)
