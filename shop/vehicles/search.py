from shop.ui.searching import Searched
from shop.vehicles.models import Customer, Vehicle

SEARCHED = [
    Searched("Vehicles", 10, lambda text: Vehicle.objects.standing().search(text)),
    Searched("Customers", 50, lambda text: Customer.objects.standing().search(text)),
]
