"""What a manager does: founding, the club and its settings, courses, people, squads, committee, imports, webhooks."""
