"""Other rods put in a set of points without saving: what would follow?"""

from django import forms

from assets.engineering import words as w
from assets.engineering.facts import PointsFacts, StretcherFacts
from assets.models import Points, Stretcher
from config.points.reader import part_facts_of

AS_IT_IS = "as it is"


class RodsForm(forms.Form):
    """A choice for each place: the rod that is there, none, a spare, or one of its neighbours.

    The values stand in the address as ``?2=ST-014&3=``: a place that is not named stays as it is,
    a place named without a tag is left empty.
    """

    def __init__(self, query, points: Points, facts: PointsFacts):
        spares = Stretcher.objects.spare().order_by("tag", "pk")
        store = [(rod.tag, rod_words(rod)) for rod in spares]
        fitted = {p.order: p.stretcher.tag for p in facts.places if p.stretcher}
        self.as_written = {
            tag.lower(): tag for tag in [*(tag for tag, _ in store), *fitted.values(), AS_IT_IS]
        }
        chosen = {
            str(place.order): self._tag(query.get(str(place.order), AS_IT_IS))
            for place in facts.places
        }
        super().__init__(chosen)
        for place in facts.places:
            self.fields[str(place.order)] = _field(place, fitted, store)

    def _tag(self, text: str) -> str:
        text = " ".join(text.split())
        return self.as_written.get(text.lower(), text)

    def clean(self):
        chosen = [tag for tag in self.cleaned_data.values() if tag and tag != AS_IT_IS]
        for tag in sorted({tag for tag in chosen if chosen.count(tag) > 1}):
            self.add_error(None, f"{tag} is chosen for more than one place.")

    def rods(self) -> dict[int, StretcherFacts | None]:
        """The rods chosen, by place, of a valid form; one query and the rods' defects."""
        chosen = {int(order): tag for order, tag in self.cleaned_data.items() if tag != AS_IT_IS}
        rods = list(Stretcher.objects.filter(tag__in=[tag for tag in chosen.values() if tag]))
        known = {facts.tag: facts for facts in part_facts_of(rods)}
        return {order: known.get(tag) for order, tag in chosen.items()}


def rod_words(rod: Stretcher) -> str:
    """ "ST-014 yellow, insulated left" for a line of a choice."""
    side = {w.InsulationSide.NONE: "not insulated", w.InsulationSide.UNKNOWN: "insulation ?"}
    told = side.get(rod.insulation_side, f"insulated {rod.insulation_side}")
    colour = "colour ?" if rod.generation == w.Generation.UNKNOWN else rod.generation
    return f"{rod.tag} {colour}, {told}"


def _field(place, fitted: dict[int, str], store: list) -> forms.ChoiceField:
    present = fitted.get(place.order)
    choices = [(AS_IT_IS, f"as it is: {present or 'no stretcher'}")]
    if present:
        choices.append(("", "no stretcher"))
    choices.append(("In the store", store))
    neighbours = [(tag, tag) for order, tag in fitted.items() if order != place.order]
    if neighbours:
        choices.append(("Fitted on these points", neighbours))
    return forms.ChoiceField(
        choices=choices,
        required=False,
        label=f"{place.order} · {place.name.capitalize()}",
        error_messages={"invalid_choice": "There is no %(value)s in the store or on these points."},
    )
