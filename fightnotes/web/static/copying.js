// A button beside each text that a person may want to take along.

const SHOWN = 1500; // milliseconds

for (const text of document.querySelectorAll("[data-copy]")) {
  const button = document.createElement("button");
  button.type = "button";
  button.className = "copy";
  button.textContent = "Copy";
  button.setAttribute("aria-label", `Copy: ${text.dataset.copy}`);
  const said = document.createElement("span");
  said.setAttribute("role", "status");
  button.addEventListener("click", async () => {
    said.textContent = await copied(text.textContent);
    setTimeout(() => (said.textContent = ""), SHOWN);
  });
  text.after(" ", button, " ", said);
}

async function copied(text) {
  try {
    await navigator.clipboard.writeText(text);
    return "copied";
  } catch (error) {
    return `not copied: ${error.message}`;
  }
}
