"""How Django forms are drawn: through our own templates, so that every form looks and speaks alike."""

from django.forms.renderers import TemplatesSetting


class LookRenderer(TemplatesSetting):
    """Forms and fields from templates/components; widgets stay Django's own."""

    form_template_name = "components/form.html"
    field_template_name = "components/field.html"
