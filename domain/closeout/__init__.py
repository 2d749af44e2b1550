"""Finishing a job: test timing, checklist, defects, exposure, what the closeout pack and the label say."""
