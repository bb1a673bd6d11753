from django.apps import AppConfig


class OrdersConfig(AppConfig):
    name = "shop.orders"
    label = "orders"
    verbose_name = "Orders"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from shop.jobs.parts import tell_of_parts
        from shop.orders.parts import part_facts

        tell_of_parts(part_facts)
