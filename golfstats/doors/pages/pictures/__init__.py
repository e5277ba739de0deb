"""Pictures of answers as SVG, which needs no script.

Shapes carry classes and no colours: the style sheet gives both schemes theirs. Every picture says in its title what it
shows, and the numbers stand in a table beneath it.
"""
