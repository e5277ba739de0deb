"use strict";
/* While a worker makes the plan: move the bar on, and show the plan once it is made. Without this there is a link. */
(function () {
  const waiting = document.getElementById("waiting");
  async function look() {
    try {
      const answer = await fetch(waiting.dataset.progress, { headers: { Accept: "application/json" } });
      if (answer.ok) {
        const now = await answer.json();
        if (now.state !== "pending") {
          window.location.reload();
          return;
        }
        document.getElementById("made").value = now.done;
        document.getElementById("done").textContent = now.done;
      }
    } catch {
      // No connection: look again later.
    }
    window.setTimeout(look, 2500);
  }
  window.setTimeout(look, 1500);
})();
