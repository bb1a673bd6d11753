from django.apps import AppConfig


class PlanningConfig(AppConfig):
    name = "shop.planning"
    label = "planning"
    verbose_name = "Planning"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from shop.orders.holding import tell_of_finish
        from shop.planning.costs import finish_days

        tell_of_finish(finish_days)
