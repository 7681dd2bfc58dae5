"""How forms are drawn."""

from django.forms.renderers import TemplatesSetting


class FormRenderer(TemplatesSetting):
    """Every form field is a label, a hint, the box and its error, in that order."""

    field_template_name = "config/_field.html"
