"""The home page."""

from django.shortcuts import render
from django.utils import timezone

from config.today.home import DUE_WITHIN_DAYS, REACHING_WITHIN_DAYS, home_of


def home(request):
    today = timezone.localdate()
    given = {"home": home_of(request.user, today), "today": today, "due_within": DUE_WITHIN_DAYS}
    given["reaching_within"] = REACHING_WITHIN_DAYS
    return render(request, "today/home.html", given)
