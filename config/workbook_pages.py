"""The workbook in the browser: taking the register away, and loading what comes back."""

from django.shortcuts import redirect, render


def workbook(request):
    return render(request, "config/workbook/workbook.html", {"section": "workbook"})


def save(request):
    return redirect("workbook")


def load(request):
    return redirect("workbook")
