/* Sends what is typed to the GraphQL endpoint, and shows the schema type by type. */
import { t } from "./words.js";

const form = document.getElementById("ask");
const shown = (id, text) => { document.getElementById(id).textContent = text; };
const answered = (text) => {
  document.getElementById("answered").hidden = false;
  shown("answer", text);
};

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  shown("cost", "");
  let variables;
  try {
    variables = JSON.parse(document.getElementById("variables").value || "{}");
  } catch (error) {
    answered(t("The variables are not JSON: {error}", { error: error.message }));
    return;
  }
  const headers = {
    "Content-Type": "application/json",
    Club: form.dataset.club,
    "X-CSRFToken": form.querySelector("[name=csrfmiddlewaretoken]").value,
  };
  const body = JSON.stringify({ query: document.getElementById("question").value, variables });
  try {
    const answer = await (await fetch(form.dataset.address, { method: "POST", headers, body })).json();
    const { extensions, ...rest } = answer;
    answered(JSON.stringify(rest, null, 2));
    if (extensions) shown("cost", t("Cost {cost} of at most {most}", { cost: extensions.cost, most: extensions.maximum_cost }));
  } catch {
    answered(t("No answer came: is there a connection?"));
  }
});

const types = document.getElementById("type");
async function list() {
  const answer = await fetch(types.dataset.schema);
  if (!answer.ok) return;
  // Definitions are parted by an empty line; one within a description is indented.
  const definitions = new Map();
  for (const text of (await answer.text()).split(/\n\n(?=\S)/)) {
    const name = text.match(/^(?:type|input|enum|interface|scalar|union) (\w+)/m);
    if (name) definitions.set(name[1], text);
  }
  const first = ["Query", "Mutation"].filter((name) => definitions.has(name));
  const others = [...definitions.keys()].filter((name) => !first.includes(name)).sort();
  types.replaceChildren(...[...first, ...others].map((name) => new Option(name)));
  const show = () => shown("definition", definitions.get(types.value));
  types.addEventListener("change", show);
  show();
}
list();
