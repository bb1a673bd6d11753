from django.urls import path

from shop.reference.views import components, mating, measuring, pattern_moves, patterns, torque
from specs.models import HolePattern, MatingFeature, Measurement, TorqueSpec

app_name = "reference"

urlpatterns = [
    path("components/", components.components, name="components"),
    path("components/new/", components.component_new, name="component-new"),
    path("components/<int:pk>/", components.component, name="component"),
    path("components/<int:pk>/change/", components.component_change, name="component-change"),
    path("components/<int:pk>/specimens/new/", components.specimen_new, name="specimen-new"),
    path("specimens/<int:pk>/change/", components.specimen_change, name="specimen-change"),
    path("components/<int:pk>/dimensions/new/", components.dimension_new, name="dimension-new"),
    path("dimensions/", components.dimensions, name="dimensions"),
    path("dimensions/<int:pk>/", measuring.dimension, name="dimension"),
    path("dimensions/<int:pk>/change/", components.dimension_change, name="dimension-change"),
    path("dimensions/<int:pk>/measure/", measuring.measure, name="measure"),
    path("dimensions/<int:pk>/counts/", measuring.choose_reading, name="choose-reading"),
    path("measurements/<int:pk>/withdraw/", measuring.withdraw, {"model": Measurement}, name="measurement-withdraw"),
    path("torque/", torque.torque_specs, name="torque-specs"),
    path("components/<int:pk>/torque/new/", torque.torque_spec_new, name="torque-spec-new"),
    path("torque/<int:pk>/", torque.torque_spec, name="torque-spec"),
    path("torque/<int:pk>/change/", torque.torque_spec_change, name="torque-spec-change"),
    path("torque/<int:pk>/withdraw/", measuring.withdraw, {"model": TorqueSpec}, name="torque-spec-withdraw"),
    path("features/", mating.features, name="features"),
    path("components/<int:pk>/features/new/", mating.feature_new, name="feature-new"),
    path("features/<int:pk>/", mating.feature, name="feature"),
    path("features/<int:pk>/change/", mating.feature_change, name="feature-change"),
    path("features/<int:pk>/withdraw/", measuring.withdraw, {"model": MatingFeature}, name="feature-withdraw"),
    path("patterns/", patterns.patterns, name="patterns"),
    path("components/<int:pk>/patterns/new/", patterns.pattern_new, name="pattern-new"),
    path("components/<int:pk>/patterns/load/", patterns.pattern_load, name="pattern-load"),
    path("components/<int:pk>/patterns/calipers/", patterns.pattern_calipers, name="pattern-calipers"),
    path("patterns/<int:pk>/", patterns.pattern, name="pattern"),
    path("patterns/<int:pk>/compare/<int:other>/", pattern_moves.pattern_compare, name="pattern-compare"),
    path("patterns/<int:pk>/datum/", pattern_moves.pattern_datum, name="pattern-datum"),
    path("patterns/<int:pk>/change/", patterns.pattern_change, name="pattern-change"),
    path("patterns/<int:pk>/withdraw/", measuring.withdraw, {"model": HolePattern}, name="pattern-withdraw"),
]
