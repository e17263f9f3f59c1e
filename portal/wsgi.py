"""WSGI entry point (gunicorn portal.wsgi)."""

import os

from django.core.wsgi import get_wsgi_application

from portal.plain_input import utf_8_only

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "portal.settings")
application = utf_8_only(get_wsgi_application())
