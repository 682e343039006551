"""The verbs of the command line, one module each; each is a click command of the verb's name."""
