"""The sections of a job page in the order of the work: survey, quote, log, outcome."""
