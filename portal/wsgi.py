"""WSGI entry point, served by portal.web."""

import os

from django.core.wsgi import get_wsgi_application

from portal.plain_input import plain_line

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "portal.settings")
application = plain_line(get_wsgi_application())
