from shop.base.menu import Below

# A document is kept with its thing; the places of suppliers, jobs, vehicles and components have no common entry.
BELOW = [
    Below("attachments/supplier/", "orders:suppliers"),
    Below("attachments/job/", "jobs:jobs"),
    Below("attachments/vehicle/", "vehicles:vehicles"),
    Below("attachments/component/", "measuring:components"),
    Below("attachments/", "home:today"),
]
