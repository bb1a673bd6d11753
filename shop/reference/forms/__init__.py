"""The forms of the reference pages."""

from shop.reference.forms.calculation import CalculationForm, as_address, calculation_form

__all__ = ["CalculationForm", "as_address", "calculation_form"]
