"""Marks for tests that need the database otherwise than in one transaction that is rolled back."""

import pytest

committed = pytest.mark.django_db(transaction=True, databases=["default", "owner"])
"""Transactions are real, for tests with several connections or processes.

The tables are emptied afterwards by the owner: the application role may not TRUNCATE.
"""
