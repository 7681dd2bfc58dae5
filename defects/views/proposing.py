"""After a visit: what it found, each as a defect to raise, to add, to dismiss or to leave."""

from django.contrib import messages
from django.db import transaction
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from defects import proposals as proposing
from defects.forms import ProposalForm
from defects.models import Defect, Dismissal
from defects.moves import moves
from inspections.models import Inspection


def proposals(request, pk: int):
    inspection = get_object_or_404(Inspection.objects.select_related("points__location"), pk=pk)
    found = proposing.proposals_for(inspection)
    forms = [ProposalForm(request.POST or None, proposal=proposal) for proposal in found]
    refused = ""
    sound = [form.is_valid() for form in forms]  # of every form, so that each shows its errors
    if request.method == "POST" and all(sound):
        try:
            counts = _decide(inspection, forms, request.user, timezone.now())
        except moves.Refused as problem:
            refused = problem.sentence
        else:
            messages.success(request, _summary(counts))
            return redirect(inspection)
    about = {"inspection": inspection, "points": inspection.points}
    return render(
        request,
        "defects/proposals.html",
        {
            **about,
            "forms": forms,
            "refused": refused,
            "raised": _raised_from(inspection),
            "dismissed": _dismissed_from(inspection),
            "section": "visits",
        },
        status=422 if request.method == "POST" else 200,
    )


@transaction.atomic
def _decide(inspection: Inspection, forms: list[ProposalForm], user, at) -> dict[str, int]:
    """Does what was decided of every finding, or nothing at all."""
    proposing.claim(inspection, [form.proposal for form in forms])
    counts: dict[str, int] = {}
    for form in forms:
        decision = form.cleaned_data["decision"]
        if decision == ProposalForm.RAISE:
            proposing.confirm(form.proposal, user=user, at=at, **form.details())
        elif decision == ProposalForm.ADD:
            proposing.add_to_open(form.proposal, user=user, at=at)
        elif decision == ProposalForm.DISMISS:
            reason = form.cleaned_data["reason"]
            proposing.dismiss(form.proposal.finding.entry, user=user, at=at, reason=reason)
        counts[decision] = counts.get(decision, 0) + 1
    return counts


def _summary(counts: dict[str, int]) -> str:
    words = {
        ProposalForm.RAISE: "raised",
        ProposalForm.ADD: "added to an open defect",
        ProposalForm.DISMISS: "not raised",
        ProposalForm.LATER: "left for later",
    }
    said = ", ".join(f"{counts[key]} {word}" for key, word in words.items() if key in counts)
    return f"Findings of this visit: {said}."


def _raised_from(inspection: Inspection):
    found = {"reading__inspection": inspection}, {"examination__inspection": inspection}
    return (Defect.objects.filter(**found[0]) | Defect.objects.filter(**found[1])).order_by(
        "number", "pk"
    )


def _dismissed_from(inspection: Inspection):
    found = {"reading__inspection": inspection}, {"examination__inspection": inspection}
    dismissed = Dismissal.objects.filter(**found[0]) | Dismissal.objects.filter(**found[1])
    return dismissed.select_related("reading", "examination").order_by("pk")
