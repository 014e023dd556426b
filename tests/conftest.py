"""What every test shares: one way for hypothesis to explore."""

from hypothesis import settings

# The first call of a compiled function takes longer than hypothesis's usual limit for one example.
# Loaded by name, for hypothesis would choose a profile of fixed inputs by itself where CI is set.
settings.register_profile("labkit", deadline=None, print_blob=True)
settings.load_profile("labkit")
