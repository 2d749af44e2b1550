"""Papers the customer gets, as PDF bytes. The PDF library is loaded when the first paper is made, not before.

    proposal_pdf(facts)         a proposal or change order, from db.queries.proposals.proposal_facts
"""

from __future__ import annotations

from domain.quoting.proposal import ProposalFacts


def proposal_pdf(facts: ProposalFacts) -> bytes:
    """The paper of a proposal or a change order."""
    from desktop.papers.proposal import make_proposal

    return make_proposal(facts)
