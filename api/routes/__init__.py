"""What comes in over HTTP: each route asks, acts and renders."""
