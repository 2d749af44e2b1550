"""The five places and the sections of a job, one module each, imported when first visited."""
