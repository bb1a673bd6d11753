from django.urls import path

from shop.measuring.views import component, dimension, feature, pattern, pattern_moves, reading, readings, specimen

app_name = "measuring"

urlpatterns = [
    path("components/", component.components, name="components"),
    path("components/new/", component.component_new, name="component-new"),
    path("components/<int:pk>/", component.component, name="component"),
    path("components/<int:pk>/edit/", component.component_edit, name="component-edit"),
    path("components/<int:pk>/specimens/new/", specimen.specimen_new, name="specimen-new"),
    path("specimens/<int:pk>/edit/", specimen.specimen_edit, name="specimen-edit"),
    path("components/<int:pk>/dimensions/new/", dimension.dimension_new, name="dimension-new"),
    path("dimensions/", dimension.dimensions, name="dimensions"),
    path("dimensions/<int:pk>/", dimension.dimension, name="dimension"),
    path("dimensions/<int:pk>/edit/", dimension.dimension_edit, name="dimension-edit"),
    path("dimensions/<int:pk>/measure/", reading.reading_new, name="reading-new"),
    path("dimensions/<int:pk>/choose/", reading.reading_choose, name="reading-choose"),
    path("readings/", readings.readings, name="readings"),
    path("readings/<int:pk>/delete/", reading.reading_delete, name="reading-delete"),
    path("features/", feature.features, name="features"),
    path("components/<int:pk>/features/new/", feature.feature_new, name="feature-new"),
    path("features/<int:pk>/", feature.feature, name="feature"),
    path("features/<int:pk>/edit/", feature.feature_edit, name="feature-edit"),
    path("features/<int:pk>/delete/", feature.feature_delete, name="feature-delete"),
    path("patterns/", pattern.patterns, name="patterns"),
    path("components/<int:pk>/patterns/new/", pattern.pattern_new, name="pattern-new"),
    path("components/<int:pk>/patterns/load/", pattern.pattern_load, name="pattern-load"),
    path("components/<int:pk>/patterns/calipers/", pattern.pattern_calipers, name="pattern-calipers"),
    path("patterns/<int:pk>/", pattern.pattern, name="pattern"),
    path("patterns/<int:pk>/compare/<int:other>/", pattern_moves.pattern_compare, name="pattern-compare"),
    path("patterns/<int:pk>/datum/", pattern_moves.pattern_datum, name="pattern-datum"),
    path("patterns/<int:pk>/edit/", pattern.pattern_edit, name="pattern-edit"),
    path("patterns/<int:pk>/delete/", pattern.pattern_delete, name="pattern-delete"),
]
