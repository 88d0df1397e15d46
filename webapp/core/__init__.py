"""What is true without a server. The law of this room stands in its README."""
