"""Advice for a site: what to set, what to expect, what to choose. Computed, never drawn."""
