"use strict";
// Draws every chart of the page from its Vega-Lite specification, in the place of the SVG that the server
// wrote. Where the library does not come (a weak connection), that SVG simply stays.
(() => {
  const figures = [...document.querySelectorAll("figure.chart")];
  if (figures.length === 0 || navigator.connection?.saveData) return;

  const own = document.currentScript;
  const config = {
    background: "transparent",
    font: "system-ui, sans-serif",
    view: { stroke: null },
    axis: { labelColor: "#4c5854", gridColor: "#e3e3dc", domainColor: "#8a938f", labelFontSize: 12 },
  };

  const draw = async (figure) => {
    const spec = JSON.parse(figure.querySelector("script").textContent);
    const place = document.createElement("div");
    place.className = "drawing";
    const drawing = figure.querySelector("[data-chart]");
    drawing.after(place);
    try {
      // "ast" reads expressions without eval, which the page's security policy forbids.
      await window.vegaEmbed(place, spec, { actions: false, ast: true, config, defaultStyle: false, renderer: "canvas", tooltip: { disableDefaultStyle: true } });
      place.setAttribute("role", "img"); // the library says "graphics-document", which few readers know
      drawing.remove();
    } catch (error) {
      place.remove();
      console.error(error);
    }
  };

  const library = document.createElement("script");
  library.src = own.dataset.library;
  library.type = "module";
  library.addEventListener("load", () => figures.forEach(draw));
  document.head.append(library);
})();
