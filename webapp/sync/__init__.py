"""What phones bring and what they take along: README.md beside this file has the wire's shapes."""
