"""A coach's questions: who changes, in what, is it real, what to work on, did it help."""
