"""What finished jobs teach: proposals for the owner's own standards, shown on Outcome and on Margins."""

from desktop.pages.learning.suggestions import SuggestionsCard

__all__ = ["SuggestionsCard"]
