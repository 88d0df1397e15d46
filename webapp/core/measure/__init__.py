"""The sums behind a placement: each takes plain readings with their units in the name and says how sure it is.

Vehicle axes as in ISO 8855: x forward, y to the left, z up; origin on the floor midway between the two front
reference points. Lengths in mm, angles in degrees at every boundary, radians only inside a function. The phone has
a mirror of every file here, so the methods are kept simple enough to be written twice and agree to nine digits.
"""
