// Searches while one types: asks for the page of the new link, and puts what it says in the place of what stands there.

const form = document.getElementById("asking");
const query = document.getElementById("q");
const said = document.getElementById("said");
const answer = document.getElementById("answer");
const PAUSE = 250; // milliseconds without a key
let waiting;
let asking = new AbortController();

function link() {
  const given = [...new FormData(form)].filter(([, text]) => text.trim());
  return given.length ? `/?${new URLSearchParams(given)}` : "/";
}

async function ask() {
  clearTimeout(waiting);
  asking.abort(); // an older answer must not come after a newer one
  asking = new AbortController();
  const address = link();
  answer.setAttribute("aria-busy", "true");
  try {
    const response = await fetch(address, { signal: asking.signal });
    show(address, new DOMParser().parseFromString(await response.text(), "text/html"));
  } catch (error) {
    if (error.name === "AbortError") return;
    said.textContent = "No answer: does the program still run?";
  }
  answer.removeAttribute("aria-busy");
}

function show(address, page) {
  const found = page.getElementById("answer");
  if (!found) {
    location.assign(address); // another page than the search says what is wrong
    return;
  }
  said.replaceChildren(...page.getElementById("said").childNodes);
  answer.replaceChildren(...found.childNodes);
  document.title = page.title;
  history.replaceState(null, "", address);
}

// As soon as a control is filled, an empty one stands beside it for another value.
function offerAnother(controls) {
  const last = controls.lastElementChild;
  if (!last.querySelector("input").value) return;
  const next = last.cloneNode(true);
  next.firstChild.textContent = "or ";
  next.querySelector("input").value = "";
  controls.append(next);
}

query.addEventListener("input", () => {
  clearTimeout(waiting);
  waiting = setTimeout(ask, PAUSE);
});
form.addEventListener("change", ({ target }) => {
  const controls = target.closest(".several");
  if (controls) offerAnother(controls);
  if (target !== query) ask();
});
form.addEventListener("submit", (event) => {
  event.preventDefault();
  ask();
});
