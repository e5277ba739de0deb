"use strict";
SwaggerUIBundle({
  url: document.body.dataset.document,
  dom_id: "#reference",
  deepLinking: true,
  // What is tried while signed in on the pages changes things only with their token.
  requestInterceptor: (request) => {
    request.headers["X-CSRFToken"] = document.body.dataset.csrf;
    return request;
  },
});
