"""REST in and out. Nothing is decided here: rules are in ``posting`` and ``permissions``, reads in ``queries``."""
