"""The tests, one room for each room of the generator.

A package, so that nothing installed elsewhere under the same name gets in the way.
"""
