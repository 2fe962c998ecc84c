"""The service: web, database, paper and command line around the engine."""
