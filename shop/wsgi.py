import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")

application = get_wsgi_application()

from django.conf import settings  # noqa: E402

from shop.management.schema import refuse_other_schema  # noqa: E402
from shop.serving.refusals import refuse_static  # noqa: E402

refuse_other_schema()
if settings.PRODUCTION:
    refuse_static()
