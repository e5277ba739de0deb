"""A posted round in one form: can it be (faults), is it likely (warnings), and is it there already?"""
