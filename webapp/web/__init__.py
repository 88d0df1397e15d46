"""The pages: one blueprint a noun. What they show comes from storage and core; they decide nothing about the work."""
