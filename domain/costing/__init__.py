"""Quoted against actual: the variance tree of a job and margins of any grouping."""
