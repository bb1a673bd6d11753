from django.apps import AppConfig
from django.db.models.signals import post_migrate
from django.utils.translation import gettext_lazy


class PeopleConfig(AppConfig):
    name = "shop.people"
    label = "people"
    verbose_name = gettext_lazy("People and roles")
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from shop.people.groups import make_groups

        post_migrate.connect(make_groups, sender=self, dispatch_uid="people.make_groups")
