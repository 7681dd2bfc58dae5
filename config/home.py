"""The home page: what needs me today, by department."""

from django.shortcuts import render


def home(request):
    return render(request, "config/home.html", {})


def guide(request):
    return render(request, "config/guide.html", {})
