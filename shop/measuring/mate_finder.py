"""Which features on record meet a given one, best first, with how far off the near misses are."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext, ngettext

from shop.base.language import capfirst, word
from shop.base.rows import Row
from shop.measuring.text import show_value
from specs.engine import units
from specs.engine.units import LENGTH, System
from specs.models import MatingFeature, working_value
from specs.phrase import joined, phrase
from specs.plate.mating import (
    FITS,
    MISSES,
    UNKNOWN,
    Feature,
    Gap,
    Match,
    Size,
    match,
)
from specs.queries import features_in_full

_OPPOSITE = {
    MatingFeature.Form.INNER: MatingFeature.Form.OUTER,
    MatingFeature.Form.OUTER: MatingFeature.Form.INNER,
    MatingFeature.Form.FACE: MatingFeature.Form.FACE,
}


IN_DOUBT = phrase("in doubt")
_MARKS = {FITS: "done", MISSES: "fails", UNKNOWN: "waiting"}


@dataclass(frozen=True)
class FoundMate:
    """A feature on record set beside the one asked about, in words.

    verdict: that of the match; "in doubt" where readings of a size contradict each other, unless it misses plainly.
    """

    feature: MatingFeature
    match: Match
    verdict: str
    reasons: tuple[str, ...]

    @property
    def row(self) -> Row:
        """The other component with what came of it, and why, as one row."""
        verdict, _, within = word(self.verdict).partition(": ")
        why = joined("; ", map(capfirst, self.reasons))
        return Row(
            _MARKS.get(self.verdict, "check"),
            str(self.feature.component),
            self.feature.get_absolute_url(),
            note=joined(" · ", filter(None, [capfirst(self.feature.name), _count_words(self.feature), why])),
            figure=capfirst(verdict),
            under=within,
            red=self.verdict == MISSES,
            said=verdict,
        )


def as_feature(record: MatingFeature) -> Feature:
    """A feature on record with the working values of its sizes."""
    values = {size.role: working_value(size.dimension) for size in record.sizes.all()}
    sizes = {role: Size(value.value, value.tolerance) for role, value in values.items() if value}
    return Feature(record.kind, record.count, record.standard, sizes)


def find_mates(record: MatingFeature, system: System) -> list[FoundMate]:
    """Every standing feature of the same kind and the opposite form, of other components, best match first."""
    candidates = (
        features_in_full()
        .filter(kind=record.kind, form=_OPPOSITE[MatingFeature.Form(record.form)], deleted_at=None)
        .exclude(component=record.component_id)
    )
    found = [_set_aside(record, other, system) for other in candidates]
    return sorted(found, key=lambda each: each.match.rank)


def _set_aside(record: MatingFeature, other: MatingFeature, system: System) -> FoundMate:
    pair = (as_feature(record), as_feature(other))
    inner, outer = pair if record.form != MatingFeature.Form.OUTER else reversed(pair)
    matched = match(inner, outer)
    reasons = [*matched.contradictions, *(_gap_words(gap, system) for gap in matched.gaps)]
    doubted = joined(", ", dict.fromkeys(_doubted(record) + _doubted(other)))
    if doubted:
        reasons.append(gettext("readings contradict each other: {doubted}").format(doubted=doubted))
    if matched.missing:
        reasons.append(
            gettext("not measured on both: {missing}").format(missing=joined(", ", map(word, matched.missing)))
        )
    verdict = IN_DOUBT if doubted and matched.verdict != MISSES else matched.verdict
    return FoundMate(other, matched, verdict, tuple(reasons))


def _doubted(record: MatingFeature) -> list[str]:
    """The sizes of a feature of which two readings contradict each other."""
    values = [(size.dimension.name, working_value(size.dimension)) for size in record.sizes.all()]
    return [name for name, value in values if value and value.disagrees]


def _count_words(record: MatingFeature) -> str:
    if not record.count:
        return ""
    if record.kind == MatingFeature.Kind.BOLT_CIRCLE:
        return ngettext("{count} bolt", "{count} bolts", record.count).format(count=record.count)
    return ngettext("{count} tooth", "{count} teeth", record.count).format(count=record.count)


def _gap_words(gap: Gap, system: System) -> str:
    play = f"{show_value(gap.gap, LENGTH, system, gap.band)} ± {units.show(gap.band, LENGTH, system, band=gap.band)}"
    allowed = gettext("{least} to {most}").format(
        least=units.show(gap.least, LENGTH, system), most=units.show(gap.most, LENGTH, system)
    )
    if gap.short_by > 0:
        off = units.show(gap.short_by, LENGTH, system, figures=2)
        return gettext("{role}: play {play}, {off} outside {allowed} ({verdict})").format(
            role=word(gap.role), play=play, off=off, allowed=allowed, verdict=word(gap.verdict)
        )
    return gettext("{role}: play {play}, within {allowed} ({verdict})").format(
        role=word(gap.role), play=play, allowed=allowed, verdict=word(gap.verdict)
    )
