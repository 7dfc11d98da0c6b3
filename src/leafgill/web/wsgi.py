"""The app as a WSGI server calls it."""

from __future__ import annotations

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "leafgill.web.settings")
application = get_wsgi_application()
