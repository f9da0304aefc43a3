"""Part pages: what a part fits and harms, how it was come by, and where it was seen."""

from __future__ import annotations

from markupsafe import Markup

from kbgen.content import PartFile
from kbgen.content.models import Obtained
from kbgen.links import Reference, Scheme, address_of
from kbgen.pages.leads import leads_to
from kbgen.pages.shelf import Shelf
from kbgen.pages.views import FitView, OfferView, Page, PartView

__all__ = ["OBTAINED", "part_page", "ties"]

OBTAINED = {
    Obtained.BOUGHT: "We bought it and paid for it ourselves.",
    Obtained.GIFT: "It was given to us.",
    Obtained.LOAN: "It was lent to us, and went back.",
    Obtained.PAID: "We were paid to show it.",
}


_TIED = {
    Obtained.GIFT: "Given to us",
    Obtained.LOAN: "Lent to us",
    Obtained.PAID: "We were paid to show",
}


def ties(shelf: Shelf) -> dict[str, tuple[str, str]]:
    """Return the parts that were not bought, by address: how we came by it, and its name."""
    return {
        address_of(Reference(Scheme.PART, part.id)): (_TIED[how], part.model.name)
        for part in shelf.tree.parts.values()
        if (how := part.model.obtained) in _TIED
    }


def part_page(shelf: Shelf, part: PartFile) -> Page:
    """Return the page of a part.

    How a part was come by stands before the first link to an offer, in the reader's
    way and on paper; where there is a tie to a seller, so does the workshop's own
    sentence. Source: 16 CFR 255.5.
    """
    model = part.model
    reference = Reference(Scheme.PART, part.id)
    tied = model.obtained is not Obtained.BOUGHT
    thread = shelf.thread(model.thread) if model.thread else None
    workshop = shelf.tree.workshop
    view = PartView(
        name=model.name,
        also_called=model.also_called,
        summary=shelf.prose(model.summary or ""),
        designation=shelf.designation(model.thread) if model.thread else Markup(""),
        thread_address=shelf.thread_address(thread),
        fits=tuple(
            FitView(
                shelf.family_link(fit.family), str(fit.verdict), shelf.prose(fit.why), fit.source
            )
            for fit in model.fits
        ),
        offers=tuple(
            OfferView(offer.address, offer.shop or "", shelf.figured(offer.price), offer.seen, tied)
            for offer in model.offers
        ),
        obtained=OBTAINED[model.obtained],
        disclosure=workshop.disclosure if tied and workshop else "",
        remarks=shelf.blocks(model.remarks or ""),
    )
    return Page(
        path=address_of(reference),
        kind="part",
        title=model.name,
        purpose="What this part fits, what it harms, and how we came by it.",
        families=tuple(
            shelf.family_link(fit.family) for fit in model.fits if fit.verdict == "fits"
        ),
        revised=max((offer.seen for offer in model.offers), default=None),
        body=view,
        source=part.source.path,
        leads_here=leads_to(shelf, reference),
    )
