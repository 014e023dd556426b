"""Diagnosis of a line of one's own: what was read, weighed against what each suspect would show."""

from labkit.diagnosis.reasoning import SEEN, Cause, Diagnosis, diagnose
from labkit.diagnosis.suspects import SOUND
from labkit.diagnosis.visit import READINGS, TESTS
from labkit.diagnosis.weighing import NONE_OF_THESE
