"""Papers as PDF bytes: for the customer, and for the truck and the shop.

The PDF library is loaded when the first paper is made, not before.

    proposal_pdf(facts)         a proposal or change order, from db.queries.proposals.proposal_facts
    pull_sheet_pdf(sheet, firm)         what to gather for the jobs of a day
    shopping_list_pdf(shopping, firm)   what to buy, by supplier
"""

from __future__ import annotations

from domain.buying import PullSheet, ShoppingList
from domain.firm import Firm
from domain.quoting.proposal import ProposalFacts


def proposal_pdf(facts: ProposalFacts) -> bytes:
    """The paper of a proposal or a change order."""
    from desktop.papers.proposal import make_proposal

    return make_proposal(facts)


def pull_sheet_pdf(sheet: PullSheet, firm: Firm) -> bytes:
    """The paper of a pull sheet."""
    from desktop.papers.pull_sheet import make_pull_sheet_paper

    return make_pull_sheet_paper(sheet, firm)


def shopping_list_pdf(shopping: ShoppingList, firm: Firm) -> bytes:
    """The paper of a shopping list."""
    from desktop.papers.shopping_list import make_shopping_list_paper

    return make_shopping_list_paper(shopping, firm)
