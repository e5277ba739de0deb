"use strict";
// A block of a spreadsheet pasted into a field of a grid fills the grid from there.
for (const grid of document.querySelectorAll("[data-grid]")) {
  const rows = [...grid.tBodies[0].rows].map((row) => [...row.querySelectorAll("input")]);
  grid.addEventListener("paste", (event) => {
    const text = event.clipboardData.getData("text");
    const block = text.replace(/\r/g, "").replace(/\n$/, "").split("\n").map((line) => line.split("\t"));
    if (block.length === 1 && block[0].length === 1) return;
    const top = rows.findIndex((row) => row.includes(event.target));
    if (top < 0) return;
    event.preventDefault();
    const left = rows[top].indexOf(event.target);
    block.forEach((cells, down) => cells.forEach((cell, right) => {
      const field = rows[top + down]?.[left + right];
      if (field) field.value = cell.trim();
    }));
  });
}
