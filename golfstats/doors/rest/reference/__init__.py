"""How the service is described to programs: the OpenAPI document, its examples, and the page that draws it."""
