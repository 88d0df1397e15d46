"""The pictures of the README's tour, made by a real browser on the demo shop: `make screenshots`."""
