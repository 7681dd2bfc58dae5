"""The routing table: everybody may see it, the responsible engineer changes it."""

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render

from defects.forms import RouteForm
from defects.models import Route
from defects.routing.routing import all_found, code_of, found_of


def route_list(request):
    routes = list(Route.objects.order_by("title", "pk"))
    for route in routes:
        route.code = code_of(route.found)
    missing = sorted(set(map(code_of, all_found())) - {route.code for route in routes})
    context = {"routes": routes, "missing": missing, "section": "defects"}
    return render(request, "defects/routes.html", context)


def route_edit(request, found: str):
    """A row of the table; open defects keep the row they were raised by."""
    route = get_object_or_404(Route, **found_of(found).columns)
    form = RouteForm(request.POST or None, instance=route)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(
            request, f"Routing of “{route.title}” changed. Open defects stay as raised."
        )
        return redirect("defects:routes")
    context = {"route": route, "form": form, "section": "defects"}
    return render(request, "defects/route_edit.html", context)
