"""WSGI entry point, served by portal.web."""

import os

from django.core.wsgi import get_wsgi_application

from portal.plain_input import utf_8_only

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "portal.settings")
application = utf_8_only(get_wsgi_application())
