"""One profile for every property test: a busy machine is no reason to fail."""

from hypothesis import HealthCheck, settings

settings.register_profile("pacestick", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("pacestick")
