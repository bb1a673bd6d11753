from shop.base.search import Searched
from shop.vehicles.models import Customer, Vehicle

SEARCHED = [
    Searched("Vehicles", 10, lambda text: Vehicle.objects.search(text)),
    Searched("Customers", 50, lambda text: Customer.objects.search(text)),
]
