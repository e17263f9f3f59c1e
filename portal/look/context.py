"""What every page needs around its content."""

from django.http import HttpRequest


def chrome(request: HttpRequest) -> dict[str, object]:
    return {"nav_items": []}
