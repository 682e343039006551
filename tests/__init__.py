"""The tests, with a folder for each package of the generator.

A package, so that nothing installed elsewhere under the same name gets in the way.
"""
