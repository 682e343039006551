"""The verbs of the command line, one module each, with a click command of the verb's name."""
